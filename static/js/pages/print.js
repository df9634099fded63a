/* A print of a mixing list: a record, shown and printed as it was frozen. */
import { h, button, link } from '../dom.js';
import * as api from '../api.js';
import { dayWords, momentWords } from '../dates.js';
import { nameMargins } from '../margins.js';
import { changesBetween, changesTable, isChanged } from '../print-changes.js';
import { session, today } from '../session.js';
import { sheet } from '../sheet.js';

export async function show(view, date, number) {
  const path = `/mixing-lists/${date}/prints`;
  const { body: print } = await api.get(`${path}/${number}`, view);
  const before = print.replaces === null ? null : (await api.get(`${path}/${print.replaces}`, view)).body;
  const mark = `Print ${print.number} · ${momentWords(print.printed_at)}`;
  nameMargins(view, `${session().bakery} · Mixing list of ${dayWords(date, today())}`, mark);
  const now = location.hash.endsWith('?now');
  if (now) view.after(() => printNow(date, number));
  return view.frame(
    `Print ${print.number}, mixing list of ${dayWords(date, today())}`,
    [h('span', { class: 'over' }, 'Mixing list of'), ' ', h('span', { class: 'date' }, dayWords(date, today()))],
    h(
      'p',
      { class: 'print-mark' },
      h('strong', {}, `Print ${print.number}`),
      `, made at ${momentWords(print.printed_at)} by ${print.printed_by}`,
      before ? h('strong', {}, `. Replaces print ${before.number}: throw that one away`) : '',
      '.',
    ),
    h(
      'p',
      { class: 'actions screen-only' },
      button('Print this again', () => window.print(), { class: 'main' }),
      link(`#/mixing/${date}`, 'Back to the list', { class: 'button quiet' }),
    ),
    before ? changesSince(before, print) : null,
    sheet(print, { ticks: null, mark }),
  );
}

/* Once: going back to this address later must not print again. */
function printNow(date, number) {
  history.replaceState(null, '', `#/mixing/${date}/print/${number}`);
  window.print();
}

function changesSince(before, print) {
  const changes = changesBetween(before, print);
  if (!isChanged(changes)) return h('p', {}, `No kilos and no pieces have changed since print ${before.number}.`);
  return h('section', { class: 'since' }, h('h2', {}, `Changed since print ${before.number}`), changesTable(changes));
}
