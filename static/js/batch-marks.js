/* The batches of a mixing list as they are mixed: on each a control, and how far its tick has come.
 *
 * What is shown is what the server has (looked at again from time to time, for other tablets tick too)
 * and what of this browser is on its way there. Nothing here needs a connection but looking again.
 */
import * as api from './api.js';
import { askUndo, showMixed } from './batch-details.js';
import { Lots } from './batch-lots.js';
import { askMixed, linesOfMix, namesOfMix } from './batch-panel.js';
import { amend, askAgain, flushNow, isMine, linesOf, queueTrouble, seen, takeBack, takeOver, tick, whenQueueChanges } from './batch-queue.js';
import { nameOf, readEntries, readEntry, isLoose } from './batch-store.js';
import { batchWords, clockHere } from './batch-words.js';
import { clockOn, dayWords } from './dates.js';
import { h, button, link, unseen } from './dom.js';
import { lookAgain } from './look-again.js';
import { clearMessages, sentence, speak, tell, tellError } from './messages.js';
import { Onces } from './once.js';
import { today } from './session.js';

const EVERY = 30000; // milliseconds

export class BatchMarks {
  constructor(view, date) {
    this.view = view;
    this.date = date;
    this.posted = new Map(); // by nameOf
    this.lots = new Lots();
    this.mixes = new Map(); // formula -> { mix, place }
    this.unprinted = new Set(); // formulas of which the last print has other amounts
    this.notice = h('div', { class: 'batch-notice', role: 'status' });
    this.others = h('div', {});
    this.undoing = new Onces('/movements'); // by the movement that is undone
    this.heard = []; // batches that were posted since, in the order of their words
    this.entries = new Map(); // of this browser for this date, as they were when last looked at
    this.leaving = new Map(); // entries that another tab has sent, until the server tells of them
    this.turn = 0;
    this.shown = 0;
    this.unread = null; // why the server's batches could not be read at the last attempt
    this.drawn = false;
    this.#readEntries();
    // From before the first look at the server, so that nothing falls between the two.
    whenQueueChanges(view.signal, (posted, elsewhere) => this.#heard(posted, elsewhere));
  }

  /* Reads what the server has; what it cannot tell now is told later. */
  async load() {
    const before = this.heard.length;
    this.turn += 1;
    const { turn } = this;
    try {
      const [batches] = await Promise.all([
        api.list(`/mixing-lists/${this.date}/batches`, this.view),
        this.lots.load(this.view),
      ]);
      if (turn < this.shown) return; // a later one came first
      this.shown = turn;
      // What was posted while that was on its way may not be in it yet.
      this.posted = new Map([...batches, ...this.heard.slice(before)].map((one) => [nameOf(one), one]));
      this.unread = null;
    } catch (error) {
      if (this.view.signal.aborted) return;
      if (!(error instanceof api.Problem)) throw error;
      this.unread = error.detail;
    }
    this.leaving.clear();
  }

  watch() {
    lookAgain(this.view, EVERY, async () => {
      await this.refresh();
      if (this.unread === null) flushNow(); // the server is there: nothing need wait any longer
    });
    flushNow();
  }

  async refresh() {
    await this.load();
    if (!this.view.signal.aborted) this.update();
  }

  /* The queue has come further. An entry that has gone, or was settled without it, is followed by a look at
   * what the server has; one that another tab has sent waits until then. */
  #heard(posted, elsewhere) {
    if (posted?.date === this.date) {
      this.heard.push(posted);
      this.posted.set(nameOf(posted), posted);
      speak(`${posted.name}, batch ${posted.batch}: mixed and posted.`);
    }
    const before = this.entries;
    this.#readEntries();
    const gone = [...before.values()].filter((entry) => this.entries.get(nameOf(entry))?.state !== entry.state);
    if (elsewhere) for (const entry of gone) if (!this.entries.has(nameOf(entry))) this.leaving.set(nameOf(entry), entry);
    this.update();
    if (gone.length > 0) this.refresh();
  }

