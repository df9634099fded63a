/* What a bakery works with, as fields of its settings: mixers, ovens, the cold, who is there, and how
 * warm things usually are. */
import { celsius, clock, count, grams, part, text } from './fields.js';
import { rows } from './rows.js';
import { span, weekdays } from './time-fields.js';

const shortName = () => text({ name: 'code', label: 'Short name', quiet: true, required: true, code: true, max: 63 });

/* What it draws, for the cost of energy. */
const watts = () => count({ name: 'power_w', label: 'Power', quiet: true, unit: 'W' });

function mixerRows() {
  return rows({
    name: 'mixers',
    label: 'Mixers',
    one: 'mixer',
    add: 'Add a mixer',
    hint: 'The least and the most dough that each takes, and by how many degrees its mixing warms a dough, if you know.',
    blanks: 1,
    class: 'equipment',
    columns: [
      { label: 'Short name', class: 'what', make: () => [shortName()] },
      { label: 'Least', class: 'share', make: () => [grams({ name: 'min_g', label: 'Least', quiet: true })] },
      {
        label: 'Most',
        class: 'share',
        make: () => [grams({ name: 'max_g', label: 'Most', quiet: true, required: true })],
      },
      {
        label: 'Warms by',
        class: 'share',
        make: () => [celsius({ name: 'friction_c', label: 'Warms the dough by', quiet: true })],
      },
      { label: 'Power', class: 'share', make: () => [watts()] },
    ],
  });
}

/* A number with its unit beside it, where the head of the list is not shown. */
const small = (name, label, unit) => count({ name, label, quiet: true, unit });

function ovenRows() {
  return rows({
    name: 'ovens',
    label: 'Ovens',
    one: 'oven',
    add: 'Add an oven',
    hint:
      'Each deck is loaded and heated by itself. A place is what one tray takes, or the whole stone of a deck. ' +
      'A rack oven is one deck with as many places as it takes trays.',
    blanks: 1,
    class: 'equipment',
    columns: [
      { label: 'Short name', class: 'what', make: () => [shortName()] },
      { label: 'Decks', class: 'few', make: () => [small('decks', 'Decks', 'decks')] },
      { label: 'Places a deck', class: 'few', make: () => [small('places', 'Places a deck', 'places')] },
      {
        label: 'Heats up in',
        class: 'share',
        make: () => [span({ name: 'preheat_minutes', label: 'Heats up in', quiet: true, unit: 'to heat' })],
      },
      {
        label: 'Between loads',
        class: 'share',
        make: () => [span({ name: 'recovery_minutes', label: 'Between loads', quiet: true, unit: 'between' })],
      },
      { label: 'Power of a deck', class: 'share', make: () => [watts()] },
    ],
  });
}

function shiftRows() {
  return rows({
    name: 'shifts',
    label: 'Who is there, and when',
    one: 'shift',
    add: 'Add a shift',
    hint: 'Days are those on which a shift begins. A shift that ends at night ends on the next day.',
    blanks: 1,
    class: 'shifts',
    columns: [
      {
        label: 'Who, and on which days',
        class: 'what',
        make: () => [
          text({ name: 'name', label: 'Who', quiet: true, max: 100, placeholder: 'who, as “night bakers”' }),
          weekdays({ name: 'days', label: 'Days', quiet: true }),
        ],
      },
      {
        label: 'From, to',
        class: 'share hours',
        make: () => [
          clock({ name: 'from', label: 'From', quiet: true, required: true }),
          clock({ name: 'to', label: 'To', quiet: true, required: true }),
        ],
      },
      { label: 'People', class: 'few', make: () => [small('hands', 'Pairs of hands', 'people')] },
    ],
    blank: ({ name, from, to, hands }) => !name && !from && !to && !hands,
  });
}

/* Fields of /bakery. */
export function bakingFields() {
  return [
    mixerRows(),
    ovenRows(),
    shiftRows(),
    part('Cold and warmth'),
    grams({ name: 'cold_g', label: 'Dough that the cold space holds', hint: 'Empty or 0: any amount' }),
    celsius({ name: 'room_c', label: 'The room is usually at' }),
    celsius({ name: 'flour_c', label: 'Flour is usually at' }),
    celsius({ name: 'tap_c', label: 'Water from the tap is usually at' }),
    celsius({
      name: 'preferment_c',
      label: 'Preferments and starters are usually at',
      hint: 'What was measured before a night’s mixing goes before all these',
    }),
    part('Hours in which starters are fed', 'Both or neither. Without them a feed may fall at any hour of the night.'),
    clock({ name: 'feed_from', label: 'From' }),
    clock({ name: 'feed_to', label: 'Until' }),
  ];
}
