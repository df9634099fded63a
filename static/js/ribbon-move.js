/* Moving tasks of a bread day by hand. What is moved is tried at the server at once, which says what
 * then does not hold; it counts for everybody only when it is saved.
 */
import { h, button, debounce } from './dom.js';
import * as api from './api.js';
import { clockOf, dateOf, readClock, shortDay } from './dates.js';
import { clearMessages, sentence, tell, tellError } from './messages.js';
import { momentOf } from './ribbon-clock.js';
import { breakWords, taskTitle } from './ribbon-words.js';

const STEP = 5 * 60000;

export class Moves {
  /* date; stored: answer of GET moves; clock, places: of the page; onshow(timetable, chosen): shows a
   * timetable that was tried or saved; onclose(id): the task that was looked at */
  constructor(view, { date, stored, clock, places, onshow, onclose }) {
    Object.assign(this, { date, stored, clock, places, onshow, onclose, signal: view.signal });
    this.path = `/days/${date}/moves`;
    this.moves = new Map(stored.body.moves.map((move) => [move.task, move.begins_at]));
    this.changed = false;
    this.task = null;
    view.guard(() => this.changed);
    this.#build();
    this.trySoon = debounce(150, () => this.#try());
  }

  #build() {
    this.title = h('h2', { class: 'move-title', id: 'move-title' });
    this.input = h('input', {
      id: 'move-begin',
      type: 'text',
      class: 'clock',
      autocomplete: 'off',
      maxlength: 5,
      'aria-describedby': 'move-day move-hint',
    });
    this.day = h('span', { id: 'move-day' });
    this.says = h('div', { class: 'move-says', role: 'status' });
    this.saveButton = h('button', { class: 'main' }, 'Save');
    this.backButton = button('As worked out', () => this.#workedOut(), { class: 'quiet' });
    this.element = h(
      'form',
      { class: 'savebar move-bar', hidden: true, 'aria-labelledby': 'move-title', novalidate: true },
      this.title,
      h(
        'p',
        { class: 'move-fields' },
        h('label', { for: 'move-begin' }, 'Begins'),
        this.input,
        this.day,
        button('5 min earlier', () => this.#nudge(-STEP), { class: 'quiet' }),
        button('5 min later', () => this.#nudge(STEP), { class: 'quiet' }),
        h('span', { class: 'unseen', id: 'move-hint' }, 'Arrows up and down change it by 5 minutes, Escape gives it up.'),
      ),
      this.says,
      h('p', { class: 'actions' }, button('Give it up', () => this.giveUp(), { class: 'quiet' }), this.backButton, this.saveButton),
    );
    this.element.addEventListener('submit', (event) => {
      event.preventDefault();
      this.save();
    });
    this.element.addEventListener('keydown', (event) => this.#key(event));
    this.input.addEventListener('input', () => this.#typed(this.input.value.length >= 4));
    this.input.addEventListener('change', () => this.#typed(true));
    this.input.addEventListener('blur', () => this.#showBegin());
  }

  /* The timetable that is shown now. */
  use(timetable) {
    this.timetable = timetable;
    this.byId = new Map(timetable.tasks.map((task) => [task.id, task]));
  }

  choose(task) {
    this.task = this.byId.get(task.id);
    this.chosenId = task.id;
    this.title.textContent = taskTitle(this.task, this.places, this.byId);
    this.moment = momentOf(this.task.begins_at);
    this.element.hidden = false;
    this.#showBegin();
    this.#tell(this.timetable);
    this.onshow(this.timetable, task.id);
    this.input.focus({ preventScroll: true });
    this.input.select();
  }

  /* A task that was dragged. */
  drag(task, moment) {
    this.choose(task);
    this.#begin(moment);
  }

  #showBegin() {
    if (this.task === null) return; // the bar closes while its field has the focus
    const instant = this.clock.instant(this.moment);
    this.input.value = clockOf(instant);
    this.day.textContent = shortDay(dateOf(instant));
    this.input.removeAttribute('aria-invalid');
    this.backButton.hidden = !this.moves.has(this.task.id);
  }

  #key(event) {
    if (event.key === 'Escape') {
      event.preventDefault();
      this.giveUp();
      return;
    }
    const by = { ArrowUp: -STEP, ArrowDown: STEP }[event.key];
    if (by === undefined || event.target !== this.input) return;
    event.preventDefault();
    this.#nudge(by);
  }

  #nudge(by) {
    this.#begin(this.moment + by);
  }

  /* whole: "1" may yet become "18:30"; only what is written out counts. */
  #typed(whole) {
    const clock = readClock(this.input.value);
    if (clock === null || !whole) return;
    const instant = this.clock.closest(this.moment, clock);
    if (instant === null) {
      this.input.setAttribute('aria-invalid', 'true');
      this.says.textContent = `There is no ${clock} in this night: the clocks are put forward over it.`;
      return;
    }
    this.input.removeAttribute('aria-invalid');
    if (momentOf(instant) !== this.moment) this.#begin(momentOf(instant), { typing: true });
  }

  #begin(moment, { typing = false } = {}) {
    this.moment = moment;
    this.changed = true;
    this.moves.set(this.task.id, this.clock.instant(moment));
    if (typing) this.day.textContent = shortDay(dateOf(this.clock.instant(moment)));
    else this.#showBegin();
    this.says.textContent = 'Working out what then does not hold…';
    this.trySoon();
  }

  /* This task goes back to where it was worked out; others stay moved. */
  #workedOut() {
    this.moves.delete(this.task.id);
    this.changed = true;
    this.#try();
  }

  #body() {
    const known = [...this.moves].filter(([task]) => this.byId.has(task));
    return { moves: known.map(([task, begins]) => ({ task, begins_at: begins })) };
  }

