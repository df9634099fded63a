/* What every product costs and earns: those whose margin fell under its target within a month first. */
import { h, link } from '../dom.js';
import * as api from '../api.js';
import { dayWords } from '../dates.js';
import { table } from '../figures.js';
import { listChooser, listOf } from '../price-choice.js';
import { coins, fine, holeWords, joinNodes, leftOutNote, pct, targetWords } from '../price-words.js';
import { today } from '../session.js';

const HOLES_MOST = 20; // products whose holes are named here

export async function show(view) {
  const lists = await api.list('/price-lists', view);
  const list = listOf(lists);
  const { body: margins } = await api.get(`/margins${list ? `?list=${list.code}` : ''}`, view);
  const [holes, leftOut] = await Promise.all([holesOf(margins.items, view), leftOutOf(margins.items, view)]);
  return view.frame(
    'Loaf price',
    'Loaf price',
    h('p', { class: 'lead' }, 'What one piece of everything costs on a typical day, and what is left of its price.'),
    lists.length === 0
      ? noList()
      : h(
          'div',
          { class: 'day-tools' },
          h(
            'p',
            { class: lists.length > 1 ? 'print-only' : '' },
            `Prices of “${list.name}”, ${list.with_tax ? 'with' : 'without'} tax`,
          ),
          listChooser(lists),
        ),
    leftOutNote(leftOut),
    margins.items.length === 0
      ? h('p', { class: 'empty' }, 'No products yet. ', link('#/products', 'Enter them'), ' first.')
      : marginTable(margins, holes),
  );
}

const noList = () =>
  h(
    'p',
    { class: 'message warn' },
    h(
      'span',
      {},
      'There is no price list yet: ',
      link('#/price-lists/+new', 'make one'),
      ', and prices can be entered.',
    ),
  );

/* What is missing, by product. */
async function holesOf(items, view) {
  const open = items.filter((one) => one.missing > 0).slice(0, HOLES_MOST);
  const costs = await Promise.all(open.map((one) => api.get(`/products/${one.product}/cost`, view)));
  return new Map(costs.map(({ body }) => [body.product, body.missing]));
}

/* The kinds of cost that no rate was entered for are the same for all. */
async function leftOutOf(items, view) {
  if (items.length === 0) return [];
  return (await api.get(`/products/${items[0].product}/cost`, view)).body.left_out;
}

function marginTable(margins, holes) {
  const groups = [
    [`Fell under the target since ${dayWords(margins.month_before, today())}`, (one) => one.fell],
    ['Under the target for longer', (one) => one.under_target && !one.fell],
    ['The others', (one) => !one.under_target],
  ].map(([words, holds]) => [words, margins.items.filter(holds)]);
  const filled = groups.filter(([, own]) => own.length > 0);
  const lone = filled.length === 1 && filled[0][0] === 'The others';
  return table({
    className: 'margins by-line',
    heads: [
      'Product',
      ...['Cost', 'Price', 'Margin'].map((text) => ({ text, figures: true })),
      { text: 'Target', class: 'figures wide-only' },
    ],
    rows: filled.flatMap(([words, own]) => [
      ...(lone ? [] : [[h('th', { scope: 'rowgroup', colspan: 5, class: 'kind' }, words)]]),
      ...own.map((one) => marginRow(one, holes.get(one.product))),
    ]),
  });
}

function wordsOf(one) {
  if (one.fell) {
    const before = one.margin_before_pct === null ? 'not known' : pct(one.margin_before_pct, 1);
    return `fell under its target of ${targetWords(one.target)}: a month ago ${before}`;
  }
  if (one.under_target) return `under its target of ${targetWords(one.target)}`;
  return one.target ? null : 'no target';
}

function marginRow(one, missing) {
  const words = wordsOf(one);
  const head = h(
    'th',
    { scope: 'row' },
    link(`#/prices/${one.product}`, one.name),
    words ? h('span', { class: one.under_target ? 'sub under' : 'sub' }, words) : null,
    one.missing > 0
      ? h(
          'span',
          { class: 'sub missing' },
          missing
            ? joinNodes(missing.map((hole) => h('span', {}, holeWords(hole))))
            : `${one.missing} facts are missing`,
        )
      : null,
  );
  const cell = (text, shown, empty) =>
    h('td', { class: text === null ? 'figures missing' : 'figures' }, text === null ? empty : shown(text));
  return [
    head,
    cell(one.cost_each, fine, 'not known'),
    one.price === null ? h('td', { class: 'figures' }, 'none') : cell(one.price, coins),
    one.price === null
      ? h('td', { class: 'figures' }, '—')
      : cell(one.margin_pct, (value) => pct(value, 1), 'not known'),
    h('td', { class: 'figures wide-only' }, one.target ? targetWords(one.target) : '—'),
  ];
}
