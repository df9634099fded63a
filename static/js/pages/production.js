/* What a bread day asks for: pieces of each product, kilos of each dough. */
import { h, link } from '../dom.js';
import * as api from '../api.js';
import { breadDayTabs, dayHeading, dayStepper } from '../day.js';
import { dayWords, shortDay } from '../dates.js';
import { aligned, figureCell, table } from '../figures.js';
import { GRAM_PLACES, fromWire, kilos, whole } from '../number.js';
import { sentence } from '../messages.js';
import { Places, breakWords } from '../ribbon-words.js';
import { currentBreadDay, may, rememberBreadDay, today } from '../session.js';

export async function show(view, wanted) {
  const date = wanted ?? (await currentBreadDay());
  rememberBreadDay(date);
  const [{ body }, late] = await Promise.all([
    api.get(`/days/${date}/production`, view),
    may('baker') ? notReady(view, date) : null,
  ]);
  return view.frame(
    `Production for ${dayWords(date, today())}`,
    dayHeading('Production', date),
    dayStepper(date, (day) => `#/production/${day}`, 'Bread day'),
    breadDayTabs('production', date),
    late,
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

/* What the timetable says cannot be ready. It is told beside the pieces and never in their way: a
 * timetable that cannot be had leaves a line of words. */
async function notReady(view, date) {
  const way = link(`#/timetable/${date}`, 'Timetable of this day');
  try {
    const { body } = await api.get(`/days/${date}/timetable`, view);
    const tasks = new Map(body.tasks.map((task) => [task.id, task]));
    const places = new Places(null, body.tasks);
    const found = body.breaks.filter((one) => one.kind === 'late');
    if (found.length === 0) return null;
    return h(
      'div',
      { class: 'message bad' },
      h('p', {}, h('strong', {}, 'Not all of it can be ready:')),
      h(
        'ul',
        {},
        found.map((one) => h('li', {}, sentence(breakWords(one, tasks, places)))),
      ),
      h('p', {}, way),
    );
  } catch (error) {
    if (!(error instanceof api.Problem)) throw error;
    return h('p', {}, 'Whether it can be ready is not known: ', error.detail, ' ', way);
  }
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
