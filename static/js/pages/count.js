/* Counting the store: a sheet to print, the same sheet to type in, a look at the differences, and then
 * one posting. What was typed is kept in this browser until it is posted; see once.js.
 */
import { h, button, uniqueId } from '../dom.js';
import * as api from '../api.js';
import { earlierCounts } from '../count-earlier.js';
import { reviewElement, reviewLines } from '../count-review.js';
import { CountSheet } from '../count-sheet.js';
import { dayWords, isDate } from '../dates.js';
import { dropDraft, keepDraft, readDraft } from '../drafts.js';
import { area, date as dateField } from '../fields.js';
import { storeCautions } from '../goods-in-cautions.js';
import { postOnce } from '../goods-in-settle.js';
import { clearMargins, nameMargins } from '../margins.js';
import { carry, clearMessages, sentence, tell, tellError } from '../messages.js';
import { Once } from '../once.js';
import { go } from '../router.js';
import { session, today } from '../session.js';

const DRAFT = 'count/new';
const BLIND = 'morrowloaf-count-blind';

export async function show(view) {
  const [{ body: sheet }, earlier] = await Promise.all([api.get('/count-sheet', view), earlierCounts(view)]);
  nameMargins(`${session().bakery} · Count sheet`, dayWords(sheet.date, today()));
  view.signal.addEventListener('abort', clearMargins, { once: true });
  const count = new Count(view, sheet);
  const element = view.frame(
    'Count',
    'Count',
    count.element,
    h('div', { class: 'screen-only' }, storeCautions()),
    earlier,
  );
  element.classList.add('count-page');
  count.begin();
  return element;
}

class Count {
  constructor(view, sheet) {
    this.view = view;
    this.sheet = new CountSheet(view, sheet, {
      onchange: () => this.#changed(),
      onlast: () => this.reviewButton.focus(),
    });
    this.places = sheet.places;
    this.once = new Once('/counts', {
      pending: readDraft(DRAFT)?.pending,
      remember: (pending) => {
        this.pending = pending;
        if (pending) this.#keep();
      },
    });
    this.date = dateField({ name: 'date', label: 'Counted on' });
    this.note = area({ name: 'note', label: 'Note', rows: 1 });
    this.progress = h('p', { class: 'totals' });
    this.reviewButton = h('button', { class: 'main' }, 'Look at the differences');
    this.postButton = button('Post the count', () => this.post(), { class: 'main' });
    this.review = h('div', { hidden: true });
    this.typing = this.#typing();
    this.element = h('div', {}, this.typing, this.review);
  }

