/* Whose delivery it is: found by typing, or added on the spot while the driver waits. */
import { AddButton } from './add-button.js';
import { FindField, Findable } from './find-field.js';

export class SupplierField {
  /* suppliers: all of them; first: begin here; onpick(): a known one is chosen and Enter was pressed; onchange() */
  constructor(suppliers, { first, onpick, onchange }) {
    this.onpick = onpick;
    this.onchange = onchange;
    this.findable = new Findable('suppliers', suppliers);
    this.addButton = new AddButton('/suppliers', 'supplier', {
      name: () => this.text.trim(),
      added: (supplier) => this.#added(supplier),
      fault: (text) => this.fault(text),
    });
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
      onunknown: () => this.addButton.element.focus(),
    });
    this.element = this.field.element;
    this.element.append(this.findable.element, this.addButton.element);
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
    const typed = this.text.trim();
    this.addButton.show(typed !== '' && this.findable.matching(typed).length === 0 && this.supplier === null);
  }

  #added(supplier) {
    this.findable.add(supplier);
    this.write(supplier.code);
    this.onchange();
    this.onpick();
  }

  fault(text) {
    this.field.fault(text);
  }

  focus() {
    this.field.focus();
  }
}
