/* The last movements of an ingredient, newest first. What was wrong is undone by a movement of its own,
 * never erased. */
import { h, button, link, unseen } from './dom.js';
import * as api from './api.js';
import { clockOf, dateOf, dayWords, shortDay } from './dates.js';
import { ask } from './dialog.js';
import { tellError } from './messages.js';
import { today } from './session.js';
import { WORDS, amountOf, amountWords, size, unitOf } from './stock-words.js';

const PAGE = 15;
const REASONS = ['A figure was wrong', 'Posted twice', 'It did not happen'];

export class Movements {
  /* formulas: code -> name */
  constructor(ingredient, { formulas, undo }) {
    this.ingredient = ingredient;
    this.formulas = formulas;
    this.undo = undo;
    this.items = [];
    this.next = null;
    this.place = h('div', {});
    this.element = h('section', { class: 'below stock-movements' }, h('h2', {}, 'What happened to it'), this.place);
  }

  /* Reads the newest page anew; older pages that were asked for stay. */
  async load(options) {
    const limit = Math.min(1000, Math.max(PAGE, this.items.length));
    const { body } = await api.get(`/movements?ingredient=${this.ingredient}&limit=${limit}`, options);
    this.items = body.items;
    this.next = body.next;
    this.#draw();
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
      this.place.replaceChildren(h('p', { class: 'empty' }, 'Nothing yet.'));
      return;
    }
    const heads = [
      h('th', { scope: 'col', class: 'figures' }, 'Amount'),
      h('th', { scope: 'col' }, 'What'),
      h('th', { scope: 'col', class: 'tools' }, unseen('Undo')),
    ];
    this.place.replaceChildren(
      h('table', { class: 'list movements' }, h('thead', {}, h('tr', {}, heads)), this.#days()),
      this.next ? h('p', { class: 'actions' }, button('Older ones', () => this.#more(), { class: 'add' })) : '',
    );
  }

  #days() {
    const bodies = new Map();
    for (const movement of this.items) {
      const day = dateOf(movement.at);
      if (!bodies.has(day)) {
        const head = h('th', { scope: 'rowgroup', colspan: 3 }, dayWords(day, today()));
        bodies.set(day, h('tbody', {}, h('tr', { class: 'day-head' }, head)));
      }
      bodies.get(day).append(this.#row(movement));
    }
    return [...bodies.values()];
  }

  #row(movement) {
    const undone = Boolean(movement.reversed_by);
    const words = [movementWords(movement, this.formulas), movement.reason].filter(Boolean).join(': ');
    return h(
      'tr',
      { class: `entry ${undone ? 'undone' : ''}`, tabindex: -1 },
      h('td', { class: 'figures' }, undone ? h('s', {}, netWords(movement, this.ingredient)) : netWords(movement, this.ingredient)),
      h(
        'th',
        { scope: 'row' },
        undone ? h('s', {}, words) : movement.kind === 'received' ? link(`#/goods-in/${movement.number}`, words) : words,
        h('span', { class: 'sub' }, detailWords(movement, this.ingredient)),
      ),
      h('td', { class: 'tools' }, this.#tool(movement, undone)),
    );
  }

  #tool(movement, undone) {
    if (undone || movement.kind === 'reversed') return null;
    if (movement.kind === 'fed') {
      return link(`#/starters/${movement.starter}`, 'Its log', {
        class: 'button quiet undo',
        'aria-label': 'Its log, where a feed is undone',
      });
    }
    return button('Undo', () => this.undo(movement), {
      class: 'undo quiet',
      'aria-label': `Undo movement ${movement.number}: ${movementWords(movement, this.formulas)}`,
      'data-focus': `undo-${movement.number}`,
    });
  }
}

/* What it was, without how much. formulas: code -> name */
export function movementWords(movement, formulas) {
  if (movement.kind === 'reversed') return `Undid movement ${movement.reverses}`;
  if (movement.batch) {
    const { batch, formula } = movement.batch;
    return `Mixed: batch ${batch} of ${formulas?.get(formula) ?? formula}`;
  }
  return WORDS[movement.kind] ?? movement.kind;
}

const linesOf = (movement, ingredient) => movement.lines.filter((line) => line.ingredient === ingredient);

/* "+75 kg", "−3.2 kg"; what was carried to another place changes nothing: how much that was. */
export function netWords(movement, ingredient) {
  const lines = linesOf(movement, ingredient);
  if (lines.length === 0) return '';
  const unit = unitOf(lines[0]);
  const amounts = lines.map((line) => amountOf(line));
  const sum = amounts.reduce((total, one) => total + one, 0n);
  if (movement.kind === 'moved') return amountWords(amounts.filter((one) => one > 0n).reduce((total, one) => total + one, 0n), unit);
  if (sum === 0n) return amountWords(0n, unit);
  return `${sum < 0n ? '−' : '+'}${amountWords(size(sum), unit)}`;
}

function detailWords(movement, ingredient) {
  const lots = [...new Set(linesOf(movement, ingredient).map((line) => line.lot_mark || `lot ${line.lot}`))];
  const places = linesOf(movement, ingredient).filter((line) => amountOf(line) > 0n || movement.kind !== 'moved');
  const where = [...new Set(places.map((line) => line.place))].join(', ');
  const other = movement.date === dateOf(movement.at) ? null : `for ${shortDay(movement.date)}`;
  return [
    clockOf(movement.at),
    movement.by,
    `movement ${movement.number}`,
    other,
    lots.length ? `of ${lots.join(', ')}` : null,
    where ? `${movement.kind === 'moved' ? 'to' : 'in'} ${where}` : null,
    movement.reversed_by ? `undone by movement ${movement.reversed_by}` : null,
  ]
    .filter(Boolean)
    .join(' · ');
}

const whatUndoing = (movement) =>
  movement.lines.length > 1
    ? 'It stays in the book, and a movement of its own undoes all that belongs to it.'
    : 'It stays in the book, and a movement of its own undoes it.';

/* Asks why; resolves with the reason, or null when it is not to be undone. */
export const askWhyUndo = (movement, formulas) =>
  ask(`Undo movement ${movement.number}?`, {
    detail: `${[movementWords(movement, formulas), movement.reason].filter(Boolean).join(': ')}. ${whatUndoing(movement)}`,
    label: 'Why?',
    choices: REASONS,
    yes: 'Undo it',
  });
