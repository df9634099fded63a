/* Fields of forms. A field is
 *
 *   name             the member of the body that it stands for
 *   element          what is shown
 *   read(report)     its value, undefined when empty; report(text) says what is wrong with it
 *   write(value)     shows a value of the API
 *   find(parts)      the field that a JSON pointer's remaining parts lead to, or null
 *   fault(text)      shows what is wrong at the field; '' clears it
 *   focus()
 *
 * Options of all: label, hint, unit, quiet (the label is for screen readers alone), required.
 */
import { readClock } from './dates.js';
import { h, uniqueId } from './dom.js';
import {
  GRAM_PLACES,
  MONEY_PLACES,
  NumberFault,
  PERCENT_PLACES,
  fromWire,
  padded,
  plain,
  readDecimal,
} from './number.js';
import { coinPlaces } from './price-words.js';

function labelled(input, options) {
  const id = uniqueId(options.name);
  const fault = h('p', { class: 'fault', id: `${id}-fault`, hidden: true });
  const hint = options.hint ? h('p', { class: 'hint', id: `${id}-hint` }, options.hint) : null;
  input.id = id;
  input.setAttribute('aria-describedby', [hint && hint.id, fault.id].filter(Boolean).join(' '));
  const label = h('label', { for: id, class: options.quiet ? 'unseen' : null }, options.label);
  const unit = options.unit ? h('span', { class: 'unit', 'aria-hidden': 'true' }, options.unit) : null;
  const box = unit ? h('span', { class: 'with-unit' }, input, unit) : input;
  const element = h('div', { class: `field ${options.class ?? ''}` }, label, box, hint, fault);
  return { element, fault, label };
}

/* A field around one input. parse: typed text -> value, may throw NumberFault; print: value -> text. */
export function simple(options, input, { parse, print }) {
  const parts = labelled(input, options);
  return {
    name: options.name,
    label: options.label,
    input,
    element: parts.element,
    read(report) {
      try {
        const value = parse(input.value);
        if (value === undefined && options.required) report(options.missing ?? 'this is needed');
        return value;
      } catch (error) {
        if (!(error instanceof NumberFault)) throw error;
        report(error.message);
        return undefined;
      }
    },
    write(value) {
      input.value = value === null || value === undefined ? '' : print(value);
    },
    fault(sentence) {
      parts.fault.textContent = sentence;
      parts.fault.hidden = sentence === '';
      if (sentence === '') input.removeAttribute('aria-invalid');
      else input.setAttribute('aria-invalid', 'true');
    },
    relabel(label) {
      parts.label.textContent = label;
    },
    focus: () => input.focus(),
  };
}

const trimmed = (value) => value.trim() || undefined;
const same = (value) => value;

export function text(options) {
  const input = h('input', {
    type: options.type ?? 'text',
    maxlength: options.max ?? 200,
    autocomplete: 'off',
    list: options.list,
    autocapitalize: options.code ? 'none' : null,
    spellcheck: options.code ? 'false' : null,
    'data-first': options.first,
    placeholder: options.placeholder,
  });
  return simple(options, input, { parse: trimmed, print: same });
}

export function secret(options) {
  const input = h('input', { type: 'password', maxlength: 200, autocomplete: 'new-password' });
  return simple(options, input, { parse: (value) => value || undefined, print: same });
}

export function area(options) {
  return simple(options, h('textarea', { rows: options.rows ?? 2, maxlength: 2000 }), { parse: trimmed, print: same });
}

/* A time of the 24-hour clock. On leaving the field it shows how it was understood. */
export function clock(options) {
  const input = h('input', { type: 'text', autocomplete: 'off', maxlength: 5, class: 'clock', placeholder: 'hh:mm' });
  const parse = (typed) => {
    const read = typed.trim() === '' ? undefined : readClock(typed);
    if (read === null) throw new NumberFault('write a time such as 06:30');
    return read;
  };
  input.addEventListener('blur', () => {
    input.value = readClock(input.value) ?? input.value;
  });
  return simple(options, input, { parse, print: same });
}

export function date(options) {
  return simple(options, h('input', { type: 'date' }), { parse: trimmed, print: same });
}

