/* The run sheet of a working day: whatever hands do in it, in order of time, for whichever bread day; on
 * one or two pages of paper with boxes to tick.
 */
import { h, button, link } from '../dom.js';
import * as api from '../api.js';
import { dayHeading, dayStepper } from '../day.js';
import { clockOn, dayWords } from '../dates.js';
import { degreesChooser, whenDegreesChange } from '../degrees.js';
import { nameMargins } from '../margins.js';
import { Ribbon } from '../ribbon.js';
import { WallClock } from '../ribbon-clock.js';
import { brokenTasks, troubles } from '../ribbon-list.js';
import { Places } from '../ribbon-words.js';
import { runSheet } from '../sheet-run.js';
import { session, today } from '../session.js';
import { RUNNING, Ticks } from '../ticks.js';

export async function show(view, wanted) {
  const date = wanted ?? session().working_day;
  const [{ body }, { body: bakery }] = await Promise.all([
    api.get(`/working-days/${date}/run-sheet`, view),
    api.get('/bakery', view),
  ]);
  const title = `Run sheet of ${dayWords(date, today())}`;
  nameMargins(view, `${session().bakery} · ${title}`, 'Run sheet', { narrow: true });
  const element = view.frame(
    title,
    dayHeading('Run sheet', date),
    h('div', { class: 'day-tools' }, dayStepper(date, (day) => `#/run-sheet/${day}`, 'Working day'), degreesChooser()),
    body.tasks.length === 0
      ? h('p', { class: 'empty' }, 'Nothing is to be done in this working day.')
      : content(view, body, bakery),
  );
  element.classList.add('run-page');
  return element;
}

function content(view, body, bakery) {
  const days = [...new Set(body.tasks.flatMap((task) => task.for))].sort();
  const only = mostly(body.tasks, days);
  const places = new Places(bakery, body.tasks);
  const clock = new WallClock(session().time_zone, body.tasks.map((task) => task.begins_at));
  const ribbon = new Ribbon(view, { places, clock, bakery });
  const ticks = new Ticks(body.date, RUNNING);
  const place = h('div', {});
  const draw = () => {
    place.replaceChildren(runSheet(body, { only, places, ticks }));
    ribbon.show(body, { broken: brokenTasks(body.breaks) });
  };
  draw();
  whenDegreesChange(view, draw);
  return [
    h(
      'p',
      { class: 'run-for' },
      `${clockOn(body.from, body.date)} to ${clockOn(body.to, body.date)}, for `,
      h('strong', {}, dayWords(only, today())),
      days.length > 1 ? ' where a line names no other bread day.' : '.',
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

/* The bread day that most of the work is for. */
function mostly(tasks, days) {
  const count = (day) => tasks.filter((task) => task.for.includes(day)).length;
  return days.reduce((best, day) => (count(day) > count(best) ? day : best));
}