  #readEntries() {
    const own = readEntries().filter((entry) => entry.date === this.date);
    this.entries = new Map(own.map((entry) => [nameOf(entry), entry]));
  }

  /* --- drawing --- */

  /* Before the sheet is drawn anew, with other mixes perhaps. changes: since the last print, or null. */
  clear(changes) {
    this.drawn = true;
    this.unprinted = new Set((changes?.mixes ?? []).map((one) => one.formula));
    this.mixes.clear();
  }

  /* The row under the lines of a mix. */
  row(mix) {
    const place = h('div', { class: 'batch-marks' });
    this.mixes.set(mix.formula, { mix, place });
    this.#draw(mix, place);
    return h('tr', { class: 'screen-only' }, h('td', { class: 'batch-row', colspan: 3 }, place));
  }

  update() {
    if (!this.drawn) return;
    for (const { mix, place } of this.mixes.values()) this.#draw(mix, place);
    this.#drawOthers();
    this.#drawNotice();
  }

  /* Draws anew only what has changed, so that nothing moves under a finger. */
  #fill(place, marks) {
    const key = JSON.stringify(marks.map(({ state }) => state));
    if (place.dataset.shown === key) return;
    const focus = place.contains(document.activeElement) ? document.activeElement.dataset.focus : null;
    place.dataset.shown = key;
    place.replaceChildren(...marks.map(({ draw }) => draw()));
    if (focus) (place.querySelector(`[data-focus="${focus}"]`) ?? place.querySelector('button'))?.focus();
  }

  #whichOf(mix, batch) {
    const { formula, name, batches } = mix;
    return { date: this.date, formula, name, batch, batches };
  }

  #markOf(which) {
    const name = nameOf(which);
    const entry = readEntry(name) ?? this.leaving.get(name);
    const posted = this.posted.get(name) ?? null;
    const state = [which.batches, posted?.movement, posted?.posted_by, entry, entry && queueTrouble()];
    return { state, draw: () => this.#mark(which, entry, posted) };
  }

  #draw(mix, place) {
    const known = [...this.posted.values(), ...readEntries().filter((entry) => entry.date === this.date)];
    const more = known.filter((one) => one.formula === mix.formula).map((one) => one.batch);
    const last = Math.max(mix.batches, ...more);
    const shown = Array.from({ length: last }, (_, index) => index + 1).filter(
      (batch) => batch <= mix.batches || more.includes(batch),
    );
    this.#fill(place, shown.map((batch) => this.#markOf(this.#whichOf(mix, batch))));
  }

  /* Of mixes that are on the list no more. */
  #drawOthers() {
    const all = [...this.posted.values(), ...readEntries().filter((entry) => entry.date === this.date)];
    const lost = new Map(all.filter((one) => !this.mixes.has(one.formula)).map((one) => [nameOf(one), one]));
    if (lost.size === 0) {
      this.others.replaceChildren();
      return;
    }
    const place = this.others.querySelector('.batch-marks') ?? h('div', { class: 'batch-marks' });
    this.#fill(place, [...lost.values()].map((one) => this.#markOf({ batches: null, ...one })));
    if (!place.isConnected)
      this.others.replaceChildren(h('section', { class: 'below' }, h('h2', {}, 'Mixed, and not on this list any more'), place));
  }

  #drawNotice() {
    const entries = readEntries();
    const waiting = entries.filter((entry) => entry.state === 'waiting').length;
    const away = [...new Set(entries.filter((entry) => entry.date !== this.date).map((entry) => entry.date))];
    const held = waiting > 0 && queueTrouble() !== null;
    const lines = [
      held ? waitingWords(waiting, queueTrouble()) : null,
      this.unread && !held ? h('p', {}, 'What others have mixed is not known now. ', sentence(this.unread)) : null,
      isLoose() ? h('p', {}, h('strong', {}, 'This browser keeps nothing: do not close this page.')) : null,
      away.length ? h('p', {}, 'Ticks of another list are kept here, too: ', listLinks(away), '.') : null,
    ].filter(Boolean);
    const key = lines.map((line) => line.textContent).join('\n');
    if (this.notice.dataset.shown === key) return;
    this.notice.dataset.shown = key;
    this.notice.replaceChildren(
      lines.length
        ? h('div', { class: 'message warn' }, lines, waiting ? h('p', { class: 'actions' }, button('Send now', flushNow)) : null)
        : '',
    );
  }

  #mark(which, entry, posted) {
    const label = which.batches === 1 ? null : h('span', { class: 'batch-number' }, `Batch ${which.batch}`);
    const box = (state, ...content) => h('div', { class: `batch-mark ${state}` }, label, content);
    if (entry?.state === 'asked') return box('asked', this.#question(which, entry));
    if (entry?.state === 'told') return box('told', this.#told(which, entry));
    if (entry) return box('waiting', this.#waiting(which, entry));
    if (posted) return box('mixed', this.#mixed(which, posted));
    const press = this.#button('Mixed', which, () => this.#ask(which), { class: 'batch-tick' });
    return box('open', press);
  }

  /* A button of a batch: its name for those who do not see where it stands, and where the focus returns. */
  #button(text, which, work, attributes = {}) {
    const name = `${nameOf(which)}/${text}`.replace(/[^\w/-]/g, '-');
    return button([text, unseen(` ${batchWords(which)}`)], work, { 'data-focus': name, ...attributes });
  }

  #mixed(which, posted) {
    const words = `Mixed ${clockOn(posted.mixed_at, this.date)}, ${posted.posted_by}`;
    return [h('p', { class: 'batch-done' }, words), this.#button('What went in', which, () => this.#details(which, posted), { class: 'quiet' })];
  }

  #told(which, entry) {
    const words = sentence(`the tick of ${clockHere(entry.at)} was not posted: ${entry.said}`);
    return [h('p', {}, words), this.#button('All right', which, () => seen(entry))];
  }

  #waiting(which, entry) {
    const words = h('p', { class: 'batch-done' }, `Mixed ${clockHere(entry.at)}`, h('span', { class: 'sub' }, waitsWords(entry)));
    if (entry.back) return words;
    const back = this.#button('Take the tick back', which, () => takeBack(entry), { class: 'quiet' });
    if (isMine(entry)) return [words, back];
    // What somebody else sent, only they can find out about: then it is undone, not taken back.
    return [words, this.#button('Send it as mine', which, () => takeOver(entry)), entry.tried ? null : back];
  }

  #question(which, entry) {
    return [
      h('p', {}, h('strong', {}, `Mixed ${clockHere(entry.at)}, not posted. `), sentence(entry.said)),
      h(
        'p',
        { class: 'actions' },
        this.#button('Change amount or lot', which, () => this.#amend(which, entry), { class: 'main' }),
        waysOut(entry),
        this.#button('Post it now', which, () => askAgain(entry)),
        this.#button('Take the tick back', which, () => takeBack(entry), { class: 'quiet' }),
      ),
    ];
  }

  /* --- doing --- */

  async #ask(which) {
    clearMessages();
    const { mix } = this.mixes.get(which.formula);
    const lines = linesOfMix(mix);
    const said = await askMixed(which, { lines, names: namesOfMix(mix), listed: lines, lots: this.lots, unprinted: this.unprinted.has(mix.formula) });
    if (said && !tick(which, said.lines, said.names))
      tell('warn', 'Another tab of this browser has ticked this batch already.');
  }

  async #amend(which, entry) {
    const mix = this.mixes.get(which.formula)?.mix;
    const said = await askMixed(which, {
      lines: linesOf(entry),
      names: entry.names,
      listed: mix ? linesOfMix(mix) : null,
      lots: this.lots,
      errors: entry.errors,
    });
    if (said) amend(entry, said.lines, said.names);
  }

  async #details(which, posted) {
    if (!(await showMixed(posted, which))) return;
    const why = await askUndo(which);
    if (why !== null) await this.#undo(which, posted, why);
  }

  async #undo(which, posted, reason) {
    clearMessages();
    try {
      await this.undoing.post(posted.movement, { kind: 'reversed', reverses: posted.movement, reason });
    } catch (error) {
      tellError(error, () => this.#undo(which, posted, reason));
      if (error.status !== 409) return;
    }
    await this.refresh();
    if (!this.posted.has(nameOf(which))) tell('good', `Undone: ${batchWords(which)}. What it took is back in the book.`);
  }
}

