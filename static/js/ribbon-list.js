/* The tasks of a timetable as a native table: the ribbon's twin for keyboards, screen readers and
 * telephones. */
import { h, button, unseen } from './dom.js';
import { clockOn } from './dates.js';
import { sentence } from './messages.js';
import { handsWords, shortHandsWords, taskDetails, taskTitle } from './ribbon-words.js';

export class TaskList {
  /* date: whose weekday goes without saying; only: the bread day that needs no mention; places: a
   * Places; onmove(task): null where nothing is moved */
  constructor({ date, only, places, onmove = null }) {
    Object.assign(this, { date, only, places, onmove });
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
          h('th', { scope: 'col', class: 'figures' }, 'Begins'),
          h('th', { scope: 'col', class: 'figures wide-only' }, 'Ends'),
          h('th', { scope: 'col' }, 'Task'),
          onmove ? h('th', { scope: 'col', class: 'tools' }, unseen('Move')) : null,
        ),
      ),
      this.body,
    );
  }

  show(timetable, { chosen = null } = {}) {
    const tasks = new Map(timetable.tasks.map((task) => [task.id, task]));
    const faults = faultsOf(timetable.breaks);
    this.body.replaceChildren(...timetable.tasks.map((task) => this.#row(task, tasks, faults.get(task.id) ?? [], chosen)));
  }

  #row(task, tasks, faults, chosen) {
    const title = taskTitle(task, this.places, tasks);
    const details = [
      ...taskDetails(task, tasks, { only: this.only, date: this.date }),
      task.mixer ? `in ${task.mixer}` : null,
      task.hands > 0 ? handsWords(task.hands) : null,
      task.moved ? 'moved by hand' : null,
    ].filter(Boolean);
    const classes = [task.kind, task.id === chosen ? 'chosen' : null, faults.length ? 'broken' : null];
    return h(
      'tr',
      { class: classes.filter(Boolean).join(' '), 'data-task': task.id },
      h('td', { class: 'figures time' }, clockOn(task.begins_at, this.date)),
      h('td', { class: 'figures wide-only' }, clockOn(task.ends_at, this.date)),
      h(
        'th',
        { scope: 'row' },
        title,
        h('span', { class: 'sub narrow-only' }, `until ${clockOn(task.ends_at, this.date)}`),
        details.length ? h('span', { class: 'sub' }, details.join(' · ')) : null,
        faults.map((text) => h('span', { class: 'sub break' }, sentence(text))),
      ),
      this.onmove ? h('td', { class: 'tools' }, this.#moveButton(task, title)) : null,
    );
  }

  #moveButton(task, title) {
    return button(
      [h('span', { 'aria-hidden': 'true' }, '↔'), unseen(`Move ${title}`)],
      () => this.onmove(task),
      { class: 'tool' },
    );
  }

  /* The button that moves a task, to go back to. */
  buttonOf(id) {
    return this.body.querySelector(`[data-task="${CSS.escape(id)}"] button`);
  }
}

/* id of a task -> what does not hold with it */
function faultsOf(breaks) {
  const found = new Map();
  const add = (id, text) => {
    if (id !== null && id !== undefined) found.set(id, [...(found.get(id) ?? []), text]);
  };
  for (const one of breaks) add(one.task, one.text);
  return found;
}

export const brokenTasks = (breaks) => new Set(breaks.flatMap((one) => [one.task, one.other]).filter(Boolean));

/* What does not hold and where hands lack, in words; null: all is well. */
export function troubles(timetable, date) {
  const { breaks, hands } = timetable;
  return [
    breaks.length
      ? h(
          'div',
          { class: 'message bad breaks' },
          h('p', {}, h('strong', {}, breaks.length === 1 ? 'This does not hold:' : `${breaks.length} things do not hold:`)),
          h(
            'ul',
            {},
            breaks.map((one) => h('li', {}, sentence(one.text))),
          ),
        )
      : null,
    hands.length
      ? h(
          'div',
          { class: 'message warn hands-short' },
          h('p', {}, h('strong', {}, 'More hands are needed than are there:')),
          h(
            'ul',
            {},
            hands.map((one) => h('li', {}, shortHandsWords(one, date))),
          ),
        )
      : null,
  ];
}
