/* Amounts of the flour store in words and figures: kilos of what is weighed, pieces of what is counted.
 *
 * An amount is a BigInt of milligrams or pieces. The API tells it as `g` or `pieces`, what was derived
 * from it as `free_g` or `free_pieces`.
 */
import { dayWords, daysBetween, relativeDay, shortDay } from './dates.js';
import { h } from './dom.js';
import { simple } from './fields.js';
import { amountOf as amountIn, amountTyped, amountWords as exactWords, memberOf, readAmount, readOrNull } from './goods-in-amounts.js';
import { GRAM_PLACES, show, whole } from './number.js';
import { session, today } from './session.js';

const KILO_PLACES = GRAM_PLACES + 3;
const KILO = 1_000_000n;

/* "g" or "piece": from what the thing says, else from the members that it has. */
export const unitOf = (thing) =>
  thing.unit ?? (Object.keys(thing).some((name) => name === 'g' || name.endsWith('_g')) ? 'g' : 'piece');

/* The amount of a member such as "free"; without stem `g` or `pieces` itself. null: not told. */
export const amountOf = (thing, stem = '') => amountIn(thing, unitOf(thing), stem);

export const size = (value) => (value < 0n ? -value : value);

const minus = (text) => text.replace('-', '−');

/* "107.4 kg", "350 g", "1 piece"; to the last digit. */
export const amountWords = (value, unit) => minus(exactWords(value, unit));

/* The same to the gram. */
export const gramWords = (value, unit) =>
  unit === 'g' && size(value) >= KILO ? `${minus(show(value, KILO_PLACES, { max: 3 }))}\u00a0kg` : amountWords(value, unit);

/* Kilos without unit: "107.4", "9.25", "0.305". The finer the less there is, never finer than a gram. */
export function kiloText(mg) {
  const max = size(mg) >= 10n * KILO ? 1 : size(mg) >= KILO ? 2 : 3;
  return minus(show(mg, KILO_PLACES, { max }));
}

/* The same in round figures, for sentences and lists. */
export const roundWords = (value, unit) =>
  unit !== 'g' || size(value) < KILO ? amountWords(value, unit) : `${kiloText(value)}\u00a0kg`;

/* A figure of a column and its unit. */
export const figureOf = (value, unit) =>
  unit === 'g' ? { text: kiloText(value), unit: 'kg' } : { text: minus(whole(value)), unit: 'pcs' };

/* A field for an amount: grams, or kilos when it is typed with "kg"; pieces of what is counted. */
export function amountField(options, unit) {
  const input = h('input', { type: 'text', inputmode: 'decimal', autocomplete: 'off', class: 'figure', maxlength: 16 });
  const field = simple({ name: memberOf(unit), unit: unit === 'g' ? 'g' : 'pcs', ...options }, input, {
    parse: (typed) => readAmount(typed, unit) ?? undefined,
    print: (amount) => amountTyped(amount, unit),
  });
  input.addEventListener('blur', () => {
    const amount = readOrNull(input.value, unit);
    if (amount !== null) field.write(amount);
  });
  return field;
}

/* The working day that lasts now: what is used in the hours after midnight still belongs to it. */
export const now = () => session().working_day;

/* "today", "tomorrow", "in 3 days"; "tonight" when the working day began yesterday. */
export const awayWords = (date) => (date === now() && date < today() ? 'tonight' : relativeDay(date, today()));

/* "on Friday 27 November" with "today" and "tomorrow" where it is near. */
export function onDay(date) {
  const near = awayWords(date);
  return / /.test(near) ? `on ${dayWords(date, today())}` : near;
}

/* "today", "tomorrow", "Fri 27 Nov" */
export function shortOnDay(date) {
  const near = awayWords(date);
  return / /.test(near) ? shortDay(date) : near;
}

export const FAR = 42; // days that the server looks ahead

/* When an ingredient runs out: { text, detail, days }; days: how far away, Infinity when not in sight. */
export function runOutOf(item) {
  if (item.runs_out) {
    return { text: dayWords(item.runs_out, today()), detail: awayWords(item.runs_out), days: daysBetween(now(), item.runs_out) };
  }
  if (amountOf(item, 'usual_week') === null)
    return { text: 'not known', detail: 'enough for the orders that are in', days: Infinity };
  return { text: 'not in sight', detail: `more than ${FAR} days`, days: Infinity };
}

/* What a lot is called: by the mark on the sack, or by its number. */
export const lotName = (lot) => (lot.lot_mark ? `${lot.lot_mark} (lot ${lot.lot})` : `Lot ${lot.lot}`);

/* "14 Mar 2027" */
export const yearDay = (date) => `${shortDay(date).slice(4)} ${date.slice(0, 4)}`;

export const WORDS = {
  received: 'Goods in',
  mixed: 'Mixed',
  fed: 'Fed to a starter',
  used: 'Used',
  wasted: 'Wasted',
  returned: 'Sent back',
  counted: 'Counted',
  moved: 'Moved',
  reversed: 'Undone',
};
