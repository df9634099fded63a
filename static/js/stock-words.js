/* What the pages of the flour store say in words and figures: rounded amounts, days, what happened. */
import { amountOf, amountWords } from './amounts.js';
import { dayWords, daysBetween, relativeDay, shortDay } from './dates.js';
import { GRAM_PLACES, money, show, size, whole } from './number.js';
import { session, today } from './session.js';

const KILO_PLACES = GRAM_PLACES + 3;
const KILO = 1_000_000n;

const minus = (text) => text.replace('-', '−');

/* "107.4 kg", "350 g", "1 piece"; to the gram. */
export const gramWords = (value, unit) =>
  unit === 'g' && size(value) >= KILO ? `${minus(show(value, KILO_PLACES, { max: 3 }))}\u00a0kg` : amountWords(value, unit);

/* Kilos without unit: "107.4", "9.25", "0.305". The finer the less there is, never finer than a gram. */
function kiloText(mg) {
  const max = size(mg) >= 10n * KILO ? 1 : size(mg) >= KILO ? 2 : 3;
  return minus(show(mg, KILO_PLACES, { max }));
}

/* The same in round figures, for sentences and lists: whole grams below a kilo, what is less than a gram exactly. */
export function roundWords(value, unit) {
  if (unit !== 'g' || size(value) < 1000n) return amountWords(value, unit);
  return size(value) < KILO ? `${minus(show(value, GRAM_PLACES, { max: 0 }))}\u00a0g` : `${kiloText(value)}\u00a0kg`;
}

/* A figure of a column and its unit. */
export const figureOf = (value, unit) =>
  unit === 'g' ? { text: kiloText(value), unit: 'kg' } : { text: minus(whole(value)), unit: 'pcs' };

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

const FAR = 42; // days that the server looks ahead

/* When an ingredient runs out: { text, detail, days }; days: how far away, Infinity when not in sight. */
export function runOutOf(item) {
  if (item.runs_out) {
    return { text: dayWords(item.runs_out, today()), detail: awayWords(item.runs_out), days: daysBetween(now(), item.runs_out) };
  }
  if (amountOf(item, 'usual_week') === null)
    return { text: 'not known', detail: 'enough for the orders that are in', days: Infinity };
  return { text: 'not in sight', detail: `more than ${FAR} days`, days: Infinity };
}

/* What a stock is worth. */
export const worthWords = (text) => (text === null || text === undefined ? 'not known' : money(text, session().currency));

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
