/* What a count came to: the differences, the biggest first, and everything else that was counted. */
import { h, button, link } from '../dom.js';
import * as api from '../api.js';
import { biggestFirst, differencesTable, sumWords } from '../count-differences.js';
import { dayWords, momentWords } from '../dates.js';
import { amountOf, unitOf } from '../amounts.js';
import { lotName } from '../lot-words.js';
import { nameMargins } from '../margins.js';
import { capital } from '../messages.js';
import { MONEY_PLACES, fromWire } from '../number.js';
import { may, session, today } from '../session.js';
import { undoButton } from '../undo-posting.js';

export async function show(view, number) {
  const [{ body: count }, { body: movement }] = await Promise.all([
    api.get(`/counts/${number}`, view),
    api.get(`/movements/${number}`, view),
  ]);
  nameMargins(view, `${session().bakery} · Count ${number}`, dayWords(count.date, today()));
  const undone = movement.reversed_by !== null;
  const lines = count.lines.map(lineOf);
  const differing = biggestFirst(lines.filter((line) => line.counted !== line.expected));
  const same = lines.filter((line) => line.counted === line.expected);
  return view.frame(
    `Count of ${dayWords(count.date, today())}`,
    [
      h('span', { class: 'over' }, `Count ${number} of`),
      ' ',
      h('span', { class: 'date' }, dayWords(count.date, today())),
    ],
    h(
      'p',
      { class: 'lead' },
      [`Entered at ${momentWords(count.at)} by ${count.by}`, count.note].filter(Boolean).join(' · '),
    ),
    undone
      ? h(
          'p',
          { class: 'message warn' },
          `Undone: movement ${movement.reversed_by} set the book back to what it said before.`,
        )
      : null,
    h(
      'p',
      { class: 'actions screen-only' },
      button('Print this', () => window.print(), { class: 'main' }),
      link('#/count', 'Back to the count sheet', { class: 'button quiet' }),
      undone
        ? null
        : undoButton(count.number, {
            what: 'count',
            detail: 'The book goes back to what it said before. Both stay on record.',
            choices: ['Typed twice', 'Typed wrong', 'Counted wrong'],
            done: 'Undone: the book says again what it said before the count.',
          }),
    ),
    differing.length === 0
      ? h('p', { class: 'message good' }, 'Everything that was counted was as the book said.')
      : differences(count, differing),
    same.length === 0
      ? null
      : h('section', { class: 'below' }, h('h2', {}, 'As the book said'), differencesTable(same, { withMoney: false })),
    h('p', { class: 'hint' }, 'What was not counted stayed as the book had it.'),
  );
}

function differences(count, differing) {
  const owner = may('owner');
  return h(
    'section',
    { class: 'below' },
    h('h2', {}, 'Differences, the biggest first'),
    differencesTable(differing, { withMoney: owner }),
    owner
      ? h('p', { class: 'lead' }, sumWords(differing, fromWire(count.difference_value ?? null, MONEY_PLACES)))
      : null,
  );
}

function lineOf(line) {
  const unit = unitOf(line);
  return {
    name: line.name,
    detail: [line.lot === null ? 'all its lots' : capital(lotName(line)), line.place]
      .filter(Boolean)
      .join(' · '),
    unit,
    pack: null,
    expected: amountOf(line, 'expected'),
    counted: amountOf(line, 'counted'),
    value: fromWire(line.difference_value ?? null, MONEY_PLACES),
  };
}
