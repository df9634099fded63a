/* Fields for spans of time, moments and days of the week; what a field is stands in fields.js. */
import { isDate, readClock } from './dates.js';
import { h, uniqueId } from './dom.js';
import { simple } from './fields.js';
import { NumberFault, readDecimal } from './number.js';
import { session } from './session.js';
import { instantOf } from './zone.js';

/* Minutes as people write them: "5:30", "330", "5 h", "5 h 30", "5,5 h"; null: nothing was typed. */
function readSpan(typed) {
  const text = typed.trim().toLowerCase();
  if (text === '') return null;
  const clock = /^(\d{1,3})\s*(?::|h)\s*(\d{1,2})\s*(?:m|min)?$/.exec(text);
  if (clock && Number(clock[2]) < 60) return Number(clock[1]) * 60 + Number(clock[2]);
  const hours = /^([\d.,]+)\s*h$/.exec(text);
  if (hours) return (Number(readDecimal(hours[1], 2)) * 6) / 10;
  const minutes = /^(\d{1,6})\s*(?:m|min)?$/.exec(text);
  if (minutes) return Number(minutes[1]);
  throw new NumberFault('write hours and minutes as 5:30, or minutes as 330');
}

const spanText = (minutes) => `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`;

function wholeSpan(typed) {
  const minutes = readSpan(typed);
  if (minutes === null) return undefined;
  if (!Number.isInteger(minutes)) throw new NumberFault('whole minutes only');
  return minutes;
}

/* A span, sent as whole minutes. On leaving the field it shows how it was understood. */
export function span(options) {
  const input = h('input', {
    type: 'text',
    autocomplete: 'off',
    maxlength: 12,
    class: 'figure',
    placeholder: options.placeholder ?? 'h:mm',
  });
  input.addEventListener('blur', () => {
    try {
      const minutes = wholeSpan(input.value);
      input.value = minutes === undefined ? '' : spanText(minutes);
    } catch (error) {
      if (!(error instanceof NumberFault)) throw error; // said when the form is sent
    }
  });
  return simple({ unit: 'h:mm', ...options }, input, { parse: wholeSpan, print: spanText });
}

/* A group of inputs under one label, with a place for what is wrong. */
function group(options, content) {
  const id = uniqueId(options.name);
  const fault = h('p', { class: 'fault', id: `${id}-fault`, hidden: true });
  const legend = h('legend', { class: options.quiet ? 'unseen' : null }, options.label);
  const element = h(
    'fieldset',
    { class: `field ${options.class ?? ''}`, 'aria-describedby': `${id}-fault` },
    legend,
    content,
    options.hint ? h('p', { class: 'hint' }, options.hint) : null,
    fault,
  );
  return {
    name: options.name,
    label: options.label,
    element,
    fault(sentence) {
      fault.textContent = sentence;
      fault.hidden = sentence === '';
    },
    relabel(label) {
      legend.textContent = label;
    },
  };
}

/* A moment of the bakery's clock, as an instant. Nothing typed: undefined, which the API takes as now. */
export function moment(options) {
  const day = h('input', { type: 'date', 'aria-label': `${options.label}: day` });
  const clock = h('input', {
    type: 'text',
    class: 'clock',
    autocomplete: 'off',
    maxlength: 5,
    placeholder: 'hh:mm',
    'aria-label': `${options.label}: time`,
  });
  clock.addEventListener('blur', () => {
    clock.value = readClock(clock.value) ?? clock.value;
    if (clock.value && !day.value) day.value = session().today;
  });
  const own = group({ class: 'moment', ...options }, h('div', { class: 'moment-inputs' }, day, clock));
  return {
    ...own,
    read(report) {
      const time = readClock(clock.value);
      if (clock.value.trim() === '' && (day.value === '' || !options.required)) {
        if (options.required) report('this is needed');
        return undefined;
      }
      if (time === null || !isDate(day.value)) {
        report(time === null ? 'write a time such as 06:30' : 'choose a day');
        return undefined;
      }
      return instantOf(day.value, time, session().time_zone);
    },
    write(instant) {
      day.value = instant ? instant.slice(0, 10) : '';
      clock.value = instant ? instant.slice(11, 16) : '';
    },
    focus: () => clock.focus(),
  };
}

const DAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'];

/* Days of the week as [1..7], Monday first. All are ticked until somebody says otherwise. */
export function weekdays(options) {
  const boxes = DAYS.map((day) => {
    const input = h('input', { type: 'checkbox', 'aria-label': day });
    input.checked = true;
    return input;
  });
  const own = group(
    { class: 'weekdays', ...options },
    h(
      'div',
      { class: 'weekday-boxes' },
      boxes.map((input, index) => h('label', { class: 'weekday' }, input, h('span', {}, DAYS[index].slice(0, 2)))),
    ),
  );
  return {
    ...own,
    read(report) {
      const days = boxes.flatMap((input, index) => (input.checked ? [index + 1] : []));
      if (days.length === 0) report('on which days?');
      return days;
    },
    write(days) {
      boxes.forEach((input, index) => {
        input.checked = (days ?? []).includes(index + 1);
      });
    },
    focus: () => boxes[0].focus(),
  };
}
