/* The programme of raising a starter, day by day: for the screen and for the wall. */
import { h, button } from './dom.js';
import { clockOf, dateOf, dayWords, momentWords } from './dates.js';
import { today } from './session.js';
import { GRAM_PLACES, fromWire, show } from './number.js';
import { weighing } from './starter-plan.js';

const WHAT = { mix: 'Mix', stir: 'Stir', feed: 'Feed', ready: 'Ready' };

const isAny = (json) => Number(json) > 0;

/* A tenth of a gram is plenty here; what is logged is exact. */
const gramsOf = (json) => show(fromWire(json, GRAM_PLACES), GRAM_PLACES, { max: 1 });

/* [name, grams] of what goes into the pot at a step. */
function partsOf(step) {
  return [
    ...(step.kind === 'feed' ? [['seed, kept back', step.keep_g]] : []),
    ...step.flours.map((flour) => [flour.name, flour.g]),
    ['water', step.water_g],
    ...(isAny(step.sweetener_g) ? [['sweetener', step.sweetener_g]] : []),
  ];
}

export const cautionsBlock = (cautions) =>
  h(
    'section',
    { class: 'raising-cautions' },
    h('h2', {}, 'Before you begin'),
    h(
      'ul',
      {},
      cautions.map((caution) => h('li', {}, caution)),
    ),
  );

/* The log's entry that a step stands for. */
export function entryOf(step) {
  if (step.kind === 'mix') return { kind: 'begun', g: step.after_g };
  return { kind: 'fed', seed_g: step.keep_g, flour_g: step.flour_g, water_g: step.water_g };
}

/* Whether an entry "begun" is this programme's mix, give or take: another browser knows of no spoon. */
export function isMixOf(raising, begun) {
  const mix = Number(raising.steps.find((step) => step.kind === 'mix')?.after_g ?? 0);
  return begun !== null && Math.abs(Number(begun.delta_g) - mix) * 4 <= mix;
}

export const isLogged = (step) => step.kind === 'mix' || step.kind === 'feed';

function weights(step) {
  if (step.kind === 'stir' || step.kind === 'ready')
    return h('p', { class: 'running' }, `${gramsOf(step.after_g)}\u00a0g in the pot`);
  return [
    isAny(step.discard_g)
      ? h(
          'p',
          {},
          'First throw away ',
          h('strong', {}, `${gramsOf(step.discard_g)}\u00a0g`),
          ` of ${gramsOf(step.before_g)}\u00a0g.`,
        )
      : null,
    weighing(partsOf(step), gramsOf),
    h('p', { class: 'running' }, `Makes ${gramsOf(step.after_g)}\u00a0g`),
  ];
}

/* mark: 'done', 'due' or null; onlog: what "Log this step" does. */
function stepElement(step, mark, onlog) {
  return h(
    'li',
    { class: `step-of-raising ${step.kind} ${mark ?? ''}` },
    h(
      'h3',
      {},
      h('span', { class: 'square', 'aria-hidden': 'true' }),
      h('span', { class: 'time' }, clockOf(step.at)),
      ' ',
      WHAT[step.kind],
      mark === 'done' ? h('span', { class: 'done-mark' }, ' · logged') : null,
    ),
    weights(step),
    h('p', { class: 'look' }, step.look),
    mark === 'due'
      ? h(
          'p',
          { class: 'actions screen-only' },
          button('Log this step', onlog, { class: 'main', 'data-focus': 'step' }),
        )
      : null,
  );
}

/* The days of the programme. done: how many of its mixes and feeds are in the log; may: whether the
 * next may be logged here; onlog(step). */
export function programme(raising, { done, may, onlog }) {
  let counted = 0;
  const days = new Map();
  for (const step of raising.steps) {
    let mark = null;
    if (isLogged(step)) {
      if (counted < done) mark = 'done';
      else if (counted === done && may) mark = 'due';
      counted += 1;
    }
    if (!days.has(step.day)) days.set(step.day, []);
    days.get(step.day).push(stepElement(step, mark, () => onlog(step)));
  }
  const dateOfDay = (day) => dateOf(raising.steps.find((step) => step.day === day).at);
  return h(
    'div',
    { class: 'programme' },
    [...days].map(([day, steps]) =>
      h(
        'section',
        { class: 'raising-day' },
        h('h2', {}, `Day ${day}`, h('span', { class: 'sub' }, dayWords(dateOfDay(day), today()))),
        h('ol', {}, steps),
      ),
    ),
  );
}

export function summary(raising) {
  const figure = (name, ...words) => h('div', {}, h('dt', {}, name), h('dd', {}, ...words));
  const weight = (json) => [gramsOf(json), h('span', { class: 'unit' }, ' g')];
  return h(
    'dl',
    { class: 'key-figures raising-sum' },
    figure('Ready', momentWords(raising.ready_at)),
    figure('Flour in all', ...weight(raising.flour_g)),
    figure('Water in all', ...weight(raising.water_g)),
    figure('Thrown away on the way', ...weight(raising.discard_g)),
  );
}
