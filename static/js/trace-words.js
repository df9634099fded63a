/* What the pages of the trace say in words: shares, telephones, ways, the balance of a lot, caution. */
import { h } from './dom.js';
import { amountOf, amountWords, unitOf } from './amounts.js';
import { PERCENT_PLACES, fromWire, show, size } from './number.js';

const TRACE_PLACES = 6; // micrograms: what a lot has come to through starters and doughs
const GRAM = 1_000_000n;

/* A share to a tenth of a percent; what is there and rounds to nothing is said so. */
export function shareWords(json) {
  if (json === null || json === undefined) return '';
  const pct = fromWire(json, PERCENT_PLACES);
  const text = show(pct, PERCENT_PLACES, { max: 1 });
  return `${text === '0' && pct > 0n ? 'under 0.1' : text}\u00a0%`;
}

/* "8.855 kg", "12.5 g", "0.004 g", "under 1 mg": a part of a lot that was worked out, no finer than anybody
 * could weigh it. */
export function partWeight(json) {
  const amount = fromWire(json, TRACE_PLACES);
  if (amount >= 1000n * GRAM) return `${show(amount, TRACE_PLACES + 3, { max: 3 })}\u00a0kg`;
  if (amount > 0n && amount < GRAM / 1000n) return 'under 1\u00a0mg';
  return `${show(amount, TRACE_PLACES, { max: amount >= GRAM ? 1 : 3 })}\u00a0g`;
}

/* part of whole in percent, as shareWords; '' of nothing. */
export function partWords(part, whole) {
  const all = fromWire(whole, TRACE_PLACES);
  return all > 0n ? shareWords(plainShare(fromWire(part, TRACE_PLACES), all)) : '';
}

/* What was too little to be listed. */
export const leftOutWords = (count, what) =>
  count === 0 ? null : h('p', { class: 'hint' }, `Left out: ${count} ${what} with less than a millionth of a gram.`);

/* 1/10,000 of a percent, cut off. */
function plainShare(part, all) {
  const share = (part * 1_000_000n) / all;
  return `${share / 10_000n}.${String(share % 10_000n).padStart(4, '0')}`;
}

/* By which way a lot got into a batch: "direct", "starter:rye", "formula:poolish". */
export function wayWords(via, names = new Map()) {
  return via
    .map((way) => {
      const [kind, code] = way.split(':');
      return kind === 'direct' ? 'weighed in' : `through ${names.get(way) ?? code}`;
    })
    .join(', ');
}

/* The balance of a lot, as a sentence and whether it adds up. Counts set the book right by what they found. */
export function balanceWords(balance) {
  const unit = unitOf(balance);
  const amount = (stem) => amountOf(balance, stem);
  const words = (value) => amountWords(value, unit);
  const spent = [
    ['mixed', 'mixed into batches'],
    ['fed', 'fed to starters'],
    ['used', 'used otherwise'],
    ['wasted', 'wasted'],
    ['returned', 'sent back'],
  ].filter(([stem]) => amount(stem) !== 0n);
  const parts = [...spent.map(([stem, text]) => `${words(amount(stem))} ${text}`), `${words(amount('left'))} left`];
  const counted = amount('counted');
  const set = counted === 0n ? '' : `, after counts that found ${words(size(counted))} ${counted > 0n ? 'more' : 'less'}`;
  const out = ['mixed', 'fed', 'used', 'wasted', 'returned', 'left'].reduce((sum, stem) => sum + amount(stem), 0n);
  return {
    text: `${words(amount('received'))} came in = ${parts.join(' + ')}${set}.`,
    off: balance.balanced ? null : words(size(amount('received') + counted - out)),
  };
}

/* Who decides in a recall: not this page. */
export function recallCaution() {
  return h(
    'p',
    { class: 'recall-caution' },
    h('strong', {}, 'Mind: '),
    'whether bread is called back, who is told and how fast, your food authority and local food law decide; ring them first. ',
    'This sheet is what the records here say. Bread sold over the counter has no name on it: think of a notice there.',
  );
}
