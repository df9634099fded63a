/* All starters at a glance: which lives how, and what each wants next. */
import { h, link } from '../dom.js';
import * as api from '../api.js';
import { NEW } from '../editor.js';
import { sentence } from '../messages.js';
import { GRAM_PLACES, fromWire, grams } from '../number.js';
import { nextWords, trouble } from '../starter-plan.js';
import { feedByWords, ripeWords, stateWords } from '../starter-status.js';

export async function show(view) {
  const starters = await api.list('/starters', view);
  const plans = await Promise.all(starters.map((one) => planOf(one, view)));
  return view.frame(
    'Starters',
    'Starters',
    h('p', { class: 'lead' }, 'Living cultures of flour and water that are fed, used and kept.'),
    h('p', { class: 'actions' }, link(`#/starters/${NEW}`, 'New starter', { class: 'button main' })),
    starters.length === 0
      ? h('p', { class: 'empty' }, 'None yet. Enter a flour and water among the ingredients first.')
      : h(
          'ul',
          { class: 'starter-cards' },
          starters.map((one, index) => card(one, plans[index])),
        ),
  );
}

/* One plan that cannot be reckoned does not hide the others. */
async function planOf(starter, view) {
  try {
    return { plan: (await api.get(`/starters/${starter.code}/plan`, view)).body };
  } catch (error) {
    if (!(error instanceof api.Problem)) throw error;
    return { why: sentence(error.detail) };
  }
}

function card(starter, { plan, why }) {
  return h(
    'li',
    { class: 'starter-card' },
    h('h2', {}, link(`#/starters/${starter.code}`, starter.name)),
    plan ? facts(plan) : h('p', { class: 'missing' }, why),
  );
}

function facts(plan) {
  const { now } = plan;
  const by = feedByWords(now);
  const ripe = ripeWords(now);
  const next = nextWords(plan);
  return [
    h('p', { class: 'pot-state' }, stateWords(now)),
    h(
      'p',
      { class: 'pot-weight' },
      h('strong', {}, grams(fromWire(now.on_hand_g, GRAM_PLACES))),
      h('span', { class: 'unit' }, ' g on hand'),
    ),
    by?.late ? h('p', { class: 'late' }, h('strong', {}, 'Late. '), `It had to be fed by ${by.text}.`) : null,
    ripe ? h('p', {}, `Ripe ${ripe.text} `, h('span', { class: 'sub' }, ripe.detail)) : null,
    trouble(plan)
      ? h('p', { class: 'missing' }, plan.impossible ? 'No plan can be made yet' : 'The plan does not work out: look')
      : null,
    h(
      'p',
      { class: 'card-next' },
      h('span', { class: 'sub' }, 'Next'),
      next ?? (by ? `Feed by ${by.text}` : 'Nothing is due'),
    ),
  ];
}
