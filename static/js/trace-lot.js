/* A lot forwards: where it came from, whether it adds up, and everything that it went into. */
import { toldWeight } from './amounts.js';
import { clockOf, dateOf, dayWords, shortDate, shortDayYear } from './dates.js';
import { h, button, link } from './dom.js';
import { figureCell, table } from './figures.js';
import { whole } from './number.js';
import { telephone } from './phone.js';
import { today } from './session.js';
import { balanceWords, leftOutWords, partWeight, partWords, wayWords } from './trace-words.js';

const MANY = 25; // batches that are shown at once

const fact = (name, ...content) => h('div', {}, h('dt', {}, name), h('dd', {}, content));

/* Supplier and papers. lot: of the trace; more: of GET /lots/{number}. */
export function originBlock(lot, more) {
  const supplier = lot.supplier
    ? [link(`#/suppliers/${lot.supplier}`, lot.supplier_name), h('span', { class: 'sub' }, telephone(lot.supplier_phone))]
    : 'not known: it was there when its book was begun';
  const mark = lot.lot_mark ?? h('span', { class: 'missing' }, 'not entered');
  const bestBefore = lot.best_before ? shortDate(lot.best_before) : 'not entered';
  return h(
    'dl',
    { class: 'origin' },
    fact('Supplier', supplier),
    fact('Lot mark', mark),
    fact('Best before', bestBefore, more.expired ? h('strong', { class: 'missing' }, ', past') : null),
    fact('Came in', `${dayWords(lot.received_on, today())}, delivery note ${lot.delivery_note ?? 'not entered'}`),
    more.damage ? fact('Damage', more.damage) : null,
    more.note ? fact('Note', more.note) : null,
    more.places.length ? fact('Place', more.places.map((one) => one.place).join(', ')) : null,
  );
}

export function balanceBlock(balance) {
  const { text, off } = balanceWords(balance);
  return h(
    'div',
    { class: 'balance' },
    h('p', {}, text),
    off === null
      ? h('p', { class: 'adds-up' }, 'It adds up.')
      : h('p', { class: 'missing' }, `It does not add up: ${off} are not accounted for.`),
  );
}

/* A part of the page that is not on the recall sheet; id: where its figure in the summary leads. */
const section = (id, title, ...content) =>
  h('section', { class: 'below screen-only', id, tabindex: -1 }, h('h2', {}, title), content);

/* How far it has gone, at a glance; each figure leads to its part of the page. */
export function summary(trace) {
  const lead = (id) => () => {
    const part = document.getElementById(id);
    part.scrollIntoView();
    part.focus();
  };
  const figure = (count, one, many, id) =>
    h('li', {}, count ? button([h('strong', {}, whole(count)), ` ${count === 1 ? one : many}`], lead(id), { class: 'lead-to' }) : `no ${many}`);
  return h(
    'ul',
    { class: 'trace-summary screen-only' },
    figure(trace.customers.length, 'customer', 'customers', 'who-got-it'),
    figure(trace.bread_days.length, 'bread day', 'bread days', 'bread-of-it'),
    figure(trace.products.length, 'product', 'products', 'bread-of-it'),
    figure(trace.batches.length, 'batch', 'batches', 'batches-of-it'),
    figure(trace.starters.length, 'starter', 'starters', 'starters-of-it'),
  );
}

/* --- starters --- */

function starterRow(one) {
  return [
    link(`#/starters/${one.starter}`, one.name),
    figureCell(toldWeight(one.fed_g)),
    ...['carried_g', 'discarded_g', 'still_in_g'].map((member) =>
      h('td', { class: 'figures' }, partWeight(one[member]), h('span', { class: 'sub' }, partWords(one[member], one.fed_g))),
    ),
  ];
}

function feedRow(feed) {
  return [
    `${feed.name}, entry ${feed.entry}`,
    `${clockOf(feed.at)}, ${shortDayYear(dateOf(feed.at))}`,
    figureCell(toldWeight(feed.g)),
  ];
}

export function startersBlock({ starters, feeds }) {
  if (starters.length + feeds.length === 0) return null;
  const right = (text) => ({ text, figures: true });
  return section(
    'starters-of-it',
    'Fed to starters',
    h('p', { class: 'hint' }, 'What a pot took in is carried on in equal shares by whatever is taken from it.'),
    h(
      'div',
      { class: 'scrolls' },
      table({ heads: ['Starter', right('Fed'), right('Into doughs'), right('Thrown away'), right('Still in')], rows: starters.map(starterRow) }),
    ),
    feeds.length
      ? h(
          'details',
          { class: 'panel' },
          h('summary', {}, feeds.length === 1 ? 'One feed' : `${whole(feeds.length)} feeds`),
          table({ heads: ['Feed', 'At', right('Of this lot')], rows: feeds.map(feedRow) }),
        )
      : null,
  );
}

/* --- batches --- */

function batchRow(one, names) {
  return [
    link(`#/mixing/${one.date}`, `${one.name}, batch ${one.batch}`),
    h('td', {}, shortDayYear(one.date), h('span', { class: 'sub' }, `mixed ${clockOf(one.mixed_at)}`)),
    h('td', {}, wayWords(one.via, names)),
    figureCell(partWeight(one.g)),
  ];
}

/* What ways are called: as the batches and what was weighed into them are. */
export function namesOf({ starters = [], batches = [] }) {
  const lines = batches.flatMap((one) => one.lines ?? []);
  return new Map([
    ...[...starters, ...lines].filter((one) => one.starter).map((one) => [`starter:${one.starter}`, one.name]),
    ...[...batches, ...lines].filter((one) => one.formula).map((one) => [`formula:${one.formula}`, one.name]),
  ]);
}

const batchTable = (batches, names) =>
  table({ heads: ['Batch', 'Mixing list', 'How', { text: 'Of this lot', figures: true }], rows: batches.map((one) => batchRow(one, names)) });

export function batchesBlock(trace) {
  const { batches } = trace;
  if (batches.length === 0) return section('batches-of-it', 'Batches', h('p', { class: 'empty' }, 'It has not gone into any batch that was posted.'));
  const names = namesOf(trace);
  const [shown, rest] = [batches.slice(0, MANY), batches.slice(MANY)];
  return section(
    'batches-of-it',
    batches.length === 1 ? 'One batch' : `${whole(batches.length)} batches`,
    batchTable(shown, names),
    rest.length
      ? h('details', { class: 'panel' }, h('summary', {}, `${whole(rest.length)} more`), batchTable(rest, names))
      : null,
    leftOutWords(trace.left_out, 'batches'),
  );
}

/* --- bread --- */

export function breadBlock({ products, bread_days: days }) {
  if (days.length === 0) return null;
  return section(
    'bread-of-it',
    'Bread',
    h('p', {}, h('strong', {}, products.map((one) => one.name).join(', '))),
    h(
      'ul',
      { class: 'bread-days' },
      days.map((day) => h('li', {}, link(`#/trace/day/${day}`, shortDayYear(day)))),
    ),
  );
}

export function gapsBlock(gaps) {
  if (gaps.length === 0) return null;
  return h(
    'div',
    { class: 'message warn gaps' },
    h('p', {}, h('strong', {}, gaps.length === 1 ? 'One thing is not known' : `${gaps.length} things are not known`)),
    h('ul', {}, gaps.map((gap) => h('li', {}, gap))),
  );
}
