/* What one piece costs, in lines that open down to the facts behind them. */
import { h } from './dom.js';
import { dayWords } from './dates.js';
import { fromWire, show } from './number.js';
import {
  coins,
  exactMoney,
  fine,
  holeWords,
  joinNodes,
  kindWords,
  leftOutNote,
  packWords,
  pct,
  placeOf,
} from './price-words.js';
import { today } from './session.js';
import { outline } from './why.js';

const UNITS = { g: 'g', minute: 'min', kWh: 'kWh' };

/* "437.793 g", "2 pieces", "0.4711 min" */
export function quantityWords({ quantity, unit }) {
  if (unit === undefined || quantity === undefined) return '';
  if (unit === 'pct') return pct(quantity, 4);
  const shown = show(fromWire(quantity, 6), 6);
  if (unit === 'piece') return `${shown}\u00a0${shown === '1' ? 'piece' : 'pieces'}`;
  return `${shown}\u00a0${UNITS[unit] ?? unit}`;
}

/* "437.793 g at £23.60 for 25 kg" */
function detail(node) {
  const parts = [quantityWords(node)];
  if (node.rate) parts.push(`at ${coins(node.rate.price)} for ${packWords(node.rate)}`);
  return parts.filter(Boolean).join(' ');
}

/* A line that only its own node bears out is named by its kind. */
const words = (node) => kindWords(node.what);

const value = (node) => {
  if (!node.missing) return exactMoney(node.value);
  return node.children.length === 0 ? 'missing' : ['not known, ', fine(node.value), ' of it'];
};

const placeWords = (node) => placeOf(node.where);

/* cost: the answer of /products/{code}/cost?why=1 */
export function costOutline(cost) {
  return h(
    'section',
    { class: 'cost', 'aria-labelledby': 'cost-heading' },
    h('h2', { id: 'cost-heading' }, 'What one piece costs'),
    leftOutNote(cost.left_out),
    holesNote(cost),
    h(
      'p',
      { class: 'hint screen-only' },
      'Open a line to see what it is made of, down to what was entered. The lines sum to the figure above them.',
    ),
    outline(cost.lines, {
      label: `Cost of one ${cost.name}`,
      words,
      value,
      detail,
      place: placeWords,
      where: `/api/v1/products/${cost.product}`,
    }),
    totalLine(cost),
  );
}

function totalLine(cost) {
  return h(
    'p',
    { class: 'why-total' },
    h('span', {}, 'One piece'),
    cost.cost_each === null
      ? h('span', { class: 'missing' }, 'not known')
      : h('span', { class: 'why-value' }, exactMoney(cost.cost_each)),
  );
}

/* Holes of a cost, or null. */
function holesNote(cost) {
  if (cost.missing.length === 0) return null;
  return h(
    'div',
    { class: 'message warn holes' },
    h(
      'p',
      {},
      h('strong', {}, 'The cost is not known: '),
      joinNodes(cost.missing.map((one) => h('span', {}, holeWords(one)))),
      '.',
    ),
    h('p', {}, 'What is known comes to ', h('strong', {}, fine(cost.known_cost)), '.'),
  );
}

export function basisWords(cost) {
  const day = cost.typical ? 'a typical day' : dayWords(cost.date, today());
  const spare = cost.pieces - cost.ordered;
  return `Reckoned for ${day}: ${cost.ordered} ordered${spare > 0 ? `, ${spare} spare` : ''}`;
}
