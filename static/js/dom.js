/* Making elements without a framework: h('p', { class: 'note' }, 'text', child).
 *
 * Text is always set as text, never parsed as HTML. An attribute that is null, undefined or false
 * is left out; one that begins with "on" and is a function is a listener.
 */

export function h(name, attributes = {}, ...children) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) setAttribute(element, key, value);
  element.append(
    ...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false),
  );
  return element;
}

function setAttribute(element, key, value) {
  if (value === null || value === undefined || value === false) return;
  if (key.startsWith('on') && typeof value === 'function') element.addEventListener(key.slice(2), value);
  else if (value === true) element.setAttribute(key, '');
  else element.setAttribute(key, String(value));
}

let counter = 0;

/* An id that no other element of this page has. */
export function uniqueId(stem) {
  counter += 1;
  return `${stem}-${counter}`;
}

/* A link inside this page, styled as a button when it does something. */
export function link(href, text, attributes = {}) {
  return h('a', { href, ...attributes }, text);
}

export function button(text, onclick, attributes = {}) {
  return h('button', { type: 'button', onclick, ...attributes }, text);
}

/* Text that only screen readers come across. */
export function unseen(text) {
  return h('span', { class: 'unseen' }, text);
}

/* Calls work after the last call of a burst. */
export function debounce(milliseconds, work) {
  let timer = 0;
  return (...args) => {
    clearTimeout(timer);
    timer = setTimeout(() => work(...args), milliseconds);
  };
}
