/* Picking a customer by typing the name; one that is not known yet is added on the spot. */
import { h, button, uniqueId } from './dom.js';
import { createUnder } from './codes.js';
import { speak, tellError } from './messages.js';

const fold = (text) => text.trim().toLocaleLowerCase();

export class CustomerField {
  /* customers: all of them; first: begin here; onpick(): a known customer is chosen and Enter was pressed; onchange() */
  constructor(customers, { first, onpick, onchange }) {
    this.customers = customers;
    this.onpick = onpick;
    this.onchange = onchange;
    const id = uniqueId('customer');
    this.options = h('datalist', { id: `${id}-list` });
    this.input = h('input', {
      id,
      type: 'text',
      list: `${id}-list`,
      autocomplete: 'off',
      maxlength: 200,
      required: true,
      'aria-describedby': `${id}-fault`,
      'data-first': first,
    });
    this.faultElement = h('p', { class: 'fault', id: `${id}-fault`, hidden: true });
    this.addButton = button('', () => this.#add(), { class: 'add', hidden: true });
    this.about = h('p', { class: 'hint' });
    this.element = h(
      'div',
      { class: 'field wide' },
      h('label', { for: id }, 'Customer'),
      this.input,
      this.options,
      this.addButton,
      this.about,
      this.faultElement,
    );
    this.input.addEventListener('input', () => this.#typed());
    this.input.addEventListener('keydown', (event) => this.#key(event));
    this.#fill();
  }

  /* Two of one name are told apart by their codes. */
  #labelOf(customer) {
    const alone = this.customers.every((other) => other === customer || fold(other.name) !== fold(customer.name));
    return alone ? customer.name : `${customer.name} (${customer.code})`;
  }

  #fill() {
    this.options.replaceChildren(...this.customers.map((customer) => h('option', { value: this.#labelOf(customer) })));
  }

  get customer() {
    const typed = fold(this.input.value);
    return this.customers.find((one) => fold(this.#labelOf(one)) === typed || one.code === typed) ?? null;
  }

  get text() {
    return this.input.value;
  }

  write(textOrCode) {
    const known = this.customers.find((one) => one.code === textOrCode);
    this.input.value = known ? this.#labelOf(known) : textOrCode;
    this.#show();
  }

  #show() {
    const name = this.input.value.trim();
    const customer = this.customer;
    this.addButton.hidden = name === '' || customer !== null;
    this.addButton.textContent = `Add “${name}” as a new customer`;
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
    else if (!this.addButton.hidden) this.addButton.focus();
  }

  async #add() {
    if (this.adding) return;
    this.adding = true;
    const name = this.input.value.trim();
    try {
      const { body } = await createUnder('/customers', name, { name });
      this.customers.push(body);
      this.#fill();
      this.write(body.code);
      this.onchange();
      speak(`${name} is a customer now.`);
      this.onpick();
    } catch (error) {
      if (error.errors?.length) this.fault(error.errors[0].detail);
      else tellError(error, () => this.#add());
    }
    this.adding = false;
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
