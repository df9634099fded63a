/* The tasks of a timetable as a native table: the ribbon's twin for keyboards, screen readers and
 * telephones. */
import { h, button, unseen } from './dom.js';
import { clockOf, dateOf, dayWords } from './dates.js';
import { sentence } from './messages.js';
import { breakWords, handsWords, shortHandsWords, taskDetails, taskTitle, untilWords } from './ribbon-words.js';
import { today } from './session.js';

/* A row that names the day, wherever a task is the first to begin on it. columns: of the table */
export function withDays(tasks, columns, rowOf) {
  return tasks.flatMap((task, index) => {
    const day = dateOf(task.begins_at);
    const same = index > 0 && dateOf(tasks[index - 1].begins_at) === day;
    if (same) return [rowOf(task)];
    const head = h('th', { colspan: columns, scope: 'rowgroup' }, dayWords(day, today()));
    return [h('tr', { class: 'day-row' }, head), rowOf(task)];
  });
}

export class TaskList {
  /* only: the bread day that needs no mention; places: a Places; onmove(task): moves it by hand */
  constructor({ only, places, onmove }) {
    Object.assign(this, { only, places, onmove });
    this.body = h('tbody');
    this.element = h(
      'table',
      { class: 'list tasks' },
      h('caption', { class: 'unseen' }, 'All tasks in order of time'),
      h(
        'thead',
        {},
        h(
          'tr',
          {},
          h('th', { scope: 'col' }, 'Begins'),
          h('th', { scope: 'col' }, 'Ends'),
          h('th', { scope: 'col' }, 'Task'),
          h('th', { scope: 'col', class: 'tools' }, unseen('Move')),
        ),
      ),
      this.body,
    );
  }

  show(timetable, { chosen = null } = {}) {
    const tasks = new Map(timetable.tasks.map((task) => [task.id, task]));
    const faultsOf = (task) => timetable.breaks.filter((one) => one.task === task.id);
    this.body.replaceChildren(
      ...withDays(timetable.tasks, 4, (task) => this.#row(task, tasks, faultsOf(task), task.id === chosen)),
    );
  }

  #row(task, tasks, faults, chosen) {
    const title = taskTitle(task, this.places, tasks);
    const details = [
      ...taskDetails(task, tasks, this.only),
      task.mixer ? `in ${task.mixer}` : null,
      task.hands > 0 ? handsWords(task.hands) : null,
    ].filter(Boolean);
    const classes = [task.kind, chosen ? 'chosen' : null, faults.length ? 'broken' : null].filter(Boolean);
    return h(
      'tr',
      { class: classes.join(' '), 'data-task': task.id },
      h('td', { class: 'time' }, clockOf(task.begins_at)),
      h('td', { class: 'until' }, untilWords(task)),
      h(
        'th',
        { scope: 'row' },
        title,
        task.moved ? h('span', { class: 'moved-mark' }, ' moved by hand') : null,
        details.length ? h('span', { class: 'sub' }, details.join(' · ')) : null,
        faults.map((one) =>
          h('span', { class: 'sub break' }, sentence(breakWords(one, tasks, this.places, { subject: false }))),
        ),
      ),
      h('td', { class: 'tools' }, this.#moveButton(task, title)),
    );
  }

  #moveButton(task, title) {
    return button(
      [h('span', { 'aria-hidden': 'true' }, '↔'), unseen(`Move ${title}, ${clockOf(task.begins_at)}`)],
      () => this.onmove(task),
      { class: 'tool' },
    );
  }

  /* The button that moves a task, to go back to. */
  buttonOf(id) {
    return this.body.querySelector(`[data-task="${CSS.escape(id)}"] button`);
  }
}

export const brokenTasks = (breaks) => new Set(breaks.flatMap((one) => [one.task, one.other]).filter(Boolean));

function messageList(kind, head, items) {
  return h(
    'div',
    { class: `message ${kind}` },
    h('p', {}, h('strong', {}, head)),
    h(
      'ul',
      {},
      items.map((text) => h('li', {}, sentence(text))),
    ),
  );
}

const AT_ONCE = 4; // stretches without hands that are told without being asked for

/* Stretches that follow each other with the same people there are one, of the most that it needs. */
function joined(hands) {
  const list = [];
  for (const one of hands) {
    const last = list.at(-1);
    if (last && last.to === one.from && last.there === one.there)
      Object.assign(last, { to: one.to, needed: Math.max(last.needed, one.needed) });
    else list.push({ ...one });
  }
  return list;
}

function handsLack(hands, date) {
  const stretches = joined(hands).map((one) => shortHandsWords(one, date));
  const message = messageList('warn', 'More hands are needed than are there:', stretches.slice(0, AT_ONCE));
  const rest = stretches.slice(AT_ONCE);
  if (rest.length)
    message.append(
      h('details', {}, h('summary', {}, `and ${rest.length} times more`), h('ul', {}, rest.map((text) => h('li', {}, `${text}.`)))),
    );
  return message;
}

/* What does not hold and where hands lack, in words; date: whose weekday goes without saying. */
export function troubles({ breaks, hands, tasks }, places, date) {
  const byId = new Map(tasks.map((task) => [task.id, task]));
  const found = [];
  if (breaks.length)
    found.push(
      messageList(
        'bad',
        breaks.length === 1 ? 'This does not hold:' : `${breaks.length} things do not hold:`,
        breaks.map((one) => breakWords(one, byId, places)),
      ),
    );
  if (hands.length) found.push(handsLack(hands, date));
  return found;
}
