/* How warm the water must be for a dough that is not on the list: by the factors, with the ice when the
 * tap is not cold enough. Worked out while typing; nothing is stored.
 */
import { h, debounce } from '../dom.js';
import * as api from '../api.js';
import { degreeField, degreeMember, degreesChooser, whenDegreesChange } from '../degrees.js';
import { grams } from '../fields.js';
import { Form } from '../form.js';
import { clearMessages, speak, tellError } from '../messages.js';
import { session } from '../session.js';
import { waterFigures, waterSentence } from '../sheet-water.js';

const TEMPERATURES = [
  { name: 'dough', label: 'Dough wanted', required: true, first: true },
  { name: 'flour', label: 'Flour', required: true },
  { name: 'room', label: 'Room', required: true },
  { name: 'preferment', label: 'Preferment or starter', hint: 'Empty: there is none in the dough' },
  { name: 'friction', label: 'Friction', hint: 'By how much the mixer warms the dough', required: true, difference: true },
  { name: 'tap', label: 'Tap', hint: 'For the ice' },
];

export async function show(view) {
  const night = await api.get(`/mixing-lists/${session().working_day}`, view);
  const calculator = new Calculator(view, night.body.temperatures);
  return view.frame(
    'Water temperature',
    'How warm must the water be?',
    h('div', { class: 'day-tools' }, h('p', { class: 'lead' }, 'For a dough that is not on the mixing list. Nothing is stored.'), degreesChooser()),
    calculator.element,
  );
}

class Calculator {
  constructor(view, usual) {
    this.signal = view.signal;
    this.degrees = TEMPERATURES.map((options) => degreeField({ ...options, asShown: true }));
    this.degrees[0].input.setAttribute('data-first', '');
    this.water = grams({ name: 'water', label: 'Water', hint: 'For the weights of ice and tap water' });
    this.form = new Form([...this.degrees, this.water], { submit: 'Work it out', onsubmit: () => this.#ask({ complain: true }) });
    this.form.element.classList.add('water-form');
    this.found = h('div', { class: 'water-found' }, h('p', { class: 'hint' }, 'Type the temperatures: the water’s appears here.'));
    this.element = h(
      'div',
      { class: 'two-columns editor' },
      this.form.element,
      h('section', { class: 'preview', 'aria-label': 'Worked out' }, h('h2', {}, 'The water'), this.found),
    );
    this.form.write(Object.fromEntries(['flour', 'room', 'tap'].map((name) => [name, usual[`${name}_c`]])));
    this.askSoon = debounce(300, () => this.#ask({}));
    this.form.element.addEventListener('input', () => this.askSoon());
    whenDegreesChange(view, () => {
      this.degrees.forEach((field) => field.rescale());
      this.#ask({});
    });
  }

  /* complain: say what is missing */
  async #ask({ complain = false }) {
    const { value, errors } = this.form.collect();
    this.asking?.abort();
    if (errors.length > 0) {
      this.found.classList.add('stale');
      if (complain) this.form.show(errors);
      return;
    }
    const own = new AbortController();
    this.asking = own;
    const { water, ...degrees } = value;
    const body = Object.fromEntries(Object.entries(degrees).map(([name, text]) => [degreeMember(name), text]));
    if (water !== undefined) body.water_g = water;
    try {
      const answer = await api.post('/water-temperature', body, { signal: own.signal });
      if (own.signal.aborted || this.signal.aborted) return;
      this.#answer(answer.body);
    } catch (error) {
      if (own.signal.aborted || this.signal.aborted) return;
      this.found.classList.add('stale');
      if (error.errors?.length) this.#faults(error.errors);
      else tellError(error, () => this.#ask({}));
    }
  }

  #answer(water) {
    clearMessages();
    this.form.clear();
    this.found.classList.remove('stale');
    this.found.replaceChildren(waterFigures(water));
    speak(waterSentence(water));
  }

  /* The API's members carry the scale, the fields do not. */
  #faults(errors) {
    this.form.show(
      errors.map((one) => ({ ...one, pointer: one.pointer.replace(/_[cfg]$/, '') })),
      { focus: false },
    );
  }
}
