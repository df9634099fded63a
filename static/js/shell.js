/* The frame around all pages: the name of the house, the menu, who is signed in. */
import { h, button, link } from './dom.js';
import { may, session } from './session.js';

/* Entries that the role may not use are left out. */
const MENU = [
  {
    heading: 'The day',
    entries: [
      { name: 'orders', text: 'Orders', role: 'counter' },
      { name: 'production', text: 'Production', role: 'counter' },
      { name: 'mixing', text: 'Mixing list', role: 'baker' },
      { name: 'timetable', text: 'Timetable', role: 'baker' },
      { name: 'run-sheet', text: 'Run sheet', role: 'baker' },
      { name: 'water', text: 'Water', role: 'baker' },
      { name: 'needs', text: 'Needs', role: 'baker', owner: 'Needs and cost' },
    ],
  },
  {
    heading: 'The store',
    entries: [
      { name: 'stock', text: 'Flour store', role: 'baker' },
      { name: 'goods-in', text: 'Goods in', role: 'baker' },
      { name: 'count', text: 'Count', role: 'baker' },
      { name: 'ordering', text: 'Ordering', role: 'baker' },
      { name: 'trace', text: 'Trace', role: 'baker' },
    ],
  },
  {
    heading: 'The book',
    entries: [
      { name: 'customers', text: 'Customers', role: 'counter' },
      { name: 'products', text: 'Products', role: 'baker' },
      { name: 'formulas', text: 'Formulas', role: 'baker' },
      { name: 'starters', text: 'Starters', role: 'baker' },
      { name: 'ingredients', text: 'Ingredients', role: 'baker' },
      { name: 'suppliers', text: 'Suppliers', role: 'baker' },
    ],
  },
  {
    heading: 'The prices',
    entries: [
      { name: 'prices', text: 'Loaf price', role: 'owner' },
      { name: 'price-lists', text: 'Price lists', role: 'owner' },
      { name: 'rates', text: 'Rates', role: 'owner' },
    ],
  },
  {
    heading: 'The house',
    entries: [
      { name: 'bakery', text: 'Bakery', role: 'owner' },
      { name: 'people', text: 'People', role: 'owner' },
      { name: 'tokens', text: 'Programs', role: 'owner' },
    ],
  },
];

function entryElement(entry) {
  const text = entry.owner && may('owner') ? entry.owner : entry.text;
  return h('li', {}, link(`#/${entry.name}`, text, { 'data-name': entry.name }));
}

function group({ heading, entries }) {
  const allowed = entries.filter((entry) => may(entry.role));
  if (allowed.length === 0) return [];
  return [h('h2', {}, heading), h('ul', {}, allowed.map(entryElement))];
}

function who(onSignOut) {
  return h(
    'div',
    { class: 'who' },
    h('p', {}, h('strong', {}, session().name), ` · ${session().role}`),
    button('Sign out', onSignOut, { class: 'quiet' }),
  );
}

/* The frame for whoever is signed in; an empty one when nobody is. */
export function shell(onSignOut) {
  if (session() === null) return h('header', { class: 'masthead' }, wordmark());
  const menu = h(
    'div',
    { id: 'menu', class: 'menu' },
    h('nav', { 'aria-label': 'Menu' }, MENU.map(group)),
    who(onSignOut),
  );
  const toggle = button('Menu', () => open(toggle.getAttribute('aria-expanded') !== 'true'), {
    class: 'menu-toggle',
    'aria-expanded': 'false',
    'aria-controls': 'menu',
  });
  const open = (yes) => {
    toggle.setAttribute('aria-expanded', String(yes));
    menu.classList.toggle('open', yes);
  };
  menu.addEventListener('click', (event) => {
    if (event.target.closest('a')) open(false);
  });
  menu.addEventListener('keydown', (event) => {
    if (event.key !== 'Escape' || !menu.classList.contains('open')) return;
    open(false);
    toggle.focus();
  });
  return h('header', { class: 'masthead' }, wordmark(), toggle, menu);
}

function wordmark() {
  return h(
    'p',
    { class: 'wordmark' },
    h('span', { class: 'name' }, 'Morrowloaf'),
    session()?.bakery ? h('span', { class: 'bakery' }, session().bakery) : '',
  );
}

/* Marks the entry of the page that is shown. */
export function markMenu(hash) {
  const name = hash.split('/')[1];
  for (const anchor of document.querySelectorAll('#menu a')) {
    if (anchor.dataset.name === name) anchor.setAttribute('aria-current', 'page');
    else anchor.removeAttribute('aria-current');
  }
}
