/* What was ordered and is not here yet: a list to choose from, and the lines of one order. */
import { h, button } from './dom.js';
import { relativeDay, shortDay } from './dates.js';
import { amountOf, unitOf } from './amounts.js';
import { go } from './router.js';
import { today } from './session.js';

/* The order that the address names, or null. */
export function orderInAddress() {
  const match = /[?&]order=(\d+)/.exec(location.hash);
  return match ? Number(match[1]) : null;
}

/* Lines of an order of which something is missing. */
export function missingLines(order) {
  return order.lines
    .map((line) => ({
      ingredient: line.ingredient,
      unit: unitOf(line),
      missing: amountOf(line, 'missing'),
      pack: amountOf(line, 'pack'),
    }))
    .filter((line) => line.missing > 0n);
}

/* The address differs from this page's by its query alone: the router does not follow it by itself. */
function take(number) {
  history.replaceState(null, '', `#/goods-in?order=${number}`);
  go(location.hash);
}

/* Open orders, the one that is due first above; null when there are none. */
export function awaitedList(orders) {
  if (orders.length === 0) return null;
  const sorted = orders.toSorted((a, b) => (a.due < b.due ? -1 : Number(a.due > b.due)));
  return h(
    'section',
    {},
    h('h2', {}, 'Ordered and awaited'),
    h(
      'ul',
      { class: 'plain-list' },
      sorted.map((order) =>
        h(
          'li',
          {},
          button(`${order.supplier_name}, order ${order.number}`, () => take(order.number), { class: 'quiet' }),
          h('span', { class: 'sub' }, `due ${shortDay(order.due)}, ${relativeDay(order.due, today())}`),
        ),
      ),
    ),
  );
}
