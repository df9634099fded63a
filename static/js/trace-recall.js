/* Who got bread with a lot in it: a list to telephone through, on the screen and on paper. A call that was
 * made is ticked, in this browser alone. */
import { shortDay } from './dates.js';
import { h } from './dom.js';
import { table } from './figures.js';
import { whole } from './number.js';
import { tickBox } from './sheet.js';
import { Ticks } from './ticks.js';
import { telephone } from './trace-words.js';

const CALLS = 'morrowloaf-calls:';

/* The ticks of one lot do not displace those of another. */
const callsOf = (lot) => new Ticks('', `${CALLS}${lot}:`);

/* "Table loaf 40: Thu 26 Nov 20, Fri 27 Nov 20", a line for each product. */
function gotWords(lines) {
  const products = new Map();
  for (const line of lines) products.set(line.product, [...(products.get(line.product) ?? []), line]);
  return [...products.values()].map((own) => {
    const sum = own.reduce((all, line) => all + line.pieces, 0);
    const days = own.map((line) => `${shortDay(line.date)} ${line.date.slice(0, 4)}${own.length > 1 ? `: ${whole(line.pieces)}` : ''}`);
    return h('li', {}, h('strong', {}, `${whole(sum)} ${own[0].name}`), `, ${days.join('; ')}`);
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
  const all = trace.customers.reduce((sum, one) => sum + one.pieces, 0);
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
