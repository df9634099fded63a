/* All products. */
import { h, link } from '../dom.js';
import * as api from '../api.js';
import { NEW } from '../editor.js';
import { findable } from '../find.js';
import { figureCell, most, table } from '../figures.js';
import { GRAM_PLACES, fromWire, grams } from '../number.js';

const shown = (json) => grams(fromWire(json, GRAM_PLACES));

export async function show(view) {
  const products = await api.list('/products', view);
  return view.frame(
    'Products',
    'Products',
    h('p', { class: 'lead' }, 'What is sold: pieces of one or more formulas at a scaling weight.'),
    h('p', { class: 'actions' }, link(`#/products/${NEW}`, 'New product', { class: 'button main' })),
    products.length === 0
      ? h('p', { class: 'empty' }, 'None yet. Enter the formulas first.')
      : findable('Products', productTable(products)),
  );
}

function productTable(products) {
  const decimals = (member) => most(products.map((one) => shown(one[member] ?? 0)));
  const cell = (one, member) =>
    one[member] ? figureCell(shown(one[member]), decimals(member), 'g') : h('td', { class: 'figures' }, '—');
  return table({
    heads: [
      'Product',
      ...['Raw', 'Baked'].map((text) => ({ text, figures: true })),
      { text: 'Declared', class: 'figures wide-only' },
    ],
    rows: products.map((one) => {
      const declared = cell(one, 'declared_g');
      declared.classList.add('wide-only');
      return [link(`#/products/${one.code}`, one.name), cell(one, 'piece_g'), cell(one, 'baked_g'), declared];
    }),
  });
}
