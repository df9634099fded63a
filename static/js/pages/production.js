/* What a bread day asks for: pieces of each product, kilos of each dough. */
import { h, link } from '../dom.js';
import * as api from '../api.js';
import { breadDayTabs, dayHeading, dayStepper } from '../day.js';
import { dayWords, shortDay } from '../dates.js';
import { aligned, figureCell, table } from '../figures.js';
import { GRAM_PLACES, fromWire, kilos, whole } from '../number.js';
import { currentBreadDay, may, rememberBreadDay, today } from '../session.js';

export async function show(view, wanted) {
  const date = wanted ?? (await currentBreadDay());
  rememberBreadDay(date);
  const { body } = await api.get(`/days/${date}/production`, view);
  return view.frame(
    `Production for ${dayWords(date, today())}`,
    dayHeading('Production', date),
    dayStepper(date, (day) => `#/production/${day}`, 'Bread day'),
    breadDayTabs('production', date),
    body.products.length === 0
      ? h('p', { class: 'empty' }, 'Nothing is ordered for this day.')
      : h(
          'div',
          { class: 'two-columns' },
          h('section', {}, h('h2', {}, 'Pieces'), piecesTable(body.products)),
          h('section', {}, h('h2', {}, 'Doughs'), doughTable(body.doughs)),
        ),
  );
}

function piecesTable(products) {
  const sum = (member) => whole(products.reduce((total, one) => total + one[member], 0));
  return table({
    heads: ['Product', ...['Ordered', 'Spare', 'To bake'].map((text) => ({ text, figures: true }))],
    rows: products.map((one) => [
      one.name,
      figureCell(whole(one.ordered)),
      figureCell(whole(one.spare)),
      h('td', { class: 'figures strong' }, aligned(whole(one.pieces), 0)),
    ]),
    foot: ['All', figureCell(sum('ordered')), figureCell(sum('spare')), figureCell(sum('pieces'))],
  });
}

function mixedOn(date) {
  return may('baker') ? link(`#/mixing/${date}`, shortDay(date)) : shortDay(date);
}

function doughTable(doughs) {
  return table({
    heads: ['Dough', { text: 'Weight', figures: true }, 'Mixed on'],
    rows: doughs.map((dough) => [
      dough.name,
      figureCell(kilos(fromWire(dough.g, GRAM_PLACES)), 3, 'kg'),
      h('td', { class: 'day' }, mixedOn(dough.mixing_date)),
    ]),
  });
}
