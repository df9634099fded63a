/* Why a day needs so much of an ingredient: through which lines, for which orders. Asked for when it is
 * opened.
 */
import { h, button } from './dom.js';
import * as api from './api.js';
import { sentence } from './messages.js';
import { GRAM_PLACES, fromWire, grams, kilos, whole } from './number.js';
import { kindWords, placeOf } from './price-words.js';
import { quantityWords } from './price-lines.js';
import { outline } from './why.js';

const THOUSAND = 1000000n; // milligrams

function weight(json) {
  const mg = fromWire(json, GRAM_PLACES);
  return mg >= THOUSAND ? `${kilos(mg)}\u00a0kg` : `${grams(mg)}\u00a0g`;
}

/* The head of an ingredient's row: its name, which opens a row below with the outline. */
export function needHead(date, need, columns) {
  const opener = button(need.name, () => toggle(opener, date, need, columns), {
    class: 'need-opener',
    'aria-expanded': 'false',
  });
  return h('th', { scope: 'row', class: 'need' }, opener);
}

function toggle(opener, date, need, columns) {
  const yes = opener.getAttribute('aria-expanded') !== 'true';
  opener.setAttribute('aria-expanded', String(yes));
  const row = opener.closest('tr');
  const below = row.nextElementSibling?.classList.contains('need-why') ? row.nextElementSibling : null;
  if (below) {
    below.hidden = !yes;
    return;
  }
  const cell = h('td', { colspan: columns }, h('p', { class: 'hint', role: 'status' }, 'Looking it up…'));
  row.after(h('tr', { class: 'need-why' }, cell));
  fill(cell, date, need);
}

async function fill(cell, date, need) {
  try {
    const { body } = await api.get(`/days/${date}/needs?why=${need.ingredient}`);
    cell.replaceChildren(whyOutline(body, date));
  } catch (error) {
    if (!(error instanceof api.Problem)) throw error;
    cell.replaceChildren(
      h('p', { class: 'message bad' }, sentence(error.detail)),
      button('Try again', () => fill(cell, date, need)),
    );
  }
}

function whyOutline(body, date) {
  const weighed = body.g !== undefined;
  const value = (node) => (weighed ? weight(node.value) : `${whole(node.value)}\u00a0pc`);
  const detail = (node) => (node.unit === 'g' && weighed && node.quantity === node.value ? '' : quantityWords(node));
  if (body.why.children.length === 0) return h('p', { class: 'hint' }, 'Nothing of it is for an order.');
  return outline(body.why.children, {
    label: `Why ${body.name}`,
    words: (node) => kindWords(node.what),
    value,
    detail,
    place: (node) => placeOf(node.where, date),
  });
}
