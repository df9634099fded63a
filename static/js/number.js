/* Exact decimals: a number is a BigInt count of 10^-places. No floating point where something is
 * weighed or paid.
 *
 * People write 1.5 or 1,5, and group thousands with spaces; one mark is always the decimal mark. With
 * both kinds, the last is the decimal mark and the others must group by threes ("1.234,5"). What the
 * API sends are JSON numbers of at most 15 digits, whose shortest text is their exact value.
 */

export const GRAM_PLACES = 3; // milligrams
export const PERCENT_PLACES = 4;
export const MONEY_PLACES = 6;

const NARROW_SPACE = '\u202f';
const SPACES = /[\s\u00a0\u2007\u2009\u202f'’]/g;

export class NumberFault extends Error {}

/* What was typed as a BigInt, or null when nothing was. Throws NumberFault with a sentence. */
export function readDecimal(typed, places) {
  const text = typed.replace(SPACES, '');
  if (text === '') return null;
  const match = /^(-?)(\d*)(?:\.(\d*))?$/.exec(withPoint(text));
  if (!match || (match[2] === '' && !match[3])) throw new NumberFault('this is not a number');
  const fraction = (match[3] ?? '').replace(/0+$/, '');
  if (fraction.length > places) throw new NumberFault(decimalsFault(places));
  if (match[2].length > 12) throw new NumberFault('this number is too large');
  const value = BigInt((match[2] || '0') + fraction.padEnd(places, '0'));
  return match[1] ? -value : value;
}

function decimalsFault(places) {
  return places === 0 ? 'only whole numbers here' : `at most ${places} decimals`;
}

/* "1.234,5" and "1,5" with a point as the only mark; grouping that is not by threes is a fault. */
function withPoint(text) {
  const marks = text.match(/[.,]/g) ?? [];
  const kinds = new Set(marks);
  if (marks.length <= 1) return text.replace(',', '.');
  const decimalMark = kinds.size === 2 ? marks.at(-1) : null;
  const grouped = decimalMark ? text.slice(0, text.lastIndexOf(decimalMark)) : text;
  if (!/^-?\d{1,3}([.,]\d{3})+$/.test(grouped) || new Set(grouped.match(/[.,]/g)).size > 1)
    throw new NumberFault('write thousands without marks, as 1234.5');
  const rest = decimalMark ? `.${text.slice(text.lastIndexOf(decimalMark) + 1)}` : '';
  return grouped.replace(/[.,]/g, '') + rest;
}

/* A number or decimal string of the API as a BigInt; null stays null. */
export function fromWire(json, places) {
  if (json === null || json === undefined) return null;
  const text = String(json);
  if (/e/i.test(text)) throw new NumberFault(`${text} is out of range`);
  return readDecimal(text, places);
}

/* Plain digits with a point, no needless zeros: for the API and for input fields. */
export function plain(value, places) {
  const digits = size(value).toString().padStart(places + 1, '0');
  const whole = digits.slice(0, digits.length - places);
  const fraction = digits.slice(digits.length - places).replace(/0+$/, '');
  return `${value < 0n ? '-' : ''}${whole}${fraction ? `.${fraction}` : ''}`;
}

/* The same digits with at least so many decimals: "3.4" as "3.40". */
export function padded(text, least) {
  const lacking = least - decimalsOf(text);
  if (lacking <= 0) return text;
  return `${text}${text.includes('.') ? '' : '.'}${'0'.repeat(lacking)}`;
}

/* Rounded half to even at 10^-to instead of 10^-from. */
export function rescale(value, from, to) {
  if (to >= from) return value * 10n ** BigInt(to - from);
  return divideHalfEven(value, 10n ** BigInt(from - to));
}

/* Without its sign. */
export const size = (value) => (value < 0n ? -value : value);

export function divideHalfEven(value, divisor) {
  const negative = value < 0n;
  const rest = size(value) % divisor;
  let result = size(value) / divisor;
  if (rest * 2n > divisor || (rest * 2n === divisor && result % 2n === 1n)) result += 1n;
  return negative ? -result : result;
}

/* For reading: thousands apart, at least min and at most max decimals. */
export function show(value, places, { min = 0, max = places } = {}) {
  const [whole, fraction = ''] = plain(rescale(value, places, max), max).split('.');
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, NARROW_SPACE);
  const shown = fraction.padEnd(min, '0');
  return shown ? `${grouped}.${shown}` : grouped;
}

/* Weights are milligrams. */
export const grams = (mg) => show(mg, GRAM_PLACES);
export const kilos = (mg) => show(mg, GRAM_PLACES + 3, { min: 3, max: 3 });
export const percent = (value) => show(value, PERCENT_PLACES);
export const whole = (count) => show(BigInt(count), 0);

/* How many decimals a shown number has: what a column needs to align its points. */
export function decimalsOf(text) {
  const at = text.indexOf('.');
  return at < 0 ? 0 : text.length - at - 1;
}

/* Money as the currency is written; from exact text, never from a float. extra: digits beyond the
 * currency's own. */
export function money(text, currency, extra = 0) {
  const own = new Intl.NumberFormat('en-GB', { style: 'currency', currency }).resolvedOptions().maximumFractionDigits;
  return new Intl.NumberFormat('en-GB', {
    style: 'currency',
    currency,
    minimumFractionDigits: own + extra,
    maximumFractionDigits: own + extra,
  }).format(text);
}
