/* One line of the count: full packs and what is open of a lot in a place. Left empty it is not counted;
 * nothing there is a zero.
 */
import { h, button } from './dom.js';
import { FindField } from './find-field.js';
import { amountOf, memberOf, readAmount, shortWords, toWire } from './amounts.js';
import { bestBeforeWords, lotName, PAST } from './lot-words.js';
import { capital, sentence } from './messages.js';
import { NumberFault, readDecimal } from './number.js';

export const keyOf = ({ ingredient, lot, place }) => (lot === null ? `+${ingredient}` : `${lot}/${place}`);

/* "L2093 (lot 31) · Upper Mill · best before 14 Mar 2027" */
export function lotWords(item) {
  if (item.lot === null) return '';
  return [
    capital(lotName(item)),
    item.supplier_name,
    item.best_before && bestBeforeWords(item),
  ]
    .filter(Boolean)
    .join(' · ');
}

const stateWords = (item) =>
  [item.held && 'held', item.expired && PAST].filter(Boolean).join(', ');

function amountInput(label, decimal) {
  return h('input', {
    type: 'text',
    inputmode: decimal ? 'decimal' : 'numeric',
    autocomplete: 'off',
    maxlength: 16,
    class: 'figure',
    enterkeyhint: 'next',
    'aria-label': label,
  });
}

/* What is typed in a line: packs and the rest. */
export class CountRow {
  /* item: of the count sheet; onchange() */
  constructor(item, { onchange }) {
    this.onchange = onchange;
    this.placeInput =
      item.place === null
        ? h('input', { type: 'text', class: 'place', list: 'count-places', maxlength: 60, placeholder: 'Place' })
        : null;
    this.found = h('td', { class: 'figures found' });
    this.book = h('td', { class: 'figures book' });
    this.head = h('th', { scope: 'row' });
    this.packsCell = h('td', { class: 'packs' });
    this.restCell = h('td', { class: 'rest' });
    this.faultElement = h('p', { class: 'fault', hidden: true });
    this.element = h('tr', {}, this.head, this.packsCell, this.restCell, this.found, this.book);
    this.element.addEventListener('input', () => {
      this.fault('');
      this.#show();
      this.onchange();
    });
    this.become(item);
  }

  become(item) {
    this.item = item;
    this.pack = amountOf(item, 'pack');
    const name = [item.name, item.lot === null ? null : `lot ${item.lot}`, item.place].filter(Boolean).join(', ');
    const unit = item.unit === 'g' ? 'g' : 'pcs';
    this.packs = amountInput(`${name}: full packs`, false);
    this.rest = amountInput(`${name}: ${item.unit === 'g' ? 'grams' : 'pieces'} besides full packs`, true);
    this.packsCell.replaceChildren(
      this.pack ? this.packs : h('span', { class: 'no-pack' }, 'no pack'),
      this.pack ? h('span', { class: 'unit' }, ` × ${shortWords(this.pack, item.unit)}`) : '',
    );
    this.restCell.replaceChildren(
      this.pack ? h('span', { class: 'unit narrow-only' }, 'and ') : '',
      this.rest,
      h('span', { class: 'unit' }, ` ${unit}`),
    );
    this.book.replaceChildren(
      h('span', { class: 'narrow-only' }, 'Book: '),
      shortWords(amountOf(item, 'expected'), item.unit),
    );
    this.drawHead();
    this.#show();
  }

  drawHead() {
    const state = stateWords(this.item);
    this.head.replaceChildren(
      h('span', { class: 'count-name' }, this.item.name),
      h('span', { class: 'sub' }, lotWords(this.item), state ? h('strong', { class: 'state' }, ` · ${state}`) : ''),
      this.placeInput ?? '',
      this.faultElement,
    );
    this.placeInput?.setAttribute('aria-label', `${this.item.name}: place`);
  }

  get key() {
    return keyOf(this.item);
  }

  get inputs() {
    return this.pack ? [this.packs, this.rest] : [this.rest];
  }

  get blank() {
    return this.inputs.every((input) => input.value.trim() === '');
  }

