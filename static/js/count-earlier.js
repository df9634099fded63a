/* Counts that were posted, the newest first. */
import { h, link } from './dom.js';
import * as api from './api.js';
import { dayWords } from './dates.js';
import { sumWords } from './count-differences.js';
import { table } from './figures.js';
import { amountOf } from './amounts.js';
import { MONEY_PLACES, fromWire } from './number.js';
import { may, today } from './session.js';

const SHOWN = 10;

export async function earlierCounts(view) {
  const { body } = await api.get(`/counts?limit=${SHOWN}`, view);
  if (body.items.length === 0) return null;
  return h(
    'section',
    { class: 'below screen-only' },
    h('h2', {}, 'Counted before'),
    table({ heads: ['Count', 'What came of it'], rows: body.items.map(row) }),
  );
}

const differs = (line) => amountOf(line, 'difference') !== 0n;

function row(count) {
  const differing = count.lines
    .filter(differs)
    .map((line) => ({ value: fromWire(line.difference_value ?? null, MONEY_PLACES) }));
  const lines = `${count.lines.length} ${count.lines.length === 1 ? 'line' : 'lines'}, ${differing.length || 'none'} with a difference`;
  const worth =
    may('owner') && differing.length > 0
      ? sumWords(differing, fromWire(count.difference_value ?? null, MONEY_PLACES))
      : null;
  return [
    h(
      'th',
      { scope: 'row' },
      link(`#/count/${count.number}`, dayWords(count.date, today())),
      h('span', { class: 'sub' }, [`by ${count.by}`, count.note].filter(Boolean).join(' · ')),
    ),
    h('td', {}, lines, worth ? h('span', { class: 'sub' }, worth) : null),
  ];
}
