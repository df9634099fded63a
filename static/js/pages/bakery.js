/* The bakery's settings. */
import * as api from '../api.js';
import { h } from '../dom.js';
import { Editor } from '../editor.js';
import { bakingFields } from '../equipment.js';
import { choice, clock, grams, text } from '../fields.js';
import { loadSession } from '../session.js';

export async function show(view) {
  const stored = await api.getOrNull('/bakery', view);
  const zones = h(
    'datalist',
    { id: 'zones' },
    (Intl.supportedValuesOf?.('timeZone') ?? []).map((value) => h('option', { value })),
  );
  const editor = new Editor(view, {
    path: '/bakery',
    one: 'bakery',
    stored,
    mayDelete: false,
    after: '#/bakery',
    saved: sessionChanged,
    fields: fields(),
    initial: { mixers: [], ovens: [], shifts: [], ready_at: '06:30', day_starts_at: '12:00', scale_g: 1, cost_by: 'pack' },
  });
  editor.element.append(zones);
  return view.frame('Bakery', 'The bakery', editor.element);
}

/* Its name, money and clock are everywhere on the page. */
async function sessionChanged() {
  await loadSession();
  document.dispatchEvent(new Event('session-changed'));
}

const COST_BY = [
  ['pack', 'Pack price'],
  ['average', 'Moving average'],
  ['fifo', 'First in, first out'],
];

function fields() {
  return [
    text({ name: 'name', label: 'Name', required: true }),
    text({ name: 'currency', label: 'Currency', required: true, max: 3, hint: 'Three capitals, as EUR' }),
    text({ name: 'time_zone', label: 'Time zone', required: true, list: 'zones', hint: 'As Europe/London' }),
    clock({ name: 'ready_at', label: 'Bread is ready at', hint: 'Unless a product or customer says otherwise' }),
    clock({
      name: 'day_starts_at',
      label: 'A working day starts at',
      hint: 'One night’s work is one mixing list: it lasts until that time of the next day',
    }),
    grams({ name: 'scale_g', label: 'Division of the scale', hint: 'What it shows changes by this' }),
    grams({ name: 'small_scale_g', label: 'Division of the small scale', hint: 'Empty: there is none' }),
    grams({ name: 'small_below_g', label: 'The small scale weighs what is lighter than' }),
    choice({
      name: 'cost_by',
      label: 'Ingredients cost',
      required: true,
      choices: COST_BY,
      hint: 'In the cost of products. Average and first in, first out go by deliveries; what was never delivered keeps its pack price',
    }),
    ...bakingFields(),
  ];
}
