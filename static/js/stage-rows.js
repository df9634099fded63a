/* The stages of a formula, from mixing to ready. */
import { choice, count, decimal, text } from './fields.js';
import { rows } from './rows.js';
import { span } from './time-fields.js';

const USES = [
  ['mixer', 'mixer'],
  ['oven', 'oven'],
  ['cold', 'cold'],
];

/* What the minutes of labour are of. */
const PER = [
  ['mix', 'a mix'],
  ['batch', 'a batch'],
  ['piece', 'a piece'],
  ['load', 'a load'],
];

const MINUTE_PLACES = 4;

export function stageRows() {
  return rows({
    name: 'stages',
    label: 'Stages, from mixing to ready',
    one: 'stage',
    add: 'Add a stage',
    blanks: 1,
    sorted: true,
    class: 'stages',
    hint:
      'Counted back from the time the bread must be ready, they say when its mixing begins. “At most” is for a stage ' +
      'that may wait, as a proof in the cold. When no stage says what it takes up, the first takes up the mixer. ' +
      'Labour is what its minutes and hands come to for each batch, unless you say how much it is and of what.',
    columns: [
      {
        label: 'Stage',
        class: 'what',
        make: () => [
          text({ name: 'stage', label: 'Stage', quiet: true, required: true, max: 100 }),
          text({ name: 'at', label: 'Where or how warm', quiet: true, max: 100, placeholder: 'where, how warm' }),
          decimal(MINUTE_PLACES, {
            name: 'labour_minutes',
            label: 'Minutes of labour',
            quiet: true,
            placeholder: 'labour',
            unit: 'min',
          }),
          choice({ name: 'labour_per', label: 'Labour is of', quiet: true, choices: PER, empty: '—' }),
        ],
      },
      {
        label: 'Takes',
        class: 'minutes',
        make: () => [
          span({ name: 'minutes', label: 'Takes', quiet: true, required: true }),
          span({ name: 'most_minutes', label: 'At most', quiet: true, placeholder: 'most', unit: 'most' }),
        ],
      },
      {
        label: 'Takes up',
        class: 'uses',
        make: () => [
          choice({ name: 'uses', label: 'Takes up', quiet: true, choices: USES, empty: '—' }),
          count({ name: 'hands', label: 'Pairs of hands', unit: 'hands', quiet: true }),
        ],
      },
    ],
    alias: { labour: 'labour_minutes' },
    pack: ({ labour_per: per, labour_minutes: minutes, ...rest }) => {
      const labour = Object.fromEntries(Object.entries({ per, minutes }).filter(([, value]) => value !== undefined));
      return Object.keys(labour).length ? { ...rest, labour } : rest;
    },
    unpack: ({ labour }, row) => {
      row.field('labour_minutes').write(labour?.minutes);
      row.field('labour_per').write(labour?.per);
    },
  });
}
