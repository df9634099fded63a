/* One order to a supplier: as a sheet to print, to send or to read out; and what has come of it. */
import { h, button, link } from '../dom.js';
import * as api from '../api.js';
import { dayWords, momentWords } from '../dates.js';
import { confirm } from '../dialog.js';
import { area, date } from '../fields.js';
import { table } from '../figures.js';
import { Form } from '../form.js';
import { nameMargins } from '../margins.js';
import { capital, carry, tell, tellError } from '../messages.js';
import { mailAddress, missingOf, missingWords, orderedWords, stateWords } from '../order-words.js';
import { callButton } from '../phone.js';
import { coins } from '../price-words.js';
import { go } from '../router.js';
import { session, today } from '../session.js';
import { amountOf, amountWords, unitOf } from '../amounts.js';

export async function show(view, number) {
  const stored = await api.get(`/purchase-orders/${number}`, view);
  const order = stored.body;
  const title = `Order ${order.number}`;
  nameMargins(view, `${session().bakery} · ${title}`, dayWords(order.date));
  const change = changeForm(stored);
  view.guard(() => change.form.changed);
  return view.frame(
    `${title} to ${order.supplier_name}`,
    [h('span', { class: 'over' }, `Order ${order.number} of ${dayWords(order.date)} to`), ' ', order.supplier_name],
    tools(order),
    stateBlock(stored),
    sheet(order),
    change.element,
  );
}

function tools(order) {
  return h(
    'p',
    { class: 'actions' },
    button('Print', () => window.print(), { class: 'main' }),
    link(mailAddress(order, session().bakery ?? ''), order.email ? `Mail to ${order.email}` : 'Mail', { class: 'button' }),
    callButton(order),
    order.closed ? null : link(`#/goods-in?order=${order.number}`, 'Goods in for this order', { class: 'button' }),
    link('#/ordering', 'All orders', { class: 'button quiet' }),
  );
}

function stateBlock(stored) {
  const { body: order } = stored;
  const waiting = !order.closed && order.state !== 'complete';
  const late = waiting && order.due < today();
  const words = waiting ? `Not here yet: ${missingWords(order)}.` : null;
  const press = order.closed
    ? button('Open it again', () => setClosed(stored, false), { class: 'quiet' })
    : button('Close this order', () => setClosed(stored, true), { class: 'quiet' });
  return h(
    'div',
    { class: `message ${late ? 'warn' : 'note'} screen-only` },
    h('p', {}, h('strong', {}, `${capital(stateWords(order))}. `), words, late ? ` It was due ${dayWords(order.due, today())}.` : null),
    h('p', { class: 'actions' }, press),
  );
}

/* PUT replaces closed, due and note: what is not changed goes back as it is. */
const put = (stored, changes) => {
  const { closed, due, note, number } = { ...stored.body, ...changes };
  const body = { closed, due, ...(note ? { note } : {}) };
  return api.put(`/purchase-orders/${number}`, body, { etag: stored.etag });
};

async function setClosed(stored, closed) {
  const { body: order } = stored;
  if (closed && order.state !== 'complete') {
    const sure = await confirm('Close this order?', {
      detail: `Nothing more of it is awaited then. Not here yet: ${missingWords(order)}.`,
      yes: 'Close it',
    });
    if (!sure) return;
  }
  try {
    await put(stored, { closed });
    carry(closed ? 'The order is closed: nothing more of it is awaited.' : 'The order is open again.');
    go(location.hash);
  } catch (error) {
    if (error.conflict) tell('bad', 'Somebody else changed this order meanwhile. Open it anew.', [button('Open it anew', () => go(location.hash))]);
    else tellError(error, () => setClosed(stored, closed));
  }
}

/* What goes to the supplier, on paper and on the screen. What has come is for the screen alone. */
function sheet(order) {
  const owner = order.lines.some((line) => line.cost !== undefined && line.cost !== null);
  const come = order.lines.some((line) => missingOf(line) !== amountOf(line));
  return h(
    'section',
    { class: 'purchase-sheet' },
    h(
      'div',
      { class: 'purchase-parties' },
      party('From', [session().bakery ?? '']),
      party('To', [order.supplier_name, order.address, order.phone, order.email]),
      party('To come on', [h('strong', {}, dayWords(order.due))]),
    ),
    table({
      className: 'purchase-lines by-line',
      heads: [
        'What',
        { text: 'How much', figures: true },
        { text: 'In all', figures: true },
        ...(come ? [{ text: 'Not here yet', class: 'figures screen-only' }] : []),
        ...(owner ? [{ text: 'About', class: 'figures screen-only wide-only' }] : []),
      ],
      rows: order.lines.map((line) => orderRow(line, { come, owner })),
    }),
    owner && order.cost ? h('p', { class: 'screen-only' }, `About ${coins(order.cost)} by the pack prices in force.`) : null,
    order.note ? h('p', { class: 'purchase-note' }, order.note) : null,
    h('p', { class: 'hint' }, `Entered by ${order.entered_by}${order.entered_at ? `, ${momentWords(order.entered_at)}` : ''}.`),
  );
}

const party = (name, lines) =>
  h(
    'div',
    {},
    h('p', { class: 'sub' }, name),
    lines.filter(Boolean).map((line) => h('p', {}, line)),
  );

function orderRow(line, { come, owner }) {
  const unit = unitOf(line);
  const cost = line.cost === null || line.cost === undefined ? '' : coins(line.cost);
  return [
    h('th', { scope: 'row' }, line.name),
    h('td', { class: 'figures strong' }, orderedWords(line)),
    h('td', { class: 'figures' }, orderedWords(line) === amountWords(amountOf(line), unit) ? '' : amountWords(amountOf(line), unit)),
    ...(come ? [h('td', { class: 'figures screen-only' }, missingOf(line) > 0n ? amountWords(missingOf(line), unit) : '✓ all here')] : []),
    ...(owner ? [h('td', { class: 'figures screen-only wide-only' }, cost)] : []),
  ];
}

function changeForm(stored) {
  const fields = [date({ name: 'due', label: 'Comes on', required: true }), area({ name: 'note', label: 'Note to the supplier' })];
  const form = new Form(fields, {
    submit: 'Save the changes',
    onsubmit: async (body) => {
      await put(stored, { note: null, ...body });
      form.changed = false;
      carry('The order was changed.');
      go(location.hash);
    },
  });
  form.write(stored.body);
  return { form, element: h('details', { class: 'panel' }, h('summary', {}, 'Another day, or a note'), form.element) };
}
