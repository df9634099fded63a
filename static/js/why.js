/* Why a figure is what it is: an outline that opens one level at a time, down to stored facts.
 *
 * Nested lists with disclosure buttons, so that every reader of screens knows them; and arrows move as in a
 * tree: down and up from line to line, right opens and goes in, left closes and goes out.
 */
import { h, button, link, uniqueId, unseen } from './dom.js';

/* nodes: { what, children, … } of the API. words(node) -> what it is; value(node) -> what it comes to;
 * detail(node, isLeaf) -> text or nodes of how; place(node) -> { hash, words } of where it is entered, or null;
 * where: of the whole, which is not told again. */
export function outline(nodes, options) {
  const list = levelOf(nodes, options, { where: options.where });
  list.classList.add('why');
  list.setAttribute('aria-label', options.label);
  list.addEventListener('keydown', (event) => key(event, list));
  return list;
}

function levelOf(nodes, options, parent) {
  return h(
    'ul',
    {},
    nodes.map((node) => lineOf(node, options, parent)),
  );
}

function lineOf(node, options, parent) {
  const isLeaf = node.children.length === 0;
  const value = h('span', { class: node.missing ? 'why-value missing' : 'why-value' }, options.value(node));
  const place = node.where && node.where !== parent.where ? options.place(node) : null;
  const below = belowOf(options.detail(node, isLeaf), place, node, isLeaf);
  if (isLeaf) {
    const line = place ? { class: 'why-line' } : { class: 'why-line why-stop', tabindex: -1 };
    return h(
      'li',
      { class: 'why-leaf' },
      h('div', line, h('span', { class: 'why-what' }, options.words(node)), value),
      below,
    );
  }
  const item = h('li', {});
  const opener = button(
    [h('span', { class: 'why-what' }, options.words(node)), ' ', value],
    () => open(item, node, options),
    {
      class: 'why-line why-stop',
      'aria-expanded': 'false',
    },
  );
  item.append(opener, ...(below ? [below] : []));
  return item;
}

/* How it comes about, and the way to where it is entered. */
function belowOf(detail, place, node, isLeaf) {
  const words = [detail].flat().filter(Boolean);
  if (words.length === 0 && !place) return null;
  return h(
    'p',
    { class: 'why-how' },
    words,
    place
      ? [
          words.length ? ' · ' : '',
          link(place.hash, [place.words, unseen(` of ${node.what}`)], { class: isLeaf ? 'why-stop' : null }),
        ]
      : null,
  );
}

/* Made when it is opened for the first time: a tree can have thousands of lines. */
function open(item, node, options) {
  const opener = item.querySelector(':scope > button');
  const yes = opener.getAttribute('aria-expanded') !== 'true';
  let inner = item.querySelector(':scope > ul');
  if (yes && !inner) {
    inner = levelOf(node.children, options, node);
    inner.id = uniqueId('why');
    item.append(inner);
    opener.setAttribute('aria-controls', inner.id);
  }
  if (inner) inner.hidden = !yes;
  opener.setAttribute('aria-expanded', String(yes));
}

const stopsOf = (list) => [...list.querySelectorAll('.why-stop')].filter((stop) => !stop.closest('ul[hidden]'));

/* The line's own stop, when the focus is on another link of it. */
const stopAt = (target) => target.closest('.why-stop') ?? target.closest('li')?.querySelector('.why-stop');

function key(event, list) {
  if (event.altKey || event.ctrlKey || event.metaKey) return;
  const work = { ArrowDown: down, ArrowUp: up, ArrowRight: right, ArrowLeft: left, Home: first, End: last }[event.key];
  const at = stopAt(event.target);
  if (!work || !at) return;
  event.preventDefault();
  work(at, list);
}

function down(at, list) {
  const stops = stopsOf(list);
  stops[stops.indexOf(at) + 1]?.focus();
}

function up(at, list) {
  const stops = stopsOf(list);
  stops[stops.indexOf(at) - 1]?.focus();
}

const first = (at, list) => stopsOf(list)[0]?.focus();
const last = (at, list) => stopsOf(list).at(-1)?.focus();

function right(at, list) {
  if (at.getAttribute('aria-expanded') === 'false') at.click();
  else down(at, list);
}

function left(at) {
  if (at.getAttribute('aria-expanded') === 'true') at.click();
  else at.closest('ul:not(.why)')?.closest('li').querySelector('button').focus();
}
