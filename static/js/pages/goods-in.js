/* Goods in: what stands at the door becomes lots. Typed once, kept in this browser until the server has
 * it, and posted once; see once.js. The address may name the purchase order that it comes of.
 */
import { h, button, debounce, link } from '../dom.js';
import * as api from '../api.js';
import { dayWords, isDate } from '../dates.js';
import { area, date as dateField, text } from '../fields.js';
import { awaitedList, missingLines, orderInAddress } from '../goods-in-awaited.js';
import { amountWords } from '../amounts.js';
import { storeCautions } from '../cautions.js';
import { DeliveryLines } from '../goods-in-lines.js';
import { recentDeliveries } from '../goods-in-recent.js';
import { postOnce } from '../post-once.js';
import { SupplierField } from '../supplier-field.js';
import { carry, speak } from '../messages.js';
import { whole } from '../number.js';
import { go } from '../router.js';
import { today } from '../session.js';
import { TypedSheet } from '../typed-sheet.js';

export async function show(view) {
  const number = orderInAddress();
  const [suppliers, ingredients, order, orders, sheet, recent] = await Promise.all([
    api.list('/suppliers', view),
    api.list('/ingredients', view),
    number === null ? null : api.get(`/purchase-orders/${number}`, view),
    number === null ? api.list('/purchase-orders?open=true', view) : [],
    api.get('/count-sheet', view),
    recentDeliveries(view),
  ]);
  const delivery = new DeliverySheet(view, {
    suppliers,
    ingredients,
    places: sheet.body.places,
    order: order?.body ?? null,
  });
  const element = view.frame(
    'Goods in',
    order
      ? [h('span', { class: 'over' }, `Order ${number} of ${dayWords(order.body.date, today())}`), ' Goods in']
      : 'Goods in',
    awaitedList(orders),
    delivery.element,
    storeCautions(),
    recent,
  );
  element.classList.add('goods-in');
  delivery.begin();
  return element;
}

class DeliverySheet extends TypedSheet {
  constructor(view, { suppliers, ingredients, places, order }) {
    super('/goods-in', `goods-in/${order ? `order-${order.number}` : 'new'}`, { verb: 'post' });
    this.order = order;
    this.supplier = new SupplierField(suppliers, {
      first: !order,
      onpick: () => this.paper.focus(),
      onchange: () => this.#changed(),
    });
    this.date = dateField({ name: 'date', label: 'Date' });
    this.paper = text({ name: 'delivery_note', label: 'Delivery note', max: 100 });
    this.note = area({ name: 'note', label: 'Note', rows: 1 });
    this.lines = new DeliveryLines(view, {
      ingredients,
      places,
      onchange: () => this.#changed(),
      onend: () => this.postButton.focus(),
    });
    this.totals = h('p', { class: 'totals' });
    this.postButton = h('button', { class: 'main' }, 'Post what came in');
    this.buttons = [this.postButton];
    this.fields = {
      supplier: this.supplier,
      date: this.date,
      delivery_note: this.paper,
      note: this.note,
      lines: this.lines,
    };
    this.sayTotals = debounce(1200, () => speak(this.totals.textContent));
    this.element = this.#build();
  }

