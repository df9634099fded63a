/* What labour, energy, overhead and delivery cost: each state of affairs from a date on, as pack prices are. */
import { h, button, unseen } from '../dom.js';
import * as api from '../api.js';
import { dayWords } from '../dates.js';
import { confirm } from '../dialog.js';
import { choice, count, date, part, price } from '../fields.js';
import { table } from '../figures.js';
import { Form } from '../form.js';
import { carry, tellError } from '../messages.js';
import { whole } from '../number.js';
import { coins } from '../price-words.js';
import { go } from '../router.js';
import { session, today } from '../session.js';

export async function show(view) {
  const rates = await api.list('/rates', view);
  const current = rates.filter((one) => one.from <= today()).at(-1) ?? null;
  const form = rateForm(current);
  view.guard(() => form.changed);
  return view.frame(
    'Rates',
    'Rates',
    h(
      'p',
      { class: 'lead' },
      'What hands, energy, the house and a round of delivery cost. What is left empty is left out of every cost, and every cost says so.',
    ),
    rates.length === 0
      ? h('p', { class: 'empty' }, 'No rates yet. Costs are of ingredients and packaging alone.')
      : rateTable(rates, current),
    h('div', { class: 'panel open' }, h('h2', {}, current ? 'New rates' : 'First rates'), form.element),
  );
}

const paid = (text, words) => (text === null || text === undefined ? 'left out' : `${coins(text)} ${words}`);

function overheadWords(one) {
  if (one.overhead_month === null || one.overhead_month === undefined) return 'left out';
  const per = one.overhead_by === 'pieces' ? 'pieces' : 'minutes of labour';
  return `${coins(one.overhead_month)} a month over ${whole(one.overhead_base)} ${per}`;
}

const roundWords = (one) =>
  one.round === null || one.round === undefined
    ? 'left out'
    : `${coins(one.round)} a round of ${whole(one.round_pieces)} pieces`;

function rateTable(rates, current) {
  return table({
    className: 'rate-table',
    heads: ['From', 'Hands', 'Energy', 'Overhead', 'Delivery', { text: unseen('Delete'), class: 'tools' }],
    rows: rates.toReversed().map((one) => [
      h(
        'th',
        { scope: 'row' },
        dayWords(one.from, today()),
        one === current
          ? h('span', { class: 'sub' }, 'in force')
          : one.from > today()
            ? h('span', { class: 'sub' }, 'to come')
            : null,
      ),
      cell('Hands', paid(one.hand_hour, 'an hour')),
      cell('Energy', paid(one.kwh, 'a kWh')),
      cell('Overhead', overheadWords(one)),
      cell('Delivery', roundWords(one)),
      h(
        'td',
        { class: 'tools' },
        button('×', () => drop(one), {
          class: 'tool',
          'aria-label': `Delete the rates from ${dayWords(one.from, today())}`,
        }),
      ),
    ]),
  });
}

/* On a telephone the heads are not shown: each cell says what it is. */
const cell = (name, words) =>
  h('td', {}, h('span', { class: 'narrow-only', 'aria-hidden': 'true' }, `${name}: `), words);

async function drop(one) {
  const sure = await confirm(`Delete the rates from ${dayWords(one.from, today())}?`, {
    detail: 'Costs of those days are reckoned with the rates before them.',
    yes: 'Delete',
    danger: true,
  });
  if (!sure) return;
  try {
    await api.remove(`/rates/${one.from}`);
    carry('The rates were deleted.');
    go(location.hash);
  } catch (error) {
    tellError(error, () => drop(one));
  }
}

function rateForm(current) {
  const unit = session().currency;
  const form = new Form(
    [
      date({ name: 'from', label: 'From', required: true }),
      price({
        name: 'hand_hour',
        label: 'An hour of one pair of hands',
        unit,
        hint: 'Wage with everything that goes with it. Empty: labour is left out',
      }),
      price({
        name: 'kwh',
        label: 'A kilowatt-hour',
        unit,
        hint: 'Mixers and ovens have their power in the bakery’s settings',
      }),
      part('Overhead', 'Rent, insurance, the telephone: a sum of a month, spread over what is made in a month.'),
      price({ name: 'overhead_month', label: 'A month’s sum', unit }),
      choice({
        name: 'overhead_by',
        label: 'Spread over',
        required: true,
        choices: [
          ['minutes', 'minutes of labour'],
          ['pieces', 'pieces'],
        ],
      }),
      count({
        name: 'overhead_base',
        label: 'How many of them a month has',
        hint: 'Minutes of all hands together, or pieces',
      }),
      part('Delivery'),
      price({ name: 'round', label: 'A round', unit, hint: 'Van, fuel and driver' }),
      count({ name: 'round_pieces', label: 'Pieces that a round carries' }),
    ],
    {
      submit: 'Save the rates',
      onsubmit: async ({ from, ...body }) => {
        await api.put(`/rates/${from}`, body);
        form.changed = false;
        carry(`The rates from ${dayWords(from, today())} were saved.`);
        go(location.hash);
      },
    },
  );
  form.element.classList.add('rate-form');
  form.write({ overhead_by: 'minutes', ...current, from: today() });
  return form;
}
