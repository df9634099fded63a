/* The settings of a starter: what it is made of, how it ripens, where it stands. */
import { h } from '../dom.js';
import * as api from '../api.js';
import { Editor, NEW, codeField } from '../editor.js';
import { area, celsius, choice, count, decimal, grams, part, percent, text } from '../fields.js';
import { PERCENT_PLACES } from '../number.js';
import { rows } from '../rows.js';
import { span } from '../time-fields.js';

export async function show(view, code) {
  const isNew = code === NEW;
  const [ingredients, stored] = await Promise.all([
    api.list('/ingredients', view),
    isNew ? null : api.get(`/starters/${code}`, view),
  ]);
  const names = new Map(ingredients.map((one) => [one.code, one.name]));
  const editor = new Editor(view, {
    kind: 'starters',
    one: 'starter',
    stored,
    fields: fieldsFor(stored, ingredients),
    initial: INITIAL,
    nameOf: (one) => names.get(one) ?? one,
    back: isNew ? undefined : `#/starters/${code}`,
    after: isNew ? undefined : `#/starters/${code}`,
  });
  const title = isNew ? 'New starter' : stored.body.name;
  const over = h('span', { class: 'over' }, 'Settings of');
  return view.frame(title, isNew ? title : [over, ' ', title], editor.element);
}

const INITIAL = {
  flours: [],
  ripens: [],
  water: 'water',
  stays_ripe_minutes: 120,
  stands_c: 24,
  feed_within_minutes: 1440,
  rest_feed_days: 7,
  wake_feeds: 2,
};

const ofKind = (ingredients, kind) => ingredients.filter((one) => one.kind === kind).map((one) => [one.code, one.name]);

function fieldsFor(stored, ingredients) {
  const name = text({ name: 'name', label: 'Name', required: true, first: !stored });
  return [
    name,
    ...(stored ? [] : [codeField(name)]),
    percent({ name: 'hydration_pct', label: 'Hydration', hint: 'Water to 100 of flour', required: true }),
    flourRows(ingredients),
    choice({ name: 'water', label: 'Water', required: true, choices: ofKind(ingredients, 'water') }),
    part('How it ripens', 'The feeding plan rests on this. Nothing of it is needed to begin with.'),
    ripeningRows(),
    span({
      name: 'stays_ripe_minutes',
      label: 'Stays ripe for',
      hint: 'From when it is ripe until it is past its best',
    }),
    celsius({ name: 'stands_c', label: 'Usually stands at', hint: 'How warm the place is where it ripens' }),
    part('Where it lives'),
    grams({ name: 'keep_g', label: 'Always kept back', hint: 'The mother: never taken, so that there is always seed' }),
    grams({ name: 'pot_g', label: 'The pot holds', hint: 'The most that may be in it, risen. Empty or 0: any amount' }),
    part('How often it must be fed'),
    span({ name: 'feed_within_minutes', label: 'At work: fed again within', hint: 'As 24:00 for once a day' }),
    count({ name: 'rest_feed_days', label: 'Asleep in the cold: fed every', unit: 'days' }),
    count({
      name: 'wake_feeds',
      label: 'To wake it after the cold',
      unit: 'feeds',
      hint: 'So many feeds before anything may be taken',
    }),
    area({ name: 'note', label: 'Note' }),
  ];
}

function flourRows(ingredients) {
  return rows({
    name: 'flours',
    label: 'Flours',
    one: 'flour',
    add: 'Add a flour',
    hint: 'Together 100 %.',
    required: true,
    blanks: 1,
    columns: [
      {
        label: 'Flour',
        class: 'what',
        make: () => [
          choice({
            name: 'ingredient',
            label: 'Flour',
            quiet: true,
            required: true,
            empty: '—',
            choices: ofKind(ingredients, 'flour'),
          }),
        ],
      },
      {
        label: 'Share',
        class: 'share',
        make: () => [percent({ name: 'pct', label: 'Share', quiet: true, required: true })],
      },
    ],
  });
}

/* Parts are by weight; water is as the hydration has it. */
function ripeningRows() {
  const parts = (name, label) =>
    decimal(PERCENT_PLACES, { name, label, quiet: true, required: true, unit: label.toLowerCase() });
  return rows({
    name: 'ripens',
    label: 'What you have seen',
    one: 'feed',
    add: 'Add a feed',
    blanks: 1,
    class: 'ripenings',
    hint:
      'How many parts of seed, flour and water, how warm it stood, and how long it took to be ripe. ' +
      'Two or three different feeds are best: a quick one for the day, a lean one for the night.',
    columns: [
      {
        label: 'Seed : flour : water',
        class: 'ratio',
        make: () => [parts('seed', 'Seed'), parts('flour', 'Flour'), parts('water', 'Water')],
      },
      {
        label: 'Stood at',
        class: 'share',
        make: () => [celsius({ name: 'c', label: 'Stood at', quiet: true, required: true })],
      },
      {
        label: 'Ripe after',
        class: 'share',
        make: () => [span({ name: 'minutes', label: 'Ripe after', quiet: true, required: true })],
      },
    ],
  });
}
