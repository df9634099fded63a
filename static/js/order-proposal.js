/* What to order from one supplier: lines whose packs can be changed, why each is proposed, what it comes to,
 * and one button that makes an order of it. */
import { h, button, link } from './dom.js';
import { dayWords } from './dates.js';
import { count } from './fields.js';
import { table } from './figures.js';
import { amountField, amountOf, amountWords, toWire, unitOf } from './amounts.js';
import { sentence, tell, tellError } from './messages.js';
import { MONEY_PLACES, divideHalfEven, fromWire, plain } from './number.js';
import * as api from './api.js';
import { Once } from './once.js';
import { callButton } from './phone.js';
import { coins } from './price-words.js';
import { today } from './session.js';
import { onDay, roundWords } from './stock-words.js';

/* One line of a proposal, and the field for how much of it is ordered. */
class Line {
  constructor(line, changed) {
    this.line = line;
    this.unit = unitOf(line);
    this.pack = amountOf(line, 'pack');
    const label = `${this.pack ? 'Packs' : 'Amount'} of ${line.name}`;
    this.field = this.pack ? count({ name: 'packs', label, quiet: true }) : amountField({ label, quiet: true }, () => this.unit);
    this.field.write(this.pack ? line.packs : amountOf(line));
    this.sum = h('span', { class: 'sub' });
    this.field.input.addEventListener('input', () => {
      this.field.fault('');
      this.show();
      changed();
    });
    this.show();
  }

  /* The amount now; null: it cannot be read. */
  get amount() {
    let fine = true;
    const typed = this.field.read(() => {
      fine = false;
    });
    if (!fine) return null;
    return this.pack ? BigInt(typed ?? 0) * this.pack : (typed ?? 0n);
  }

  get cost() {
    const [proposed, own] = [amountOf(this.line), this.amount];
    if (own === null || this.line.cost === undefined || this.line.cost === null || proposed === 0n) return null;
    return divideHalfEven(fromWire(this.line.cost, MONEY_PLACES) * own, proposed);
  }

  show() {
    const own = this.amount;
    const amount = own === null ? '' : amountWords(own, this.unit);
    this.sum.textContent = this.pack ? `of ${amountWords(this.pack, this.unit)} = ${amount}` : `= ${amount}`;
  }

  /* As a line of an order, or null when nothing of it is ordered. */
  body() {
    const own = this.amount;
    if (own === 0n) return null;
    const { ingredient } = this.line;
    if (this.pack) return { ingredient, packs: Number(own / this.pack) };
    return { ingredient, [this.unit === 'g' ? 'g' : 'pieces']: toWire(own, this.unit) };
  }

  /* ordered: the amount can be changed, since there is somebody to order from. */
  cells(ordered) {
    return [
      h(
        'th',
        { scope: 'row' },
        link(`#/stock/${this.line.ingredient}`, this.line.name),
        h('span', { class: 'sub' }, whyWords(this.line)),
        this.line.runs_out ? h('span', { class: 'sub stock-mark warn' }, `▸ runs out ${onDay(this.line.runs_out)}`) : null,
      ),
      h('td', { class: 'order-amount' }, ordered ? [this.field.element, this.sum] : amountWords(amountOf(this.line), this.unit)),
    ];
  }
}

/* Expected use, safety, what there is: in one plain line. */
function whyWords(line) {
  const unit = unitOf(line);
  const words = (stem) => roundWords(amountOf(line, stem), unit);
  return `${words('expected')} expected use + ${words('safety')} to be safe − ${words('position')} here or on order = ${words('lacking')} lacking`;
}

export class Proposal {
  /* ordered(order): called with what was made of it. */
  constructor(supplier, { ordered }) {
    this.supplier = supplier;
    this.ordered = ordered;
    this.once = new Once('/purchase-orders');
    this.touched = false;
    this.lines = supplier.lines.map((line) => new Line(line, () => this.#changed()));
    this.total = h('p', { class: 'order-total', 'aria-live': 'polite' });
    this.press = supplier.supplier
      ? button(`Order from ${supplier.name}`, () => this.#order(), { class: 'main' })
      : null;
    this.element = h(
      'section',
      { class: 'below proposal' },
      h('h2', {}, supplier.name ?? 'No supplier is known'),
      supplier.supplier ? h('p', {}, whenWords(supplier)) : h('p', {}, 'Enter under “How it is ordered” of each ingredient where it comes from.'),
      table({
        className: 'proposal-lines',
        heads: ['What', supplier.lines.some((line) => amountOf(line, 'pack')) ? 'Packs' : 'Amount'],
        rows: this.lines.map((line) => line.cells(Boolean(supplier.supplier))),
      }),
      this.total,
      h('p', { class: 'actions' }, this.press, callButton(supplier)),
    );
    this.#show();
  }

  #changed() {
    this.touched = true;
    this.#show();
  }

  #show() {
    const known = this.lines.every((line) => line.cost !== null);
    const sum = known ? this.lines.reduce((total, line) => total + line.cost, 0n) : null;
    const words = [sum === null ? null : `About ${coins(plain(sum, MONEY_PLACES))}.`, this.#minimumWords(sum)];
    this.total.textContent = words.filter(Boolean).join(' ');
  }

  #minimumWords(sum) {
    const { minimum_order: minimum, under_minimum_by: under } = this.supplier;
    if (minimum === null || minimum === undefined) return null;
    if (sum === null) {
      if (under && !this.touched) return `▸ ${coins(under)} under the minimum order of ${coins(minimum)}.`;
      return `The minimum order is ${coins(minimum)}.`;
    }
    const lacking = fromWire(minimum, MONEY_PLACES) - sum;
    return lacking > 0n ? `▸ ${coins(plain(lacking, MONEY_PLACES))} under the minimum order of ${coins(minimum)}.` : null;
  }

  #body() {
    const lines = this.lines.map((line) => line.body()).filter(Boolean);
    return { supplier: this.supplier.supplier, lines };
  }

  async #order() {
    if (this.busy) return;
    const wrong = this.lines.find((line) => line.amount === null);
    if (wrong) {
      this.#showFault(wrong);
      return;
    }
    const body = this.#body();
    if (body.lines.length === 0) {
      tell('bad', 'Nothing is ordered: every line is 0.');
      return;
    }
    this.busy = true;
    this.press.setAttribute('aria-disabled', 'true');
    try {
      const { body: order } = await this.once.post(body);
      this.touched = false;
      this.ordered(order);
    } catch (error) {
      this.#explain(error, body);
    }
    this.busy = false;
    this.press.removeAttribute('aria-disabled');
  }

  #showFault(line) {
    line.field.read((text) => line.field.fault(sentence(text)));
    line.field.focus();
  }

  #explain(error, body) {
    const placed = error instanceof api.Problem && !error.uncertain ? error.errors : [];
    const sent = this.lines.filter((line) => body.lines.some((one) => one.ingredient === line.line.ingredient));
    for (const { pointer, detail } of placed) sent[Number(pointer.split('/')[2])]?.field.fault(sentence(detail));
    tellError(error, () => this.#order());
  }
}

function whenWords(supplier) {
  return [
    h('strong', {}, `Order ${onDay(supplier.order_on)}`),
    `: it comes ${onDay(supplier.due_on)} and must last until the delivery after it, ${dayWords(supplier.next_due, today())}.`,
  ];
}
