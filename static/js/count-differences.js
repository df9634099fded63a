/* What was found against what the book says, the biggest difference first. */
import { h } from './dom.js';
import { amountOf, shortWords, signedShort } from './amounts.js';
import { MONEY_PLACES, divideHalfEven, fromWire, money, plain, size } from './number.js';
import { session } from './session.js';

const compare = (a, b) => (a > b ? -1 : Number(a < b));

/* Lines: { name, detail, unit, expected, counted, value: millionths or null, pack }. Those with money first by
 * money, then by amount: what is weighed before what is counted. */
export function biggestFirst(lines) {
  const rank = (line) => (line.value === null ? 1 : 0);
  return lines.toSorted(
    (a, b) =>
      rank(a) - rank(b) ||
      (a.value === null ? 0 : compare(size(a.value), size(b.value))) ||
      Number(a.unit !== 'g') - Number(b.unit !== 'g') ||
      compare(size(a.counted - a.expected), size(b.counted - b.expected)),
  );
}

const signedMoney = (micros) => money(plain(micros, MONEY_PLACES), session().currency ?? 'XXX').replace('-', '−');
const moneyWords = (micros) => (micros > 0n ? '+' : '') + signedMoney(micros);

/* withMoney: who looks at it may see costs. about: money is not the last word. */
export function differencesTable(lines, { withMoney, about = false }) {
  const heads = ['What', 'Found', 'Book said', 'Difference', ...(withMoney ? [about ? 'Worth about' : 'Worth'] : [])];
  return h(
    'table',
    { class: 'list differences' },
    h(
      'thead',
      {},
      h(
        'tr',
        {},
        heads.map((text, index) => h('th', { scope: 'col', class: index ? 'figures' : null }, text)),
      ),
    ),
    h(
      'tbody',
      {},
      lines.map((line) => row(line, withMoney)),
    ),
  );
}

function row(line, withMoney) {
  const difference = line.counted - line.expected;
  const big = line.pack && size(difference) >= line.pack;
  return h(
    'tr',
    {},
    h(
      'th',
      { scope: 'row' },
      line.name,
      h('span', { class: 'sub' }, line.detail),
      big ? h('span', { class: 'missing big-one' }, 'A whole pack or more: look again.') : null,
    ),
    h(
      'td',
      { class: 'figures found' },
      h('span', { class: 'narrow-only' }, 'found '),
      shortWords(line.counted, line.unit),
    ),
    h(
      'td',
      { class: 'figures book' },
      h('span', { class: 'narrow-only' }, 'book '),
      shortWords(line.expected, line.unit),
    ),
    h('td', { class: 'figures strong' }, signedShort(difference, line.unit)),
    withMoney
      ? h(
          'td',
          { class: 'figures' },
          line.value === null ? h('span', { class: 'missing' }, 'not known') : moneyWords(line.value),
        )
      : null,
  );
}

/* "−£3.20 altogether; of 2 lines it is not known" from lines that differ; exact: the sum as the API has it. */
export function sumWords(lines, exact) {
  const known = lines.filter((line) => line.value !== null);
  if (known.length === 0 && lines.length > 0) return 'What the differences are worth is not known.';
  const sum = exact ?? known.reduce((total, line) => total + line.value, 0n);
  const holes = lines.length - known.length;
  return `${moneyWords(sum)} altogether${holes ? `; of ${holes} ${holes === 1 ? 'line' : 'lines'} it is not known` : ''}.`;
}

/* What a difference is worth at what the lot cost, in millionths; null: not known. lot: of the API. */
export function worthOf(difference, lot) {
  const price = fromWire(lot?.price, MONEY_PLACES);
  if (price === null) return null;
  return divideHalfEven(difference * price, amountOf(lot, 'received'));
}
