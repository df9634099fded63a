/* Whose delivery it is: found by typing, or added on the spot while the driver waits. */
import { button } from './dom.js';
import { createUnder } from './codes.js';
import { FindField, Findable } from './goods-in-find.js';
import { speak, tellError } from './messages.js';

export class SupplierField {
  /* suppliers: all of them; first: begin here; onpick(): a known one is chosen and Enter was pressed; onchange() */
  constructor(suppliers, { first, onpick, onchange }) {
    this.onpick = onpick;
    this.onchange = onchange;
    this.findable = new Findable('suppliers', suppliers);
    this.addButton = button('', () => this.#add(), { class: 'add', hidden: true });
    this.field = new FindField(this.findable, {
      name: 'supplier',
      label: 'Supplier',
      class: 'wide',
      first,
      onpick,
      onchange: () => {
        this.#show();
        onchange();
      },
      onunknown: () => this.addButton.focus(),
    });
    this.element = this.field.element;
    this.element.append(this.findable.element, this.addButton);
  }

  get supplier() {
    return this.field.thing;
  }

  get text() {
    return this.field.text;
  }

  write(textOrCode) {
    this.field.write(textOrCode);
    this.#show();
  }

  #show() {
    const typed = this.field.text.trim();
    this.addButton.hidden = typed === '' || this.findable.matching(typed).length > 0 || this.supplier !== null;
    this.addButton.textContent = `Add “${typed}” as a new supplier`;
  }

  async #add() {
    if (this.adding) return;
    this.adding = true;
    const name = this.field.text.trim();
    try {
      const { body } = await createUnder('/suppliers', name, { name });
      this.findable.things.push(body);
      this.findable.fill();
      this.write(body.code);
      this.onchange();
      speak(`${name} is a supplier now.`);
      this.onpick();
    } catch (error) {
      if (error.errors?.length) this.fault(error.errors[0].detail);
      else tellError(error, () => this.#add());
    }
    this.adding = false;
  }

  fault(text) {
    this.field.fault(text);
  }

  focus() {
    this.field.focus();
  }
}
