/* The mixing list as a sheet: the same on the screen and on paper, live or as it was printed.
 *
 * Every mix is one native table. Its head repeats on each page of paper, its lines (one block for all
 * identical batches, a tick for each) stay together.
 */
import { h, uniqueId, unseen } from './dom.js';
import { cautions } from './cautions.js';
import { clockOf, clockOn, dateOf, dayWords, duration, joinWords, shortDay } from './dates.js';
import { degrees } from './degrees.js';
import { aligned, most } from './figures.js';
import { GRAM_PLACES, PERCENT_PLACES, fromWire, grams, kilos, percent, whole } from './number.js';
import { today } from './session.js';
import { mixWater, reckonedWith } from './sheet-water.js';

const TICKS_MAX = 6; // more batches than this get one row of ticks for the whole batch

const gramsOf = (json) => grams(fromWire(json, GRAM_PLACES));
const kilosOf = (json) => kilos(fromWire(json, GRAM_PLACES));

/* list: of the API; ticks: a Ticks, or null where nothing is to be ticked on the screen; mark: words
 * that name the print in each head, or null; batches: a BatchMarks, or null where nothing is posted. */
export function sheet(list, { ticks, mark, batches = null }) {
  if (list.mixes.length === 0) return h('p', { class: 'empty' }, 'Nothing is mixed on this date.');
  return h(
    'div',
    { class: 'sheet' },
    h('div', { class: 'sheet-top' }, overview(list), h('div', {}, starterBlock(list.starters), reckonedWith(list), cautions(CAUTIONS))),
    list.mixes.map((mix) => mixBlock(mix, list.date, { ticks, mark, batches })),
  );
}

/* The whole night at a glance; on the screen each name leads to its mix. */
function overview(list) {
  const lead = (event) => {
    const block = document.getElementById(event.target.dataset.mix);
    block.scrollIntoView();
    block.focus();
  };
  const row = (mix) =>
    h(
      'tr',
      {},
      h('td', { class: 'figures time' }, clockOn(mix.begins_at, list.date)),
      h(
        'th',
        { scope: 'row' },
        h('button', { type: 'button', class: 'lead-to', 'data-mix': blockId(mix), onclick: lead }, mix.name),
      ),
      h('td', { class: 'figures' }, mix.batches === 1 ? '' : `${whole(mix.batches)} ×`),
      h('td', { class: 'figures' }, kilosOf(mix.batch_g), h('span', { class: 'unit' }, ' kg')),
    );
  return h(
    'section',
    { class: 'overview' },
    h('h2', {}, 'In order of beginning'),
    h('p', { class: 'sub' }, 'By the formulas alone. The run sheet has the hours by mixer, oven and cold.'),
    h(
      'table',
      { class: 'list night' },
      h(
        'thead',
        {},
        h(
          'tr',
          {},
          h('th', { scope: 'col', class: 'figures time' }, 'Begins'),
          h('th', { scope: 'col' }, 'Mix'),
          h('th', { scope: 'col', class: 'figures', colspan: 2 }, 'Batches'),
        ),
      ),
      h('tbody', {}, list.mixes.map(row)),
    ),
  );
}

const blockId = (mix) => `mix-of-${mix.formula}`;

function starterBlock(starters) {
  if (starters.length === 0) return null;
  const decimals = most(starters.map((one) => gramsOf(one.total_g)));
  return h(
    'section',
    { class: 'starters' },
    h('h2', {}, 'Starter to have ready'),
    h(
      'table',
      { class: 'list' },
      h(
        'thead',
        {},
        h('tr', {}, h('th', { scope: 'col' }, 'Starter'), h('th', { scope: 'col', class: 'figures' }, 'Have ready')),
      ),
      h(
        'tbody',
        {},
        starters.map((one) =>
          h(
            'tr',
            {},
            h(
              'th',
              { scope: 'row' },
              one.name,
              h('span', { class: 'sub' }, `${gramsOf(one.g)} g taken, ${gramsOf(one.keep_g)} g kept back`),
            ),
            h('td', { class: 'figures strong' }, aligned(gramsOf(one.total_g), decimals, 'g')),
          ),
        ),
      ),
    ),
  );
}

