/* A bread day backwards: which lots are in its bread, of which suppliers, by which batches. */
import { h, link } from '../dom.js';
import * as api from '../api.js';
import { toldWeight } from '../amounts.js';
import { clockOf, dayWords, shortDate, shortDay } from '../dates.js';
import { dayStepper } from '../day.js';
import { figureCell, table } from '../figures.js';
import { lotTitle } from '../lot-words.js';
import { telephone } from '../phone.js';
import { go } from '../router.js';
import { today } from '../session.js';
import { gapsBlock, namesOf } from '../trace-lot.js';
import { leftOutWords, partWeight, shareWords, wayWords } from '../trace-words.js';

const addressOf = (date, product) => `#/trace/day/${date}${product ? `?product=${encodeURIComponent(product)}` : ''}`;

export async function show(view, date) {
  const product = new window.URLSearchParams(location.hash.split('?')[1] ?? '').get('product');
  const path = `/days/${date}/trace`;
  const [{ body: whole }, one] = await Promise.all([
    api.get(path, view),
    product ? api.get(`${path}?product=${encodeURIComponent(product)}`, view) : null,
  ]);
  const trace = one?.body ?? whole;
  const name = whole.products.find((each) => each.product === product)?.name ?? product;
  return view.frame(
    `Trace of ${dayWords(date, today())}`,
    [
      h('span', { class: 'over' }, name ? `What was in ${name} of` : 'What was in the bread of'),
      ' ',
      h('span', { class: 'date' }, dayWords(date, today())),
    ],
    h('div', { class: 'day-tools' }, dayStepper(date, (day) => addressOf(day, product), 'Bread day'), productChoice(whole, date, product)),
    lotsBlock(trace),
    gapsBlock(trace.gaps),
    batchesBlock(trace),
    h('p', { class: 'actions screen-only' }, link('#/trace', 'Find a lot', { class: 'button quiet' })),
  );
}

function productChoice({ products }, date, product) {
  if (products.length < 2 && !product) return null;
  const select = h(
    'select',
    { 'aria-label': 'Product', class: 'screen-only trace-product' },
    h('option', { value: '' }, 'All bread of the day'),
    products.map((one) => h('option', { value: one.product, selected: one.product === product }, one.name)),
  );
  select.addEventListener('change', () => {
    history.replaceState(null, '', addressOf(date, select.value));
    go(location.hash);
  });
  return select;
}

function lotRow(lot, names) {
  return [
    h(
      'th',
      { scope: 'row' },
      link(`#/trace/${lot.lot}`, lotTitle(lot)),
      h('span', { class: 'sub' }, `came in ${dayWords(lot.received_on, today())}; ${wayWords(lot.via, names)}`),
    ),
    h('td', {}, lot.supplier_name ?? 'not known', lot.supplier ? h('span', { class: 'sub' }, telephone(lot.supplier_phone)) : null),
    h('td', {}, lot.best_before ? [h('span', { class: 'narrow-only' }, 'best before '), shortDate(lot.best_before)] : ''),
    figureCell(partWeight(lot.g)),
    figureCell(shareWords(lot.share_pct)),
  ];
}

function lotsBlock(trace) {
  if (trace.lots.length === 0) return h('p', { class: 'empty' }, 'No lot is known: no batch for this bread was posted, or no stock was kept.');
  const names = namesOf(trace);
  const right = (text) => ({ text, figures: true });
  return h(
    'section',
    { class: 'below' },
    h('h2', {}, 'Lots'),
    h('p', { class: 'hint' }, 'How much of each lot is in the batches below, and what share of the weight of those that hold any of it.'),
    table({
      className: 'back-lots',
      heads: ['Lot', 'Supplier', 'Best before', right('In it'), right('Share')],
      rows: trace.lots.map((lot) => lotRow(lot, names)),
    }),
    leftOutWords(trace.left_out, 'lots'),
  );
}

function lineWords(line) {
  const lots = line.lots.map((lot) => `lot ${lot.lot}`).join(', ');
  const of = line.part_date ? `of the list of ${shortDay(line.part_date)}` : null;
  return [`${toldWeight(line.g)} ${line.name}`, lots || of].filter(Boolean).join(', ');
}

function batchItem(one) {
  return h(
    'li',
    {},
    h('p', {}, link(`#/mixing/${one.date}`, `${one.name}, batch ${one.batch}`), ` · ${shortDay(one.date)}, mixed ${clockOf(one.mixed_at)}`),
    h('p', { class: 'sub' }, one.lines.map(lineWords).join(' · ')),
  );
}

function batchesBlock({ batches }) {
  if (batches.length === 0) return null;
  return h('section', { class: 'below' }, h('h2', {}, 'Batches'), h('ul', { class: 'trace-batches' }, batches.map(batchItem)));
}
