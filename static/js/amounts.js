/* Amounts of the store in words and as they are typed. An amount is a BigInt: milligrams of what is
 * weighed, pieces of what is counted; the API tells which by its member ("g" or "pieces", "left_g" or
 * "left_pieces").
 */
import { h } from './dom.js';
import { simple } from './fields.js';
import { GRAM_PLACES, NumberFault, fromWire, grams, plain, readDecimal, show, size, whole } from './number.js';

const KILO = 10n ** 6n; // milligrams
const weighed = (unit) => unit === 'g';

/* "g" or "pieces"; with a stem "left_g" or "left_pieces". */
export const memberOf = (unit, stem = '') => `${stem ? `${stem}_` : ''}${weighed(unit) ? 'g' : 'pieces'}`;

/* "g" or "piece": from what a thing of the API says, else from the members that it has. */
export const unitOf = (thing) =>
  thing.unit ?? (Object.keys(thing).some((name) => name === 'g' || name.endsWith('_g')) ? 'g' : 'piece');

/* The amount of a member such as "left"; without stem `g` or `pieces` itself. null: the API tells none. */
export const amountOf = (thing, stem = '', unit = unitOf(thing)) =>
  fromWire(thing[memberOf(unit, stem)], weighed(unit) ? GRAM_PLACES : 0);

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
function readOrNull(typed, unit) {
  try {
    return readAmount(typed, unit);
  } catch (error) {
    if (!(error instanceof NumberFault)) throw error;
    return null;
  }
}

/* A field for an amount; unitNow(): the unit that it has just now. On leaving it shows how it was understood. */
export function amountField(options, unitNow) {
  const input = h('input', {
    type: 'text',
    inputmode: 'decimal',
    autocomplete: 'off',
    class: 'figure',
    maxlength: 16,
    enterkeyhint: 'next',
  });
  const named = { name: memberOf(unitNow()), unit: unitNow() === 'g' ? 'g' : 'pcs', ...options };
  const field = simple(named, input, {
    parse: (typed) => readAmount(typed, unitNow()) ?? undefined,
    print: (amount) => plain(amount, weighed(unitNow()) ? GRAM_PLACES : 0),
  });
  input.addEventListener('blur', () => {
    const amount = readOrNull(input.value, unitNow());
    if (amount !== null) field.write(amount);
  });
  return field;
}

/* "25 kg", "400 g", "−1 piece"; to the last digit. */
export function amountWords(amount, unit) {
  const sign = amount < 0n ? '−' : '';
  const there = size(amount);
  if (!weighed(unit)) return `${sign}${whole(there)}\u00a0${there === 1n ? 'piece' : 'pieces'}`;
  return there >= KILO || there === 0n ? `${sign}${show(there, GRAM_PLACES + 3)}\u00a0kg` : `${sign}${grams(there)}\u00a0g`;
}

/* The same of a member of something of the API. */
export const toldAmount = (thing, stem = '') => amountWords(amountOf(thing, stem), unitOf(thing));

/* The same of a weight of the API that stands alone. */
export const toldWeight = (g) => toldAmount({ g });

/* "25 kg", "1 pc", "800 pcs": where a column is narrow. */
export const shortWords = (amount, unit) => amountWords(amount, unit).replace(/piece(s?)$/, 'pc$1');

/* "+1.2 kg", "−40 g", "0 kg" */
export function signedShort(amount, unit) {
  return `${amount > 0n ? '+' : ''}${shortWords(amount, unit)}`;
}

/* "4 × 25 kg", "4 × 25 kg and 3.2 kg", "3.2 kg": how an amount stands there in packs. */
export function inPacks(amount, pack, unit) {
  if (!pack || amount < pack) return amountWords(amount, unit);
  const packs = `${whole(amount / pack)} × ${amountWords(pack, unit)}`;
  return amount % pack === 0n ? packs : `${packs} and ${amountWords(amount % pack, unit)}`;
}