/* A decimal, sent as exact text. On leaving the field it shows how it was understood. least: decimals that
 * are shown at least. */
export function decimal(places, options) {
  const input = h('input', {
    type: 'text',
    inputmode: 'decimal',
    autocomplete: 'off',
    class: 'figure',
    placeholder: options.placeholder,
  });
  const parse = (typed) => {
    const value = readDecimal(typed, places);
    return value === null ? undefined : plain(value, places);
  };
  const print = (value) =>
    value === undefined ? '' : padded(plain(fromWire(value, places), places), options.least ?? 0);
  input.addEventListener('blur', () => {
    try {
      input.value = print(parse(input.value));
    } catch (error) {
      if (!(error instanceof NumberFault)) throw error; // said when the form is sent
    }
  });
  return simple(options, input, { parse, print });
}

export const grams = (options) => decimal(GRAM_PLACES, { unit: 'g', ...options });
export const percent = (options) => decimal(PERCENT_PLACES, { unit: '%', ...options });
export const celsius = (options) => decimal(PERCENT_PLACES, { unit: '°C', ...options });
export const price = (options) => decimal(MONEY_PLACES, { least: coinPlaces(), ...options });

/* A whole number, sent as a JSON number. */
export function count(options) {
  const input = h('input', {
    type: 'text',
    inputmode: 'numeric',
    autocomplete: 'off',
    class: 'figure',
    placeholder: options.placeholder,
  });
  const parse = (typed) => {
    const value = readDecimal(typed, 0);
    return value === null ? undefined : Number(value);
  };
  return simple(options, input, { parse, print: String });
}

/* One of a few: choices are [value, text] pairs, or groups { group, choices }. */
export function choice(options) {
  const empty = options.required && !options.empty ? null : h('option', { value: '' }, options.empty ?? '—');
  const select = h('select', {}, empty, options.choices.map(choiceElement));
  const field = simple(options, select, { parse: (value) => value || undefined, print: same });
  const write = field.write;
  field.write = (value) => {
    if (value && !Array.from(select.options).some((option) => option.value === value)) {
      select.append(h('option', { value }, value)); // a thing that is not on the list (any more)
    }
    write(value);
    if (!value && !empty) select.selectedIndex = 0;
  };
  return field;
}

function choiceElement(entry) {
  if (Array.isArray(entry)) return h('option', { value: entry[0] }, entry[1]);
  return entry.choices.length ? h('optgroup', { label: entry.group }, entry.choices.map(choiceElement)) : null;
}

export function yes(options) {
  const input = h('input', { type: 'checkbox' });
  const parts = labelled(input, options);
  parts.element.classList.add('tick');
  parts.element.prepend(input);
  return {
    name: options.name,
    label: options.label,
    input,
    element: parts.element,
    read: () => input.checked,
    write(value) {
      input.checked = value === true;
    },
    fault(sentence) {
      parts.fault.textContent = sentence;
      parts.fault.hidden = sentence === '';
    },
    focus: () => input.focus(),
  };
}

/* A list of words, written with commas between them. */
export function words(options) {
  const input = h('input', { type: 'text', autocomplete: 'off', maxlength: 1000 });
  const split = (typed) => {
    const list = typed
      .split(',')
      .map((word) => word.trim())
      .filter(Boolean);
    return list.length ? list : undefined;
  };
  const field = simple(options, input, { parse: split, print: (list) => list.join(', ') });
  field.find = () => field;
  return field;
}

/* A member that this form does not show, and sends back as it was. */
export function kept(name) {
  let stored;
  const nothing = () => undefined;
  return {
    name,
    element: h('span', { hidden: true }),
    read: () => stored ?? undefined,
    write(value) {
      stored = value;
    },
    fault: nothing,
    focus: nothing,
  };
}

/* A heading inside a form; it stands for nothing. */
export function part(title, hint) {
  const nothing = () => undefined;
  return {
    name: '',
    element: h('div', { class: 'part' }, h('h2', {}, title), hint ? h('p', { class: 'hint' }, hint) : null),
    read: nothing,
    write: nothing,
    fault: nothing,
    focus: nothing,
  };
}
