/* How a product is baked: pieces to a place, and heat step by step. One member of the body, or none. */
import { h } from './dom.js';
import { celsius, count, yes } from './fields.js';
import { rows } from './rows.js';
import { span } from './time-fields.js';

function stepRows() {
  return rows({
    name: 'steps',
    label: 'Heat, step by step',
    one: 'step',
    add: 'Add a step',
    hint: 'As 250 °C with steam for 0:10, then 225 °C for 0:28.',
    blanks: 1,
    sorted: true,
    class: 'bake-steps',
    blank: ({ c, minutes }) => c === undefined && minutes === undefined,
    columns: [
      {
        label: 'Oven at',
        class: 'share',
        make: () => [celsius({ name: 'c', label: 'Oven at', quiet: true, required: true })],
      },
      {
        label: 'For',
        class: 'share',
        make: () => [span({ name: 'minutes', label: 'For', quiet: true, required: true })],
      },
      { label: 'Steam', class: 'steam', make: () => [yes({ name: 'steam', label: 'steam' })] },
    ],
  });
}

export function bakeField() {
  const place = count({
    name: 'per_place',
    label: 'Pieces on one tray, or on the stone of one deck',
    unit: 'pieces',
    hint: 'Empty: not baked, or not by plan',
  });
  const steps = stepRows();
  const fieldOf = ([name, ...rest]) => (name === 'per_place' ? place : name === 'steps' ? steps.find(rest) : place);
  return {
    name: 'bake',
    label: 'Baking',
    element: h('div', { class: 'bake' }, h('h2', {}, 'Baking'), place.element, steps.element),
    read(report) {
      const pieces = place.read((text) => report(text, '/per_place'));
      const heat = steps.read((text, path = '') => report(text, `/steps${path}`));
      if (pieces === undefined && heat.length === 0) return undefined;
      if (pieces === undefined) report('how many are baked at once?', '/per_place');
      if (heat.length === 0) report('at least one step is needed', '/steps');
      return { per_place: pieces, steps: heat };
    },
    write(bake) {
      place.write(bake?.per_place);
      steps.write(bake?.steps ?? []);
    },
    find: fieldOf,
    fault(sentence) {
      place.fault(sentence);
      if (sentence === '') steps.list.clear();
    },
    focus: () => place.focus(),
  };
}
