/* Amounts of the store in words and as they are typed. An amount is a BigInt: milligrams of what is
 * weighed, pieces of what is counted; the API tells which by its member ("g" or "pieces", "left_g" or
 * "left_pieces").
 */
import { GRAM_PLACES, NumberFault, fromWire, grams, plain, readDecimal, show, whole } from './number.js';

const KILO = 10n ** 6n; // milligrams
const weighed = (unit) => unit === 'g';

/* "g" or "pieces"; with a stem "left_g" or "left_pieces". */
export const memberOf = (unit, stem = '') => `${stem ? `${stem}_` : ''}${weighed(unit) ? 'g' : 'pieces'}`;

/* An amount of the API, null when it tells none. */
export function amountOf(item, unit, stem = '') {
  return fromWire(item[memberOf(unit, stem)], weighed(unit) ? GRAM_PLACES : 0);
}

/* Whether something of the API is weighed or counted, from the members that it has. */
export const unitOf = (item, stem = '') => (item[memberOf('g', stem)] === undefined ? 'piece' : 'g');

/* As the API takes it: grams as exact text, pieces as a number. */
export const toWire = (amount, unit) => (weighed(unit) ? plain(amount, GRAM_PLACES) : Number(amount));

/* What was typed as an amount, null when nothing was. A weight is grams unless it says "kg". */
export function readAmount(typed, unit) {
  const text = typed.trim();
  if (!weighed(unit)) return readDecimal(text, 0);
  const kilos = /^(.*?)\s*k(?:g|ilos?)?$/i.exec(text);
  if (kilos) return readDecimal(kilos[1], GRAM_PLACES + 3);
  return readDecimal(text.replace(/\s*g$/i, ''), GRAM_PLACES);
}

/* The same, null also when it cannot be read. */
export function readOrNull(typed, unit) {
  try {
    return readAmount(typed, unit);
  } catch (error) {
    if (!(error instanceof NumberFault)) throw error;
    return null;
  }
}

/* For an input: digits alone. */
export const amountTyped = (amount, unit) => plain(amount, weighed(unit) ? GRAM_PLACES : 0);

/* "25 kg", "400 g", "1 piece" */
export function amountWords(amount, unit) {
  if (!weighed(unit)) return `${whole(amount)}\u00a0${amount === 1n || amount === -1n ? 'piece' : 'pieces'}`;
  const size = amount < 0n ? -amount : amount;
  return size >= KILO || size === 0n ? `${show(amount, GRAM_PLACES + 3)}\u00a0kg` : `${grams(amount)}\u00a0g`;
}

/* "25 kg", "1 pc", "800 pcs": where a column is narrow. */
export const shortWords = (amount, unit) => amountWords(amount, unit).replace(/piece(s?)$/, 'pc$1');

/* "+1.2 kg", "−40 g", "0 kg" */
export function signedShort(amount, unit) {
  const words = shortWords(amount < 0n ? -amount : amount, unit);
  if (amount === 0n) return words;
  return `${amount < 0n ? '−' : '+'}${words}`;
}

/* "4 × 25 kg", "4 × 25 kg and 3.2 kg", "3.2 kg": how an amount stands there in packs. */
export function inPacks(amount, pack, unit) {
  if (!pack || amount < pack) return amountWords(amount, unit);
  const packs = `${whole(amount / pack)} × ${amountWords(pack, unit)}`;
  return amount % pack === 0n ? packs : `${packs} and ${amountWords(amount % pack, unit)}`;
}
