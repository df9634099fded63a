/* Deliveries that came in, the newest first. */
import { h, button, link } from './dom.js';
import * as api from './api.js';
import { dayWords, joinWords } from './dates.js';
import { table } from './figures.js';
import { tellError } from './messages.js';
import { today } from './session.js';

const AT_ONCE = 10;
const NAMES = 3; // ingredients that are named

export async function recentDeliveries(view) {
  const place = h('section', { class: 'below' }, h('h2', {}, 'What came in last'));
  const { body } = await api.get(`/goods-in?limit=${AT_ONCE}`, view);
  if (body.items.length === 0) {
    place.append(h('p', { class: 'empty' }, 'Nothing yet. The first delivery of an ingredient begins its book.'));
    return place;
  }
  const rows = table({ heads: ['Delivery', 'What came'], rows: body.items.map(row), className: 'deliveries' });
  place.append(rows);
  if (body.next) place.append(moreButton(view, rows, body.next));
  return place;
}

function moreButton(view, rows, first) {
  let next = first;
  const more = button('Show earlier ones', async () => {
    try {
      const { body } = await api.get(next.slice(api.BASE.length), view);
      const added = table({ heads: ['', ''], rows: body.items.map(row) });
      rows.tBodies[0].append(...added.tBodies[0].rows);
      next = body.next;
      more.hidden = next === null;
    } catch (error) {
      tellError(error, () => more.click());
    }
  });
  return h('p', { class: 'actions' }, more);
}

function row(one) {
  const names = [...new Set(one.lines.map((line) => line.name))];
  const more = names.length - NAMES;
  const shown = more > 0 ? [...names.slice(0, NAMES), `${more} more`] : names;
  const undone = one.reversed_by === null ? null : h('strong', { class: 'missing' }, 'Undone. ');
  return [
    h(
      'th',
      { scope: 'row' },
      link(`#/goods-in/${one.number}`, one.supplier_name),
      h(
        'span',
        { class: 'sub' },
        [dayWords(one.date, today()), one.delivery_note && `note ${one.delivery_note}`].filter(Boolean).join(' · '),
      ),
    ),
    h('td', {}, undone, joinWords(shown)),
  ];
}
