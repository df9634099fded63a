/* What the pages of a day share: the heading with its date, the stepper, the way to its neighbours. */
import { h, link, unseen } from './dom.js';
import { addDays, dayWords, isDate, relativeDay } from './dates.js';
import { go } from './router.js';
import { may, today } from './session.js';

/* The heading: a small line about what, a large one about when. */
export function dayHeading(what, date) {
  return [
    h('span', { class: 'over' }, what, h('span', { class: 'screen-only' }, ` · ${relativeDay(date, today())}`)),
    ' ',
    h('span', { class: 'date' }, dayWords(date, today())),
  ];
}

/* Steps to the day before, any day, the day after. address(date) -> hash. */
export function dayStepper(date, address, label = 'Day') {
  const picker = h('input', { type: 'date', value: date, 'aria-label': label, required: true });
  picker.addEventListener('change', () => {
    if (isDate(picker.value)) go(address(picker.value));
  });
  const step = (days, sign, words) =>
    link(address(addDays(date, days)), [unseen(words), h('span', { 'aria-hidden': 'true' }, sign)], { class: 'step' });
  return h('div', { class: 'stepper' }, step(-1, '‹', 'The day before'), picker, step(1, '›', 'The day after'));
}

const TABS = [
  { name: 'orders', text: 'Orders', role: 'counter' },
  { name: 'production', text: 'Production', role: 'counter' },
  { name: 'timetable', text: 'Timetable', role: 'baker' },
  { name: 'needs', text: 'Needs', owner: 'Needs and cost', role: 'baker' },
];

/* The pages of one bread day, side by side. */
export function breadDayTabs(current, date) {
  return h(
    'nav',
    { class: 'tabs', 'aria-label': 'This bread day' },
    h(
      'ul',
      {},
      TABS.filter((tab) => may(tab.role)).map((tab) =>
        h(
          'li',
          {},
          link(`#/${tab.name}/${date}`, tab.owner && may('owner') ? tab.owner : tab.text, {
            'aria-current': tab.name === current ? 'page' : null,
          }),
        ),
      ),
    ),
  );
}
