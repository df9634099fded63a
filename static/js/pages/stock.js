/* The flour store: is there enough for tonight and this week, and what runs out when? What runs out
 * first stands first. On a day of the past: what there was at its end. */
import { h, link, uniqueId } from '../dom.js';
import * as api from '../api.js';
import { storeCautions } from '../cautions.js';
import { dayWords, isDate } from '../dates.js';
import { aligned, most, table } from '../figures.js';
import { findable } from '../find.js';
import { go } from '../router.js';
import { may, today } from '../session.js';
import { answerOf, bySoonest, comings, marksOf } from '../stock-outlook.js';
import { markList, stockTabs } from '../stock-parts.js';
import { amountOf, unitOf } from '../amounts.js';
import { figureOf, now, runOutOf, worthWords } from '../stock-words.js';

export async function show(view, wanted) {
  const on = wanted && wanted < now() ? wanted : null;
  const [{ body: stock }, coming] = await Promise.all([
    api.get(`/stock${on ? `?on=${on}` : ''}`, view),
    on ? new Map() : load(view),
  ]);
  const items = on ? stock.items : stock.items.toSorted(bySoonest);
  return view.frame(
    on ? `Flour store, end of ${dayWords(on, today())}` : 'Flour store',
    on ? [h('span', { class: 'over' }, 'Flour store · at the end of'), ' ', dayWords(on, today())] : 'Flour store',
    stockTabs('#/stock'),
    h(
      'div',
      { class: 'day-tools' },
      h(
        'p',
        { class: 'actions' },
        link('#/goods-in', 'Goods in', { class: 'button main' }),
        link('#/count', 'Count', { class: 'button' }),
        link('#/ordering', 'Ordering', { class: 'button' }),
      ),
      dayChooser(on),
    ),
    items.length === 0 ? nothing(on) : content(stock, items, coming, on),
    storeCautions(),
  );
}

async function load(view) {
  const [proposals, orders] = await Promise.all([
    api.get('/order-proposals', view),
    api.list('/purchase-orders?open=true', view),
  ]);
  return comings(proposals.body, orders);
}

function dayChooser(on) {
  const picker = h('input', { type: 'date', value: on ?? today(), max: today(), required: true });
  picker.addEventListener('change', () => {
    if (isDate(picker.value)) go(picker.value < now() ? `#/stock/+on/${picker.value}` : '#/stock');
  });
  const id = uniqueId('on');
  picker.id = id;
  return h(
    'div',
    { class: 'stepper' },
    on ? link('#/stock', 'Back to now', { class: 'button quiet' }) : null,
    h('label', { for: id, class: 'stock-on' }, 'At the end of'),
    picker,
  );
}

const nothing = (on) =>
  on
    ? h('p', { class: 'empty' }, 'Nothing was in the book at the end of this day.')
    : h(
        'p',
        { class: 'empty' },
        'Nothing is kept here yet. The book of an ingredient begins with its first ',
        link('#/goods-in', 'goods in'),
        ', or with a ',
        link('#/count', 'count'),
        ' of what there is.',
      );

const content = (stock, items, coming, on) => [
  on ? null : answer(items, coming),
  may('owner') ? worth(stock) : null,
  h('section', { class: 'below' }, h('h2', {}, 'Everything'), findable('the flour store', stockTable(items, coming, on))),
];

/* Tonight and this week in a few sentences. */
function answer(items, coming) {
  const { level, lines } = answerOf(items, coming);
  return h(
    'section',
    { class: `message store-answer ${level}`, 'aria-labelledby': 'store-answer' },
    h('h2', { id: 'store-answer' }, 'Tonight and the next seven days'),
    lines.length === 0
      ? h('p', {}, 'There is enough of everything whose use is known.')
      : h(
          'ul',
          {},
          lines.map(({ item, text }) => h('li', {}, link(`#/stock/${item.ingredient}`, item.name), text)),
        ),
  );
}

const worth = (stock) =>
  h(
    'dl',
    { class: 'key-figures' },
    [
      ['First in, first out', stock.fifo_value],
      ['Moving average', stock.average_value],
    ].map(([name, value]) => h('div', {}, h('dt', {}, `Worth, ${name.toLowerCase()}`), h('dd', {}, worthWords(value)))),
  );

function stockTable(items, coming, on) {
  const columns = on ? [''] : ['', 'spoken_for', 'free'];
  const owner = may('owner');
  const decimals = columns.map((stem) =>
    most(items.filter((item) => unitOf(item) === 'g').map((item) => figureOf(amountOf(item, stem) ?? 0n, 'g').text)),
  );
  const names = { '': on ? 'There was' : 'On hand', spoken_for: 'Spoken for', free: 'Free' };
  return table({
    className: 'stores by-line',
    heads: [
      'Ingredient',
      ...columns.map((stem) => ({ text: names[stem], figures: true })),
      ...(on ? [] : [{ text: 'Runs out', class: 'runs-out' }]),
      ...(owner ? [{ text: 'Worth', class: 'figures worth' }] : []),
    ],
    rows: items.map((item) => [
      nameCell(item, coming.get(item.ingredient), on),
      ...columns.map((stem, index) => amountCell(amountOf(item, stem), unitOf(item), decimals[index])),
      ...(on ? [] : [runOutCell(item)]),
      ...(owner ? [worthCell(item)] : []),
    ]),
  });
}

const nameCell = (item, coming, on) =>
  h('th', { scope: 'row' }, link(`#/stock/${item.ingredient}`, item.name), on ? null : markList(marksOf(item, coming)));

function amountCell(value, whose, decimals) {
  if (value === null) return h('td', { class: 'figures' }, '—');
  const { text, unit } = figureOf(value, whose);
  return h('td', { class: value < 0n ? 'figures short' : 'figures' }, aligned(text, whose === 'g' ? decimals : 0, unit));
}

function runOutCell(item) {
  const { text, detail, days } = runOutOf(item);
  const near = days < 7;
  return h(
    'td',
    { class: 'runs-out' },
    h('span', { class: 'narrow-only' }, days === Infinity ? 'Run-out ' : 'Runs out '),
    near ? h('strong', {}, text) : text,
    ' ',
    h('span', { class: 'sub' }, detail),
  );
}

/* First in first out, and below it the moving average where that is another. */
function worthCell({ fifo_value: fifo, average_value: average }) {
  const [first, second] = [worthWords(fifo), worthWords(average)];
  return h(
    'td',
    { class: first === 'not known' ? 'figures worth missing' : 'figures worth' },
    first,
    second === first ? null : h('span', { class: 'sub' }, `average ${second}`),
  );
}