  /* The amount, null when nothing is typed. Throws NumberFault. */
  #read() {
    const packs = this.pack ? readDecimal(this.packs.value, 0) : null;
    const rest = readAmount(this.rest.value, this.item.unit);
    if ((packs ?? 0n) < 0n || (rest ?? 0n) < 0n) throw new NumberFault('there cannot be less than nothing');
    return packs === null && rest === null ? null : (packs ?? 0n) * (this.pack ?? 0n) + (rest ?? 0n);
  }

  #show() {
    let words = '';
    if (this.item === null) return; // what it is was not said yet
    try {
      const amount = this.#read();
      if (amount !== null) words = `= ${shortWords(amount, this.item.unit)}`;
    } catch (error) {
      if (!(error instanceof NumberFault)) throw error; // said when the count is looked through
    }
    this.found.textContent = words;
  }

  /* { line: of the body, amount, item, key, place }; null when it was not counted. report(text). The line tells
   * the amount that was shown here, whatever the pack is by then. */
  read(report) {
    try {
      const amount = this.#read();
      if (amount === null) return null;
      const { ingredient, lot, unit } = this.item;
      const line = { ingredient, [memberOf(unit)]: toWire(amount, unit) };
      if (lot !== null) line.lot = lot;
      const place = this.placeInput ? this.placeInput.value.trim() : this.item.place;
      if (place) line.place = place;
      return { line, amount, item: this.item, key: lot === null ? this.key : `${lot}/${place}`, place };
    } catch (error) {
      if (!(error instanceof NumberFault)) throw error;
      report(error.message);
      return null;
    }
  }

  typed() {
    return { packs: this.packs.value, rest: this.rest.value, place: this.placeInput?.value ?? null };
  }

  write({ packs, rest, place }) {
    this.packs.value = packs;
    this.rest.value = rest;
    if (this.placeInput && place) this.placeInput.value = place;
    this.#show();
  }

  fault(text) {
    this.faultElement.textContent = text === '' ? '' : sentence(text);
    this.faultElement.hidden = text === '';
    for (const input of this.inputs) {
      if (text) input.setAttribute('aria-invalid', 'true');
      else input.removeAttribute('aria-invalid');
    }
  }

  focus() {
    this.inputs[0].focus();
  }
}

/* A line for what is not on the sheet: which ingredient, which of its lots, where. */
export class FoundRow extends CountRow {
  /* options: findable, lotsOf(ingredient) -> promise of items without place, onchange(), ondrop(row) */
  constructor(options) {
    super({ ingredient: null, name: 'Found besides', unit: 'g', lot: null, place: null, expected_g: 0 }, options);
    this.options = options;
    this.item = null;
    this.find = new FindField(options.findable, {
      name: 'ingredient',
      label: 'What was found',
      onthing: (thing) => this.#choose(thing, null),
      onchange: () => options.onchange(),
      onpick: () => this.lots.focus(),
    });
    this.lots = h('select', { 'aria-label': 'Of which lot', hidden: true });
    this.lots.addEventListener('change', () => this.#take(this.lots.value));
    this.out = button('×', () => options.ondrop(this), { class: 'tool', 'aria-label': 'Take this line out' });
    this.known = [];
    this.drawHead();
  }

  drawHead() {
    if (!this.find) return;
    this.head.replaceChildren(
      h('div', { class: 'found-what' }, this.find.element, this.lots, this.placeInput, this.out),
      this.faultElement,
    );
    this.placeInput.setAttribute('aria-label', 'Place');
  }

  async #choose(thing, wanted) {
    this.item = null;
    this.lots.hidden = true;
    if (!thing) return;
    this.known = await this.options.lotsOf(thing);
    if (this.find.thing !== thing) return;
    const choices = this.known.filter((item) => item.lot !== null);
    this.lots.replaceChildren(...choices.map((item) => h('option', { value: item.lot }, lotWords(item))));
    this.lots.hidden = choices.length === 0;
    if (wanted !== null) this.lots.value = wanted;
    this.#take(this.lots.value);
  }

  #take(lot) {
    const values = this.typed();
    const item = this.known.find((one) => String(one.lot ?? '') === lot) ?? this.known[0];
    if (!item) return;
    this.become(item);
    super.write(values);
    this.options.onchange();
  }

  get key() {
    return this.item ? super.key : null;
  }

  read(report) {
    if (this.item?.lot && this.placeInput.value.trim() === '' && !this.blank) {
      report('where does it stand?');
      return null;
    }
    if (this.item) return super.read(report);
    if (!this.blank || this.find.text.trim() !== '') report('which ingredient is it?');
    return null;
  }

  typed() {
    return {
      ...super.typed(),
      ingredient: this.find?.thing?.code ?? this.find?.text ?? '',
      lot: this.item?.lot ?? null,
    };
  }

  async restore(values) {
    this.find.write(values.ingredient);
    if (this.find.thing) await this.#choose(this.find.thing, values.lot);
    super.write(values);
  }

  focus() {
    this.find.focus();
  }
}
