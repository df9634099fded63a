/* One order: a new one or a change of one. See once.js for why it is never saved twice. */
import { h, button, debounce, link } from '../dom.js';
import * as api from '../api.js';
import { CustomerField } from '../customer-field.js';
import { PiecesTable } from '../pieces-table.js';
import { explainConflict } from '../conflict.js';
import { confirm } from '../dialog.js';
import { addDays, dayWords, isDate } from '../dates.js';
import { area, date as dateField } from '../fields.js';
import { LastOrders } from '../offer-clock.js';
import { Offers } from '../offer.js';
import { carry, clearMessages, sentence, speak, tell, tellError } from '../messages.js';
import { kilos, whole } from '../number.js';
import { linesByProduct } from '../order-sums.js';
import { go } from '../router.js';
import { rememberBreadDay, today } from '../session.js';
import { TypedSheet } from '../typed-sheet.js';

export async function show(view, date, id) {
  const [customers, products, stored] = await Promise.all([
    api.list('/customers', view),
    api.list('/products', view),
    id === 'new' ? null : api.get(`/orders/${id}`, view),
  ]);
  rememberBreadDay(date);
  const sheet = new OrderSheet(view, { date, customers, products, stored });
  const name = stored ? (customers.find((one) => one.code === stored.body.customer)?.name ?? 'Order') : 'New order';
  const element = view.frame(
    name,
    [h('span', { class: 'over' }, stored ? 'Order of' : 'For ' + dayWords(date, today())), ' ', name],
    sheet.element,
  );
  sheet.begin();
  return element;
}

class OrderSheet extends TypedSheet {
  constructor(view, { date, customers, products, stored }) {
    super('/orders', `${date}/${stored ? stored.body.id : 'new'}`, { verb: 'save', isNew: !stored });
    this.day = date;
    this.stored = stored;
    this.names = new Map([...products, ...customers].map((thing) => [thing.code, thing.name]));
    this.customer = new CustomerField(customers, {
      first: !stored,
      onpick: () => this.pieces.focus(),
      onchange: () => this.#changed(),
    });
    this.pieces = new PiecesTable(products, {
      first: stored !== null,
      onchange: () => this.#changed(),
      onlast: () => this.save(),
      onask: (code) => this.offers.ask(code),
    });
    this.lastOrders = new LastOrders(view, this.pieces);
    this.offers = new Offers(view, this.pieces, {
      breadDay: () => this.date.input.value,
      ordered: (code) => this.#savedPieces(code),
    });
    this.date = dateField({ name: 'date', label: 'Bread day' });
    this.note = area({ name: 'note', label: 'Note', rows: 1 });
    this.totals = h('p', { class: 'totals' });
    this.saveButton = h('button', { class: 'main' }, stored ? 'Save the changes' : 'Save the order');
    this.buttons = [this.saveButton];
    this.fields = { customer: this.customer, date: this.date, note: this.note, lines: this.pieces };
    this.element = this.#build();
    this.sayTotals = debounce(1200, () => speak(this.totals.textContent));
  }

