/* Counting the store: a sheet to print, the same sheet to type in, a look at the differences, and then
 * one posting. What was typed is kept in this browser until it is posted; see once.js.
 */
import { h, button, uniqueId } from '../dom.js';
import * as api from '../api.js';
import { earlierCounts } from '../count-earlier.js';
import { reviewElement, reviewLines } from '../count-review.js';
import { CountSheet } from '../count-sheet.js';
import { dayWords, isDate } from '../dates.js';
import { area, date as dateField } from '../fields.js';
import { storeCautions } from '../cautions.js';
import { postOnce } from '../post-once.js';
import { nameMargins } from '../margins.js';
import { carry, tell } from '../messages.js';
import { go } from '../router.js';
import { session, today } from '../session.js';
import { TypedSheet } from '../typed-sheet.js';

const DRAFT = 'count/new';
const BLIND = 'morrowloaf-count-blind';

export async function show(view) {
  const [{ body: sheet }, earlier] = await Promise.all([api.get('/count-sheet', view), earlierCounts(view)]);
  nameMargins(view, `${session().bakery} · Count sheet`, dayWords(sheet.date, today()));
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

class Count extends TypedSheet {
  constructor(view, sheet) {
    super('/counts', DRAFT, { verb: 'post' });
    this.view = view;
    this.sheet = new CountSheet(view, sheet, {
      onchange: () => this.#changed(),
      onlast: () => this.reviewButton.focus(),
    });
    this.places = sheet.places;
    this.date = dateField({ name: 'date', label: 'Counted on' });
    this.note = area({ name: 'note', label: 'Note', rows: 1 });
    this.progress = h('p', { class: 'totals' });
    this.reviewButton = h('button', { class: 'main' }, 'Look at the differences');
    this.postButton = button('Post the count', () => this.post(), { class: 'main' });
    this.buttons = [this.postButton, this.reviewButton];
    this.fields = { date: this.date, note: this.note };
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
    const draft = this.kept;
    if (draft) this.#takeDraft(draft);
    this.#total();
  }

  #takeDraft(draft) {
    this.date.write(draft.date);
    this.note.write(draft.note);
    const gone = this.sheet.write(draft);
    const lost = gone ? ` ${gone} of its lines are no longer on the sheet: their lots are used up or moved.` : '';
    this.tellKept(lost);
  }

  #changed() {
    this.#total();
    this.keep();
  }

  draft() {
    const typed = this.sheet.typed();
    const isEmpty = typed.rows.length === 0 && typed.besides.length === 0 && !this.note.input.value;
    return isEmpty ? null : { ...typed, date: this.date.input.value, note: this.note.input.value };
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
    this.clearFaults();
    this.sheet.clearFaults();
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
    const found = this.busy ? null : this.#read();
    if (!found) return;
    await this.busily(
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

  post() {
    return this.busily(
      () => this.#send(),
      () => this.post(),
    );
  }

  async #send() {
    const body = {
      date: this.date.input.value,
      note: this.note.input.value.trim() || null,
      lines: this.found.counted.map((one) => one.line),
    };
    const number = await postOnce(this, body, {
      what: 'count',
      page: (posted) => `#/count/${posted}`,
      repeat: () => this.#send(),
    });
    if (number === null) return;
    this.forget();
    carry('Posted: the book says now what was found.');
    go(`#/count/${number}`);
  }

  /* Back to what is to be put right. */
  explain(error, again) {
    if (error.errors?.length && !error.uncertain) this.#turn(false);
    super.explain(error, again);
  }

  showLineFault(index, member, detail) {
    const row = this.found.counted[index]?.row;
    row?.fault(detail);
    row?.focus();
    return row !== undefined;
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