  #build() {
    const form = h(
      'form',
      { class: 'order delivery', novalidate: true },
      h('div', { class: 'delivery-head' }, this.supplier.element, this.paper.element, this.date.element),
      this.order ? this.#orderRow() : null,
      this.lines.element,
      this.note.element,
      h('div', { class: 'savebar' }, this.totals, h('p', { class: 'actions' }, this.postButton)),
    );
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      this.post();
    });
    for (const field of [this.date, this.paper, this.note]) {
      field.input.addEventListener('input', () => {
        field.fault('');
        this.#changed();
      });
    }
    for (const field of [this.paper, this.date]) {
      field.input.addEventListener('keydown', (event) => {
        if (event.key !== 'Enter') return;
        event.preventDefault();
        this.lines.focus();
      });
    }
    return form;
  }

  #orderRow() {
    const missing = missingLines(this.order);
    if (missing.length === 0) return h('p', {}, 'All of this order is here.');
    const all = button('Everything came as ordered', () => this.#takeAll(), { class: 'main', 'data-first': true });
    return h(
      'div',
      { class: 'message' },
      h(
        'p',
        {},
        'The lines below are what is not here yet of the order. A line that is left empty did not come and stays awaited.',
      ),
      h(
        'p',
        { class: 'actions' },
        all,
        link('#/goods-in', 'Not of this order', { class: 'button quiet', onclick: (event) => this.#leaveOrder(event) }),
      ),
    );
  }

  #takeAll() {
    this.lines.takeAll();
    this.paper.focus();
  }

  #leaveOrder(event) {
    event.preventDefault();
    history.replaceState(null, '', '#/goods-in');
    go(location.hash);
  }

  /* Fills in what is awaited, and what was typed before. */
  begin() {
    this.date.write(today());
    if (this.order) {
      this.supplier.write(this.order.supplier);
      this.lines.await(missingLines(this.order));
    }
    if (!this.order || this.lines.lines.length === 0) this.lines.add();
    const draft = this.kept;
    if (draft) this.#takeDraft(draft);
    this.#total();
  }

  #takeDraft(draft) {
    this.date.write(draft.date);
    this.supplier.write(draft.supplier);
    this.paper.write(draft.paper);
    this.note.write(draft.note);
    this.lines.write(draft.lines);
    this.tellKept();
  }

  #changed() {
    this.#total();
    this.keep();
    this.sayTotals();
  }

  draft() {
    const draft = {
      date: this.date.input.value,
      supplier: this.supplier.supplier?.code ?? this.supplier.text,
      paper: this.paper.input.value,
      note: this.note.input.value,
      lines: this.lines.typed(),
    };
    const isEmpty = !draft.paper && !draft.note && draft.lines.length === 0 && (this.order || !draft.supplier);
    return isEmpty ? null : draft;
  }

  #total() {
    const { mg, packs, heaviest, lines } = this.lines.totals();
    const loads =
      packs > 0n ? `${whole(packs)} ${packs === 1n ? 'pack' : 'packs'} of up to ${amountWords(heaviest, 'g')}` : null;
    this.totals.replaceChildren(
      h('strong', {}, whole(lines)),
      lines === 1 ? ' line · to lift: ' : ' lines · to lift: ',
      h('strong', {}, amountWords(mg, 'g')),
      loads ? ` in ${loads}` : '',
    );
  }

  /* The day on which it came, or null. */
  #day() {
    const date = this.date.input.value;
    if (isDate(date) && date <= today()) return date;
    this.date.fault(isDate(date) ? 'This day is still to come.' : 'When did it come?');
    return null;
  }

  /* The body to send, or null when something must be put right first. */
  #read() {
    this.clearFaults();
    const { lines, faults } = this.lines.read();
    const date = this.#day();
    const { supplier } = this.supplier;
    if (lines.length === 0) this.lines.fault('Type at least one line.');
    this.lines.show(faults);
    if (!supplier) {
      this.supplier.fault(
        this.supplier.text.trim() ? 'No supplier of this name yet: choose one, or add it.' : 'Whose delivery is it?',
      );
      this.supplier.focus();
    }
    if (faults.length > 0 || lines.length === 0 || !date || !supplier) return null;
    return {
      date,
      supplier: supplier.code,
      delivery_note: this.paper.input.value.trim() || null,
      purchase_order: this.order?.number ?? null,
      note: this.note.input.value.trim() || null,
      lines,
    };
  }

  async post() {
    const body = this.busy ? null : this.#read();
    if (body)
      await this.busily(
        () => this.#send(body),
        () => this.post(),
      );
  }

  async #send(body) {
    const number = await postOnce(this, body, {
      what: 'delivery',
      page: (posted) => `#/goods-in/${posted}`,
      repeat: () => this.#send(body),
    });
    if (number === null) return;
    this.forget();
    carry(
      `Posted: ${body.lines.length === 1 ? 'one lot' : `${body.lines.length} lots`} of ${this.supplier.supplier.name}.`,
    );
    go(`#/goods-in/${number}`);
  }

  showLineFault(index, member, detail) {
    return this.lines.showFault(index, member, detail);
  }
}
