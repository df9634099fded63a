/* The prices of a list: what every product sells for now and from when on. They are entered at the product. */
import { h, link } from './dom.js';
import * as api from './api.js';
import { dayWords } from './dates.js';
import { table } from './figures.js';
import { findable } from './find.js';
import { whole } from './number.js';
import { coins } from './price-words.js';
import { today } from './session.js';

export async function listPricesPanel(view, list) {
  const [products, prices] = await Promise.all([
    api.list('/products', view),
    api.list(`/price-lists/${list.code}/prices`, view),
  ]);
  return h(
    'section',
    { class: 'below' },
    h('h2', {}, 'Prices in it'),
    products.length === 0
      ? h('p', { class: 'empty' }, 'There are no products yet.')
      : findable(
          'the prices',
          table({
            className: 'list-prices',
            heads: ['Product', 'Price', { text: 'Since', class: 'wide-only' }],
            rows: products.map((one) => row(one, prices)),
          }),
        ),
  );
}

const words = (breaks) =>
  breaks.map((one, index) => `${index === 0 ? '' : `from ${whole(one.pieces)} pieces `}${coins(one.price)}`).join(', ');

function row(product, prices) {
  const own = prices.filter((one) => one.product === product.code);
  const current = own.filter((one) => one.from <= today()).at(-1);
  const coming = own
    .filter((one) => one.from > today())
    .map((one) => h('span', { class: 'sub' }, `${words(one.breaks)} from ${dayWords(one.from, today())}`));
  return [
    link(`#/prices/${product.code}`, product.name),
    h('td', {}, current ? words(current.breaks) : 'none', coming),
    h('td', { class: 'wide-only' }, current ? dayWords(current.from, today()) : ''),
  ];
}
