/* The timetable of a bread day: a ribbon of the night and its list, with what does not hold in words.
 * Tasks are moved by hand here; see ribbon-move.js.
 */
import { h, button, link } from '../dom.js';
import * as api from '../api.js';
import { breadDayTabs, dayHeading, dayStepper } from '../day.js';
import { clockOn, dayWords, duration } from '../dates.js';
import { degreesChooser, whenDegreesChange } from '../degrees.js';
import { confirm } from '../dialog.js';
import { Moves } from '../ribbon-move.js';
import { Ribbon } from '../ribbon.js';
import { WallClock } from '../ribbon-clock.js';
import { TaskList, brokenTasks, troubles } from '../ribbon-list.js';
import { Places } from '../ribbon-words.js';
import { currentBreadDay, rememberBreadDay, session, today } from '../session.js';

export async function show(view, wanted) {
  const date = wanted ?? (await currentBreadDay());
  rememberBreadDay(date);
  const [timetable, moves, bakery] = await Promise.all([
    api.get(`/days/${date}/timetable`, view),
    api.get(`/days/${date}/moves`, view),
    api.get('/bakery', view),
  ]);
  const night = new Night(view, { date, timetable: timetable.body, stored: moves, bakery: bakery.body });
  return view.frame(
    `Timetable for ${dayWords(date, today())}`,
    dayHeading('Timetable', date),
    h('div', { class: 'day-tools' }, dayStepper(date, (day) => `#/timetable/${day}`, 'Bread day'), degreesChooser()),
    breadDayTabs('timetable', date),
    night.element,
  );
}

class Night {
  constructor(view, { date, timetable, stored, bakery }) {
    this.date = date;
    const clock = new WallClock(session().time_zone, timetable.tasks.map((task) => task.begins_at));
    const places = new Places(bakery, timetable.tasks);
    this.places = places;
    this.moves = new Moves(view, {
      date,
      stored,
      clock,
      places,
      onshow: (body, chosen) => this.#show(body, chosen),
      onclose: (id) => this.list.buttonOf(id)?.focus(),
    });
    this.ribbon = new Ribbon(view, {
      places,
      clock,
      bakery,
      onchoose: (task) => this.moves.choose(task),
      ondrag: (task, moment) => this.moves.drag(task, moment),
    });
    this.list = new TaskList({ only: date, places, onmove: (task) => this.moves.choose(task) });
    this.summary = h('p', { class: 'night-summary' });
    this.troubles = h('div', { class: 'troubles' });
    this.movedNote = h('p', { class: 'actions moved-note' });
    this.nothing = h('p', { class: 'empty' }, 'Nothing is ordered for this day, so there is nothing to do for it.');
    this.full = h(
      'div',
      { class: 'night' },
      this.summary,
      this.troubles,
      this.movedNote,
      h(
        'section',
        { class: 'night-list' },
        h('h2', {}, 'In order of time'),
        button('To the ribbon', () => this.ribbon.reach(), { class: 'quiet narrow-only' }),
        this.list.element,
      ),
      this.ribbon.element,
      this.moves.element,
    );
    this.element = h('div', {}, this.nothing, this.full);
    this.moves.use(timetable);
    this.#show(timetable, null);
    whenDegreesChange(view, () => this.#show(this.shown, this.chosen));
  }

  #show(body, chosen) {
    this.shown = body;
    this.chosen = chosen;
    const empty = body.tasks.length === 0;
    this.nothing.hidden = !empty || body.breaks.length > 0;
    this.full.hidden = empty && body.breaks.length === 0;
    this.ribbon.element.hidden = empty;
    this.troubles.replaceChildren(...troubles(body, this.places, this.date));
    this.#showMoved();
    this.list.show(body, { chosen });
    if (empty) return;
    this.summary.replaceChildren(...summaryOf(body, this.date));
    this.ribbon.show(body, { chosen, broken: brokenTasks(body.breaks) });
  }

  #showMoved() {
    const moved = this.moves.moves.size;
    this.movedNote.hidden = moved === 0;
    if (moved === 0) return;
    const tried = this.moves.changed ? ', not all of it saved yet' : '';
    this.movedNote.replaceChildren(
      h('span', {}, `${moved === 1 ? 'One task is' : `${moved} tasks are`} moved by hand${tried}.`),
      button('Go back to as worked out', () => this.#clear(), { class: 'quiet' }),
    );
  }

  async #clear() {
    const sure = await confirm('Go back to the timetable as worked out?', {
      detail: 'What was moved by hand is forgotten.',
      yes: 'Go back to as worked out',
    });
    if (sure) await this.moves.clear();
  }
}

/* From when to when, how long, and how short it could be at best; where its doughs are weighed. */
function summaryOf(body, date) {
  const sheets = [...new Set(body.tasks.map((task) => task.mixing_date).filter(Boolean))].sort();
  const spare = body.minutes - body.at_least_minutes;
  return [
    h('strong', {}, `${clockOn(body.begins_at, date)} to ${clockOn(body.ends_at, date)}`),
    `, ${duration(body.minutes)}`,
    spare > 0 ? `; on these machines it takes at least ${duration(body.at_least_minutes)}` : '',
    '. ',
    sheets.map((day, index) => [index ? ', ' : 'Run sheet of ', link(`#/run-sheet/${day}`, dayWords(day, today()))]),
    sheets.length ? '.' : '',
  ].flat(3);
}
