/* How an ingredient is ordered: from whom, in which packs, how safe its stock is to be, where it stands. */
import { h, button } from './dom.js';
import * as api from './api.js';
import { choice, percent, text } from './fields.js';
import { Form } from './form.js';
import { amountField, amountOf, toWire, unitOf } from './amounts.js';
import { clearMessages, tell, tellError } from './messages.js';

export class Supply {
  /* changed(): called when it was saved; resolves when the page is up to date. */
  constructor(view, item, { changed }) {
    this.view = view;
    this.path = `/ingredients/${item.ingredient}/supply`;
    this.unit = unitOf(item);
    this.changed = changed;
    this.body = h('div', {});
    this.element = h('details', { class: 'panel stock-supply' }, h('summary', {}, 'How it is ordered'), this.body);
    this.element.addEventListener('toggle', () => {
      if (this.element.open && !this.form) this.#load();
    });
  }

  get dirty() {
    return this.form?.changed === true;
  }

  async #load() {
    const [stored, suppliers] = await Promise.all([api.get(this.path, this.view), api.list('/suppliers', this.view)]);
    this.stored = stored;
    const pack = this.unit === 'g' ? 'pack_g' : 'pack_pieces';
    this.forget = button('Go by the pack price again', () => this.#forget(pack), { class: 'quiet' });
    this.form = new Form(
      [
        choice({ name: 'supplier', label: 'Supplier', choices: suppliers.map((one) => [one.code, one.name]) }),
        amountField({ name: pack, label: 'Pack', hint: this.unit === 'g' ? 'In grams, or with “kg” behind it' : null }, () => this.unit),
        percent({
          name: 'service_pct',
          label: 'How sure it is to last until the next delivery',
          hint: 'Of a hundred times, so often there is enough. The surer, the more is kept in store: 95 is usual',
        }),
        text({ name: 'place', label: 'Place', max: 60, hint: 'Where it stands; goods in go there when no other place is told' }),
      ],
      { submit: 'Save how it is ordered', onsubmit: (body) => this.#save(body, pack), extra: [this.forget] },
    );
    this.#write(stored.body, pack);
    this.body.replaceChildren(this.form.element);
  }

  #write(body, pack) {
    const value = amountOf(body, 'pack', this.unit);
    this.form.write({ ...body, [pack]: value });
    this.forget.hidden = !body.entered;
  }

  /* What was entered is gone, and what the pack price in force says is shown. */
  async #forget(pack) {
    clearMessages();
    try {
      await api.remove(this.path, { etag: this.stored.etag });
      this.stored = await api.get(this.path, this.view);
      this.#write(this.stored.body, pack);
      await this.changed();
      tell('good', 'It goes by the pack price again.');
    } catch (error) {
      tellError(error, () => this.#forget(pack));
    }
  }

  async #save(body, pack) {
    const packed = body[pack] === undefined ? body : { ...body, [pack]: toWire(body[pack], this.unit) };
    await api.put(this.path, packed, api.unlessChanged(this.stored));
    this.stored = await api.get(this.path, this.view);
    this.#write(this.stored.body, pack);
    await this.changed();
    tell('good', 'Saved how it is ordered.');
  }
}
