/* Raising a starter from flour and water: what is wanted, the programme day by day, and logging it. */
import { h, button, debounce, link } from '../dom.js';
import * as api from '../api.js';
import { addDays } from '../dates.js';
import { celsius, grams } from '../fields.js';
import { Form } from '../form.js';
import { clearMessages, sentence, speak, tell, tellError } from '../messages.js';
import { Onces } from '../once.js';
import { cautionsBlock, entryOf, isLogged, isMixOf, programme, summary } from '../raising-programme.js';
import { begunAt, keepWanted, keptWanted, queryOf, usualBegin, wantedFromAddress } from '../raising-wanted.js';
import { today } from '../session.js';
import { entryWords, weightWords } from '../starter-words.js';
import { moment } from '../time-fields.js';

const LOG_SEEN = 200; // entries: more than any programme has
const SPOONFULS = 300; // grams: what was begun with more came from another pot

export async function show(view, code) {
  const path = `/starters/${code}`;
  const [{ body: starter }, { body: log }] = await Promise.all([
    api.get(path, view),
    api.get(`${path}/log?limit=${LOG_SEEN}`, view),
  ]);
  const page = new RaisingPage(starter, log);
  await page.work();
  return view.frame(
    `Raising ${starter.name}`,
    [h('span', { class: 'over' }, 'Raising from nothing'), ' ', starter.name],
    h(
      'p',
      { class: 'lead screen-only' },
      'Flour and water, a few days, and what lives on the grain. Say when you begin; the programme follows.',
    ),
    page.form.element,
    page.place,
    h(
      'p',
      { class: 'actions screen-only' },
      button('Print the programme', () => window.print()),
      link(`#/starters/${code}`, 'To the starter', { class: 'button quiet' }),
    ),
  );
}

/* How far a raising has come: since the last entry "begun" that counts. */
function progressOf({ items, on_hand_g: onHand }) {
  const counting = items.filter((entry) => !entry.reversed_by && entry.kind !== 'reversed');
  const at = counting.findIndex((entry) => entry.kind === 'begun');
  const begun = at < 0 ? null : counting[at];
  const feeds = at < 0 ? 0 : counting.slice(0, at).filter((entry) => entry.kind === 'fed').length;
  return { begun, feeds, onHand: Number(onHand) };
}

class RaisingPage {
  constructor(starter, log) {
    this.starter = starter;
    this.path = `/starters/${starter.code}`;
    this.progress = progressOf(log);
    this.place = h('div', { class: 'raising' });
    this.logging = new Onces(`${this.path}/log`); // by the time of the step
    this.form = this.#makeForm();
    this.form.write(this.#beginWith());
    const later = debounce(350, () => this.work());
    this.form.element.addEventListener('input', later);
    this.form.element.addEventListener('change', later);
  }

  #makeForm() {
    const fields = [
      moment({ name: 'begins', label: 'Begins', required: true }),
      celsius({ name: 'c', label: 'Stands at', hint: 'The warmer, the sooner: 24 to 28 °C is good' }),
      grams({ name: 'ready_g', label: 'How much you want' }),
      grams({ name: 'keep_g', label: 'Kept for each feed', hint: 'Little throws little away' }),
      grams({
        name: 'sweetener_g',
        label: 'A spoon of sweetener',
        hint: 'May stay empty: sugar, malt or honey in the first mix can hasten it',
      }),
    ];
    const form = new Form(fields, { submit: 'Work it out', onsubmit: () => this.work({ told: true }) });
    form.element.classList.add('raising-form', 'screen-only');
    return form;
  }

  /* The address, else what was kept when it began, else what is usual. */
  #beginWith() {
    const { begun } = this.progress;
    const before = keptWanted(this.starter.code);
    const raised = begun && (before.begins || Number(begun.delta_g) <= SPOONFULS);
    const kept = raised ? { ...before, begins: begunAt(before, begun.at) } : {};
    return {
      begins: usualBegin(addDays(today(), 1)),
      c: this.starter.stands_c,
      ready_g: Number(this.starter.keep_g) > 0 ? this.starter.keep_g : 500,
      keep_g: 50,
      ...kept,
      ...wantedFromAddress(),
    };
  }

  /* Asks for the programme; the answer to an older question is not shown. told: it was asked for. */
  async work({ told = false } = {}) {
    const { value, errors } = this.form.collect();
    this.form.show(errors, { focus: told });
    if (errors.length > 0) return;
    this.asking?.abort();
    const asking = new AbortController();
    this.asking = asking;
    const query = queryOf(value);
    try {
      const { body } = await api.get(`${this.path}/raising?${query}`, { signal: asking.signal });
      clearMessages();
      history.replaceState(null, '', `#${this.path}/raising?${query}`);
      this.wanted = value;
      this.#draw(body);
      if (told) speak('The programme is worked out.');
    } catch (error) {
      if (!asking.signal.aborted) this.#explain(error);
    }
  }

  #explain(error) {
    if (!(error instanceof api.Problem) || error.uncertain || error.errors.length === 0) {
      tellError(error, () => this.work());
      return;
    }
    const named = error.errors.map(({ pointer, detail }) => ({ pointer: `/${pointer.replace(/^\//, '')}`, detail }));
    const homeless = this.form.show(named, { focus: false });
    if (homeless.length > 0) tell('bad', sentence(homeless.join('; ')));
  }

  #draw(raising) {
    this.raising = raising;
    if (raising.too_cold) {
      this.place.replaceChildren(
        cautionsBlock(raising.cautions),
        h('p', { class: 'empty' }, 'Nothing grows where it is so cold. Find a warmer place.'),
      );
      return;
    }
    const { begun, feeds, onHand } = this.progress;
    const steps = raising.steps.filter(isLogged).length;
    const done = isMixOf(raising, begun) && feeds < steps ? 1 + feeds : 0;
    this.place.replaceChildren(
      cautionsBlock(raising.cautions),
      summary(raising),
      this.#note(done, onHand),
      programme(raising, { done, may: done > 0 || onHand === 0, onlog: (step) => this.#log(step) }),
    );
  }

  #note(done, onHand) {
    if (done > 0 || onHand === 0) return '';
    return h(
      'div',
      { class: 'message note screen-only' },
      h(
        'p',
        {},
        `There are ${weightWords(onHand)} of it on hand already: this programme is to read and to print. `,
        'To begin anew in its pot, throw that away first.',
      ),
    );
  }

  async #log(step) {
    if (this.busy) return;
    this.busy = true;
    clearMessages();
    try {
      await this.#post(step);
    } catch (error) {
      tellError(error, () => this.#log(step));
    }
    this.busy = false;
  }

  /* Days are counted from when it was really begun. */
  async #begun(entry) {
    const begins = begunAt(this.wanted, entry.at);
    keepWanted(this.starter.code, { ...this.wanted, begins });
    if (begins === this.wanted.begins) return;
    this.form.write({ begins });
    await this.work();
  }

  async #post(step) {
    const { body: entry } = await this.logging.post(step.at, entryOf(step));
    const { body: log } = await api.get(`${this.path}/log?limit=${LOG_SEEN}`);
    this.progress = progressOf(log);
    if (entry.kind === 'begun') await this.#begun(entry);
    this.#draw(this.raising);
    tell('good', `Logged. ${entryWords(entry)}. ${weightWords(entry.on_hand_g)} on hand.`, [
      link(`#/starters/${this.starter.code}`, 'To its log', { class: 'button quiet' }),
    ]);
    this.place.querySelector('[data-focus=step]')?.focus();
  }
}