const CAUTIONS = [
  ['Allergens', 'as entered here. Check the labels of what was delivered.'],
  ['Dust', 'tip flour low and slowly; follow your local rules on flour dust.'],
  ['Lifting', 'share or trolley heavy sacks and doughs; follow your local rules.'],
  ['Heat', 'scalds, steam and hot ovens burn; keep your local safety and food rules.'],
];

/* --- one mix --- */

function mixBlock(mix, date, { ticks, mark, batches }) {
  const id = uniqueId('mix');
  const each = mix.batches <= TICKS_MAX;
  return h(
    'section',
    { class: 'mix-block', id: blockId(mix), tabindex: -1, 'aria-labelledby': id },
    h(
      'table',
      { class: 'mix' },
      h('thead', {}, mixHead(mix, date, id, mark), lineHeads(mix, each)),
      h(
        'tbody',
        { class: 'batch' },
        lineRows(mix, each ? ticks : null, each),
        each ? null : batchTicks(mix, ticks),
        batches?.row(mix),
      ),
      mix.steps.length ? h('tbody', { class: 'steps' }, stepRows(mix, date)) : null,
    ),
  );
}

function facts(mix) {
  const batches = mix.batches === 1 ? 'one batch' : `${whole(mix.batches)} batches of ${kilosOf(mix.batch_g)} kg`;
  const how = mix.by_hand ? 'by hand' : mix.mixer;
  const warm = mix.dough_c === null ? null : `dough at ${degrees(mix.dough_c)}`;
  return [batches, how, warm].filter(Boolean).join(' · ');
}

function breadDays(mix) {
  const days = mix.for.length === 1 ? [dayWords(mix.for[0], today())] : mix.for.map(shortDay);
  return `for ${joinWords(days)}`;
}

function mixHead(mix, date, id, mark) {
  const allergens = mix.allergens.length ? joinWords(mix.allergens) : 'none entered';
  const other =
    dateOf(mix.begins_at) === date
      ? null
      : h('span', { class: 'weekday' }, ` ${shortDay(dateOf(mix.begins_at)).slice(0, 3)}`);
  return h(
    'tr',
    {},
    h(
      'th',
      { class: 'mix-head', colspan: 3, scope: 'colgroup' },
      h(
        'span',
        { class: 'mix-line' },
        h('span', { class: 'begins' }, unseen('begins at '), clockOf(mix.begins_at), other),
        h('span', { class: 'mix-name', id, role: 'heading', 'aria-level': 2 }, mix.name),
        h('span', { class: 'mix-kilos' }, kilosOf(mix.dough_g), h('span', { class: 'unit' }, ' kg')),
      ),
      h('span', { class: 'mix-facts' }, h('strong', {}, facts(mix)), ' · ', breadDays(mix)),
      mixWater(mix),
      mix.under_minimum ? h('span', { class: 'mix-warning' }, 'A batch is less than this mixer takes.') : null,
      h(
        'span',
        { class: 'mix-allergens' },
        'Allergens: ',
        h('strong', {}, allergens),
        mark ? h('span', { class: 'mark' }, mark) : null,
      ),
    ),
  );
}

function lineHeads(mix, each) {
  return h(
    'tr',
    { class: 'columns' },
    h('th', { scope: 'col', class: 'figures' }, 'Weigh'),
    h('th', { scope: 'col' }, mix.batches === 1 ? 'for the batch' : 'for each batch'),
    h('th', { scope: 'col', class: 'last' }, each ? 'Done' : unseen('Ticks are below')),
  );
}

/* What the scale is to show. Where it would show nothing, what is really meant. */
function weighed(line) {
  const exact = gramsOf(line.exact_g);
  const weigh = gramsOf(line.weigh_g);
  const hidden = weigh === '0' && exact !== '0';
  return { text: hidden ? exact : weigh, exact: hidden || exact === weigh ? null : exact, hidden };
}

