/* Copying the orders of another day onto this one. Each copy has its own key, which it keeps when it
 * is tried again. Customers who have an order already are not ticked.
 */
import { h, button } from '../dom.js';
import * as api from '../api.js';
import { Once } from '../once.js';
import { addDays, dayWords, isDate } from '../dates.js';
import { carry, tell, tellError } from '../messages.js';
import { whole } from '../number.js';
import { go } from '../router.js';
import { today } from '../session.js';

export function copyDayPanel(date, orders, named) {
  const panel = new CopyDay(date, orders, named);
  return panel.element;
}

class CopyDay {
  constructor(date, orders, named) {
    this.date = date;
    this.named = named;
    this.taken = new Set(orders.map((order) => order.customer));
    this.onces = new Map();
    this.from = h('input', { type: 'date', id: 'copy-day', value: addDays(date, -7) });
    this.found = h('div', { 'aria-live': 'polite' });
    this.element = h(
      'details',
      { class: 'panel' },
      h('summary', {}, 'Copy the orders of another day'),
      h(
        'p',
        { class: 'copy' },
        h('label', { for: 'copy-day' }, 'From'),
        this.from,
        button('Show them', () => this.#look(), { class: 'quiet' }),
      ),
      this.found,
    );
  }

  async #look() {
    if (!isDate(this.from.value)) return;
    try {
      const orders = await api.list(`/orders?date=${this.from.value}`);
      this.found.replaceChildren(
        orders.length ? this.#list(orders) : h('p', {}, `No orders for ${dayWords(this.from.value, today())}.`),
      );
    } catch (error) {
      tellError(error, () => this.#look());
    }
  }

  #list(orders) {
    const rows = orders.map((order) => {
      const pieces = order.lines.reduce((sum, line) => sum + line.pieces, 0);
      const input = h('input', { type: 'checkbox' });
      input.checked = !this.taken.has(order.customer);
      const note = this.taken.has(order.customer) ? ' (has one for this day already)' : '';
      return {
        order,
        input,
        element: h(
          'li',
          {},
          h(
            'label',
            { class: 'tick' },
            input,
            h('span', {}, `${this.named.get(order.customer) ?? order.customer}, ${whole(pieces)} pieces${note}`),
          ),
        ),
      };
    });
    return h(
      'div',
      {},
      h(
        'ul',
        { class: 'ticks' },
        rows.map((row) => row.element),
      ),
      h(
        'p',
        { class: 'actions' },
        button('Copy those ticked', () => this.#copy(rows), { class: 'main' }),
      ),
    );
  }

  async #copy(rows) {
    if (this.busy) return;
    const wanted = rows.filter((row) => row.input.checked && !row.done);
    if (wanted.length === 0) {
      tell('note', 'Tick the orders that are to be copied.');
      return;
    }
    this.busy = true;
    try {
      for (const row of wanted) await this.#copyOne(row);
      carry(wanted.length === 1 ? 'One order was copied.' : `${wanted.length} orders were copied.`);
      go(`#/orders/${this.date}`);
    } catch (error) {
      const done = rows.filter((row) => row.done).length;
      tellError(error, () => this.#copy(rows));
      if (done > 0 && !error.uncertain) tell('bad', `${done} were copied, then one was refused: ${error.message}.`);
    }
    this.busy = false;
  }

  async #copyOne(row) {
    const { id, customer, lines, note } = row.order;
    if (!this.onces.has(id)) this.onces.set(id, new Once('/orders'));
    await this.onces.get(id).send({ customer, date: this.date, lines, note });
    row.done = true;
    row.input.disabled = true;
  }
}
