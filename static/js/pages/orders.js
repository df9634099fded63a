/* The orders of a bread day, and what they come to so far. */
import { h, link } from '../dom.js';
import * as api from '../api.js';
import { breadDayTabs, dayHeading, dayStepper } from '../day.js';
import { dayWords, momentWords } from '../dates.js';
import { aligned, figureCell, table } from '../figures.js';
import { kilos, whole } from '../number.js';
import { orderTotals, piecesByProduct } from '../order-sums.js';
import { readDraft } from '../drafts.js';
import { currentBreadDay, rememberBreadDay, today } from '../session.js';
import { copyDayPanel } from './copy-day.js';

export async function show(view, wanted) {
  const date = wanted ?? (await currentBreadDay());
  rememberBreadDay(date);
  const [orders, customers, products, next] = await Promise.all([
    api.list(`/orders?date=${date}`, view),
    api.list('/customers', view),
    api.list('/products', view),
    api.get('/days/next', view),
  ]);
  const named = new Map(customers.map((customer) => [customer.code, customer.name]));
  const known = new Map(products.map((product) => [product.code, product]));
  return view.frame(
    `Orders for ${dayWords(date, today())}`,
    dayHeading('Orders', date),
    dayStepper(date, (day) => `#/orders/${day}`, 'Bread day'),
    breadDayTabs('orders', date),
    nextNote(date, next.body),
    h(
      'p',
      { class: 'actions' },
      link(`#/orders/${date}/new`, newWords(date), { class: 'button main', 'data-first': true }),
    ),
    h(
      'div',
      { class: 'two-columns' },
      h(
        'section',
        {},
        h('h2', {}, 'By customer'),
        ordersTable(date, orders, named, known),
        copyDayPanel(date, orders, named),
      ),
      orders.length ? h('section', {}, h('h2', {}, 'By product'), piecesTable(orders, known)) : null,
    ),
  );
}

function newWords(date) {
  return readDraft(`${date}/new`) ? 'Go on with the new order' : 'New order';
}

/* When the mixing for this day begins is what an order must beat. */
function nextNote(date, next) {
  if (next.date !== date || !next.mixing_begins) return null;
  return h(
    'p',
    { class: 'note' },
    'Mixing for this day begins at ',
    h('strong', {}, momentWords(next.mixing_begins)),
    '.',
  );
}

function ordersTable(date, orders, named, known) {
  if (orders.length === 0) return h('p', { class: 'empty' }, 'No orders for this day yet.');
  const sums = orders.map((order) => orderTotals(order.lines, known));
  const all = sums.reduce((sum, one) => ({ pieces: sum.pieces + one.pieces, mg: sum.mg + one.mg }), {
    pieces: 0,
    mg: 0n,
  });
  return table({
    heads: ['Customer', { text: 'Pieces', figures: true }, { text: 'Dough', figures: true }],
    rows: orders.map((order, index) => [
      h(
        'th',
        { scope: 'row' },
        link(`#/orders/${date}/${order.id}`, named.get(order.customer) ?? order.customer),
        order.note ? h('span', { class: 'sub' }, order.note) : null,
      ),
      figureCell(whole(sums[index].pieces)),
      figureCell(kilos(sums[index].mg), 3, 'kg'),
    ]),
    foot: [
      `${orders.length === 1 ? 'One order' : `${orders.length} orders`}`,
      figureCell(whole(all.pieces)),
      figureCell(kilos(all.mg), 3, 'kg'),
    ],
  });
}

function piecesTable(orders, known) {
  const rows = piecesByProduct(orders).map(([code, pieces]) => [
    known.get(code)?.name ?? code,
    h('td', { class: 'figures' }, aligned(whole(pieces), 0)),
  ]);
  return table({ heads: ['Product', { text: 'Pieces', figures: true }], rows });
}
