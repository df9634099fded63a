/* A month's values: what the store was worth at its beginning, what came and went, what it was worth at its
 * end; first in first out and moving average side by side. */
import { h, button, link, unseen } from '../dom.js';
import * as api from '../api.js';
import { addDays, dayWords } from '../dates.js';
import { table } from '../figures.js';
import { nameMargins } from '../margins.js';
import { exactMoney } from '../price-words.js';
import { go } from '../router.js';
import { session, today } from '../session.js';
import { stockTabs } from '../stock-parts.js';
import { amountOf, amountWords } from '../amounts.js';

const MONTHS = 'January February March April May June July August September October November December'.split(' ');

/* In the order in which they are added up. */
const STEPS = [
  ['opening', '', 'Opening'],
  ['received', '+', 'Came in'],
  ['counted', '+', 'Counted'],
  ['used', '−', 'Used'],
  ['wasted', '−', 'Wasted'],
  ['returned', '−', 'Sent back'],
  ['closing', '=', 'Closing'],
];

export async function show(view, wanted) {
  const month = wanted ?? today().slice(0, 7);
  const [from, to] = daysOf(month);
  const until = to < today() ? to : today();
  const { body } = await api.get(`/stock-values?from=${from}&to=${until}`, view);
  const words = monthWords(month);
  const title = `Values of ${words}`;
  nameMargins(view, `${session().bakery} · ${title}`, 'Flour store');
  return view.frame(
    title,
    [h('span', { class: 'over' }, 'Flour store · values of'), ' ', words],
    stockTabs('#/stock/+values'),
    h('div', { class: 'day-tools' }, stepper(month), h('p', { class: 'actions' }, button('Print', () => window.print()))),
    h('p', { class: 'lead' }, `From ${dayWords(from, today())} to the end of ${dayWords(until, today())}${until < to ? ', the month so far' : ''}.`),
    body.items.length === 0
      ? h('p', { class: 'empty' }, 'Nothing was in the book in this month.')
      : [totals(body), h('section', { class: 'below' }, h('h2', {}, 'By ingredient'), h('div', { class: 'value-blocks' }, body.items.map(block)))],
  );
}

const monthWords = (month) => `${MONTHS[Number(month.slice(5)) - 1]} ${month.slice(0, 4)}`;

function addMonths(month, count) {
  const months = Number(month.slice(0, 4)) * 12 + Number(month.slice(5)) - 1 + count;
  return `${Math.floor(months / 12)}-${String((months % 12) + 1).padStart(2, '0')}`;
}

const daysOf = (month) => [`${month}-01`, addDays(`${addMonths(month, 1)}-01`, -1)];

function stepper(month) {
  const now = today().slice(0, 7);
  const first = h('input', { type: 'month', value: month, max: now, 'aria-label': 'Month', required: true });
  first.addEventListener('change', () => {
    if (/^\d{4}-\d{2}$/.test(first.value) && first.value <= now) go(`#/stock/+values/${first.value}`);
  });
  const step = (count, sign, words) =>
    link(`#/stock/+values/${addMonths(month, count)}`, [unseen(words), h('span', { 'aria-hidden': 'true' }, sign)], { class: 'step' });
  return h('div', { class: 'stepper' }, step(-1, '‹', 'The month before'), first, month < now ? step(1, '›', 'The month after') : null);
}

const isKnown = (text) => text !== null && text !== undefined;

/* To the last digit that is kept, so that the lines add up. */
const exact = (text) => (text.startsWith('-') ? ['−', exactMoney(text.slice(1))] : exactMoney(text));

const moneyCell = (text) =>
  h('td', { class: isKnown(text) ? 'figures' : 'figures missing' }, isKnown(text) ? exact(text) : 'not known');

const signOf = (sign) => (sign ? h('span', { class: 'value-sign' }, sign, ' ') : null);

const isNothing = (text) => isKnown(text) && Number(text) === 0;

/* The sum of everything, to the last digit that is kept. */
function totals({ totals: sums }) {
  return h(
    'section',
    { class: 'below value-totals' },
    h('h2', {}, 'Everything'),
    table({
      className: 'values',
      heads: ['Worth', ...['First in, first out', 'Moving average'].map((text) => ({ text, figures: true }))],
      rows: STEPS.map(([member, sign, name]) => [
        h('th', { scope: 'row' }, signOf(sign), name),
        moneyCell(sums[member].fifo),
        moneyCell(sums[member].average),
      ]),
    }),
    h('p', { class: 'hint' }, METHODS),
  );
}

const METHODS = [
  'First in, first out takes what came in first, whichever sack was really taken.',
  'The moving average is worked out anew with each delivery.',
  'Counted is what counts found: too much less missing.',
  'A lot without a price makes a worth not known, never nothing.',
].join(' ');

/* One ingredient; lines that are nothing are left out. */
function block(item) {
  const own = STEPS.filter(
    ([member]) =>
      ['opening', 'closing'].includes(member) ||
      valueOf(item, member) !== 0n ||
      !isNothing(item[member].fifo) ||
      !isNothing(item[member].average),
  );
  return table({
    className: 'values value-block by-line',
    caption: item.name,
    heads: [unseen('Step'), ...['Amount', 'First in, first out', 'Moving average'].map((text) => ({ text, figures: true }))],
    rows: own.map(([member, sign, name]) => [
      h('th', { scope: 'row' }, signOf(sign), name),
      h('td', { class: 'figures' }, amountWords(valueOf(item, member), item.unit)),
      moneyCell(item[member].fifo),
      moneyCell(item[member].average),
    ]),
  });
}

const valueOf = (item, member) => amountOf(item[member], '', item.unit);