  #build() {
    const form = h(
      'form',
      { class: 'order', novalidate: true },
      h('div', { class: 'fields' }, this.customer.element, this.date.element, this.note.element),
      this.#copyRow(),
      this.pieces.element,
      this.stored
        ? h(
            'p',
            { class: 'actions' },
            button('Cancel this order', () => this.#cancel(), { class: 'danger' }),
          )
        : null,
      h(
        'div',
        { class: 'savebar' },
        this.totals,
        h(
          'p',
          { class: 'actions' },
          link(`#/orders/${this.day}`, 'Back', { class: 'button quiet', onclick: () => dropDraftIfEmpty(this) }),
          this.saveButton,
        ),
      ),
    );
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      this.save();
    });
    this.date.input.addEventListener('input', () => this.#changed());
    this.note.input.addEventListener('input', () => this.#changed());
    return form;
  }

  #copyRow() {
    const from = h('input', { type: 'date', value: addDays(this.day, -7), id: 'copy-from' });
    return h(
      'p',
      { class: 'copy' },
      h('label', { for: 'copy-from' }, 'Same as this customer had on'),
      from,
      button('Copy', () => this.#copy(from.value), { class: 'quiet' }),
    );
  }

  /* Fills in what is stored, or what was typed before. */
  begin() {
    const draft = this.kept;
    const stored = this.stored?.body;
    this.#write(stored ?? { customer: '', date: this.day, note: null, lines: [] });
    if (!draft) return;
    if (stored && draft.etag) this.stored = { ...this.stored, etag: draft.etag };
    this.customer.write(draft.customer);
    this.date.write(draft.date);
    this.note.write(draft.note);
    this.pieces.write(new Map(draft.pieces));
    this.#total();
    this.tellKept();
  }

  #write(order) {
    this.customer.write(order.customer);
    this.date.write(order.date);
    this.note.write(order.note);
    this.pieces.write(linesByProduct(order.lines));
    this.#total();
  }

  /* Pieces that this order has for the day that is typed, as it is saved. */
  #savedPieces(code) {
    const saved = this.stored?.body;
    if (!saved || saved.date !== this.date.input.value) return 0;
    return linesByProduct(saved.lines).get(code) ?? 0;
  }

  #showLastOrders() {
    const date = this.date.input.value;
    if (isDate(date) && date !== this.lastOrders.date) this.lastOrders.show(date);
  }

  #changed() {
    this.#total();
    this.keep();
    this.sayTotals();
  }

  draft() {
    return {
      customer: this.customer.customer?.code ?? this.customer.text,
      date: this.date.input.value,
      note: this.note.input.value,
      pieces: this.pieces.typed(),
      etag: this.stored?.etag,
    };
  }

  #total() {
    const { pieces, mg } = this.pieces.read();
    this.offers.changed();
    this.#showLastOrders();
    this.totals.replaceChildren(
      h('strong', {}, whole(pieces)),
      pieces === 1n ? ' piece' : ' pieces',
      ' · ',
      h('strong', {}, kilos(mg)),
      ' kg of dough',
    );
  }

  /* The body to send, or null when something must be put right first. */
  #read() {
    this.clearFaults();
    const { lines, faults } = this.pieces.read();
    const customer = this.customer.customer;
    if (faults > 0) this.pieces.showUnread();
    if (!customer) {
      this.customer.fault(
        this.customer.text.trim() ? 'Nobody of this name yet: choose one, or add it.' : 'Whose order is it?',
      );
      this.customer.focus();
    }
    if (!isDate(this.date.input.value)) this.date.fault('For which day?');
    if (lines.length === 0 && faults === 0) this.pieces.fault('Type the pieces of at least one product.');
    if (faults > 0 || !customer || !isDate(this.date.input.value) || lines.length === 0) return null;
    return { customer: customer.code, date: this.date.input.value, lines, note: this.note.input.value.trim() || null };
  }

  async save() {
    const body = this.busy ? null : this.#read();
    if (body)
      await this.busily(
        () => this.#send(body),
        () => this.save(),
      );
  }

  async #send(body, etag = this.stored?.etag) {
    if (this.stored) {
      await this.#put(body, this.stored.body.id, etag);
      return;
    }
    const earlier = await this.once.settle(body);
    if (earlier) await api.put(`/orders/${earlier.body.id}`, body);
    else await this.once.send(body);
    this.#done(body);
  }

  async #put(body, id, etag) {
    try {
      await api.put(`/orders/${id}`, body, { etag });
    } catch (error) {
      if (!error.conflict) throw error;
      await explainConflict({
        path: `/orders/${id}`,
        mine: body,
        nameOf: (code) => this.names.get(code) ?? code,
        keep: (theirs) => this.#keepMine(body, theirs),
        take: (theirs) => this.#takeTheirs(theirs),
        same: () => this.#done(body),
      });
      return;
    }
    this.#done(body);
  }

  /* theirs: the ETag of what is saved over; null when the order is gone. */
  #keepMine(body, theirs) {
    if (theirs === null) this.stored = null;
    this.busily(
      () => this.#send(body, theirs),
      () => this.#keepMine(body, theirs),
    );
  }

  #takeTheirs(theirs) {
    this.forget();
    this.stored = theirs;
    this.#write(theirs.body);
    clearMessages();
  }

  #done(body) {
    this.forget();
    const pieces = body.lines.reduce((sum, line) => sum + line.pieces, 0);
    carry(
      `Saved: ${this.customer.customer.name}, ${whole(pieces)} ${pieces === 1 ? 'piece' : 'pieces'} for ${dayWords(body.date, today())}.`,
    );
    go(`#/orders/${body.date}`);
  }

  showLineFault(index, member, detail) {
    return this.pieces.showFault(index, sentence(detail));
  }

  async #cancel() {
    const who = this.names.get(this.stored.body.customer);
    const sure = await confirm(`Cancel the order of ${who}?`, {
      detail: `For ${dayWords(this.stored.body.date, today())}. It will be gone.`,
      yes: 'Cancel the order',
      danger: true,
    });
    if (sure)
      await this.busily(
        () => this.#delete(who),
        () => this.#cancel(),
      );
  }

  async #delete(who) {
    try {
      await api.remove(`/orders/${this.stored.body.id}`, { etag: this.stored.etag });
    } catch (error) {
      if (!error.conflict) throw error;
      tell('bad', 'Not cancelled: somebody changed this order meanwhile. Look at it as it is now.', [
        button('Show it', () => this.startOver(), { class: 'main' }),
      ]);
      return;
    }
    this.forget();
    carry(`Cancelled: the order of ${who}.`);
    go(`#/orders/${this.stored.body.date}`);
  }

  async #copy(from) {
    const customer = this.customer.customer;
    if (!customer) {
      this.customer.fault('Choose the customer first.');
      this.customer.focus();
      return;
    }
    try {
      const orders = await api.list(`/orders?date=${from}&customer=${customer.code}`);
      const lines = orders.flatMap((order) => order.lines);
      if (lines.length === 0) {
        tell('note', `${customer.name} had no order for ${dayWords(from, today())}.`);
        return;
      }
      this.pieces.write(linesByProduct(lines));
      this.#changed();
      tell('note', `Copied from ${dayWords(from, today())}. Change what is different, then save.`);
      this.pieces.focus();
    } catch (error) {
      tellError(error, () => this.#copy(from));
    }
  }
}

function dropDraftIfEmpty(sheet) {
  if (sheet.customer.text.trim() === '' && sheet.pieces.typed().length === 0) sheet.forget();
}
