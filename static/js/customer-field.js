/* Picking a customer by typing the name; one that is not known yet is added on the spot. */
import { h, uniqueId } from './dom.js';
import { AddButton } from './add-button.js';
import { Findable } from './find-field.js';

export class CustomerField {
  /* customers: all of them; first: begin here; onpick(): a known customer is chosen and Enter was pressed; onchange() */
  constructor(customers, { first, onpick, onchange }) {
    this.findable = new Findable('customers', customers);
    this.onpick = onpick;
    this.onchange = onchange;
    const id = uniqueId('customer');
    this.input = h('input', {
      id,
      type: 'text',
      list: this.findable.id,
      autocomplete: 'off',
      maxlength: 200,
      required: true,
      'aria-describedby': `${id}-fault`,
      'data-first': first,
    });
    this.faultElement = h('p', { class: 'fault', id: `${id}-fault`, hidden: true });
    this.addButton = new AddButton('/customers', 'customer', {
      name: () => this.text.trim(),
      added: (customer) => this.#added(customer),
      fault: (text) => this.fault(text),
    });
    this.about = h('p', { class: 'hint' });
    this.element = h(
      'div',
      { class: 'field wide' },
      h('label', { for: id }, 'Customer'),
      this.input,
      this.findable.element,
      this.addButton.element,
      this.about,
      this.faultElement,
    );
    this.input.addEventListener('input', () => this.#typed());
    this.input.addEventListener('keydown', (event) => this.#key(event));
  }

  get customer() {
    return this.findable.exactly(this.input.value);
  }

  get text() {
    return this.input.value;
  }

  write(textOrCode) {
    const known = this.findable.byCode(textOrCode);
    this.input.value = known ? this.findable.labelOf(known) : textOrCode;
    this.#show();
  }

  #show() {
    const name = this.input.value.trim();
    const customer = this.customer;
    this.addButton.show(name !== '' && customer === null);
    const facts = customer ? [customer.ready_at && `Ready at ${customer.ready_at}`, customer.phone, customer.note] : [];
    this.about.textContent = facts.filter(Boolean).join(' · ');
  }

  #typed() {
    this.fault('');
    this.#show();
    this.onchange();
  }

  #key(event) {
    if (event.key !== 'Enter') return;
    event.preventDefault();
    if (this.customer) this.onpick();
    else if (!this.addButton.element.hidden) this.addButton.element.focus();
  }

  #added(customer) {
    this.findable.add(customer);
    this.write(customer.code);
    this.onchange();
    this.onpick();
  }

  fault(text) {
    this.faultElement.textContent = text;
    this.faultElement.hidden = text === '';
    if (text) this.input.setAttribute('aria-invalid', 'true');
    else this.input.removeAttribute('aria-invalid');
  }

  focus() {
    this.input.focus();
  }
}
