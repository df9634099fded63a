/* The stages of a formula, from mixing to ready. */
import { choice, count, text } from './fields.js';
import { rows } from './rows.js';
import { span } from './time-fields.js';

const USES = [
  ['mixer', 'mixer'],
  ['oven', 'oven'],
  ['cold', 'cold'],
];

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
      'that may wait, as a proof in the cold. When no stage says what it takes up, the first takes up the mixer.',
    columns: [
      {
        label: 'Stage',
        class: 'what',
        make: () => [
          text({ name: 'stage', label: 'Stage', quiet: true, required: true, max: 100 }),
          text({ name: 'at', label: 'Where or how warm', quiet: true, max: 100, placeholder: 'where, how warm' }),
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
  });
}
