/* A starter in plain words: when, how long, how much, and what an entry of its log says. */
import { addDays, clockOf, dateOf, duration, joinWords, shortDay } from './dates.js';
import { GRAM_PLACES, PERCENT_PLACES, fromWire, grams, percent, show } from './number.js';

export const gramsOf = (json) => grams(fromWire(json, GRAM_PLACES));
const degreesOf = (json) => `${percent(fromWire(json, PERCENT_PLACES))}\u00a0°C`;
const HEAVY = 10_000_000n; // milligrams from which a weight is told in kilos

/* "850 g", "14.25 kg": for sentences. What is to be weighed is always told in grams. */
export function weightWords(json) {
  const mg = fromWire(json, GRAM_PLACES);
  return mg < HEAVY ? `${grams(mg)}\u00a0g` : `${show(mg, GRAM_PLACES + 3, { max: 3 })}\u00a0kg`;
}

export const minutesFrom = (from, to) => Math.round((Date.parse(to) - Date.parse(from)) / 60000);

/* "45 min", "3 h 20 min", "3 days" */
export const spanWords = (minutes) =>
  minutes < 2 * 1440 ? duration(minutes) : `${Math.round(minutes / 1440)}\u00a0days`;

/* "now", "in 2 h 10 min", "1 h 20 min ago" */
export function awayWords(instant, now) {
  const minutes = minutesFrom(now, instant);
  if (minutes === 0) return 'now';
  return minutes > 0 ? `in ${spanWords(minutes)}` : `${spanWords(-minutes)} ago`;
}

/* The day of an instant as it is said now: "today", "tomorrow", "Fri 27 Nov". */
export function dayOf(instant, now) {
  const date = dateOf(instant);
  const today = dateOf(now);
  if (date === today) return 'today';
  if (date === addDays(today, 1)) return 'tomorrow';
  if (date === addDays(today, -1)) return 'yesterday';
  return shortDay(date);
}

/* "14:30", "06:15 tomorrow", "06:15, Fri 27 Nov" */
export function timeWords(instant, now) {
  const day = dayOf(instant, now);
  if (day === 'today') return clockOf(instant);
  return `${clockOf(instant)}${/\d/.test(day) ? ', ' : ' '}${day}`;
}

/* "14:30 to 16:30"; the day is said where it is another. */
export function rangeWords(from, to, now) {
  if (dateOf(from) === dateOf(to)) {
    const day = dayOf(from, now);
    const range = `${clockOf(from)} to ${clockOf(to)}`;
    if (day === 'today') return range;
    return `${range}${/\d/.test(day) ? ', ' : ' '}${day}`;
  }
  return `${timeWords(from, now)} to ${timeWords(to, now)}`;
}

/* "1 : 2 : 2", seed first. */
export function ratioWords({ seed, flour, water }) {
  return [seed, flour, water].map((part) => percent(fromWire(part, PERCENT_PLACES))).join('\u00a0: ');
}

const g = (json) => `${gramsOf(json)}\u00a0g`;

/* What an entry did, without when and by whom. */
const SAYS = {
  begun: (entry) => `Begun with ${g(entry.delta_g)}`,
  fed: (entry) => `Fed: ${g(entry.seed_g)} of seed, ${g(entry.flour_g)} of flour, ${g(entry.water_g)} of water`,
  taken: (entry) => `Taken: ${g(lessOf(entry))}`,
  discarded: (entry) => `Thrown away: ${g(lessOf(entry))}`,
  weighed: (entry) => `Weighed: ${g(entry.on_hand_g)}`,
  chilled: () => 'Put in the cold',
  woken: () => 'Woken',
  ripe: () => 'Was ripe',
  reversed: (entry) => `Undid entry ${entry.reverses}`,
};

const lessOf = (entry) => String(entry.delta_g).replace('-', '');

/* "12 g less than reckoned" where weighing found another weight than the log had. */
function difference(entry) {
  if (entry.kind !== 'weighed' || Number(entry.delta_g) === 0) return null;
  const less = String(entry.delta_g).startsWith('-');
  return `${weightWords(lessOf(entry))} ${less ? 'less' : 'more'} than reckoned`;
}

export const entryWords = (entry) => SAYS[entry.kind]?.(entry) ?? entry.kind;

/* What else is known of it. */
export function entryDetails(entry) {
  const thrown = entry.kind === 'fed' && entry.discard_g ? `${weightWords(entry.discard_g)} thrown away first` : null;
  return [
    thrown,
    difference(entry),
    entry.c === null || entry.c === undefined ? null : `at ${degreesOf(entry.c)}`,
    entry.reversed_by ? `undone by entry ${entry.reversed_by}` : null,
    entry.note,
  ].filter(Boolean);
}

/* "160 g of Strong white and 40 g of Wholemeal" */
export const floursWords = (flours) => joinWords(flours.map((flour) => `${gramsOf(flour.g)}\u00a0g of ${flour.name}`));

/* On what the ripe time of the present feed rests; null: nothing is known. */
export function estimateWords(estimate) {
  if (!estimate || estimate.minutes === null) return null;
  const reckoned = `Reckoned to ripen in ${duration(estimate.minutes)}`;
  if (!estimate.corrected)
    return `${reckoned}, from what was seen before. After three feeds logged with their “Ripe now” the log corrects this.`;
  const off = Number(estimate.off_minutes);
  const feeds = estimate.logged === 1 ? 'feed' : `${estimate.logged} feeds`;
  if (off === 0) return `${reckoned}. The last ${feeds} seen to ripen agree with it.`;
  const pct = show(fromWire(String(estimate.off_pct).replace('-', ''), PERCENT_PLACES), PERCENT_PLACES, { max: 0 });
  const size = duration(Math.abs(off));
  return `${reckoned}, by the last ${feeds} seen to ripen: they were ${size} (${pct} %) ${off > 0 ? 'slower' : 'faster'} than reckoned before.`;
}
