/* The run sheet itself, on the screen and on paper: one native table in order of time.
 *
 * A stage that asks for no hands (a rest, a proof) is not something to do: it is told with the task
 * that it follows, "then Rest until 22:50". Where a formula says nothing about hands, every stage is
 * shown.
 */
import { h, unseen } from './dom.js';
import { clockOf, duration } from './dates.js';
import { withDays } from './ribbon-list.js';
import { handsWords, taskDetails, taskTitle, untilWords } from './ribbon-words.js';
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
          h('th', { scope: 'col' }, 'Begins'),
          h('th', { scope: 'col' }, 'What hands do'),
          h('th', { scope: 'col', class: 'until' }, 'Until'),
          h('th', { scope: 'col', class: 'last' }, unseen('Done')),
        ),
      ),
      h(
        'tbody',
        {},
        withDays(rows, 4, (task) => rowOf(task, { tasks, followers: followers.get(task.id) ?? [], only, places, ticks })),
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

function rowOf(task, { tasks, followers, only, places, ticks }) {
  const title = taskTitle(task, places, tasks);
  const details = [
    task.mixer ? `in ${task.mixer}` : null,
    ...taskDetails(task, tasks, only),
    task.hands > 1 ? handsWords(task.hands) : null,
    followers.length ? `then ${followers.map(thenWords).join(', ')}` : null,
  ].filter(Boolean);
  return h(
    'tr',
    { class: task.kind },
    h('td', { class: 'time' }, clockOf(task.begins_at)),
    h('th', { scope: 'row' }, title, details.length ? h('span', { class: 'sub' }, details.join(' · ')) : null),
    h('td', { class: 'until' }, untilWords(task)),
    h(
      'td',
      { class: 'last' },
      tickBox({ ticks, key: `run/${task.id}/${task.dough_g}/${task.begins_at}`, number: null, label: `${title} done` }),
    ),
  );
}

function thenWords(stage) {
  const where = stage.at ? ` (${stage.at})` : '';
  return `${stage.stage}${where} ${duration(stage.minutes)}, until ${untilWords(stage)}`;
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
