/* One delivery: its lots with the numbers that go onto the sacks. */
import { h, button, link } from '../dom.js';
import * as api from '../api.js';
import { dayWords, momentWords } from '../dates.js';
import { degrees } from '../degrees.js';
import { ask } from '../dialog.js';
import { amountOf, amountWords, inPacks, unitOf } from '../goods-in-amounts.js';
import { invoicePanel } from '../goods-in-invoice.js';
import { reverse } from '../goods-in-settle.js';
import { dayTyped } from '../goods-in-day.js';
import { carry, sentence, tell } from '../messages.js';
import { Once } from '../once.js';
import { coins } from '../price-words.js';
import { go } from '../router.js';
import { may, today } from '../session.js';

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
          `Undone: posting ${delivery.reversed_by} took all of it out of the book again.`,
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
      undone ? null : undoButton(delivery, lots),
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

const received = (lot) => amountOf(lot, lot.unit, 'received');
const left = (lot) => amountOf(lot, lot.unit, 'left');

function lotCard(line, lot) {
  const unit = unitOf(line);
  const amount = amountOf(line, unit);
  const details = [
    ['Lot mark', line.lot_mark],
    ['Best before', line.best_before && dayTyped(line.best_before)],
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
      h('p', { class: 'lot-amount' }, amountText(amount, amountOf(line, unit, 'pack'), unit)),
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
function undoButton(delivery, lots) {
  if (lots.some((lot) => left(lot) !== received(lot))) return null;
  const once = new Once('/movements');
  const undo = async () => {
    const reason = await ask('Undo this delivery?', {
      detail: 'All its lots are taken out of the book again. Both stay on record.',
      label: 'Why?',
      choices: ['Typed twice', 'Typed wrong', 'Was not for us'],
      yes: 'Undo it',
    });
    if (reason === null) return;
    await reverse(delivery.number, reason, {
      once,
      refused: (detail) => tell('bad', `Not undone: ${sentence(detail)}`),
      done: () => {
        carry('Undone: the delivery is out of the book again.');
        go(location.hash);
      },
    });
  };
  return button('Undo this delivery', undo, { class: 'danger' });
}
