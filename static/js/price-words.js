/* Costs, prices and targets in words and figures. A figure with a hole is said in words, never as a
 * number; a cost is shown finer than the smallest coin, since a gram of flour costs less than one.
 */
import { h, link } from './dom.js';
import { dayWords } from './dates.js';
import { GRAM_PLACES, MONEY_PLACES, PERCENT_PLACES, decimalsOf, fromWire, kilos, money, show } from './number.js';
import { session, today } from './session.js';

const currency = () => session().currency ?? 'XXX';

/* Decimals that the currency itself has: 0, 2 or 3. */
export const coinPlaces = () =>
  new Intl.NumberFormat('en-GB', { style: 'currency', currency: currency() }).resolvedOptions().maximumFractionDigits;

/* A price: as the currency is written, finer only when it is finer. */
export const coins = (text) => money(text, currency(), Math.max(0, decimalsOf(trimmed(text)) - coinPlaces()));

const trimmed = (text) => (text.includes('.') ? text.replace(/\.?0+$/, '') : text);

/* A cost: two decimals beyond the coin, more when it would be nothing otherwise. */
export function fine(text) {
  const size = BigInt(Math.max(0, Number(fromWire(text, MONEY_PLACES).toString().replace('-', ''))));
  let places = coinPlaces() + 2;
  while (places < MONEY_PLACES && size > 0n && size < 10n ** BigInt(MONEY_PLACES - places + 1)) places += 1;
  return money(text, currency(), places - coinPlaces());
}

/* To the last digit that is kept, what is finer than the coin in a softer ink. */
export function exactMoney(text) {
  const shown = money(text, currency(), MONEY_PLACES - coinPlaces());
  const beyond = MONEY_PLACES - coinPlaces() + (coinPlaces() === 0 ? 1 : 0);
  const match = /^(.*?\d)([^\d]*)$/.exec(shown);
  const figures = match[1];
  return h(
    'span',
    { class: 'exact' },
    figures.slice(0, -beyond),
    h('span', { class: 'beyond' }, figures.slice(-beyond)),
    match[2],
  );
}

export const pct = (json, max = 2) =>
  `${show(fromWire(json, PERCENT_PLACES), PERCENT_PLACES, { max }).replace('-', '−')}\u00a0%`;

/* "+12 %", "−3.5 %" */
export const signedPct = (json, max = 2) => `${json < 0 ? '' : '+'}${pct(json, max)}`;

export const kiloWords = (grams) => `${kilos(fromWire(grams, GRAM_PLACES))}\u00a0kg`;

/* "25 kg", "400 g", "1 000 pieces", "1 hour", "1 kWh" */
export function packWords({ per, unit }) {
  const count = show(fromWire(per, 4), 4);
  if (unit === 'g')
    return Number(per) >= 1000 ? `${show(fromWire(per, GRAM_PLACES), GRAM_PLACES + 3)}\u00a0kg` : `${count}\u00a0g`;
  if (unit === 'minute') return Number(per) === 60 ? 'an hour' : `${count}\u00a0minutes`;
  if (unit === 'piece') return Number(per) === 1 ? 'a piece' : `${count}\u00a0pieces`;
  return `${Number(per) === 1 ? 'a' : count}\u00a0${unit}`;
}

export const TARGETS = [
  ['margin_pct', 'Margin', 'of the net price is left after the cost'],
  ['markup_pct', 'Markup', 'on top of the cost'],
  ['ingredient_share_pct', 'Share of ingredients', 'of the net price goes into ingredients'],
];

/* { margin_pct: 60 } -> "60 % margin" */
export function targetWords(target) {
  if (!target) return 'none';
  const [member, value] = Object.entries(target)[0];
  if (member === 'ingredient_share_pct') return `ingredients ${pct(value)}`;
  return `${pct(value)} ${member === 'margin_pct' ? 'margin' : 'markup'}`;
}

const KINDS = {
  ingredients: 'Ingredients',
  handling: 'Left behind in handling',
  spare: 'Spare pieces',
  starter: 'Starter thrown away',
  packaging: 'Packaging',
  labour: 'Labour',
  energy: 'Oven and mixers',
  delivery: 'Delivery',
  overhead: 'Overhead',
  unsold: 'What comes back unsold',
};

export const kindWords = (kind) => KINDS[kind] ?? kind;

/* The page on which a fact of the API is entered, and what it is called; null: no page shows it. */
export function placeOf(path, orderDate) {
  const [kind, code, part, from] = (path ?? '').replace(/^\/api\/v1\//, '').split('/');
  const places = {
    ingredients: () => [
      `#/ingredients/${code}`,
      part ? (from ? `price from ${dayWords(from, today())}` : 'its prices') : 'the ingredient',
    ],
    stock: () => [`#/stock/${code}`, 'its lots'],
    formulas: () => [`#/formulas/${code}`, 'the formula'],
    starters: () => [`#/starters/${code}/settings`, 'the starter'],
    products: () => [`#/products/${code}`, 'the product'],
    rates: () => ['#/rates', code ? `rates from ${dayWords(code, today())}` : 'rates'],
    bakery: () => ['#/bakery', 'the bakery'],
    orders: () => (orderDate ? [`#/orders/${orderDate}/${code}`, 'the order'] : null),
  };
  const place = places[kind]?.();
  return place ? { hash: place[0], words: place[1] } : null;
}

/* "price of Rye flour is missing", leading to where it is entered. */
export function holeWords({ what, where }) {
  const place = placeOf(where);
  return [place ? link(place.hash, what) : what, ' is missing'];
}

export const joinNodes = (nodes) =>
  nodes.flatMap((node, index) => (index === 0 ? [node] : [index === nodes.length - 1 ? ' and ' : ', ', node]));

const RATED = { labour: 'labour', energy: 'oven and mixers', delivery: 'delivery', overhead: 'overhead' };

/* What was left out for want of rates, or null. */
export function leftOutNote(kinds) {
  if (kinds.length === 0) return null;
  const words = kinds.map((kind) => RATED[kind] ?? kind);
  const list = words.length < 2 ? words[0] : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
  return h(
    'p',
    { class: 'message warn left-out' },
    h('span', {}, `Costs are without ${list}: `, link('#/rates', 'enter rates'), ' and they are reckoned in.'),
  );
}
