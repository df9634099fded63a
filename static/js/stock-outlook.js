/* What of the flour store needs somebody's attention, and how pressing it is. Reads what the server has
 * reckoned of the course of each stock, and holds it against the days on which more can come.
 */
import { addDays, daysBetween } from './dates.js';
import { PAST } from './lot-words.js';
import { today } from './session.js';
import { amountOf, unitOf } from './amounts.js';
import { now, onDay, roundWords, shortOnDay as day } from './stock-words.js';
import { size } from './number.js';

const SOON_DAYS = 14; // a best-before that is so near is told
const WEEK_DAYS = 7;

/* When more of each ingredient can come: ingredient -> { could, order, ordered }: the
 * delivery of an order that is given on the next order day, that day, and the delivery of what is on order. */
export function comings(proposals, orders) {
  const found = new Map();
  const at = (ingredient) => {
    if (!found.has(ingredient)) found.set(ingredient, { could: null, order: null, ordered: null });
    return found.get(ingredient);
  };
  for (const one of proposals.suppliers.filter(({ supplier }) => supplier !== null))
    for (const line of one.lines) Object.assign(at(line.ingredient), { could: one.due_on, order: one.order_on });
  for (const order of orders) {
    for (const line of order.lines) {
      if (amountOf(line, 'missing') <= 0n) continue;
      const own = at(line.ingredient);
      if (own.ordered === null || order.due < own.ordered) own.ordered = order.due;
    }
  }
  return found;
}

/* It runs out before anything that is ordered, or could still be ordered, is there. */
function tooLate(item, coming) {
  if (!item.runs_out || !coming) return null;
  const { could, ordered } = coming;
  const awaited = ordered !== null && ordered >= today() ? ordered : null;
  if (awaited !== null && item.runs_out < awaited) return { date: awaited, ordered: true };
  if (could !== null && item.runs_out < could) return { date: could, ordered: false, order: coming.order };
  return null;
}

/* Everything that is to be told of an item: [{ level: bad | warn | note, text }], the worst first. */
export const marksOf = (item, coming) => [...useMarks(item, coming), ...lotMarks(item, coming)];

/* What of it is lacking, or will be. */
function useMarks(item, coming) {
  const marks = [];
  const free = amountOf(item, 'free');
  const late = tooLate(item, coming);
  if (free !== null && free < 0n)
    marks.push({ level: 'bad', text: `${roundWords(size(free), unitOf(item))} short of what is printed` });
  if (late) marks.push({ level: 'bad', text: `runs out before ${comesWords(late)}` });
  if (coming?.order && (!late || late.ordered))
    marks.push({ level: 'warn', text: `order ${onShort(coming.order)}: comes ${day(coming.could)}` });
  return marks;
}

/* What is not as good as the rest, and what is awaited. */
function lotMarks(item, coming) {
  const words = (stem) => roundWords(amountOf(item, stem), unitOf(item));
  const due = coming?.ordered ? `, due ${day(coming.ordered)}` : '';
  const all = [
    [amountOf(item, 'expired') > 0n, 'bad', () => `${words('expired')} ${PAST}`],
    [soonOver(item), 'warn', () => `some of it is best before ${day(item.next_best_before)}`],
    [amountOf(item, 'held') > 0n, 'note', () => `${words('held')} held`],
    [(amountOf(item, 'on_order') ?? 0n) > 0n, 'note', () => `${words('on_order')} on order${due}`],
  ];
  return all.filter(([holds]) => holds).map(([, level, text]) => ({ level, text: text() }));
}

/* "today", "tomorrow", "on Fri 27 Nov" */
const onShort = (date) => (/ /.test(day(date)) ? `on ${day(date)}` : day(date));

function comesWords({ ordered, date, order }) {
  if (ordered) return `what is ordered comes (${day(date)})`;
  return order <= today() ? `a delivery could come: ordered today it comes ${day(date)}` : `a delivery could come (${day(date)})`;
}

const soonOver = (item) =>
  item.next_best_before && daysBetween(today(), item.next_best_before) <= SOON_DAYS && item.next_best_before >= today();

/* The answer to "is there enough?": { level, lines: [{ item, text }] }. */
export function answerOf(items, coming) {
  const lines = items.map((item) => answerLine(item, coming.get(item.ingredient))).filter((line) => line !== null);
  lines.sort((a, b) => a.rank - b.rank || (a.item.runs_out ?? '9').localeCompare(b.item.runs_out ?? '9'));
  const worst = lines.length === 0 ? 'good' : lines.some((line) => line.rank < 2) ? 'bad' : 'warn';
  return { level: worst, lines };
}

function answerLine(item, coming) {
  const free = amountOf(item, 'free');
  const late = tooLate(item, coming);
  const soon = item.runs_out && item.runs_out < addDays(now(), WEEK_DAYS);
  if (free !== null && free < 0n) {
    const short = `: ${roundWords(size(free), unitOf(item))} short of what is printed for mixing.`;
    return { rank: 0, item, text: short + asideWords(item) + moreWords(late) };
  }
  if (late && soon) return { rank: 1, item, text: ` runs out ${onDay(item.runs_out)}, before ${comesWords(late)}.${asideWords(item)}` };
  if (!soon) return null;
  const order = coming?.order ? ` Order ${onShort(coming.order)}, and it comes in time.` : '';
  return { rank: 2, item, text: ` runs out ${onDay(item.runs_out)}.${order}` };
}

/* When more of it comes, too late as that is. */
function moreWords(late) {
  if (!late) return '';
  if (late.ordered) return ` What is ordered comes ${onShort(late.date)}.`;
  return ` Ordered ${onShort(late.order)} it comes ${onShort(late.date)}.`;
}

/* What stands there besides and is not reckoned with. */
function asideWords(item) {
  const aside = ['held', 'expired'].filter((stem) => amountOf(item, stem) > 0n);
  const says = { held: 'held', expired: PAST };
  return aside.map((stem) => ` Another ${roundWords(amountOf(item, stem), unitOf(item))} is ${says[stem]}.`).join('');
}

/* Nearest run-out first, then what is not in sight, by name. */
export const bySoonest = (a, b) =>
  (a.runs_out ?? '9').localeCompare(b.runs_out ?? '9') || a.name.localeCompare(b.name);
