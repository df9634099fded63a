/* From the address to the page.
 *
 * Addresses are "#/name/part/part". A page is an async function show(view, ...parts) that returns its
 * element; view carries what a page may need of the frame: the signal that ends with the page, its
 * title, and whether something typed would be lost.
 */
import { h, button } from './dom.js';
import { confirm } from './dialog.js';
import { messagePlace, tell, sentence } from './messages.js';
import { Problem } from './api.js';
import { may, refreshSession } from './session.js';

let routes = [];
let shown = null; // { hash, controller, dirty() }
let afterShow = () => {};

export function setRoutes(table, done) {
  routes = table;
  afterShow = done;
}

export const here = () => (location.hash.startsWith('#/') ? location.hash : '#/');

const pathOf = (hash) => hash.slice(1).split('?')[0];

function find(hash) {
  const path = pathOf(hash);
  for (const route of routes) {
    const match = route.pattern.exec(path);
    if (match) return { route, parts: match.slice(1).map((part) => part && decodeURIComponent(part)) };
  }
  return { route: null, parts: [] };
}

function frame(title, ...children) {
  return h('div', { class: 'page' }, h('h1', { tabindex: -1 }, title), messagePlace(), ...children);
}

async function build(view, hash) {
  const { route, parts } = find(hash);
  if (!route) return frame('There is no such page', h('p', {}, h('a', { href: '#/orders' }, 'Go to the orders')));
  if (route.role && !may(route.role)) {
    return frame(
      'Not for you',
      h('p', {}, `This page is for ${route.role === 'owner' ? 'owners' : 'bakers and owners'}.`),
    );
  }
  const [{ show: showPage }] = await Promise.all([route.load(), refreshSession()]);
  return showPage(view, ...parts);
}

async function elementFor(view, hash) {
  try {
    return await build(view, hash);
  } catch (error) {
    if (view.signal.aborted) return null;
    if (!(error instanceof Problem)) console.error(error);
    const missing = error.status === 404;
    const element = frame(missing ? 'Not found' : 'This page could not be opened');
    const again = missing ? [] : [button('Try again', () => show())];
    tell('bad', sentence(error.message), again);
    return element;
  }
}

/* Shows the page of the present address. focus: move the focus to its heading. */
export async function show({ focus = true } = {}) {
  const hash = here();
  shown?.controller.abort();
  const controller = new AbortController();
  const own = { hash, controller, dirty: () => false, after: null };
  shown = own;
  const view = {
    signal: controller.signal,
    /* The page's frame: call it once, before any message is told. heading: text or nodes. */
    frame: (title, heading, ...children) => {
      view.title = title;
      return frame(heading, ...children);
    },
    guard: (dirty) => {
      own.dirty = dirty;
    },
    /* Called once when the page stands. */
    after: (work) => {
      own.after = work;
    },
    title: null,
  };
  const page = document.getElementById('page');
  page.setAttribute('aria-busy', 'true');
  const element = await elementFor(view, hash);
  if (controller.signal.aborted) return;
  page.removeAttribute('aria-busy');
  page.replaceChildren(element);
  afterShow(hash, view.title ?? element.querySelector('h1').textContent);
  window.scrollTo(0, 0);
  own.after?.();
  if (focus) (element.querySelector('[data-first]') ?? element.querySelector('h1')).focus({ preventScroll: true });
}

/* Goes to another page without asking: what was typed is saved or given up. */
export function go(hash) {
  if (shown) shown.dirty = () => false;
  if (pathOf(here()) === pathOf(hash)) show();
  else location.hash = hash;
}

async function changed() {
  const wanted = here();
  if (shown && pathOf(shown.hash) === pathOf(wanted)) return;
  if (shown?.dirty()) {
    history.replaceState(null, '', shown.hash);
    const leave = await confirm('Leave without saving?', {
      detail: 'What you typed on this page would be lost.',
      yes: 'Leave',
      no: 'Stay here',
      danger: true,
    });
    if (!leave) return;
    go(wanted);
    return;
  }
  show();
}

export function startRouter() {
  window.addEventListener('hashchange', changed);
  window.addEventListener('beforeunload', (event) => {
    if (shown?.dirty()) event.preventDefault();
  });
}

export const leaveQuietly = () => {
  if (shown) shown.dirty = () => false;
};
