/* The column of all products with a pieces input each, filled by keyboard alone: Enter and the arrows
 * move, Enter on the last one saves, a question mark asks whether a line can be made.
 */
import { h, uniqueId } from './dom.js';
import { aligned } from './figures.js';
import { GRAM_PLACES, NumberFault, fromWire, grams, kilos, readDecimal } from './number.js';

export class PiecesTable {
  /* first: begin here; onchange(): something was typed; onlast(): Enter on the last line; onask(code): a
   * question mark on a line */
  constructor(products, { first, onchange, onlast, onask }) {
    this.onchange = onchange;
    this.onlast = onlast;
    this.onask = onask;
    this.lines = products.map((product) => this.#line(product));
    if (first) this.lines[0]?.input.setAttribute('data-first', '');
    this.sent = [];
    this.faultElement = h('p', { class: 'fault', hidden: true });
    const body = h(
      'tbody',
      {},
      this.lines.map((line) => line.element),
    );
    body.addEventListener('keydown', (event) => this.#key(event));
    this.element = h(
      'div',
      {},
      this.faultElement,
      h(
        'table',
        { class: 'list pieces' },
        h(
          'thead',
          {},
          h(
            'tr',
            {},
            h('th', { scope: 'col' }, 'Product'),
            h('th', { scope: 'col', class: 'figures' }, 'Pieces'),
            h('th', { scope: 'col', class: 'figures wide-only' }, 'Dough'),
          ),
        ),
        body,
      ),
    );
  }

  #line(product) {
    const id = uniqueId('pieces');
    const input = h('input', {
      id,
      type: 'text',
      inputmode: 'numeric',
      autocomplete: 'off',
      maxlength: 9,
      class: 'figure',
      'aria-describedby': `${id}-fault`,
      enterkeyhint: 'next',
    });
    const faultElement = h('p', { class: 'fault', id: `${id}-fault`, hidden: true });
    const weight = h('td', { class: 'figures wide-only' });
    const mg = fromWire(product.piece_g, GRAM_PLACES);
    const aside = h('div', { class: 'aside' });
    const line = { product, input, faultElement, weight, mg, aside };
    input.addEventListener('input', () => {
      this.#fault(line, '');
      this.#weigh(line);
      this.onchange();
    });
    input.addEventListener('focus', () => input.select());
    line.element = h(
      'tr',
      {},
      h(
        'th',
        { scope: 'row' },
        h('label', { for: id }, product.name),
        h('span', { class: 'sub' }, `${grams(mg)} g raw`),
        faultElement,
        aside,
      ),
      h('td', { class: 'figures' }, input),
      weight,
    );
    return line;
  }

  #fault(line, text) {
    line.faultElement.textContent = text;
    line.faultElement.hidden = text === '';
    if (text) line.input.setAttribute('aria-invalid', 'true');
    else line.input.removeAttribute('aria-invalid');
  }

  /* Pieces typed in a line; null: none. Throws NumberFault. */
  #piecesOf(line) {
    const pieces = readDecimal(line.input.value, 0);
    return pieces === 0n ? null : pieces;
  }

  #weigh(line) {
    let pieces = null;
    try {
      pieces = this.#piecesOf(line);
    } catch (error) {
      if (!(error instanceof NumberFault)) throw error;
    }
    line.weight.replaceChildren(pieces === null ? '' : aligned(kilos(pieces * line.mg), 3, 'kg'));
  }

  #key(event) {
    const at = this.lines.findIndex((line) => line.input === event.target);
    if (at >= 0 && event.key === '?') {
      event.preventDefault();
      this.onask(this.lines[at].product.code);
      return;
    }
    const step = { Enter: 1, ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (at < 0 || step === undefined) return;
    event.preventDefault();
    const next = this.lines[at + step];
    if (next) next.input.focus();
    else if (event.key === 'Enter') this.onlast();
  }

  /* --- lines by their product --- */

  codes() {
    return this.lines.map((line) => line.product.code);
  }

  #lineOf(code) {
    return this.lines.find((line) => line.product.code === code);
  }

  /* The place for what is said beside a line. */
  asideOf(code) {
    return this.#lineOf(code).aside;
  }

  /* Pieces typed in a line as a number; null: none, or nothing that can be read. */
  piecesOf(code) {
    try {
      const pieces = this.#piecesOf(this.#lineOf(code));
      return pieces === null || pieces < 1n ? null : Number(pieces);
    } catch (error) {
      if (!(error instanceof NumberFault)) throw error;
      return null;
    }
  }

  put(code, pieces) {
    const line = this.#lineOf(code);
    line.input.value = String(pieces);
    line.input.dispatchEvent(new Event('input'));
  }

  focusOn(code) {
    this.#lineOf(code).input.focus();
  }

  isAt(code, element) {
    return this.#lineOf(code).input === element;
  }

  /* { lines, pieces, mg }: what can be read; report(): what cannot is shown and counted. */
  read() {
    const found = { lines: [], pieces: 0n, mg: 0n, faults: 0 };
    this.sent = [];
    for (const line of this.lines) this.#add(line, found);
    return found;
  }

  #add(line, found) {
    try {
      const pieces = this.#piecesOf(line);
      if (pieces === null) return;
      found.lines.push({ product: line.product.code, pieces: Number(pieces) });
      found.pieces += pieces;
      found.mg += pieces * line.mg;
      this.sent.push(line);
    } catch (error) {
      if (!(error instanceof NumberFault)) throw error;
      line.unread = error.message;
      found.faults += 1;
    }
  }

  /* Shows what could not be read. */
  showUnread() {
    let first = null;
    for (const line of this.lines) {
      try {
        this.#piecesOf(line);
      } catch (error) {
        if (!(error instanceof NumberFault)) throw error;
        this.#fault(line, `${error.message}.`);
        first ??= line;
      }
    }
    first?.input.focus();
  }

  /* pieces: Map product -> text or number */
  write(pieces) {
    for (const line of this.lines) {
      line.input.value = pieces.get(line.product.code) ?? '';
      this.#fault(line, '');
      this.#weigh(line);
    }
  }

  /* product -> what is typed, for a draft. */
  typed() {
    return this.lines
      .filter((line) => line.input.value.trim() !== '')
      .map((line) => [line.product.code, line.input.value]);
  }

  /* Shows a fault of the lines that were sent: "/lines/3/pieces". False when there is no such line. */
  showFault(index, text) {
    const line = this.sent[index];
    if (!line) return false;
    this.#fault(line, text);
    line.input.focus();
    return true;
  }

  fault(text) {
    this.faultElement.textContent = text;
    this.faultElement.hidden = text === '';
  }

  clear() {
    this.fault('');
    this.lines.forEach((line) => this.#fault(line, ''));
  }

  focus() {
    this.lines[0]?.input.focus();
  }
}