function waitingWords(count, why) {
  const what = count === 1 ? 'One batch that was ticked waits' : `${count} batches that were ticked wait`;
  return h('p', {}, h('strong', {}, `${what} for the server. `), `${sentence(why)} They are kept in this browser, and go by themselves.`);
}

const listLinks = (dates) =>
  dates.map((date, index) => [index ? ', ' : '', link(`#/mixing/${date}`, dayWords(date, today()))]);

function waitsWords(entry) {
  if (entry.back) return 'the tick is taken back as soon as the server answers';
  return isMine(entry) ? 'waits for the server' : `ticked by ${entry.by}; waits until ${entry.by} signs in here`;
}

/* What can set the book right: counting what there is too little of, weighing the pot. */
function waysOut(entry) {
  const lines = linesOf(entry);
  const named = entry.errors.map(({ pointer }) => lines[/^\/lines\/(\d+)/.exec(pointer)?.[1]]).filter(Boolean);
  const starters = [...new Set(named.map((line) => line.starter).filter(Boolean))];
  const nameOfStarter = (code) => entry.names[lines.findIndex((line) => line.starter === code)];
  const counts = named.length === 0 || named.some((line) => line.ingredient);
  return [
    counts ? link('#/count', 'Count what there is', { class: 'button' }) : null,
    starters.map((code) => link(`#/starters/${code}`, `Weigh the pot of ${nameOfStarter(code)}`, { class: 'button' })),
  ];
}
