/* A best-before date as it is read off a sack: "14.3." is the next 14 March, "14.3.27", "140327",
 * "2027-03-14" and "14 mar 27" say the year, "03/2027" is the end of that month. On leaving the field
 * it shows how it was understood.
 */
import { daysBetween, isDate, shortDate } from './dates.js';
import { h } from './dom.js';
import { simple } from './fields.js';
import { NumberFault } from './number.js';
import { today } from './session.js';

const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec'];
const FAULT = 'write day, month and year, such as 14.3.27';
const LEAP = 8; // years until there is another 29 February

const two = (number) => String(number).padStart(2, '0');
const fullYear = (text) => (text.length === 2 ? `20${text}` : text);

/* The date when the calendar has it, else null. */
function dateFrom(year, month, day) {
  const date = `${year}-${two(month)}-${two(day)}`;
  return isDate(date) && new Date(`${date}T00:00:00Z`).getUTCDate() === Number(day) ? date : null;
}

function nextSuch(day, month, from) {
  const first = Number(from.slice(0, 4));
  for (let year = first; year <= first + LEAP; year += 1) {
    const date = dateFrom(year, month, day);
    if (date && date >= from) return date;
  }
  return null;
}

function endOfMonth(year, month) {
  return [31, 30, 29, 28].map((day) => dateFrom(year, month, day)).find(Boolean) ?? null;
}

/* "14", "mar" or "3", "27" or nothing */
function fromParts(day, monthText, yearText, from) {
  const named = MONTHS.indexOf(monthText.slice(0, 3)) + 1;
  const month = named || Number(monthText);
  if (yearText) return dateFrom(fullYear(yearText), month, day);
  return nextSuch(day, month, from);
}

const FORMS = [
  [/^(\d{4})-(\d{1,2})-(\d{1,2})$/, ([year, month, day]) => dateFrom(year, month, day)],
  [/^(\d{2})(\d{2})(\d{2}|\d{4})?$/, ([day, month, year], from) => fromParts(day, month, year, from)],
  [/^(\d{1,2})[./-](\d{4})$/, ([month, year]) => endOfMonth(year, month)],
  [
    /^(\d{1,2})[./-](\d{1,2})$/,
    ([first, second], from) =>
      Number(second) > 12 ? endOfMonth(fullYear(two(second)), first) : fromParts(first, second, '', from),
  ],
  [/^(\d{1,2})[./-](\d{1,2})[./-](\d{2}|\d{4})?$/, ([day, month, year], from) => fromParts(day, month, year, from)],
  [
    /^(\d{1,2})[. -]*([a-z]{3,9})[. -]*(\d{2}|\d{4})?$/,
    ([day, month, year], from) => fromParts(day, month, year, from),
  ],
];

/* The date that was typed; undefined: nothing was. Throws NumberFault. from: today. */
function readDay(typed, from) {
  const text = typed
    .trim()
    .toLowerCase()
    .replace(/\s*([./,-])\s*/g, '$1')
    .replace(/,/g, '.');
  if (text === '') return undefined;
  for (const [form, make] of FORMS) {
    const match = form.exec(text);
    if (!match) continue;
    const date = make(match.slice(1), from);
    if (date === null) throw new NumberFault('the calendar has no such day');
    return date;
  }
  throw new NumberFault(FAULT);
}

/* The field. note: an element that says when the date has passed or is near. */
export function bestBeforeField(options) {
  const input = h('input', {
    type: 'text',
    autocomplete: 'off',
    maxlength: 20,
    placeholder: 'day.month',
    enterkeyhint: 'next',
  });
  const field = simple(options, input, { parse: (typed) => readDay(typed, today()), print: shortDate });
  field.note = h('p', { class: 'hint', role: 'status' });
  field.element.append(field.note);
  const say = () => {
    const date = field.read(() => {});
    field.note.textContent = date ? passedWords(date) : '';
  };
  input.addEventListener('blur', () => {
    const date = field.read(() => {});
    if (date) field.write(date);
    say();
  });
  input.addEventListener('input', () => {
    field.note.textContent = '';
  });
  const write = field.write;
  field.write = (date) => {
    write(date);
    say();
  };
  return field;
}

function passedWords(date) {
  const days = daysBetween(today(), date);
  if (days >= 28) return '';
  if (days < 0) return 'It has passed already.';
  return days === 0 ? 'That is today.' : `That is in ${days} ${days === 1 ? 'day' : 'days'}.`;
}
