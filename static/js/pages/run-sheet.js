/* The run sheet of a working day: whatever hands do in it, in order of time, for whichever bread day; on
 * one or two pages of paper with boxes to tick.
 */
import { h, button, link } from '../dom.js';
import * as api from '../api.js';
import { dayHeading, dayStepper } from '../day.js';
import { clockOn, dayWords, joinWords } from '../dates.js';
import { degreesChooser, whenDegreesChange } from '../degrees.js';
import { clearMargins, nameMargins } from '../margins.js';
import { Ribbon } from '../ribbon.js';
import { WallClock } from '../ribbon-clock.js';
import { brokenTasks, troubles } from '../ribbon-list.js';
import { Places } from '../ribbon-words.js';
import { runSheet } from '../sheet-run.js';
import { session, today } from '../session.js';
import { Ticks } from '../ticks.js';

export async function show(view, wanted) {
  const date = wanted ?? session().working_day;
  const [{ body }, { body: bakery }] = await Promise.all([
    api.get(`/working-days/${date}/run-sheet`, view),
    api.get('/bakery', view),
  ]);
  const title = `Run sheet of ${dayWords(date, today())}`;
  nameMargins(`${session().bakery} · ${title}`, 'Run sheet');
  view.signal.addEventListener('abort', clearMargins, { once: true });
  return view.frame(
    title,
    dayHeading('Run sheet', date),
    h('div', { class: 'day-tools' }, dayStepper(date, (day) => `#/run-sheet/${day}`, 'Working day'), degreesChooser()),
    body.tasks.length === 0
      ? h('p', { class: 'empty' }, 'Nothing is to be done in this working day.')
      : content(view, body, bakery),
  );
}

function content(view, body, bakery) {
  const days = [...new Set(body.tasks.flatMap((task) => task.for))].sort();
  const places = new Places(bakery, body.tasks);
  const clock = new WallClock(session().time_zone, body.tasks.map((task) => task.begins_at));
  const ribbon = new Ribbon(view, { places, clock, bakery });
  const ticks = new Ticks(body.date);
  const place = h('div', {});
  const draw = () => {
    place.replaceChildren(runSheet(body, { days, places, ticks }));
    ribbon.show(body, { broken: brokenTasks(body.breaks) });
  };
  draw();
  whenDegreesChange(view, draw);
  return [
    h(
      'p',
      { class: 'run-for' },
      `${clockOn(body.from, body.date)} to ${clockOn(body.to, body.date)}, for `,
      h('strong', {}, joinWords(days.map((day) => dayWords(day, today())))),
      '.',
    ),
    h(
      'p',
      { class: 'actions' },
      button('Print', () => window.print(), { class: 'main' }),
      days.map((day) => link(`#/timetable/${day}`, `Timetable for ${dayWords(day, today())}`, { class: 'button quiet' })),
    ),
    troubles(body, places, body.date),
    h('div', { class: 'night' }, h('section', { class: 'night-list' }, place), ribbon.element),
  ];
}
