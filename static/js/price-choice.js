/* Which list and which day prices are looked at: chosen on one page, kept on the next. */
import { h, uniqueId } from './dom.js';
import { addDays, dayWords } from './dates.js';
import { go } from './router.js';
import { today } from './session.js';

const chosen = { list: null, date: '' };

/* The list that is looked at, the first when none was chosen; null: there is none. */
export const listOf = (lists) => lists.find((one) => one.code === chosen.list) ?? lists[0] ?? null;

/* The day that is looked at; '' is a typical one. */
export const dayOf = () => chosen.date;

export const queryOf = (list, date = dayOf()) =>
  [list ? `list=${list.code}` : '', date ? `date=${date}` : ''].filter(Boolean).join('&');

function chooser(label, options, current, pick) {
  const id = uniqueId('choice');
  const select = h(
    'select',
    { id },
    options.map(([value, text]) => h('option', { value, selected: value === current }, text)),
  );
  select.addEventListener('change', () => {
    pick(select.value);
    go(location.hash);
  });
  return h('p', { class: 'copy' }, h('label', { for: id }, label), select);
}

export function listChooser(lists) {
  if (lists.length < 2) return null;
  return chooser(
    'Price list',
    lists.map((one) => [one.code, one.name]),
    listOf(lists).code,
    (value) => {
      chosen.list = value;
    },
  );
}

export function dayChooser() {
  const days = [0, 1, 2, 3].map((ahead) => addDays(today(), ahead));
  const near = ['today', 'tomorrow'];
  const options = [
    ['', 'a typical day'],
    ...days.map((day, ahead) => [day, `${near[ahead] ? `${near[ahead]}, ` : ''}${dayWords(day, today())}`]),
  ];
  if (chosen.date && !days.includes(chosen.date)) options.push([chosen.date, dayWords(chosen.date, today())]);
  return chooser('With the orders of', options, chosen.date, (value) => {
    chosen.date = value;
  });
}
