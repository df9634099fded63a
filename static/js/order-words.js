/* Orders to suppliers in plain words, and as the text of a letter. */
import { dayWords, joinWords } from './dates.js';
import { amountOf, amountWords, inPacks, unitOf } from './amounts.js';

const STATES = {
  open: 'nothing of it has come',
  part: 'part of it has come',
  complete: 'all of it has come',
  closed: 'closed',
};

export const stateWords = (order) => STATES[order.state] ?? order.state;

/* "3 × 25 kg", or the amount alone. */
export const orderedWords = (line) => inPacks(amountOf(line), amountOf(line, 'pack'), unitOf(line));

export const missingOf = (line) => amountOf(line, 'missing') ?? 0n;

/* "50 kg of Rye flour and 10 kg of Salt" */
export function missingWords(order) {
  const missing = order.lines.filter((line) => missingOf(line) > 0n);
  if (missing.length === 0) return 'nothing';
  return joinWords(missing.map((line) => `${inPacks(missingOf(line), amountOf(line, 'pack'), unitOf(line))} of ${line.name}`));
}

/* A mail: { subject, body }, in plain text. */
function letterOf(order, bakery) {
  const lines = order.lines.map((line) => {
    const amount = amountWords(amountOf(line), unitOf(line));
    const packs = orderedWords(line);
    return `- ${line.name}: ${packs}${packs === amount ? '' : ` (${amount})`}`;
  });
  const words = [
    `To ${order.supplier_name}`,
    '',
    `Order ${order.number} of ${dayWords(order.date)}, to come on ${dayWords(order.due)}:`,
    '',
    ...lines,
    ...(order.note ? ['', order.note] : []),
    '',
    bakery,
  ];
  return { subject: `Order ${order.number}, ${bakery}`, body: words.join('\r\n').replace(/[\u00a0\u202f]/g, ' ') };
}

export const mailAddress = (order, bakery) => {
  const { subject, body } = letterOf(order, bakery);
  const to = encodeURIComponent(order.email ?? '').replace(/%40/g, '@');
  return `mailto:${to}?subject=${encodeURIComponent(subject)}&body=${encodeURIComponent(body)}`;
};
