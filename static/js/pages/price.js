/* Loaf price of one product: what a piece costs, down to the facts; what it sells for; what if; and what it
 * cost before. */
import { h, link } from '../dom.js';
import * as api from '../api.js';
import { dayChooser, dayOf, listChooser, listOf, queryOf } from '../price-choice.js';
import { PriceEntry, breakTable } from '../price-entry.js';
import { History } from '../price-history.js';
import { basisWords, costOutline } from '../price-lines.js';
import { TargetForm } from '../price-target.js';
import { WhatIf } from '../price-what-if.js';
import { coins, fine, kiloWords, pct, targetWords } from '../price-words.js';
import { whole } from '../number.js';
import { today } from '../session.js';

export async function show(view, code) {
  const [lists, product] = await Promise.all([api.list('/price-lists', view), api.get(`/products/${code}`, view)]);
  const list = listOf(lists);
  const date = dayOf();
  const query = queryOf(list);
  const [cost, price, pricing, prices] = await Promise.all([
    api.get(`/products/${code}/cost?why=1${date ? `&date=${date}` : ''}`, view),
    api.get(`/products/${code}/price?${query}`, view),
    api.get(`/products/${code}/pricing`, view),
    list ? api.list(`/price-lists/${list.code}/prices?product=${code}`, view) : [],
  ]);
  const found = { product: product.body, list, date, query, cost: cost.body, price: price.body, pricing, prices };
  const whatIf = new WhatIf(view, await factsOf(view, found));
  const history = new History(view, found);
  const name = product.body.name;
  view.after(() => {
    whatIf.begin();
    history.load();
  });
  return view.frame(
    `Price of ${name}`,
    [h('span', { class: 'over' }, 'Loaf price'), ' ', name],
    h('div', { class: 'day-tools screen-only' }, listChooser(lists), dayChooser()),
    keyFigures(found),
    h('p', { class: 'hint' }, basisWords(found.cost)),
    h('div', { class: 'two-columns price-columns' }, costOutline(found.cost), sellSection(view, found)),
    whatIf.element,
    history.element,
    h(
      'p',
      { class: 'actions' },
      link('#/prices', 'All products', { class: 'button quiet' }),
      link(`#/products/${code}`, 'The product', { class: 'button quiet' }),
    ),
  );
}

function figure(name, value, words, bad = false) {
  return h(
    'div',
    { class: bad ? 'bad' : null },
    h('dt', {}, name),
    h('dd', {}, value, words ? h('span', { class: 'sub' }, words) : null),
  );
}

function keyFigures({ cost, price }) {
  const costs =
    cost.cost_each === null
      ? [figure('Cost of a piece', 'not known', `at least ${fine(cost.known_cost)}`)]
      : [
          figure('Cost of a piece', fine(cost.cost_each)),
          ...(cost.cost_per_kg === null
            ? []
            : [
                figure('A kilo baked', fine(cost.cost_per_kg), `a piece weighs ${kiloWords(cost.baked_g)}`),
                figure('100 g', fine(cost.cost_per_100g)),
              ]),
        ];
  return h('dl', { class: 'key-figures price-figures' }, costs, priceFigures(price));
}

function priceFigures(price) {
  if (price.price === null)
    return [
      figure(
        'Price',
        'none',
        price.target ? 'no price follows while the cost is not known' : 'no price and no target yet',
      ),
    ];
  const margin = price.margin_pct === null ? 'not known' : pct(price.margin_pct, 1);
  const target = price.target ? `target ${targetWords(price.target)}` : 'no target';
  const taxed =
    price.with_tax && price.net_price !== price.price
      ? `${coins(price.net_price)} before ${pct(price.tax_pct)} tax`
      : null;
  return [
    figure(price.set ? 'Price' : 'Price proposed', coins(price.price), taxed),
    figure('Margin', margin, price.under_target ? `under the ${target}` : target, price.under_target),
  ];
}

/* Words about how many pieces pay for the day's fixed costs. */
function breakEven({ price }) {
  if (price.cost_each === null || price.price === null) return null;
  if (price.break_even_pieces === null)
    return h('p', { class: 'break-even' }, 'At this price no number of pieces pays: each costs more than it earns.');
  return h(
    'p',
    { class: 'break-even' },
    'From ',
    h('strong', {}, `${whole(price.break_even_pieces)} pieces a day`),
    ` on it pays; ${whole(price.typical_pieces)} are reckoned with.`,
  );
}

function sellSection(view, found) {
  const { list, price } = found;
  const entry = list ? new PriceEntry(view, found) : null;
  const target = new TargetForm(view, { ...found, onuse: (amount) => entry?.take(amount) });
  view.guard(() => target.form.changed || (entry?.changed ?? false));
  return h(
    'section',
    { class: 'sells', 'aria-labelledby': 'sells-heading' },
    h('h2', { id: 'sells-heading' }, 'What it sells for'),
    price.breaks.length > 0 ? breakTable(price.breaks, `In force in “${list.name}”`) : null,
    breakEven(found),
    target.element,
    entry ? [entry.element, h('h3', {}, `Prices in “${list.name}”`), entry.known()] : noList(),
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
      ', and its price can be entered.',
    ),
  );

/* --- what can be moved --- */

async function factsOf(view, { product, list, date, cost, price }) {
  const own = product.parts.find((part) => part.formula);
  const [rates, formula, ingredients] = await Promise.all([
    api.list('/rates', view),
    own ? api.get(`/formulas/${own.formula}`, view) : null,
    api.list('/ingredients', view),
  ]);
  const overall = formula?.body.overall;
  return {
    product,
    list: list?.code,
    date,
    rates: rates.filter((one) => one.from <= (date || today())).at(-1) ?? {},
    ingredients: movable(cost, overall, ingredients),
    formula: wetOf(own, formula?.body),
    dough_g: own?.g ?? null,
    margin_pct: marginOf(price),
  };
}

/* A formula that has a hydration to move, or null. */
function wetOf(part, formula) {
  const hydration = formula?.overall?.hydration_pct ?? null;
  return hydration === null ? null : { code: part.formula, name: formula.name, hydration_pct: hydration };
}

/* The margin to begin with: the target's, else what is earned; null: none is known. */
const marginOf = ({ target, proposed, margin_pct: earned }) =>
  target?.margin_pct ?? proposed?.margin_pct ?? (earned > 0 ? earned : null);

/* The ingredients whose pack price is known, the main flour first, then by what they cost in a piece. */
function movable(cost, overall, ingredients) {
  const book = new Map(ingredients.map((one) => [one.code, one]));
  const found = new Map();
  const walk = (node) => {
    node.children.forEach(walk);
    const [, code] = /\/(?:ingredients|stock)\/([^/]+)(?:\/prices\/[^/]+)?$/.exec(node.where ?? '') ?? [];
    if (!code || !node.rate || node.children.length > 0) return;
    const one = found.get(code) ?? { code, name: book.get(code)?.name ?? node.what, pack: node.rate, weight: 0 };
    one.weight += Number(node.value);
    found.set(code, one);
  };
  cost.lines.filter((line) => line.what === 'ingredients' || line.what === 'packaging').forEach(walk);
  const flours = (overall?.lines ?? [])
    .filter((line) => book.get(line.ingredient)?.kind === 'flour')
    .sort((a, b) => b.pct - a.pct);
  const main = found.get(flours[0]?.ingredient);
  const rest = [...found.values()].filter((one) => one !== main).sort((a, b) => b.weight - a.weight);
  return main ? [main, ...rest] : rest;
}
