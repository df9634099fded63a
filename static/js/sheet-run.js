/* The run sheet itself, on the screen and on paper: one native table in order of time.
 *
 * A stage that asks for no hands (a rest, a proof) is not something to do: it is told with the task
 * that it follows, "then Rest until 22:50". Where a formula says nothing about hands, every stage is
 * shown.
 */
import { h, unseen } from './dom.js';
import { clockOn, duration } from './dates.js';
import { handsWords, taskDetails, taskTitle } from './ribbon-words.js';
import { tickBox } from './sheet.js';

/* days: the bread days of the sheet; places: a Places; ticks: a Ticks */
export function runSheet(body, { days, places, ticks }) {
  const tasks = new Map(body.tasks.map((task) => [task.id, task]));
  const told = toldWith(body.tasks, tasks);
  const only = days.length === 1 ? days[0] : null;
  const rows = body.tasks.filter((task) => !told.has(task.id));
  const followers = new Map();
  for (const [id, leader] of told) followers.set(leader, [...(followers.get(leader) ?? []), tasks.get(id)]);
  return h(
    'div',
    { class: 'run' },
    h(
      'table',
      { class: 'run-sheet' },
      h(
        'thead',
        {},
        h(
          'tr',
          {},
          h('th', { scope: 'col', class: 'figures' }, 'Begins'),
          h('th', { scope: 'col' }, 'What hands do'),
          h('th', { scope: 'col', class: 'figures' }, 'Until'),
          h('th', { scope: 'col', class: 'last' }, unseen('Done')),
        ),
      ),
      h(
        'tbody',
        {},
        rows.map((task) => rowOf(task, { tasks, followers: followers.get(task.id) ?? [], only, date: body.date, places, ticks })),
      ),
    ),
    cautions(),
  );
}

/* id of a stage without hands -> id of the task with which it is told */
function toldWith(all, tasks) {
  const handy = new Set(all.filter((task) => task.hands > 0 && task.formula).map((task) => task.formula));
  const told = new Map();
  for (const task of all) {
    const [before, ...others] = task.after.map((id) => tasks.get(id)).filter((one) => one?.formula === task.formula);
    if (task.kind !== 'stage' || task.hands > 0 || !handy.has(task.formula) || !before || others.length) continue;
    told.set(task.id, told.get(before.id) ?? before.id);
  }
  return told;
}

function rowOf(task, { tasks, followers, only, date, places, ticks }) {
  const title = taskTitle(task, places, tasks);
  const details = [
    task.mixer ? `in ${task.mixer}` : null,
    ...taskDetails(task, tasks, { only, date }),
    task.hands > 1 ? handsWords(task.hands) : null,
  ].filter(Boolean);
  const then = followers.map((one) => thenWords(one, date));
  return h(
    'tr',
    { class: task.kind },
    h('td', { class: 'figures time' }, clockOn(task.begins_at, date)),
    h(
      'th',
      { scope: 'row' },
      title,
      details.length ? h('span', { class: 'sub' }, details.join(' · ')) : null,
      then.length ? h('span', { class: 'sub' }, `then ${then.join(', ')}`) : null,
    ),
    h('td', { class: 'figures until' }, clockOn(task.ends_at, date)),
    h(
      'td',
      { class: 'last' },
      tickBox({ ticks, key: `run/${task.id}/${task.dough_g}/${task.begins_at}`, number: null, label: `${title} done` }),
    ),
  );
}

function thenWords(stage, date) {
  const where = stage.at ? ` (${stage.at})` : '';
  return `${stage.stage}${where} ${duration(stage.minutes)}, until ${clockOn(stage.ends_at, date)}`;
}

const CAUTIONS = [
  ['Heat', 'ovens, steam and hot trays burn; stand aside when a door opens onto steam.'],
  ['Dust', 'tip flour low and slowly.'],
  ['Lifting', 'share or trolley heavy sacks and doughs.'],
];

function cautions() {
  return h(
    'p',
    { class: 'run-cautions' },
    CAUTIONS.map(([what, words]) => [h('strong', {}, `${what}: `), `${words} `]),
    'Your local rules on ovens, dust, loads and food come first.',
  );
}
