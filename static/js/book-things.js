/* The small things of the book: what their lists and forms show. */
import { codeField } from './editor.js';
import { area, choice, clock, grams, percent, secret, text, words } from './fields.js';
import { pricesPanel } from './prices.js';
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
  fields: (stored) => [
    ...named(stored),
    clock({ name: 'ready_at', label: 'Ready at', hint: 'Empty: as the product or the bakery' }),
    text({ name: 'phone', label: 'Telephone', type: 'tel' }),
    text({ name: 'address', label: 'Address' }),
    area({ name: 'note', label: 'Note' }),
  ],
};

const suppliers = {
  title: 'Suppliers',
  one: 'supplier',
  intro: 'Who sells to the bakery.',
  sub: (one) => one.note,
  columns: [['Supplier', (one) => one.name]],
  fields: (stored) => [...named(stored), area({ name: 'note', label: 'Note' })],
};

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
  below: { role: 'owner', show: pricesPanel },
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

export const THINGS = { customers, suppliers, ingredients, people };
