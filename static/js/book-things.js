/* The small things of the book: what their lists and forms show. */
import { codeField } from './editor.js';
import * as api from './api.js';
import { area, choice, clock, count, grams, kept, percent, price, secret, text, words, yes } from './fields.js';
import { listPricesPanel } from './price-list-panel.js';
import { pricesPanel } from './prices.js';
import { coins } from './price-words.js';
import { may, session } from './session.js';
import { Supply } from './stock-supply.js';
import { weekdays } from './time-fields.js';
import { KINDS, ROLES } from './wording.js';

/* The name, and for a new thing the code that follows from it. */
function named(stored, options = {}) {
  const name = text({ name: 'name', label: 'Name', required: true, first: !stored, ...options });
  return stored ? [name] : [name, codeField(name)];
}

const shortKind = Object.fromEntries(KINDS);

const customers = {
  title: 'Customers',
  one: 'customer',
  intro: 'Who orders: cafés, shops, the counter.',
  sub: (one) => [one.phone, one.note].filter(Boolean).join(' · '),
  columns: [
    ['Customer', (one) => one.name],
    ['Ready at', (one) => one.ready_at],
  ],
  /* Prices are the owner's: for others the customer keeps the list that it has. */
  load: async (view) => ({ lists: may('owner') ? await api.list('/price-lists', view) : null }),
  fields: (stored, { lists }) => [
    ...named(stored),
    clock({ name: 'ready_at', label: 'Ready at', hint: 'Empty: as the product or the bakery' }),
    text({ name: 'phone', label: 'Telephone', type: 'tel' }),
    text({ name: 'address', label: 'Address' }),
    lists ? choice({ name: 'price_list', label: 'Price list', choices: lists.map((one) => [one.code, one.name]) }) : kept('price_list'),
    area({ name: 'note', label: 'Note' }),
  ],
};

function deliversWords(days) {
  if (days === 0) return 'the same day';
  return days === 1 ? 'the next day' : `after ${days} days`;
}

const suppliers = {
  title: 'Suppliers',
  one: 'supplier',
  intro: 'Who sells to the bakery.',
  sub: (one) => [one.phone, one.note].filter(Boolean).join(' · '),
  columns: [
    ['Supplier', (one) => one.name],
    ['Delivers', (one) => deliversWords(one.lead_days)],
  ],
  initial: { lead_days: 1 },
  fields: (stored) => [
    ...named(stored),
    text({ name: 'phone', label: 'Telephone', type: 'tel' }),
    text({ name: 'email', label: 'E-mail', type: 'email' }),
    area({ name: 'address', label: 'Address', rows: 3 }),
    weekdays({ name: 'order_days', label: 'Takes orders on', hint: 'What is proposed to order lasts until the delivery after the next' }),
    count({ name: 'lead_days', label: 'Days from the order to the delivery', unit: 'days', hint: '0: on the same day' }),
    price({ name: 'minimum_order', label: 'Minimum order', unit: session().currency, hint: 'Empty: none' }),
    area({ name: 'note', label: 'Note' }),
  ],
};

/* Below an ingredient: how it is ordered, and for owners what it costs. */
async function ingredientPanels(view, one) {
  const supply = new Supply(view, { ingredient: one.code, unit: one.unit }, { changed: () => undefined });
  return [supply.element, may('owner') ? await pricesPanel(view, one) : null];
}

const ingredients = {
  title: 'Ingredients',
  one: 'ingredient',
  intro: 'Everything that is bought: flour, water, salt, seeds, paper bags.',
  columns: [
    ['Ingredient', (one) => one.name],
    ['Kind', (one) => shortKind[one.kind]],
    ['Allergens', (one) => one.allergens.join(', ')],
  ],
  initial: { kind: 'other', unit: 'g' },
  fields: (stored) => [
    ...named(stored),
    choice({ name: 'kind', label: 'Kind', required: true, choices: KINDS }),
    choice({
      name: 'unit',
      label: 'Measured',
      required: true,
      choices: [
        ['g', 'by weight'],
        ['piece', 'by the piece'],
      ],
    }),
    words({
      name: 'allergens',
      label: 'Allergens',
      hint: 'As your food law names them, with commas between. Empty: none entered.',
    }),
    percent({
      name: 'water_pct',
      label: 'Water in it',
      hint: 'Of an “other food” such as milk: counts towards hydration',
    }),
    grams({ name: 'scale_g', label: 'Division of its own scale', hint: 'Empty: weighed on the bakery’s scales' }),
  ],
  below: { role: 'baker', show: ingredientPanels },
};

const priceLists = {
  title: 'Price lists',
  one: 'price list',
  intro: 'Who pays which prices: the shop, cafés that take many.',
  sub: (one) => one.note,
  columns: [
    ['Price list', (one) => one.name],
    ['Prices are', (one) => (one.with_tax ? 'with tax' : 'without tax')],
    ['Go by', (one) => (one.step ? coins(one.step) : 'the smallest coin')],
  ],
  initial: { with_tax: true },
  fields: (stored) => [
    ...named(stored),
    yes({ name: 'with_tax', label: 'Prices are with tax' }),
    price({ name: 'step', label: 'Prices go by', hint: 'As 0.05, for prices such as 3.40 and 3.45. Empty: the smallest coin' }),
    price({ name: 'ending', label: 'and end on', hint: 'As 0.90 with a step of 1, for 3.90 and 4.90' }),
    area({ name: 'note', label: 'Note' }),
  ],
  below: { role: 'owner', show: listPricesPanel },
};

const people = {
  title: 'People',
  one: 'person',
  intro: 'Who may sign in on this page, and what they may do.',
  columns: [
    ['Name', (one) => one.name],
    ['May do', (one) => Object.fromEntries(ROLES)[one.role]],
  ],
  initial: { role: 'baker' },
  fields: (stored) => [
    ...(stored
      ? []
      : [
          text({
            name: 'code',
            label: 'Name to sign in with',
            required: true,
            code: true,
            first: true,
            hint: 'Small letters, digits, dots and hyphens',
          }),
        ]),
    choice({ name: 'role', label: 'May do', required: true, choices: ROLES }),
    secret({
      name: 'password',
      label: stored ? 'New password' : 'Password',
      required: !stored,
      hint: stored ? 'At least 10 characters. Empty: the password stays.' : 'At least 10 characters',
    }),
  ],
};

export const THINGS = { customers, suppliers, ingredients, 'price-lists': priceLists, people };
