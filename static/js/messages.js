/* What the page has to say: one visible place under the heading, read out as it changes.
 *
 * A fault stays until the next attempt or page; good news is carried over to the page that follows.
 */
import { h, button } from './dom.js';
import { Problem } from './api.js';

let place = null;
let carried = null;

/* Called by the router for every page: where messages of this page appear. */
export function messagePlace() {
  place = h('div', { class: 'messages', 'aria-live': 'polite' });
  if (carried) {
    const text = carried.textContent;
    place.append(carried);
    setTimeout(() => speak(text), 150); // a region that is new itself is not read out
  }
  carried = null;
  return place;
}

function message(kind, content, actions = []) {
  const words = typeof content === 'string' ? h('p', {}, content) : content;
  const row = actions.length ? h('p', { class: 'actions' }, actions) : null;
  return h('div', { class: `message ${kind}`, role: kind === 'bad' ? 'alert' : null }, words, row);
}

/* Shows a message in place of those before it. content: text or an element. */
export function tell(kind, content, actions) {
  place?.replaceChildren(message(kind, content, actions));
}

export function clearMessages() {
  place?.replaceChildren();
}

/* Good news for the page that comes next: text or an element. */
export function carry(content) {
  carried = message('good', content);
}

/* Says something that is not to be seen: running totals, for screen readers. */
export function speak(text) {
  document.getElementById('spoken').textContent = text;
}

/* Any error as a message; again: what "Try again" does. */
export function tellError(error, again) {
  if (error.name === 'AbortError') return;
  if (!(error instanceof Problem)) {
    console.error(error);
    tell('bad', `Something in this page went wrong: ${error.message}`);
    return;
  }
  const wait = error.retryAfter && error.status === 429 ? '' : null;
  const actions = again && error.uncertain && wait === null ? [button('Try again', again)] : [];
  tell('bad', sentence(error.detail), actions);
}

export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/* The API's sentences have no capital and no full stop. */
export const sentence = (text) => (/[.!?]$/.test(text) ? capital(text) : `${capital(text)}.`);
