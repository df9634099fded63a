/* The log of a starter: newest first, each entry with the weight after it; what was wrong is undone by
 * an entry of its own, never erased. */
import { h, button, unseen } from './dom.js';
import * as api from './api.js';
import { ask } from './dialog.js';
import { clockOf, dateOf, dayWords } from './dates.js';
import { aligned, most } from './figures.js';
import { tellError } from './messages.js';
import { today } from './session.js';
import { entryDetails, entryWords, gramsOf } from './starter-words.js';

const PAGE = 20;

export class StarterLog {
  /* undone(answer, words): called when an entry has been undone. */
  constructor(code, { undo }) {
    this.path = `/starters/${code}/log`;
    this.undo = undo;
    this.items = [];
    this.next = null;
    this.place = h('div', {});
    this.element = h('section', { class: 'below starter-log' }, h('h2', {}, 'Log'), this.place);
  }

  /* Reads the newest page anew; older pages that were asked for stay. */
  async load(options) {
    const size = Math.max(PAGE, this.items.length);
    const { body } = await api.get(`${this.path}?limit=${Math.min(size, 1000)}`, options);
    this.items = body.items;
    this.next = body.next;
    this.#draw();
    return body;
  }

  async #more() {
    try {
      const from = this.items.length;
      const { body } = await api.get(this.next.slice(api.BASE.length));
      this.items = [...this.items, ...body.items];
      this.next = body.next;
      this.#draw();
      this.place.querySelectorAll('tbody tr.entry')[from]?.focus();
    } catch (error) {
      tellError(error, () => this.#more());
    }
  }

  #draw() {
    if (this.items.length === 0) {
      this.place.replaceChildren(h('p', { class: 'empty' }, 'Nothing yet. Whatever is done to it goes here.'));
      return;
    }
    const decimals = most(this.items.map((entry) => gramsOf(entry.on_hand_g)));
    const more = this.next ? button('Older entries', () => this.#more(), { class: 'add' }) : null;
    this.place.replaceChildren(
      h(
        'table',
        { class: 'list log' },
        h(
          'thead',
          {},
          h(
            'tr',
            {},
            h('th', { scope: 'col', class: 'figures time' }, 'At'),
            h('th', { scope: 'col' }, 'What'),
            h('th', { scope: 'col', class: 'figures' }, 'On hand'),
            h('th', { scope: 'col', class: 'tools' }, unseen('Undo')),
          ),
        ),
        this.#days(decimals),
      ),
      more ? h('p', { class: 'actions' }, more) : '',
    );
  }

  #days(decimals) {
    const bodies = new Map();
    for (const entry of this.items) {
      const day = dateOf(entry.at);
      if (!bodies.has(day)) {
        const head = h('th', { scope: 'rowgroup', colspan: 4 }, dayWords(day, today()));
        bodies.set(day, h('tbody', {}, h('tr', { class: 'day-head' }, head)));
      }
      bodies.get(day).append(this.#row(entry, decimals));
    }
    return [...bodies.values()];
  }

  #row(entry, decimals) {
    const undone = entry.reversed_by !== null && entry.reversed_by !== undefined;
    const words = entryWords(entry);
    const details = entryDetails(entry);
    const may = !undone && entry.kind !== 'reversed';
    return h(
      'tr',
      { class: `entry ${undone ? 'undone' : ''}`, tabindex: -1 },
      h('td', { class: 'figures time' }, clockOf(entry.at)),
      h(
        'th',
        { scope: 'row' },
        undone ? h('s', {}, words) : words,
        h('span', { class: 'sub' }, [...details, `entry ${entry.number}, ${entry.entered_by}`].join(' · ')),
      ),
      h('td', { class: 'figures after' }, aligned(gramsOf(entry.on_hand_g), decimals, 'g')),
      h(
        'td',
        { class: 'tools' },
        may
          ? button('Undo', () => this.undo(entry), {
              class: 'undo quiet',
              'aria-label': `Undo entry ${entry.number}: ${words}`,
              'data-focus': `undo-${entry.number}`,
            })
          : null,
      ),
    );
  }
}

const REASONS = ['A figure was wrong', 'Entered twice', 'It did not happen'];

/* Asks why; resolves with the reason, or null when it is not to be undone. */
export const askWhy = (entry) =>
  ask(`Undo entry ${entry.number}?`, {
    detail: `${entryWords(entry)}. It stays in the log, and an entry of its own undoes it.`,
    label: 'Why?',
    choices: REASONS,
    yes: 'Undo it',
  });
