/* The mixing list of a date: live while it can still change, as it was printed when it is past. */
import { h, button, link } from '../dom.js';
import * as api from '../api.js';
import { BatchMarks } from '../batch-marks.js';
import { dayHeading, dayStepper } from '../day.js';
import { dayWords, momentWords } from '../dates.js';
import { degreesChooser, whenDegreesChange } from '../degrees.js';
import { doughPanel, nightPanel } from '../dough-temperature.js';
import { tellError } from '../messages.js';
import { Once } from '../once.js';
import { changesTable, isChanged } from '../print-changes.js';
import { go } from '../router.js';
import { session, today } from '../session.js';
import { sheet } from '../sheet.js';
import { Ticks } from '../ticks.js';

export async function show(view, wanted) {
  const date = wanted ?? session().working_day;
  const marks = new BatchMarks(view, date);
  const [{ body: list }] = await Promise.all([api.get(`/mixing-lists/${date}`, view), marks.load()]);
  const past = date < session().working_day;
  const kept =
    past && list.last_print
      ? (await api.get(`/mixing-lists/${date}/prints/${list.last_print.number}`, view)).body
      : null;
  const live = past || list.mixes.length === 0 ? null : await liveParts(view, date, list);
  const place = h('div', {});
  const draw = () => {
    marks.clear(kept ? null : (live?.list ?? list).changes);
    place.replaceChildren(
      sheet(kept ?? live?.list ?? list, { ticks: past ? null : new Ticks(date), mark: null, batches: marks }),
    );
    marks.update();
  };
  if (live) live.draw = draw;
  draw();
  marks.watch();
  whenDegreesChange(view, draw);
  return view.frame(
    `Mixing list of ${dayWords(date, today())}`,
    dayHeading('Mixing list', date),
    h('div', { class: 'day-tools' }, dayStepper(date, (day) => `#/mixing/${day}`, 'Mixing date'), degreesChooser()),
    past ? pastNote(list, (kept ?? list).mixes.length === 0) : (live?.state ?? h('div', { class: 'print-state' }, printState(list, date))),
    marks.notice,
    live ? [printButton(date, list), live.panels] : null,
    place,
    marks.others,
  );
}

/* What can still change: whether the print holds, what was measured, what came out of it. */
async function liveParts(view, date, list) {
  const [measured, bakery] = await Promise.all([
    api.get(`/mixing-lists/${date}/temperatures`, view),
    api.get('/bakery', view),
  ]);
  const live = { list, draw: () => {} };
  live.state = h('div', { class: 'print-state' }, printState(list, date));
  const saved = async () => {
    live.list = (await api.get(`/mixing-lists/${date}`, view)).body;
    live.state.replaceChildren(printState(live.list, date));
    live.draw();
  };
  live.panels = [
    nightPanel(view, { date, measured, usual: bakery.body, saved }),
    bakery.body.mixers.length ? doughPanel(view, { list, mixers: bakery.body.mixers, saved }) : null,
  ];
  return live;
}

function pastNote(list, empty) {
  if (list.last_print) {
    return h(
      'div',
      { class: 'message note' },
      h(
        'p',
        {},
        `This date is past. Below is print ${list.last_print.number} as it was made at `,
        momentWords(list.last_print.printed_at),
        ' by ',
        list.last_print.printed_by,
        '. ',
        printLink(list.date, list.last_print.number, 'Open it'),
      ),
    );
  }
  if (empty) return null;
  return h(
    'div',
    { class: 'message note' },
    h('p', {}, 'This date is past and nothing was printed. Below is what the orders come to with today’s formulas.'),
  );
}

const printLink = (date, number, words) => link(`#/mixing/${date}/print/${number}`, words);

function printState(list, date) {
  const last = list.last_print;
  if (!last) return h('p', {}, 'Not printed yet.');
  const words = [
    printLink(date, last.number, `Print ${last.number}`),
    ` was made at ${momentWords(last.printed_at)} by ${last.printed_by}.`,
  ];
  if (!isChanged(list.changes)) return h('p', {}, words, ' Nothing has changed since.');
  return h(
    'div',
    { class: 'message warn' },
    h('p', {}, words, ' ', h('strong', {}, 'It is out of date:')),
    changesTable(list.changes),
  );
}

/* Freezes the list under a number of its own, then shows and prints that. */
function printButton(date, list) {
  const once = new Once(`/mixing-lists/${date}/prints`);
  const words = list.last_print ? `Print anew, in place of print ${list.last_print.number}` : 'Print';
  let busy = false;
  const work = async () => {
    if (busy) return;
    busy = true;
    press.setAttribute('aria-disabled', 'true');
    try {
      const { body } = await once.send({});
      go(`#/mixing/${date}/print/${body.number}?now`);
    } catch (error) {
      tellError(error, work);
    }
    busy = false;
    press.removeAttribute('aria-disabled');
  };
  const press = button(words, work, { class: 'main' });
  return h('p', { class: 'actions' }, press);
}
