/* The last movements of an ingredient, newest first. */
import { amountOf, amountWords, unitOf } from './amounts.js';
import { clockOf, dateOf, shortDay } from './dates.js';
import { h, link } from './dom.js';
import { LogList, askWhyUndo, isUndone, struck, undoTool } from './log-list.js';
import { lotName } from './lot-words.js';
import { size } from './number.js';
import { WORDS } from './stock-words.js';

export class Movements {
  /* formulas: code -> name; undo(movement): it is to be undone. */
  constructor(ingredient, { formulas, undo }) {
    this.path = `/movements?ingredient=${ingredient}`;
    this.list = new LogList({
      title: 'What happened to it',
      section: 'stock-movements',
      table: 'movements',
      atOnce: 15,
      older: 'Older ones',
      empty: 'Nothing yet.',
      heads,
      rowsOf: () => (movement) => rowOf(movement, ingredient, formulas),
      tool: (movement) => toolOf(movement, formulas, undo),
    });
    this.element = this.list.element;
  }

  /* Reads the newest page anew; older pages that were asked for stay. */
  load(options) {
    return this.list.load(this.path, options);
  }
}

const heads = () => [h('th', { scope: 'col', class: 'figures' }, 'Amount'), h('th', { scope: 'col' }, 'What')];

function rowOf(movement, ingredient, formulas) {
  const words = [movementWords(movement, formulas), movement.reason].filter(Boolean).join(': ');
  const leads = movement.kind === 'received' && !isUndone(movement);
  return [
    h('td', { class: 'figures' }, struck(movement, netWords(movement, ingredient))),
    h(
      'th',
      { scope: 'row' },
      leads ? link(`#/goods-in/${movement.number}`, words) : struck(movement, words),
      h('span', { class: 'sub' }, detailWords(movement, ingredient)),
    ),
  ];
}

function toolOf(movement, formulas, undo) {
  if (isUndone(movement) || movement.kind === 'reversed') return null;
  if (movement.kind === 'fed') {
    return link(`#/starters/${movement.starter}`, 'Its log', {
      class: 'button quiet undo',
      'aria-label': 'Its log, where a feed is undone',
    });
  }
  const words = movementWords(movement, formulas);
  return undoTool(movement.number, { what: `movement ${movement.number}`, words, undo: () => undo(movement) });
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
  const lots = [...new Set(linesOf(movement, ingredient).map((line) => lotName(line)))];
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
export const askWhyUndone = (movement, formulas) =>
  askWhyUndo(
    `movement ${movement.number}`,
    `${[movementWords(movement, formulas), movement.reason].filter(Boolean).join(': ')}. ${whatUndoing(movement)}`,
  );
