/* What went into a batch that was mixed, with its lots; and undoing it. */
import { toldWeight } from './amounts.js';
import { openDialog } from './batch-dialog.js';
import { batchWords } from './batch-words.js';
import { clockOn, momentWords } from './dates.js';
import { ask } from './dialog.js';
import { h, button, link } from './dom.js';
import { table } from './figures.js';
import { bestBeforeWords, lotName } from './lot-words.js';
import { capital } from './messages.js';

function lotLine(lot, close) {
  const words = `${toldWeight(lot.g)} of ${lotName(lot)}`;
  return h(
    'span',
    { class: 'batch-lot' },
    link(`#/trace/${lot.lot}`, words, { onclick: close }),
    h('span', { class: 'sub' }, bestBeforeWords(lot), lot.expired ? h('strong', { class: 'missing' }, ', past') : null),
  );
}

function whatOf(line, close) {
  return h('th', { scope: 'row' }, line.name, line.lots.map((lot) => lotLine(lot, close)));
}

/* Resolves with true when it is to be undone. which: as batch-queue.js has a batch. */
export function showMixed(posted, which) {
  const close = () => dialog.close();
  const dialog = openDialog({
    title: `${capital(batchWords(which))}: mixed`,
    sub: [
      `At ${clockOn(posted.mixed_at, posted.date)}; posted by ${posted.posted_by} at ${momentWords(posted.posted_at)}. `,
      `Movement ${posted.movement}.`,
    ],
    body: table({
      heads: ['What went in', { text: 'Weighed', figures: true }],
      rows: posted.lines.map((line) => [whatOf(line, close), h('td', { class: 'figures' }, toldWeight(line.g))]),
    }),
    foot: [
      button('Close', close, { class: 'main', autofocus: true }),
      button('Undo this batch', () => dialog.close(true), { class: 'danger' }),
    ],
  });
  return dialog.answer;
}

const REASONS = ['Ticked by mistake', 'A figure was wrong', 'It was another batch'];

/* Asks why; resolves with the reason, or with null when it is to stay. */
export const askUndo = (which) =>
  ask(`Undo ${batchWords(which)}?`, {
    detail:
      'What it took goes back into the book, and into the logs of its starters. If it was mixed and thrown away, leave it: the flour is gone.',
    label: 'Why?',
    choices: REASONS,
    yes: 'Undo it',
  });
