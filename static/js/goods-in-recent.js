/* Deliveries that came in, the newest first. */
import { h, link } from './dom.js';
import { dayWords, joinWords } from './dates.js';
import { table } from './figures.js';
import { Paged } from './paged.js';
import { today } from './session.js';

const AT_ONCE = 10;
const NAMES = 3; // ingredients that are named

export async function recentDeliveries(view) {
  const place = h('div', {});
  const paged = new Paged({
    atOnce: AT_ONCE,
    older: 'Older deliveries',
    draw: () => place.replaceChildren(...content(paged)),
    lineAt: (index) => place.querySelectorAll('tbody th a')[index],
    view,
  });
  await paged.begin('/goods-in');
  return h('section', { class: 'below' }, h('h2', {}, 'What came in last'), place);
}

function content(paged) {
  if (paged.items.length === 0)
    return [h('p', { class: 'empty' }, 'Nothing yet. The first delivery of an ingredient begins its book.')];
  return [
    table({ heads: ['Delivery', 'What came in'], rows: paged.items.map(row) }),
    paged.moreButton(),
  ];
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