  async #try() {
    if (this.busy) return; // what is being saved is answered by itself
    const body = this.#body();
    this.trying?.abort();
    const own = new AbortController();
    this.trying = own;
    try {
      const { body: timetable } = await api.post(`/days/${this.date}/timetable`, body, { signal: own.signal });
      if (own.signal.aborted || this.signal.aborted) return;
      this.#tried(timetable);
    } catch (error) {
      if (own.signal.aborted || this.signal.aborted) return;
      this.says.textContent = '';
      this.onshow(this.timetable, this.task?.id ?? null);
      tellError(error, () => this.#try());
    }
  }

  #tried(timetable) {
    clearMessages();
    this.use(timetable);
    if (this.task) {
      this.task = this.byId.get(this.task.id);
      this.moment = momentOf(this.task.begins_at);
      if (document.activeElement !== this.input || !this.changed) this.#showBegin();
      this.backButton.hidden = !this.moves.has(this.task.id);
    }
    this.#tell(timetable);
    this.onshow(timetable, this.task?.id ?? null);
  }

  #tell(timetable) {
    const count = timetable.breaks.length;
    if (!this.changed && count === 0) {
      this.says.replaceChildren(h('p', {}, 'Type another begin.'));
      return;
    }
    this.says.replaceChildren(
      count === 0
        ? h('p', { class: 'holds' }, 'Everything holds.')
        : h(
            'ul',
            {},
            timetable.breaks.map((one) => h('li', {}, sentence(breakWords(one, this.byId, this.places)))),
          ),
    );
  }

  async save() {
    if (this.busy) return;
    this.trying?.abort();
    this.busy = true;
    this.saveButton.setAttribute('aria-disabled', 'true');
    try {
      await this.#put(this.stored);
    } catch (error) {
      if (error.conflict) this.#conflict();
      else tellError(error, () => this.save());
    }
    this.busy = false;
    this.saveButton.removeAttribute('aria-disabled');
  }

  async #put(read) {
    const saved = await api.put(this.path, this.#body(), api.unlessChanged(read));
    this.stored = saved;
    this.moves = new Map(saved.body.moves.map((move) => [move.task, move.begins_at]));
    this.changed = false;
    await this.#reload();
    tell('good', this.moves.size ? 'Saved. The timetable is now as you moved it.' : 'Saved. The timetable is as worked out.');
    this.close();
  }

  async #reload() {
    const { body } = await api.get(`/days/${this.date}/timetable`, { signal: this.signal });
    this.use(body);
    this.task = null;
    this.onshow(body, null);
  }

  #conflict() {
    tell('bad', 'Not saved: somebody else moved tasks of this day meanwhile.', [
      button('Save mine over it', () => this.#saveOver(), { class: 'main' }),
      button('Show theirs', () => this.#takeTheirs()),
    ]);
  }

  async #saveOver() {
    try {
      await this.#put(await api.get(this.path));
    } catch (error) {
      tellError(error, () => this.#saveOver());
    }
  }

  async #takeTheirs() {
    try {
      this.stored = await api.get(this.path);
      await this.#forget();
    } catch (error) {
      tellError(error, () => this.#takeTheirs());
    }
  }

  async #forget() {
    this.moves = new Map(this.stored.body.moves.map((move) => [move.task, move.begins_at]));
    this.changed = false;
    await this.#reload();
    clearMessages();
    this.close();
  }

  /* Everything as worked out, by the button above the ribbon. */
  async clear() {
    this.moves = new Map();
    this.changed = true;
    await this.save();
  }

  async giveUp() {
    this.trying?.abort();
    if (!this.changed) {
      this.close();
      return;
    }
    try {
      await this.#forget();
    } catch (error) {
      tellError(error, () => this.giveUp());
    }
  }

  close() {
    this.element.hidden = true;
    this.task = null;
    this.onshow(this.timetable, null);
    this.onclose(this.chosenId);
  }
}
