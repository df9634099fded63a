/* The panels below a mixing list: what was measured before mixing, and what the doughs came out at. From
 * the latter the program learns by how much each mixer warms each dough.
 */
import { h } from './dom.js';
import * as api from './api.js';
import { momentWords } from './dates.js';
import { degreeField, degreeMember, degrees, degreesApart, whenDegreesChange } from './degrees.js';
import { choice } from './fields.js';
import { figureCell, table } from './figures.js';
import { Form } from './form.js';
import { speak, tell, tellError } from './messages.js';
import { Once } from './once.js';

const NIGHT = [
  { name: 'room_c', label: 'Room' },
  { name: 'flour_c', label: 'Flour' },
  { name: 'tap_c', label: 'Tap' },
  { name: 'preferment_c', label: 'Preferment' },
];

/* Faults name members by their scale; fields here do not. */
const withoutScale = (error) => {
  error.errors = (error.errors ?? []).map((one) => ({ ...one, pointer: one.pointer.replace(/_[cf]$/, '') }));
  return error;
};

function panel(summary, open, ...content) {
  return h('details', { class: 'panel', open }, h('summary', {}, summary), ...content);
}

/* "Tonight's temperatures". measured: the answer of GET; usual: the bakery's; saved(): show the list anew */
export function nightPanel(view, { date, measured, usual, saved }) {
  let stored = measured;
  const fields = NIGHT.map(({ name, label }) => degreeField({ name, label, hint: ' ' }));
  const form = new Form(fields, {
    submit: 'Save tonight’s temperatures',
    onsubmit: async (body) => {
      try {
        stored = await api.put(`/mixing-lists/${date}/temperatures`, body, api.unlessChanged(stored));
      } catch (error) {
        if (!error.conflict) throw error;
        stored = await api.get(`/mixing-lists/${date}/temperatures`);
        tell('bad', 'Not saved: somebody else entered temperatures meanwhile. Save again to put yours in their place.');
        return;
      }
      await saved();
      tell('good', 'Saved. The water is worked out anew.');
      speak('Saved. The water is worked out anew.');
    },
  });
  form.element.classList.add('degree-fields');
  const hints = () =>
    fields.forEach((field) => {
      const value = usual[field.name];
      field.element.querySelector('.hint').textContent =
        value === null || value === undefined ? 'Usual: not known' : `Empty: as usual, ${degrees(value)}`;
    });
  form.write(stored.body);
  hints();
  whenDegreesChange(view, () => {
    fields.forEach((field) => field.rescale());
    hints();
  });
  return panel('Tonight’s temperatures', false, form.element);
}

const MEASURED = [
  { name: 'dough', label: 'Dough', required: true },
  { name: 'water', label: 'Water', required: true },
  { name: 'flour', label: 'Flour', required: true },
  { name: 'room', label: 'Room', required: true },
  { name: 'preferment', label: 'Preferment', hint: 'Empty: there is none in it' },
];

/* "How warm did the dough come out?" list: of the API; mixers: of the bakery */
export function doughPanel(view, { list, mixers, saved }) {
  const log = new DoughLog(view, { list, mixers, saved });
  return log.element;
}

class DoughLog {
  constructor(view, { list, mixers, saved }) {
    this.list = list;
    this.saved = saved;
    this.once = new Once('/dough-temperatures');
    this.mixes = new Map(list.mixes.filter((mix) => !mix.by_hand).map((mix) => [mix.formula, mix]));
    this.formula = choice({
      name: 'formula',
      label: 'Dough',
      required: true,
      choices: [...this.mixes.values()].map((mix) => [mix.formula, mix.name]),
    });
    this.mixer = choice({ name: 'mixer', label: 'Mixer', required: true, choices: mixers.map(({ code }) => [code, code]) });
    this.fields = MEASURED.map((options) =>
      degreeField({ ...options, label: options.name === 'dough' ? 'Dough after mixing' : options.label, asShown: true }),
    );
    this.form = new Form([this.formula, this.mixer, ...this.fields], {
      submit: 'Enter it',
      onsubmit: (value) => this.#send(value),
    });
    this.form.element.classList.add('degree-fields');
    this.learnt = h('div', { class: 'learnt', 'aria-live': 'polite' });
    this.element = panel('How warm did a dough come out?', false, this.form.element, this.learnt);
    this.element.addEventListener('toggle', () => this.element.open && this.#look());
    for (const field of [this.formula, this.mixer])
      field.input.addEventListener('change', () => {
        if (field === this.formula) this.#fill();
        this.#look();
      });
    whenDegreesChange(view, () => {
      this.fields.forEach((field) => field.rescale());
      if (this.shown) this.#show(this.shown);
    });
    this.#fill();
  }

  /* What the list reckoned with is where the typing begins. */
  #fill() {
    const mix = this.mixes.get(this.formula.input.value);
    if (!mix) return;
    const { room_c: room, flour_c: flour, preferment_c: preferment } = this.list.temperatures;
    const four = mix.water?.factors === 4;
    if (mix.mixer) this.mixer.write(mix.mixer);
    this.form.write({ dough: null, water: mix.water?.water_c ?? null, flour, room, preferment: four ? (preferment ?? room) : null });
  }

  async #send({ formula, mixer, ...measured }) {
    const body = { formula, mixer };
    for (const [name, text] of Object.entries(measured)) body[degreeMember(name)] = text;
    let entry;
    try {
      entry = (await this.once.post(body)).body;
    } catch (error) {
      throw withoutScale(error);
    }
    this.form.write({ dough: null });
    await this.saved();
    await this.#look();
    const words = `Entered: mixing warmed this dough by ${degreesApart(entry.friction_c)}.`;
    tell('good', words);
    speak(words);
  }

  async #look() {
    const formula = this.formula.input.value;
    const mixer = this.mixer.input.value;
    if (!formula || !mixer) return;
    try {
      const { body } = await api.get(`/dough-temperatures?mixer=${mixer}&formula=${formula}&limit=5`);
      this.#show(body);
    } catch (error) {
      tellError(error, () => this.#look());
    }
  }

  #show(body) {
    this.shown = body;
    const words =
      body.friction_c === null
        ? 'Friction: nothing learnt yet. Three entries of a dough are enough to know it by itself.'
        : ['Friction learnt: ', h('strong', {}, degreesApart(body.friction_c)), ' for this dough in this mixer.'];
    this.learnt.replaceChildren(h('p', {}, words), body.items.length ? entries(body.items) : '');
  }
}

function entries(items) {
  return table({
    heads: ['Entered', { text: 'Water', class: 'figures wide-only' }, { text: 'Dough', figures: true }, { text: 'Friction', figures: true }],
    rows: items.map((one) => [
      h('th', { scope: 'row' }, momentWords(one.at), h('span', { class: 'sub' }, `by ${one.entered_by}`)),
      h('td', { class: 'figures wide-only' }, degrees(one.water_c)),
      figureCell(degrees(one.dough_c)),
      figureCell(degreesApart(one.friction_c)),
    ]),
  });
}