  #typing() {
    const form = h(
      'form',
      { class: 'count-form', novalidate: true },
      this.#tools(),
      h(
        'p',
        { class: 'paper-line print-only' },
        'Counted by',
        h('span', { class: 'rule' }),
        'on',
        h('span', { class: 'rule' }),
        'at',
        h('span', { class: 'rule short' }),
      ),
      h(
        'p',
        { class: 'count-how' },
        'Full packs in one column, what is open in the other. What is left empty is not counted and stays as the book has it; ',
        h('strong', {}, 'nothing there is a 0'),
        '. A count of a few lines is a count, too. Best counted while nothing is being mixed.',
      ),
      h('p', { class: 'hint screen-only' }, 'Enter moves on. A part-sack is grams, or kilos with “kg” behind it.'),
      this.sheet.element,
      h('div', { class: 'count-foot screen-only' }, this.date.element, this.note.element),
      h('div', { class: 'savebar screen-only' }, this.progress, h('p', { class: 'actions' }, this.reviewButton)),
    );
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      this.look();
    });
    for (const field of [this.date, this.note]) {
      field.input.addEventListener('input', () => {
        field.fault('');
        this.#changed();
      });
    }
    return form;
  }

  #tools() {
    const blind = h('input', { type: 'checkbox' });
    blind.checked = readBlind();
    blind.addEventListener('change', () => {
      keepBlind(blind.checked);
      this.sheet.blind(blind.checked);
    });
    this.sheet.blind(blind.checked);
    const id = uniqueId('place');
    const place = h(
      'select',
      { id },
      h('option', { value: '' }, 'all places'),
      this.places.map((name) => h('option', { value: name }, name)),
    );
    place.addEventListener('change', () => this.sheet.only(place.value));
    return h(
      'div',
      { class: 'count-tools screen-only' },
      h('p', { class: 'copy' }, h('label', { for: id }, 'Show'), place),
      h('label', { class: 'tick' }, blind, 'Blind: leave out what the book says'),
      button('Print the count sheet', () => window.print(), { class: 'quiet' }),
    );
  }

  begin() {
    this.date.write(today());
    const draft = readDraft(DRAFT);
    if (draft) this.#takeDraft(draft);
    this.#total();
  }

  #takeDraft(draft) {
    this.date.write(draft.date);
    this.note.write(draft.note);
    this.pending = draft.pending;
    const gone = this.sheet.write(draft);
    const lost = gone ? ` ${gone} of its lines are no longer on the sheet: their lots are used up or moved.` : '';
    tell('note', `What you typed before and did not post is back.${lost}`, [
      button('Start over', () => this.#startOver()),
    ]);
  }

  #startOver() {
    dropDraft(DRAFT);
    go(location.hash);
  }

  #changed() {
    this.#total();
    this.#keep();
  }

  #keep() {
    const typed = this.sheet.typed();
    const empty = !this.pending && typed.rows.length === 0 && typed.besides.length === 0 && !this.note.input.value;
    if (empty) dropDraft(DRAFT);
    else
      keepDraft(DRAFT, { ...typed, date: this.date.input.value, note: this.note.input.value, pending: this.pending });
  }

  #total() {
    const { filled, all } = this.sheet.progress();
    this.progress.replaceChildren(
      h('strong', {}, String(filled)),
      ` ${filled === 1 ? 'line' : 'lines'} filled in, ${all} on the sheet`,
    );
  }

  /* --- looking through it --- */

  #read() {
    clearMessages();
    this.sheet.clearFaults();
    this.date.fault('');
    this.note.fault('');
    const found = this.sheet.read();
    const day = this.date.input.value;
    if (!isDate(day)) {
      this.date.fault('When was it counted?');
      this.date.focus();
    }
    if (found.faults === 0 && found.counted.length === 0)
      tell('bad', 'Nothing is filled in yet: type at least one line.');
    return found.faults > 0 || found.counted.length === 0 || !isDate(day) ? null : found;
  }

  async look() {
    const found = this.#read();
    if (!found || this.busy) return;
    await this.#busily(
      async () => {
        const lines = await reviewLines(this.view, found.counted);
        const { element, heading } = reviewElement(lines, found.skipped, {
          back: () => this.#back(),
          postButton: this.postButton,
        });
        this.found = found;
        this.review.replaceChildren(element);
        this.#turn(true);
        heading.focus();
      },
      () => this.look(),
    );
  }

  #turn(reviewing) {
    this.typing.hidden = reviewing;
    this.review.hidden = !reviewing;
    window.scrollTo(0, 0);
  }

  #back() {
    this.#turn(false);
    this.sheet.focus();
  }

  /* --- posting --- */

  async post() {
    if (!this.busy)
      await this.#busily(
        () => this.#send(),
        () => this.post(),
      );
  }

  async #busily(work, again) {
    this.busy = true;
    for (const one of [this.postButton, this.reviewButton]) one.setAttribute('aria-disabled', 'true');
    try {
      await work();
    } catch (error) {
      this.#explain(error, again);
    }
    this.busy = false;
    for (const one of [this.postButton, this.reviewButton]) one.removeAttribute('aria-disabled');
  }

  async #send() {
    const body = {
      date: this.date.input.value,
      note: this.note.input.value.trim() || null,
      lines: this.found.counted.map((one) => one.line),
    };
    const number = await postOnce({
      once: this.once,
      body,
      what: 'count',
      page: (posted) => `#/count/${posted}`,
      busily: (work) => this.#busily(work, () => this.post()),
      repeat: () => this.#send(),
    });
    if (number === null) return;
    dropDraft(DRAFT);
    carry('Posted: the book says now what was found.');
    go(`#/count/${number}`);
  }

  #explain(error, again) {
    if (!(error instanceof api.Problem) || error.uncertain || !error.errors.length) {
      tellError(error, again);
      return;
    }
    this.#turn(false);
    const homeless = error.errors.filter((fault) => !this.#showFault(fault));
    tell(
      'bad',
      h(
        'div',
        {},
        h('p', {}, 'Not posted: look at what is marked.'),
        homeless.map((fault) => h('p', {}, sentence(fault.detail))),
      ),
    );
  }

  #showFault({ pointer, detail }) {
    const [, name, index] = pointer.split('/');
    const place =
      name === 'lines' ? this.found.counted[Number(index)]?.row : { date: this.date, note: this.note }[name];
    place?.fault(name === 'lines' ? detail : sentence(detail));
    place?.focus();
    return place !== undefined;
  }
}

function readBlind() {
  try {
    return localStorage.getItem(BLIND) === 'yes';
  } catch {
    return false; // a browser without storage
  }
}

function keepBlind(yes) {
  try {
    localStorage.setItem(BLIND, yes ? 'yes' : 'no');
  } catch {
    // as above: the choice lives as long as the page
  }
}
