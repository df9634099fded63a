/* One ingredient in the store: how much, until when, which lots in which order, and what happened to it. */
import { h, button, link } from '../dom.js';
import * as api from '../api.js';
import { amountOf, amountWords, inPacks, unitOf } from '../amounts.js';
import { clearMessages, tell, tellError } from '../messages.js';
import { size } from '../number.js';
import { Onces } from '../once.js';
import { may } from '../session.js';
import { Course } from '../stock-course.js';
import { Lots } from '../stock-lots.js';
import { Movements, askWhyUndone, movementWords, netWords } from '../stock-movements.js';
import { marksOf } from '../stock-outlook.js';
import { Postings, packOf } from '../stock-postings.js';
import { Supply } from '../stock-supply.js';
import { gramWords, runOutOf, worthWords } from '../stock-words.js';

export async function show(view, code) {
  const [{ body: item }, formulas] = await Promise.all([api.get(`/stock/${code}`, view), api.list('/formulas', view)]);
  const page = new ItemPage(view, item, new Map(formulas.map((one) => [one.code, one.name])));
  await page.movements.load(view);
  page.draw(item);
  view.guard(() => page.postings.dirty || page.lots.dirty || page.supply.dirty);
  return view.frame(
    item.name,
    [h('span', { class: 'over' }, 'Flour store'), ' ', item.name],
    page.state,
    h(
      'p',
      { class: 'actions' },
      link('#/goods-in', 'Goods in', { class: 'button' }),
      link('#/ordering', 'Ordering', { class: 'button' }),
      link('#/stock', 'The whole store', { class: 'button quiet' }),
    ),
    page.course.element,
    page.lots.element,
    page.postings.element,
    page.movements.element,
    page.supply.element,
  );
}

class ItemPage {
  constructor(view, item, formulas) {
    this.view = view;
    this.formulas = formulas;
    this.path = `/stock/${item.ingredient}`;
    this.state = h('div', { class: 'stock-state' });
    this.course = new Course(view);
    this.lots = new Lots({ changed: () => this.refresh() });
    this.postings = new Postings({ posted: (movement) => this.#posted(movement) });
    this.movements = new Movements(item.ingredient, { formulas, undo: (movement) => this.undo(movement) });
    this.supply = new Supply(view, item, { changed: () => this.refresh() });
    this.undoing = new Onces('/movements'); // by the movement that is undone
  }

  draw(item) {
    const focus = document.activeElement?.dataset?.focus;
    this.item = item;
    this.state.replaceChildren(figures(item), marks(item));
    this.course.show(item);
    this.lots.show(item);
    this.postings.show(item);
    if (focus) document.querySelector(`[data-focus="${focus}"]`)?.focus();
  }

  async refresh() {
    const [{ body }] = await Promise.all([api.get(this.path, this.view), this.movements.load(this.view)]);
    if (!this.view.signal.aborted) this.draw(body);
  }

  async #posted(movement) {
    await this.refresh();
    const what = `${movementWords(movement, this.formulas)}: ${netWords(movement, this.item.ingredient)}`;
    tell('good', `Posted. ${what}. ${this.#onHand()}`, [
      button('Undo', () => this.undo(movement), { class: 'quiet', 'aria-label': 'Undo what was just posted' }),
    ]);
  }

  #onHand() {
    return `${amountWords(amountOf(this.item), unitOf(this.item))} on hand.`;
  }

  /* Posts the reversal once, however often it is pressed. */
  async undo(movement) {
    const reason = await askWhyUndone(movement, this.formulas);
    if (reason === null || this.busy) return;
    this.busy = true;
    clearMessages();
    try {
      const body = { kind: 'reversed', reverses: movement.number, reason };
      await this.undoing.post(movement.number, body);
      await this.refresh();
      tell('good', `Undone: ${movementWords(movement, this.formulas)}. ${this.#onHand()}`);
    } catch (error) {
      this.#explain(error, movement);
    }
    this.busy = false;
  }

  /* What cannot be undone says why at the movement that was to be undone. */
  #explain(error, movement) {
    const own = error instanceof api.Problem && error.errors.length > 0 && !error.uncertain;
    if (own) tell('bad', `Movement ${movement.number} cannot be undone: ${error.errors.map((one) => one.detail).join('; ')}.`);
    else tellError(error, () => this.undo(movement));
  }
}

const figure = (name, value, sub, className) =>
  h('div', { class: className ?? null }, h('dt', {}, name), h('dd', {}, value, sub ? h('span', { class: 'sub' }, sub) : null));

function figures(item) {
  const unit = unitOf(item);
  const words = (stem) => gramWords(amountOf(item, stem), unit);
  const pack = packOf(item);
  const free = amountOf(item, 'free');
  const { text, detail, days } = runOutOf(item);
  return h(
    'dl',
    { class: 'key-figures stock-figures' },
    figure('On hand', amountWords(amountOf(item), unit), pack && amountOf(item) >= pack ? inPacks(amountOf(item), pack, unit) : null),
    figure('Spoken for', words('spoken_for'), 'by printed mixing lists'),
    figure('Free', free < 0n ? `${gramWords(size(free), unit)} short` : words('free'), null, free < 0n ? 'bad' : null),
    figure('Runs out', text, detail, days < 7 ? 'bad' : null),
    amountOf(item, 'usual_week') === null ? null : figure('A usual week', words('usual_week')),
    may('owner') ? worthFigure(item) : null,
  );
}

const worthFigure = (item) =>
  figure('Worth', worthWords(item.fifo_value), `first in, first out; moving average ${worthWords(item.average_value)}`);

function marks(item) {
  const found = marksOf(item, null).filter((mark) => mark.level !== 'note' || mark.text.includes('order'));
  return found.length
    ? h(
        'ul',
        { class: 'stock-marks' },
        found.map(({ level, text }) => h('li', { class: `stock-mark ${level}` }, `▸ ${text}`)),
      )
    : '';
}
