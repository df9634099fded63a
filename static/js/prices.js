/* Pack prices of an ingredient: what a pack costs from a date on. Owners only. */
import { h, button, unseen } from './dom.js';
import * as api from './api.js';
import { confirm } from './dialog.js';
import { dayWords } from './dates.js';
import { choice, count, date, grams, price } from './fields.js';
import { table } from './figures.js';
import { Form } from './form.js';
import { carry, tellError } from './messages.js';
import { GRAM_PLACES, decimalsOf, fromWire, grams as shownGrams, money, whole } from './number.js';
import { go } from './router.js';
import { session, today } from './session.js';

export async function pricesPanel(view, ingredient) {
  const [prices, suppliers] = await Promise.all([
    api.list(`/ingredients/${ingredient.code}/prices`, view),
    api.list('/suppliers', view),
  ]);
  const names = new Map(suppliers.map((one) => [one.code, one.name]));
  return h(
    'section',
    { class: 'below' },
    h('h2', {}, 'Prices'),
    prices.length === 0
      ? h('p', { class: 'empty' }, 'No price yet. What it costs is not known, and is never reckoned as nothing.')
      : priceTable(ingredient, prices, names),
    priceForm(ingredient, suppliers),
  );
}

const packWords = (one) =>
  one.pack_g !== null ? `${shownGrams(fromWire(one.pack_g, GRAM_PLACES))} g` : `${whole(one.pack_pieces)} pieces`;

function priceTable(ingredient, prices, names) {
  return table({
    heads: [
      'From',
      'Pack',
      { text: 'Price', figures: true },
      { text: 'Supplier', class: 'wide-only' },
      { text: unseen('Delete'), class: 'tools' },
    ],
    rows: prices.toReversed().map((one) => [
      dayWords(one.from, today()),
      packWords(one),
      h(
        'td',
        { class: 'figures' },
        money(one.price, session().currency ?? 'XXX', Math.max(0, decimalsOf(one.price) - 2)),
      ),
      h('td', { class: 'wide-only' }, names.get(one.supplier) ?? ''),
      h(
        'td',
        { class: 'tools' },
        button('×', () => dropPrice(ingredient, one), {
          class: 'tool',
          'aria-label': `Delete the price from ${dayWords(one.from, today())}`,
        }),
      ),
    ]),
  });
}

async function dropPrice(ingredient, one) {
  const sure = await confirm(`Delete the price from ${dayWords(one.from, today())}?`, { yes: 'Delete', danger: true });
  if (!sure) return;
  try {
    await api.remove(`/ingredients/${ingredient.code}/prices/${one.from}`);
    carry('The price was deleted.');
    go(location.hash);
  } catch (error) {
    tellError(error, () => dropPrice(ingredient, one));
  }
}

function priceForm(ingredient, suppliers) {
  const pack =
    ingredient.unit === 'g'
      ? grams({ name: 'pack_g', label: 'Pack', required: true })
      : count({ name: 'pack_pieces', label: 'Pieces in a pack', required: true });
  const fields = [
    date({ name: 'from', label: 'From', required: true }),
    pack,
    price({ name: 'price', label: 'Price of a pack', unit: session().currency, required: true }),
    choice({ name: 'supplier', label: 'Supplier', choices: suppliers.map((one) => [one.code, one.name]) }),
  ];
  const form = new Form(fields, {
    submit: 'Save the price',
    onsubmit: async ({ from, ...body }) => {
      await api.put(`/ingredients/${ingredient.code}/prices/${from}`, body);
      carry('The price was saved.');
      go(location.hash);
    },
  });
  form.write({ from: today() });
  return h('div', { class: 'panel open' }, h('h3', {}, 'New price'), form.element);
}
