/* The run sheet itself, on the screen and on paper: one native table in order of time.
 *
 * A stage that asks for no hands (a rest, a proof, cooling) is not something to do: it is told with the
 * task that it follows, "then Rest until 22:50", or, when that was before this working day, as under
 * way. Where a formula says nothing about hands, every stage before the oven is shown.
 */
import { h, unseen } from './dom.js';
import { clockOf } from './dates.js';
import { withDays } from './ribbon-list.js';
import { handsWords, isLastOfItsBread, itemWords, taskDetails, taskTitle, untilWords } from './ribbon-words.js';
import { tickBox } from './sheet.js';

/* only: the bread day that needs no mention; places: a Places; ticks: a Ticks */
export function runSheet(body, { only, places, ticks }) {
  const tasks = new Map(body.tasks.map((task) => [task.id, task]));
  const told = toldWith(body.tasks, tasks);
  const followersOf = (task) => body.tasks.filter((one) => told.get(one.id) === task.id);
  const underWay = body.tasks.filter((task) => told.get(task.id) === UNDER_WAY);
  const rows = body.tasks.filter((task) => !told.has(task.id));
  return h(
    'div',
    { class: 'run' },
    underWay.length ? h('p', { class: 'under-way' }, h('strong', {}, 'Under way: '), underWay.map(underWayWords).join('; '), '.') : null,
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
          h('th', { scope: 'col', class: 'pack wide-only' }, 'Pack from'),
          h('th', { scope: 'col', class: 'last' }, unseen('Done')),
        ),
      ),
      h(
        'tbody',
        {},
        withDays(rows, 5, (task) => rowOf(task, { tasks, followers: followersOf(task), only, places, ticks })),
      ),
    ),
    cautions(),
  );
}

const UNDER_WAY = '';

/* id of a task without hands -> id of the task with which it is told, or UNDER_WAY */
function toldWith(all, tasks) {
  const handy = new Set(all.filter((task) => task.hands > 0 && task.formula).map((task) => task.formula));
  const told = new Map();
  for (const task of all) {
    const quiet = task.kind === 'cool' || (task.kind === 'stage' && handy.has(task.formula));
    if (!quiet || task.hands > 0) continue;
    const own = task.after.map((id) => tasks.get(id)).filter((one) => one?.formula === task.formula);
    if (own.length === 1) told.set(task.id, told.get(own[0].id) ?? own[0].id);
    else if (own.length === 0) told.set(task.id, UNDER_WAY);
  }
  return told;
}

function underWayWords(task) {
  const what = task.items.length ? itemWords(task.items) : `${task.name}${task.batches > 1 ? ` ${task.batch}/${task.batches}` : ''}`;
  return `${what}, ${task.stage} until ${untilWords(task)}`;
}

function rowOf(task, { tasks, followers, only, places, ticks }) {
  const title = taskTitle(task, places, tasks);
  const packed = [task, ...followers].find((one) => isLastOfItsBread(one, tasks));
  const then = followers.filter((one) => one !== packed);
  const details = [
    task.mixer ? `in ${task.mixer}` : null,
    ...taskDetails(task, tasks, only),
    task.hands > 1 ? handsWords(task.hands) : null,
    then.length ? `then ${then.map(thenWords).join(', ')}` : null,
  ].filter(Boolean);
  return h(
    'tr',
    { class: task.kind },
    h('td', { class: 'time' }, clockOf(task.begins_at)),
    h(
      'th',
      { scope: 'row' },
      title,
      details.length ? [' ', h('span', { class: 'sub' }, details.join(' · '))] : null,
      packed ? h('span', { class: 'sub narrow-only' }, `pack from ${untilWords(packed)}`) : null,
    ),
    h('td', { class: 'until' }, untilWords(task)),
    h('td', { class: 'pack wide-only' }, packed ? untilWords(packed) : ''),
    h(
      'td',
      { class: 'last' },
      tickBox({ ticks, key: `run/${task.id}/${task.dough_g}/${task.begins_at}`, number: null, label: `${title} done` }),
    ),
  );
}

/* "Rest (24 °C) until 22:50" */
const thenWords = (task) => `${task.stage}${task.at ? ` (${task.at})` : ''} until ${untilWords(task)}`;

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
