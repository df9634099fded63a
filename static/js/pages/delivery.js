/* One delivery: its lots with the numbers that go onto the sacks. */
import { h, link } from '../dom.js';
import * as api from '../api.js';
import { shortDate, dayWords, momentWords } from '../dates.js';
import { degrees } from '../degrees.js';
import { amountOf, amountWords, inPacks, unitOf } from '../amounts.js';
import { invoicePanel } from '../goods-in-invoice.js';
import { coins } from '../price-words.js';
import { may, today } from '../session.js';
import { undoButton } from '../undo-posting.js';

export async function show(view, number) {
  const { body: delivery } = await api.get(`/goods-in/${number}`, view);
  const undone = delivery.reversed_by !== null;
  const lots = await Promise.all(delivery.lines.map(async (line) => (await api.get(`/lots/${line.lot}`, view)).body));
  const element = view.frame(
    `Delivery ${number}`,
    [h('span', { class: 'over' }, `Delivery ${number} of`), ' ', delivery.supplier_name],
    h(
      'p',
      { class: 'lead' },
      facts(delivery),
      delivery.purchase_order
        ? [' · ', link(`#/ordering/${delivery.purchase_order}`, `order ${delivery.purchase_order}`)]
        : null,
    ),
    delivery.note ? h('p', {}, delivery.note) : null,
    undone
      ? h(
          'p',
          { class: 'message warn' },
          `Undone: movement ${delivery.reversed_by} took all of it out of the book again.`,
        )
      : h('p', { class: 'lead screen-only' }, 'Write the number on every sack: by it the sack is found again.'),
    h(
      'div',
      { class: `lots-in ${undone ? 'undone' : ''}` },
      delivery.lines.map((line, index) => lotCard(line, lots[index])),
    ),
    h(
      'p',
      { class: 'actions' },
      link('#/goods-in', 'Next delivery', { class: 'button main' }),
      undone ? null : undoTool(delivery, lots),
    ),
    undone || !may('owner') ? null : invoicePanel(delivery),
  );
  return element;
}

function facts(delivery) {
  return [
    dayWords(delivery.date, today()),
    delivery.delivery_note && `delivery note ${delivery.delivery_note}`,
    `entered at ${momentWords(delivery.at)} by ${delivery.by}`,
  ]
    .filter(Boolean)
    .join(' · ');
}

const received = (lot) => amountOf(lot, 'received');
const left = (lot) => amountOf(lot, 'left');

function lotCard(line, lot) {
  const unit = unitOf(line);
  const amount = amountOf(line);
  const details = [
    ['Lot mark', line.lot_mark],
    ['Best before', line.best_before && shortDate(line.best_before)],
    ['Place', line.place],
    ['Temperature', line.c === null ? null : degrees(line.c)],
    ['Damage', line.damage],
    ['Price', line.price ? coins(line.price) : line.price === null ? 'not known' : null],
  ].filter(([, words]) => words);
  return h(
    'article',
    { class: 'lot-in', 'aria-label': `Lot ${line.lot}, ${line.name}` },
    h('p', { class: 'lot-number' }, h('span', { class: 'sub' }, 'Lot'), ' ', String(line.lot)),
    h(
      'div',
      {},
      h('h2', {}, line.name),
      h('p', { class: 'lot-amount' }, amountText(amount, amountOf(line, 'pack'), unit)),
      h(
        'dl',
        { class: 'lot-facts' },
        details.map(([what, words]) => h('div', {}, h('dt', {}, what), h('dd', {}, words))),
      ),
      h('p', { class: 'sub' }, leftWords(lot), ' ', link(`#/trace/${line.lot}`, 'Where it went')),
    ),
  );
}

function amountText(amount, pack, unit) {
  const packs = inPacks(amount, pack, unit);
  const all = amountWords(amount, unit);
  return packs === all ? all : `${packs} = ${all}`;
}

function leftWords(lot) {
  if (left(lot) === received(lot)) return 'All of it is there.';
  return left(lot) === 0n ? 'Nothing of it is left.' : `${amountWords(left(lot), lot.unit)} of it is left.`;
}

/* Only while all of it is still there; the server has the last word. */
function undoTool({ number }, lots) {
  if (lots.some((lot) => left(lot) !== received(lot))) return null;
  return undoButton(number, {
    what: 'delivery',
    detail: 'All its lots are taken out of the book again. Both stay on record.',
    choices: ['Typed twice', 'Typed wrong', 'Was not for us'],
    done: 'Undone: the delivery is out of the book again.',
  });
}
