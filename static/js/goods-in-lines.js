/* The lines of a delivery, filled by keyboard alone: Enter moves on, and on an empty line it says that
 * there is no more. Lines of which nothing is typed are not sent.
 */
import { h, button } from './dom.js';
import * as api from './api.js';
import { Findable } from './find-field.js';
import { DeliveryLine } from './goods-in-line.js';
import { sentence } from './messages.js';

export class DeliveryLines {
  /* ingredients; places: names of places; onchange(); onend(): nothing more is to be typed */
  constructor(view, { ingredients, places, onchange, onend }) {
    this.view = view;
    this.onchange = onchange;
    this.onend = onend;
    this.findable = new Findable('ingredients', ingredients);
    this.supplies = new Map();
    this.lines = [];
    this.sent = [];
    const list = h(
      'datalist',
      { id: 'delivery-places' },
      places.map((place) => h('option', { value: place })),
    );
    this.faultElement = h('p', { class: 'fault', hidden: true });
    this.place = h('div', { class: 'delivery-lines' });
    this.element = h(
      'div',
      {},
      this.findable.element,
      list,
      this.faultElement,
      this.place,
      h(
        'p',
        { class: 'actions' },
        button('Another line', () => this.add().focus(), { class: 'add' }),
      ),
      h(
        'p',
        { class: 'hint' },
        'Enter moves on; on an empty line it goes to the button that posts. A weight is grams, or kilos with “kg” behind it. ' +
          'Price left empty: the pack price counts until the invoice is here.',
      ),
    );
  }

  add() {
    const line = new DeliveryLine({
      findable: this.findable,
      placesList: 'delivery-places',
      supplyOf: (code) => this.#supplyOf(code),
      onchange: () => {
        this.fault('');
        this.onchange();
      },
      onnext: (from) => this.#next(from),
      onend: () => this.onend(),
      onstep: (from, step, index) => this.lines[this.lines.indexOf(from) + step]?.focus(index),
      ondrop: (from) => this.#drop(from),
    });
    this.lines.push(line);
    this.place.append(line.element);
    this.#renumber();
    return line;
  }

  #renumber() {
    this.lines.forEach((line, index) => line.number(index + 1));
  }

  #drop(line) {
    const index = this.lines.indexOf(line);
    this.lines.splice(index, 1);
    line.element.remove();
    if (this.lines.length === 0) this.add();
    this.#renumber();
    this.lines[Math.min(index, this.lines.length - 1)].focus();
    this.onchange();
  }

  /* The line below; what it awaits is known, so there the packs come first. */
  #next(from) {
    const line = this.lines[this.lines.indexOf(from) + 1] ?? this.add();
    line.focus(line.expected ? 1 : 0);
  }

  /* How the ingredient is usually packed and where it stands: asked for once. Without an answer the line
   * is typed in full. */
  #supplyOf(code) {
    if (!this.supplies.has(code)) this.supplies.set(code, this.#askSupply(code));
    return this.supplies.get(code);
  }

  async #askSupply(code) {
    try {
      return (await api.get(`/ingredients/${code}/supply`, this.view)).body;
    } catch (error) {
      if (!(error instanceof api.Problem) && error.name !== 'AbortError') throw error;
      this.supplies.delete(code);
      return null;
    }
  }

  /* --- what a purchase order awaits --- */

  await(expected) {
    for (const one of expected) this.add().awaits(one);
  }

  takeAll() {
    this.lines.filter((line) => line.expected).forEach((line) => line.takeExpected(false));
    this.onchange();
  }

  /* --- out and in again --- */

  /* { lines, faults: [[line, member, text]] }; what is sent is remembered for the server's faults. */
  read() {
    const found = { lines: [], faults: [] };
    this.sent = this.lines.filter((line) => !line.blank);
    for (const line of this.sent)
      found.lines.push(line.read((member, text) => found.faults.push([line, member, text])));
    return found;
  }

  /* Sums of what can be read. */
  totals() {
    const sums = { mg: 0n, packs: 0n, heaviest: 0n, lines: 0 };
    for (const line of this.lines.filter((one) => !one.blank)) {
      const { amount, packs, pack } = line.reckon();
      if (amount === null) continue;
      sums.lines += 1;
      if (line.unit !== 'g') continue;
      sums.mg += amount;
      sums.packs += packs;
      if (packs > 0n && pack > sums.heaviest) sums.heaviest = pack;
    }
    return sums;
  }

  typed() {
    return this.lines
      .filter((line) => !line.blank)
      .map((line) => ({ ...line.typed(), awaited: line.expected?.ingredient ?? null }));
  }

  /* Typed lines of a draft: those of an order go where they were awaited. */
  write(typed) {
    for (const values of typed) {
      const awaited = this.lines.find(
        (line) => values.awaited && line.expected?.ingredient === values.awaited && line.blank,
      );
      (awaited ?? this.lines.find((line) => line.blank && !line.expected) ?? this.add()).write(values);
    }
  }

  /* Shows faults [[line, member, text]]; goes to the first. */
  show(faults) {
    let first = null;
    for (const [line, member, text] of faults) {
      const field = line.fault(member, sentence(text));
      first ??= field;
    }
    first?.focus();
  }

  /* "/lines/3/lot_mark": false when there is no such line. */
  showFault(index, member, text) {
    const line = this.sent[index];
    if (line) this.show([[line, member, text]]);
    return line !== undefined;
  }

  fault(text) {
    this.faultElement.textContent = text;
    this.faultElement.hidden = text === '';
  }

  clear() {
    this.fault('');
    this.lines.forEach((line) => line.clear());
  }

  focus() {
    this.lines[0]?.focus();
  }
}
