/* What a bread day takes from the stores and, for an owner, what it costs. A price that is missing is
 * said in words; it is never a zero.
 */
import { h, link } from '../dom.js';
import * as api from '../api.js';
import { breadDayTabs, dayHeading, dayStepper } from '../day.js';
import { dayWords, joinWords } from '../dates.js';
import { figureCell, table } from '../figures.js';
import { GRAM_PLACES, fromWire, kilos, money, whole } from '../number.js';
import { currentBreadDay, may, rememberBreadDay, session, today } from '../session.js';
import { needHead } from '../why-need.js';
import { KINDS } from '../wording.js';

export async function show(view, wanted) {
  const date = wanted ?? (await currentBreadDay());
  rememberBreadDay(date);
  const owner = may('owner');
  const [needs, cost] = await Promise.all([
    api.get(`/days/${date}/needs`, view),
    owner ? api.get(`/days/${date}/cost`, view) : null,
  ]);
  const title = owner ? 'Needs and cost' : 'Needs';
  const empty = needs.body.ingredients.length === 0;
  return view.frame(
    `${title} of ${dayWords(date, today())}`,
    dayHeading(title, date),
    dayStepper(date, (day) => `#/needs/${day}`, 'Bread day'),
    breadDayTabs('needs', date),
    empty
      ? h('p', { class: 'empty' }, 'Nothing is ordered for this day.')
      : [
          owner ? totalCost(cost.body) : null,
          h(
            'div',
            { class: 'two-columns' },
            h(
              'section',
              {},
              h('h2', {}, 'From the stores'),
              ingredientTable(needs.body, owner),
              starterTable(needs.body.starters),
            ),
            owner ? h('section', {}, h('h2', {}, 'Cost of each product'), costTable(cost.body)) : null,
          ),
        ],
  );
}

const shown = (text, extra) => money(text, session().currency, extra);

function totalCost({ cost, known_cost: known, missing }) {
  if (cost !== null) {
    return h('p', { class: 'big' }, 'Ingredients and packaging: ', h('strong', {}, shown(cost)));
  }
  const names = missing.map(({ ingredient, name }) => link(`#/ingredients/${ingredient}`, name));
  const listed = names.flatMap((name, index) =>
    index === 0 ? [name] : [index === names.length - 1 ? ' and ' : ', ', name],
  );
  return h(
    'div',
    { class: 'message warn' },
    h('p', { class: 'big' }, 'Cost: not known. At least ', h('strong', {}, shown(known)), '.'),
    h(
      'p',
      {},
      missing.length === 1 ? 'There is no price on this day for ' : 'There are no prices on this day for ',
      listed,
      '.',
    ),
  );
}

function amountCell(need) {
  if (need.g === undefined) return figureCell(whole(need.pieces), 3, 'pc');
  return figureCell(kilos(fromWire(need.g, GRAM_PLACES)), 3, 'kg');
}

const costCell = (text, extra = 0) =>
  text === null ? h('td', { class: 'figures missing' }, 'no price') : h('td', { class: 'figures' }, shown(text, extra));

function ingredientTable(needs, owner) {
  const rows = KINDS.flatMap(([kind, kindName]) => {
    const own = needs.ingredients.filter((need) => need.kind === kind);
    if (own.length === 0) return [];
    const head = h('th', { scope: 'rowgroup', colspan: owner ? 3 : 2, class: 'kind' }, kindName);
    return [[head], ...own.map((need) => [needHead(needs.date, need, owner ? 3 : 2), amountCell(need), ...(owner ? [costCell(need.cost)] : [])])];
  });
  return table({
    heads: ['Ingredient', { text: 'Amount', figures: true }, ...(owner ? [{ text: 'Cost', figures: true }] : [])],
    rows,
  });
}

function starterTable(starters) {
  if (starters.length === 0) return null;
  return h(
    'div',
    {},
    h('h2', {}, 'Of that, through the starters'),
    table({
      heads: ['Starter', { text: 'Amount', figures: true }],
      rows: starters.map((starter) => [starter.name, figureCell(kilos(fromWire(starter.g, GRAM_PLACES)), 3, 'kg')]),
    }),
  );
}

function costTable(cost) {
  const names = new Map(cost.missing.map(({ ingredient, name }) => [ingredient, name]));
  return table({
    heads: ['Product', ...['Pieces', 'Each', 'All'].map((text) => ({ text, figures: true }))],
    rows: cost.products.map((one) => [
      h(
        'th',
        { scope: 'row' },
        one.name,
        one.missing.length === 0
          ? null
          : h(
              'span',
              { class: 'sub missing' },
              `no price for ${joinWords(one.missing.map((code) => names.get(code) ?? code))}`,
            ),
      ),
      figureCell(whole(one.pieces)),
      costCell(one.ingredients_each, 2),
      costCell(one.cost),
    ]),
  });
}
