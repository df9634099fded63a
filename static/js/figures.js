/* Figures in tables: right-aligned, decimal points under each other, the unit beside them. */
import { h } from './dom.js';
import { decimalsOf } from './number.js';

/* A shown number that leaves room for the decimals it lacks: its column has at most `decimals`. */
export function aligned(text, decimals, unit = '') {
  const lacking = Math.min(6, decimals - decimalsOf(text));
  const point = decimals > 0 && decimalsOf(text) === 0 ? ' no-point' : '';
  const room = lacking > 0 ? h('span', { class: `room room-${lacking}${point}` }) : null;
  return h('span', { class: 'figure' }, text, room, unit ? h('span', { class: 'unit' }, ` ${unit}`) : null);
}

/* The most decimals of a column's texts. */
export const most = (texts) => texts.reduce((found, text) => Math.max(found, decimalsOf(text)), 0);

/* A cell with one figure. */
export function figureCell(text, decimals = 0, unit = '') {
  return h('td', { class: 'figures' }, aligned(text, decimals, unit));
}

/* A native table: heads are texts or { text, figures }; rows are arrays of elements or texts, the first
 * being the row's head. foot: like a row. */
export function table({ caption, heads, rows, foot, className = '' }) {
  const cell = (content, index, tag = 'td') => {
    if (content instanceof HTMLTableCellElement) return content;
    return index === 0 ? h('th', { scope: 'row' }, content) : h(tag, {}, content);
  };
  const line = (cells) =>
    h(
      'tr',
      {},
      cells.map((content, index) => cell(content, index)),
    );
  return h(
    'table',
    { class: `list ${className}` },
    caption ? h('caption', {}, caption) : null,
    h(
      'thead',
      {},
      h(
        'tr',
        {},
        heads.map((head) =>
          h('th', { scope: 'col', class: head.figures ? 'figures' : (head.class ?? null) }, head.text ?? head),
        ),
      ),
    ),
    h('tbody', {}, rows.map(line)),
    foot ? h('tfoot', {}, line(foot)) : null,
  );
}
