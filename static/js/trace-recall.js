/* Who got bread with a lot in it: a list to telephone through, on the screen and on paper. A call that was
 * made is ticked, in this browser alone. */
import { shortDayYear } from './dates.js';
import { h } from './dom.js';
import { table } from './figures.js';
import { whole } from './number.js';
import { today } from './session.js';
import { telephone } from './phone.js';
import { tickBox } from './sheet.js';
import { Ticks } from './ticks.js';

const CALLS = 'morrowloaf-calls:';

/* The ticks of one lot do not displace those of another. */
const callsOf = (lot) => new Ticks('', `${CALLS}${lot}:`);

const RECENT = 14; // bread days of a product that are told one by one: older bread is told as a sum

const sumOf = (lines) => lines.reduce((sum, line) => sum + line.pieces, 0);

function byProduct(lines) {
  const products = new Map();
  for (const line of lines) {
    if (!products.has(line.product)) products.set(line.product, []);
    products.get(line.product).push(line);
  }
  return [...products.values()].map((own) => own.sort((a, b) => a.date.localeCompare(b.date)));
}

/* Bread that is still here can be stopped. */
const dayWords = (date) => `${shortDayYear(date)}${date > today() ? ', still to come' : date === today() ? ', today' : ''}`;

/* "40 Table loaf, Thu 26 Nov 2026: 20; Fri 27 Nov 2026, still to come: 20", a line for each product. */
function gotWords(lines) {
  return byProduct(lines).map((own) => {
    const [early, late] = own.length > RECENT ? [own.slice(0, -RECENT), own.slice(-RECENT)] : [[], own];
    const before = early.length
      ? [`${shortDayYear(early[0].date)} to ${shortDayYear(early.at(-1).date)}, ${early.length} bread days: ${whole(sumOf(early))}`]
      : [];
    const days = late.map((line) => `${dayWords(line.date)}${own.length > 1 ? `: ${whole(line.pieces)}` : ''}`);
    return h('li', {}, h('strong', {}, `${whole(sumOf(own))} ${own[0].name}`), `, ${[...before, ...days].join('; ')}`);
  });
}

function customerRow(one, ticks) {
  return [
    h('td', { class: 'call' }, tickBox({ ticks, key: one.customer, number: null, label: `${one.name} was called` })),
    h(
      'th',
      { scope: 'row' },
      h('span', { class: 'recall-name' }, one.name),
      h('span', { class: 'recall-phone' }, telephone(one.phone)),
      one.address ? h('span', { class: 'sub' }, one.address) : null,
    ),
    h('td', {}, h('ul', { class: 'got' }, gotWords(one.lines))),
    h('td', { class: 'figures strong' }, whole(one.pieces)),
  ];
}

export function recallList(trace) {
  if (trace.customers.length === 0) return h('p', { class: 'empty' }, 'No order of a bread day with this lot in it is known.');
  const ticks = callsOf(trace.lot.lot);
  const all = sumOf(trace.customers);
  const list = table({
    className: 'recall',
    heads: [{ text: 'Called', class: 'call' }, 'Who', 'What, and on which bread day', { text: 'Pieces', figures: true }],
    rows: trace.customers.map((one) => customerRow(one, ticks)),
  });
  list.append(
    h(
      'tfoot',
      {},
      h(
        'tr',
        {},
        h('th', { scope: 'row', colspan: 3 }, trace.customers.length === 1 ? 'One customer' : `${whole(trace.customers.length)} customers`),
        h('td', { class: 'figures' }, whole(all)),
      ),
    ),
  );
  return list;
}
