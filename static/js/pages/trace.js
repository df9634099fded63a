/* The trace: finding a lot, and a lot forwards to whoever got bread with it. Printed it is the recall
 * sheet: what it is, whom to ask, whom to call. */
import { h, button, link } from '../dom.js';
import * as api from '../api.js';
import { addDays, isDate } from '../dates.js';
import { putHeld, sureToRelease } from '../lot-hold.js';
import { lotTitle } from '../lot-words.js';
import { toldAmount } from '../amounts.js';
import { nameMargins } from '../margins.js';
import { clearMessages, tell, tellError } from '../messages.js';
import { go } from '../router.js';
import { session, today } from '../session.js';
import { LotFinder } from '../trace-find.js';
import { balanceBlock, batchesBlock, breadBlock, gapsBlock, originBlock, startersBlock, summary } from '../trace-lot.js';
import { recallList } from '../trace-recall.js';
import { recallCaution } from '../trace-words.js';

export const show = (view, lot) => (lot ? showLot(view, lot) : showFinder(view));

async function showFinder(view) {
  const [ingredients, suppliers] = await Promise.all([api.list('/ingredients', view), api.list('/suppliers', view)]);
  const finder = new LotFinder(view, { ingredients, suppliers });
  await finder.begin();
  return view.frame(
    'Trace',
    'Trace',
    h('p', { class: 'lead' }, 'From a sack to everyone who got bread with it, and from a bread day back to its sacks.'),
    h('div', { class: 'trace-ways' }, h('section', {}, h('h2', {}, 'A lot'), finder.form.element), backwards()),
    finder.place,
  );
}

function backwards() {
  const day = h('input', { id: 'trace-day', type: 'date', value: addDays(today(), 0), required: true });
  const look = (event) => {
    event.preventDefault();
    if (isDate(day.value)) go(`#/trace/day/${day.value}`);
  };
  return h(
    'section',
    {},
    h('h2', {}, 'A bread day'),
    h(
      'form',
      { novalidate: true, onsubmit: look },
      h('div', { class: 'field' }, h('label', { for: 'trace-day' }, 'Bread day'), day),
      h('p', { class: 'actions save' }, h('button', {}, 'What was in its bread')),
    ),
  );
}

async function showLot(view, number) {
  const [{ body: trace }, kept] = await Promise.all([
    api.get(`/lots/${number}/trace`, view),
    api.get(`/lots/${number}`, view),
  ]);
  const { lot } = trace;
  const title = lotTitle(lot);
  nameMargins(view, `${session().bakery} · Recall sheet`, title, { narrow: true });
  const element = view.frame(
    title,
    [h('span', { class: 'over' }, 'Lot ', String(lot.lot), h('span', { class: 'print-only-inline' }, ' · Recall sheet')), ' ', lot.name],
    new Hold(kept).element,
    recallCaution(),
    h('div', { class: 'trace-top' }, originBlock(lot, kept.body), h('div', {}, balanceBlock(trace.balance), summary(trace), gapsBlock(trace.gaps))),
    h(
      'section',
      { class: 'below', id: 'who-got-it', tabindex: -1 },
      h('h2', {}, 'Who got it'),
      h('p', { class: 'hint' }, `Reckoned by whole batches: everyone whose bread came of a batch with ${lot.name} of this lot in it.`),
      recallList(trace),
    ),
    breadBlock(trace),
    batchesBlock(trace),
    startersBlock(trace),
  );
  element.classList.add('trace-page');
  return element;
}

/* Sets a lot apart, so that nothing more is taken of it; and printing, the other thing in a hurry. */
class Hold {
  constructor(kept) {
    this.kept = kept;
    this.element = h('div', { class: 'hold' });
    this.draw();
  }

  draw() {
    const { held } = this.kept.body;
    this.element.replaceChildren(
      held
        ? h('p', { class: 'held' }, h('strong', {}, 'Held: '), `nothing is taken of what is left, ${toldAmount(this.kept.body, 'left')}.`)
        : '',
      h(
        'p',
        { class: 'actions' },
        button('Print the recall sheet', () => window.print(), { class: 'main' }),
        held
          ? button('Release this lot', () => this.release(), { class: 'quiet', 'data-hold': true })
          : button('Hold this lot', () => this.put(true), { class: 'danger', 'data-hold': true }),
        link('#/trace', 'Another lot', { class: 'button quiet' }),
      ),
    );
  }

  async release() {
    if (await sureToRelease(this.kept.body)) await this.put(false);
  }

  async put(held) {
    if (this.busy) return;
    this.busy = true;
    clearMessages();
    try {
      await putHeld(this.kept, held);
      this.kept = await api.get(`/lots/${this.kept.body.lot}`);
      this.draw();
      tell('good', held ? 'Held. Set it apart where nobody reaches for it.' : 'Released.');
      this.element.querySelector('[data-hold]').focus();
    } catch (error) {
      if (error.conflict) tell('bad', 'Somebody has changed this lot meanwhile.', [button('Look again', () => go(location.hash))]);
      else tellError(error, () => this.put(held));
    }
    this.busy = false;
  }
}
