/* A log: what was done, the newest first and by days; what was wrong is undone by an entry of its own, never
 * erased.
 */
import { dateOf, dayWords } from './dates.js';
import { ask } from './dialog.js';
import { h, button, unseen } from './dom.js';
import { Paged } from './paged.js';
import { today } from './session.js';

const REASONS = ['A figure was wrong', 'Entered twice', 'It did not happen'];

export class LogList {
  /* title; section, table: classes; empty: said when there is nothing; heads(): cells of the head but the last;
   * rowsOf(items): a function that makes the cells of an entry but the last; tool(entry): what stands there, or
   * null */
  constructor({ title, section, table, atOnce, older, empty, heads, rowsOf, tool }) {
    Object.assign(this, { table, empty, heads, rowsOf, tool });
    this.place = h('div', {});
    this.paged = new Paged({
      atOnce,
      older,
      draw: () => this.#draw(),
      lineAt: (index) => this.place.querySelectorAll('tbody tr.entry')[index],
    });
    this.element = h('section', { class: `below ${section}` }, h('h2', {}, title), this.place);
  }

  load(path, options) {
    return this.paged.load(path, options);
  }

  #draw() {
    const { items } = this.paged;
    if (items.length === 0) {
      this.place.replaceChildren(h('p', { class: 'empty' }, this.empty));
      return;
    }
    const heads = [...this.heads(), h('th', { scope: 'col', class: 'tools' }, unseen('Undo'))];
    this.place.replaceChildren(
      h('table', { class: `list ${this.table}` }, h('thead', {}, h('tr', {}, heads)), this.#days(items, heads.length)),
      this.paged.moreButton(),
    );
  }

  #days(items, width) {
    const bodies = new Map();
    const row = this.rowsOf(items);
    for (const entry of items) {
      const day = dateOf(entry.at);
      if (!bodies.has(day)) {
        const head = h('th', { scope: 'rowgroup', colspan: width }, dayWords(day, today()));
        bodies.set(day, h('tbody', {}, h('tr', { class: 'day-head' }, head)));
      }
      const cells = [...row(entry), h('td', { class: 'tools' }, this.tool(entry))];
      bodies.get(day).append(h('tr', { class: `entry ${isUndone(entry) ? 'undone' : ''}`, tabindex: -1 }, cells));
    }
    return [...bodies.values()];
  }
}

export const isUndone = (entry) => entry.reversed_by !== null && entry.reversed_by !== undefined;

/* Words of an entry, struck through when it is undone. */
export const struck = (entry, words) => (isUndone(entry) ? h('s', {}, words) : words);

/* what: "entry 12"; words: what it was */
export const undoTool = (number, { what, words, undo }) =>
  button('Undo', undo, { class: 'undo quiet', 'aria-label': `Undo ${what}: ${words}`, 'data-focus': `undo-${number}` });

/* Asks why; resolves with the reason, or null when it is not to be undone. */
export const askWhyUndo = (what, detail) =>
  ask(`Undo ${what}?`, { detail, label: 'Why?', choices: REASONS, yes: 'Undo it' });
