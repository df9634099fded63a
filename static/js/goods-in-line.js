/* One line of a delivery: what it is, how many packs of which size, what stands on the sack. Price,
 * place, temperature and damage are there for whoever has time for them.
 */
import { h, button, uniqueId } from './dom.js';
import { degreeField, degreeUnit } from './degrees.js';
import { area, price, simple, text } from './fields.js';
import { FindField } from './find-field.js';
import { amountField, amountOf, amountWords, inPacks, memberOf, toWire } from './amounts.js';
import { bestBeforeField } from './best-before.js';
import { readDecimal } from './number.js';
import { session } from './session.js';

export class DeliveryLine {
  /* options: findable, placesList (id), supplyOf(code) -> promise of the supply or null, onchange(),
   * onnext(line): the line is done, onend(): Enter on an empty line, ondrop(line) */
  constructor(options) {
    this.options = options;
    this.unit = 'g';
    this.expected = null;
    this.#makeFields();
    this.#makeElement();
    this.element.addEventListener('input', (event) => this.#typed(event));
    this.element.addEventListener('keydown', (event) => this.#key(event));
    this.#show();
  }

  #makeFields() {
    const unitNow = () => this.unit;
    const { placesList, findable } = this.options;
    this.ingredient = new FindField(findable, {
      name: 'ingredient',
      label: 'Ingredient',
      class: 'what',
      onchange: () => {},
      onthing: (thing) => this.#choose(thing),
      onpick: () => this.packs.focus(),
      onempty: () => this.options.onend(),
      onunknown: (typed) => this.ingredient.fault(`“${typed}” is not in the book: it is entered under Ingredients.`),
    });
    const packs = h('input', {
      type: 'text',
      inputmode: 'numeric',
      autocomplete: 'off',
      class: 'figure',
      maxlength: 7,
      enterkeyhint: 'next',
    });
    this.packs = simple({ name: 'packs', label: 'Packs', class: 'packs' }, packs, {
      parse: (typed) => readDecimal(typed, 0) ?? undefined,
      print: String,
    });
    this.pack = amountField({ name: 'pack', label: 'of', class: 'pack' }, unitNow);
    this.loose = amountField({ name: 'loose', label: 'and loose' }, unitNow);
    this.mark = text({ name: 'lot_mark', label: 'Lot mark', max: 100 });
    this.bestBefore = bestBeforeField({ name: 'best_before', label: 'Best before' });
    this.price = price({ name: 'price', label: 'Price of it all', unit: session().currency });
    this.place = text({ name: 'place', label: 'Place', list: placesList, max: 60 });
    this.c = degreeField({ name: 'c', label: 'Temperature' });
    this.damage = area({ name: 'damage', label: 'Damage', rows: 1 });
  }

  #makeElement() {
    this.legend = h('legend', {});
    this.sum = h('p', { class: 'line-sum', 'aria-live': 'off' });
    this.out = button('×', () => this.options.ondrop(this), { class: 'tool' });
    this.awaited = h('p', { class: 'awaited', hidden: true });
    this.asOrdered = button('As ordered', () => this.takeExpected(true), { class: 'quiet' });
    const id = uniqueId('odd');
    this.odd = h('div', { class: 'odd-fields', id, hidden: true }, this.c.element, this.damage.element);
    this.oddButton = button(`Damage, ${degreeUnit()} …`, () => this.#unfold(this.odd.hidden, true), {
      class: 'quiet odd',
      'aria-expanded': 'false',
      'aria-controls': id,
    });
    this.faultElement = h('p', { class: 'fault', hidden: true });
    this.element = h(
      'fieldset',
      { class: 'delivery-line' },
      this.legend,
      this.faultElement,
      this.awaited,
      h(
        'div',
        { class: 'amounts' },
        this.ingredient.element,
        this.packs.element,
        this.pack.element,
        this.loose.element,
        this.sum,
      ),
      h('div', { class: 'marks' }, this.mark.element, this.bestBefore.element, this.price.element, this.place.element),
      h('div', { class: 'line-tools' }, this.oddButton, this.out),
      this.odd,
    );
  }

  #unfold(open, focus) {
    this.odd.hidden = !open;
    this.oddButton.setAttribute('aria-expanded', String(open));
    if (open && focus) this.c.focus();
  }

  number(n) {
    this.legend.textContent = `Line ${n}`;
    this.out.setAttribute('aria-label', `Take line ${n} out`);
    this.asOrdered.setAttribute('aria-label', `Line ${n} came as ordered`);
  }

  /* --- what is typed --- */

  async #choose(thing) {
    this.unit = thing?.unit ?? 'g';
    const unit = this.unit === 'g' ? 'g' : 'pcs';
    for (const field of [this.pack, this.loose]) field.element.querySelector('.unit').textContent = unit;
    this.place.input.removeAttribute('placeholder');
    this.#show();
    if (!thing) return;
    const supply = await this.options.supplyOf(thing.code);
    if (this.ingredient.thing !== thing || !supply) return;
    const pack = amountOf(supply, 'pack', thing.unit);
    if (pack !== null && this.pack.input.value === '') {
      this.pack.write(pack);
      this.#show();
      this.options.onchange();
    }
    this.place.input.placeholder = supply.place ?? 'store';
  }

  #typed(event) {
    const field = this.#fields().find((one) => one.element.contains(event.target));
    field?.fault('');
    this.faultElement.hidden = true;
    this.#show();
    this.options.onchange();
  }

  #fields() {
    return [
      this.ingredient,
      this.packs,
      this.pack,
      this.loose,
      this.mark,
      this.bestBefore,
      this.price,
      this.place,
      this.c,
      this.damage,
    ];
  }

  /* { amount, packs, pack }; amount null: nothing is typed, or it cannot be read. */
  reckon() {
    const packs = this.packs.read(() => {}) ?? 0n;
    const pack = this.pack.read(() => {}) ?? null;
    const loose = this.loose.read(() => {}) ?? 0n;
    if (packs < 0n || loose < 0n || (packs > 0n && pack === null)) return { amount: null, packs: 0n, pack };
    const amount = packs * (pack ?? 0n) + loose;
    return { amount: amount > 0n ? amount : null, packs, pack };
  }

  /* Nothing of it came, or nothing was begun. A mark without an amount is something. */
  get blank() {
    const untouched = this.#fields().every((field) => [this.ingredient, this.pack].includes(field) || field.input.value.trim() === '');
    return untouched && (this.expected !== null || this.ingredient.text.trim() === '');
  }

  #show() {
    const { amount } = this.reckon();
    this.sum.textContent = amount === null ? '' : `= ${amountWords(amount, this.unit)}`;
  }

  /* Enter goes to what is usually written down next, the arrows to the same field of another line. */
  #key(event) {
    const field = this.#fields().find((one) => one.element.contains(event.target));
    if (!field || event.target.tagName === 'TEXTAREA') return;
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (step && field !== this.ingredient && field !== this.place) {
      event.preventDefault();
      this.options.onstep(this, step, this.#fields().indexOf(field));
    }
    if (event.key !== 'Enter' || field === this.ingredient) return;
    event.preventDefault();
    this.#after(field);
  }

  #after(field) {
    if (field === this.packs) (this.packs.input.value.trim() === '' ? this.loose : this.#packOrMark()).focus();
    else if (field === this.pack || field === this.loose) this.mark.focus();
    else if (field === this.mark) this.bestBefore.focus();
    else this.options.onnext(this);
  }

  #packOrMark() {
    return this.pack.input.value.trim() === '' ? this.pack : this.mark;
  }

  focus(index = 0) {
    this.#fields()[index].focus();
  }

  /* --- a line that a purchase order awaits --- */

  /* expected: { ingredient, missing, pack, unit } */
  awaits(expected) {
    this.expected = expected;
    this.ingredient.write(expected.ingredient);
    if (expected.pack !== null) this.pack.write(expected.pack);
    const words = inPacks(expected.missing, expected.pack, expected.unit);
    this.awaited.replaceChildren(h('span', {}, 'Ordered and not here yet: ', h('strong', {}, words)), this.asOrdered);
    this.awaited.hidden = false;
  }

  takeExpected(alone) {
    const { missing, pack } = this.expected;
    this.pack.write(pack);
    this.packs.write(pack ? missing / pack : null);
    const rest = pack ? missing % pack : missing;
    this.loose.write(rest > 0n ? rest : null);
    this.#show();
    if (!alone) return;
    this.options.onchange();
    this.mark.focus();
  }

  /* --- out and in again --- */

  /* The line of the body; report(member, text) for what cannot be read. */
  read(report) {
    const { thing } = this.ingredient;
    if (!thing)
      report('ingredient', this.ingredient.text.trim() ? 'nothing of this name is in the book' : 'what is it?');
    const parts = Object.fromEntries(
      this.#fields()
        .slice(1)
        .map((field) => [field.name, field.read((words) => report(field.name, words))]),
    );
    const { amount, pack } = this.reckon();
    this.#reportAmount(parts, amount, report);
    const line = { ingredient: thing?.code, [memberOf(this.unit)]: amount === null ? null : toWire(amount, this.unit) };
    if (parts.packs && pack) line[memberOf(this.unit, 'pack')] = toWire(pack, this.unit);
    for (const name of ['price', 'lot_mark', 'best_before', 'place', 'c', 'damage'])
      if (parts[name] !== undefined) line[name] = parts[name];
    return line;
  }

  #reportAmount({ packs, pack }, amount, report) {
    if (amount !== null) return;
    if (packs > 0n && pack === undefined) report('pack', 'how much is in one?');
    else report('packs', 'how many came?');
  }

  typed() {
    const values = Object.fromEntries(this.#fields().map((field) => [field.name, field.input.value]));
    return {
      ...values,
      ingredient: this.ingredient.thing?.code ?? this.ingredient.text,
      c: this.c.read(() => {}) ?? '',
    };
  }

  write(values) {
    this.ingredient.write(values.ingredient);
    for (const field of this.#fields().slice(1)) {
      if (field === this.c) this.c.write(values.c === '' ? null : values.c);
      else if (field === this.bestBefore) this.#writeDay(values.best_before);
      else field.input.value = values[field.name] ?? '';
    }
    if (values.c || values.damage) this.#unfold(true, false);
    this.#show();
  }

  #writeDay(typed) {
    this.bestBefore.input.value = typed;
    const date = this.bestBefore.read(() => {});
    if (date) this.bestBefore.write(date);
  }

  /* Shows a fault at a member of the line; at the line when it has no such field. */
  fault(member, words) {
    const field =
      { g: this.packs, pieces: this.packs, pack_g: this.pack, pack_pieces: this.pack }[member] ??
      this.#fields().find((one) => one.name === member);
    if (field === this.c || field === this.damage) this.#unfold(true, false);
    if (field) {
      field.fault(words);
      return field;
    }
    this.faultElement.textContent = words;
    this.faultElement.hidden = false;
    return this.ingredient;
  }

  clear() {
    this.faultElement.hidden = true;
    this.#fields().forEach((field) => field.fault(''));
  }
}
