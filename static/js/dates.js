/* Dates and times in plain words. Dates are "YYYY-MM-DD" and instants RFC 3339 with the bakery's own
 * offset, so that the wall clock is read off the text and the browser's zone never matters. */

const WEEKDAYS = ['Sunday', 'Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday'];
const MONTHS = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
];
const DAY = 24 * 60 * 60 * 1000;

const utc = (date) => new Date(`${date}T00:00:00Z`);

export function isDate(text) {
  return /^\d{4}-\d{2}-\d{2}$/.test(text ?? '') && !Number.isNaN(utc(text).getTime());
}

export function addDays(date, days) {
  return new Date(utc(date).getTime() + days * DAY).toISOString().slice(0, 10);
}

export function daysBetween(from, to) {
  return Math.round((utc(to) - utc(from)) / DAY);
}

/* "Thursday 26 November"; with the year when it is not the year of today. */
export function dayWords(date, today) {
  const day = utc(date);
  const year = today && today.slice(0, 4) === date.slice(0, 4) ? '' : ` ${date.slice(0, 4)}`;
  return `${WEEKDAYS[day.getUTCDay()]} ${day.getUTCDate()} ${MONTHS[day.getUTCMonth()]}${year}`;
}

/* "Thu 26 Nov" */
export function shortDay(date) {
  const day = utc(date);
  return `${WEEKDAYS[day.getUTCDay()].slice(0, 3)} ${day.getUTCDate()} ${MONTHS[day.getUTCMonth()].slice(0, 3)}`;
}

/* "26 Nov 2026": as a best-before is told */
export const shortDate = (date) => `${shortDay(date).slice(4)} ${date.slice(0, 4)}`;

/* "Thu 26 Nov 2026" */
export const shortDayYear = (date) => `${shortDay(date)} ${date.slice(0, 4)}`;

/* "today", "tomorrow", "in 3 days", "4 days ago" */
export function relativeDay(date, today) {
  const days = daysBetween(today, date);
  const near = { '-1': 'yesterday', 0: 'today', 1: 'tomorrow' }[days];
  if (near) return near;
  return days > 0 ? `in ${days} days` : `${-days} days ago`;
}

export const clockOf = (instant) => instant.slice(11, 16);
export const dateOf = (instant) => instant.slice(0, 10);

/* "18:02, Wed 25 Nov" */
export const momentWords = (instant) => `${clockOf(instant)}, ${shortDay(dateOf(instant))}`;

/* "00:35 Thu" when it is not on the given date, else "18:35". */
export function clockOn(instant, date) {
  const own = dateOf(instant);
  return own === date ? clockOf(instant) : `${clockOf(instant)} ${WEEKDAYS[utc(own).getUTCDay()].slice(0, 3)}`;
}

/* "45 min", "3 h", "3 h 30 min" */
export function duration(minutes) {
  const hours = Math.floor(minutes / 60);
  const rest = minutes % 60;
  if (hours === 0) return `${rest}\u00a0min`;
  return rest === 0 ? `${hours}\u00a0h` : `${hours}\u00a0h ${rest}\u00a0min`;
}

/* What was typed as a clock time ("6:30", "6.30", "630", "6") as "06:30"; null: it is none. */
export function readClock(typed) {
  const match = /^(\d{1,2})(?:[:.,h ]?(\d{2}))?$/.exec(typed.trim());
  if (!match || Number(match[1]) > 23 || Number(match[2] ?? 0) > 59) return null;
  return `${match[1].padStart(2, '0')}:${match[2] ?? '00'}`;
}

/* "rye, sesame and wheat" */
export function joinWords(words) {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}
