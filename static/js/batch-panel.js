/* The panel in which a batch is said to be mixed. As listed it takes one touch more; what was weighed
 * otherwise, or of which lot, is changed here. */
import { openDialog } from './batch-dialog.js';
import { BatchLines } from './batch-lines.js';
import { batchWords } from './batch-words.js';
import { dayWords } from './dates.js';
import { h, button } from './dom.js';
import { capital, sentence } from './messages.js';
import { GRAM_PLACES, fromWire, kilos } from './number.js';
import { session, today } from './session.js';

/* What the sheet tells to weigh; where the scale would show nothing, what is really meant. */
const weighedOf = (line) =>
  fromWire(line.weigh_g, GRAM_PLACES) === 0n ? line.exact_g : line.weigh_g;

/* The lines of a mix as a body has them. */
export const linesOfMix = (mix) =>
  mix.lines.map(({ ingredient, starter, formula, ...line }) => ({
    ...(ingredient ? { ingredient } : starter ? { starter } : { formula }),
    g: String(weighedOf(line)),
  }));

export const namesOfMix = (mix) => mix.lines.map((line) => line.name);

const totalOf = (lines) => lines.reduce((sum, { g }) => sum + fromWire(g, GRAM_PLACES), 0n);

function totalWords(all, listed) {
  const words = `${kilos(all)} kg in all`;
  if (listed === null) return words;
  return all === listed ? `${words}, as listed` : `${words}; ${kilos(listed)} kg are listed`;
}

/* which: the batch as batch-queue.js has it; lines, names: to begin with; listed: lines of the list, or
 * null; lots: a Lots; unprinted: the print is of other amounts; errors: why it was refused. Resolves with
 * { lines, names }, or with null for not (yet) mixed. */
export function askMixed(which, { lines, names, listed, lots, unprinted = false, errors = [] }) {
  const goal = listed && totalOf(listed);
  const total = h('p', { class: 'sub', role: 'status' });
  let shown = null;
  const changed = () => {
    total.textContent = shown === null ? '' : totalWords(shown.total, goal);
  };
  shown = new BatchLines(lines, names, { lots, date: which.date, changed });
  changed();
  const homeless = shown.fault(errors);
  const ahead = which.date > session().working_day;
  const dialog = openDialog({
    title: capital(batchWords(which)),
    sub: `What really went in. From the list of ${dayWords(which.date, today())}.`,
    body: [
      ahead ? h('p', { class: 'missing' }, 'This list has not begun yet.') : null,
      unprinted ? h('p', { class: 'missing' }, 'The print is of other amounts than the list has now: enter what was weighed.') : null,
      homeless.map(({ detail }) => h('p', { class: 'fault' }, sentence(detail))),
      shown.element,
      total,
    ],
    foot: [
      h('button', { class: 'main huge', autofocus: true }, 'Mixed'),
      button('Not yet', () => dialog.close(), { class: 'quiet' }),
    ],
    submit: () => {
      const read = shown.read();
      if (read) dialog.close(read);
    },
  });
  return dialog.answer;
}