function lineRows(mix, ticks, each) {
  const amounts = mix.lines.map(weighed);
  const decimals = most(amounts.map((amount) => amount.text));
  return mix.lines.map((line, index) =>
    h(
      'tr',
      {},
      h('td', { class: 'figures weigh' }, aligned(amounts[index].text, decimals, 'g')),
      h('th', { scope: 'row' }, line.name, h('span', { class: 'sub' }, lineDetail(mix, line, amounts[index]))),
      h('td', { class: 'last ticks' }, each ? tickBoxes(mix, line, index, ticks) : null),
    ),
  );
}

function lineDetail(mix, line, amount) {
  const parts = [`${percent(fromWire(line.pct, PERCENT_PLACES))} %`];
  if (amount.exact) parts.push(`exactly ${amount.exact} g`);
  if (amount.hidden) parts.push('too little for the scale');
  if (mix.batches > 1 && !amount.hidden) parts.push(`${gramsOf(line.total_g)} g in all`);
  return parts.map((part, index) => [h('span', { class: 'bit' }, index < parts.length - 1 ? `${part} ·` : part), ' ']);
}

function tickBoxes(mix, line, index, ticks) {
  return Array.from({ length: mix.batches }, (_, batch) =>
    tickBox({
      ticks,
      key: [mix.formula, index, line.weigh_g, mix.batches, batch].join('/'),
      number: mix.batches === 1 ? null : batch + 1,
      label: mix.batches === 1 ? `${line.name} done` : `${line.name}, batch ${batch + 1}`,
    }),
  );
}

function batchTicks(mix, ticks) {
  const boxes = Array.from({ length: mix.batches }, (_, batch) =>
    tickBox({
      ticks,
      key: [mix.formula, 'batch', mix.batch_g, batch].join('/'),
      number: batch + 1,
      label: `Batch ${batch + 1} done`,
    }),
  );
  return h('tr', {}, h('td', { class: 'all-ticks', colspan: 3 }, h('span', {}, 'Batches done'), boxes));
}

/* On the screen a check box; on paper a square to tick. */
export function tickBox({ ticks, key, number, label }) {
  const shown = number === null ? null : h('span', { class: 'number', 'aria-hidden': 'true' }, String(number));
  if (ticks === null) return h('span', { class: 'tickbox' }, h('span', { class: 'square' }), shown);
  const input = h('input', { type: 'checkbox', 'aria-label': label });
  input.checked = ticks.has(key);
  input.addEventListener('change', () => ticks.put(key, input.checked));
  return h('label', { class: 'tickbox' }, input, h('span', { class: 'square' }), shown);
}

function stepRows(mix, date) {
  const heads = h(
    'tr',
    { class: 'columns' },
    h('th', { scope: 'col', class: 'figures' }, 'Begins'),
    h('th', { scope: 'col' }, 'Step'),
    h('th', { scope: 'col', class: 'last' }, 'Takes'),
  );
  return [
    heads,
    ...mix.steps.map((step) =>
      h(
        'tr',
        {},
        h('td', { class: 'figures time' }, clockOn(step.begins_at, date)),
        h('th', { scope: 'row' }, step.stage, stepDetail(step)),
        h('td', { class: 'last takes' }, duration(step.minutes)),
      ),
    ),
    endRow(mix, date),
  ];
}

function stepDetail(step) {
  const hands = step.hands > 1 ? `${step.hands} pairs of hands` : null;
  const words = [step.at, hands].filter(Boolean).join(' · ');
  return words ? h('span', { class: 'sub' }, words) : null;
}

function endRow(mix, date) {
  return h(
    'tr',
    { class: 'end' },
    h('td', { class: 'figures time' }, clockOn(mix.steps.at(-1).ends_at, date)),
    h('th', { scope: 'row' }, 'Ready'),
    h('td'),
  );
}
