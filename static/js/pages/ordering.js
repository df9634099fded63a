/* Ordering: what each supplier is to bring, when it must be ordered, and what is still awaited. */
import { h, link } from '../dom.js';
import * as api from '../api.js';
import { dayWords, shortDay } from '../dates.js';
import { table } from '../figures.js';
import { carry } from '../messages.js';
import { freeOrder } from '../order-free.js';
import { Proposal } from '../order-proposal.js';
import { missingWords, stateWords } from '../order-words.js';
import { go } from '../router.js';
import { today } from '../session.js';

const SHOWN = 10; // orders that are done with

export async function show(view) {
  const [{ body: proposals }, open, { body: all }, suppliers, ingredients] = await Promise.all([
    api.get('/order-proposals', view),
    api.list('/purchase-orders?open=true', view),
    api.get(`/purchase-orders?limit=${SHOWN + 20}`, view),
    api.list('/suppliers', view),
    api.list('/ingredients', view),
  ]);
  const ordered = (order) => {
    carry(`Order ${order.number} to ${order.supplier_name} is entered. Send or print it here.`);
    go(`#/ordering/${order.number}`);
  };
  const blocks = proposals.suppliers.map((supplier) => new Proposal(supplier, { ordered }));
  const free = freeOrder({ suppliers, ingredients, ordered });
  const done = all.items.filter((order) => !open.some((one) => one.number === order.number)).slice(0, SHOWN);
  view.guard(() => blocks.some((block) => block.touched) || free.form.changed);
  return view.frame(
    'Ordering',
    'Ordering',
    h('p', { class: 'lead' }, 'What must be ordered so that every ingredient lasts until the delivery after the next.'),
    open.length ? openOrders(open) : null,
    blocks.length
      ? blocks.map((block) => block.element)
      : h('p', { class: 'empty' }, 'Nothing needs to be ordered now. What is kept in the store lasts, as far as its use is known.'),
    suppliers.length
      ? free.element
      : h('p', { class: 'message warn' }, h('span', {}, 'No suppliers yet: ', link('#/suppliers', 'enter them'), ', and they can be ordered from.')),
    done.length ? doneOrders(done) : null,
  );
}

function openOrders(orders) {
  return h(
    'section',
    { class: 'below' },
    h('h2', {}, 'Awaited'),
    table({
      className: 'orders-open by-line',
      heads: ['Order', 'Comes on', 'Not here yet'],
      rows: orders.map((order) => [
        orderCell(order),
        h(
          'td',
          { class: order.due < today() ? 'late-order' : null },
          h('span', { class: 'narrow-only' }, 'Comes on '),
          dayWords(order.due, today()),
          order.due < today() ? h('span', { class: 'sub stock-mark bad' }, '▸ it should be here already') : null,
        ),
        h(
          'td',
          {},
          missingWords(order),
          h('p', {}, goodsInLink(order)),
        ),
      ]),
    }),
  );
}

const goodsInLink = (order) =>
  link(`#/goods-in?order=${order.number}`, 'Goods in', {
    class: 'button quiet',
    'aria-label': `Goods in for order ${order.number}`,
  });

const orderCell = (order) =>
  h(
    'th',
    { scope: 'row' },
    link(`#/ordering/${order.number}`, `${order.supplier_name}, order ${order.number}`),
    h('span', { class: 'sub' }, `of ${shortDay(order.date)}, ${stateWords(order)}`),
  );

const doneOrders = (orders) =>
  h(
    'section',
    { class: 'below' },
    h('h2', {}, 'Done with'),
    table({
      heads: ['Order', 'Was due'],
      rows: orders.map((order) => [orderCell(order), dayWords(order.due, today())]),
    }),
  );
