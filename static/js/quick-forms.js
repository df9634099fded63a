/* A row of big buttons, each of which opens a short form of its own below: one at a time, and what is being
 * filled in stays until it is sent or closed.
 */
import { h, button } from './dom.js';
import { Form } from './form.js';

export class QuickForms {
  /* name: for those who do not see; title; make(kind): { fields, first: to begin with, or none, submit,
   * send(body), dress(form): adds what stands in it besides }. A kind has kind and text. */
  constructor({ name, title, className = '', make }) {
    this.make = make;
    this.buttons = new Map();
    this.row = h('div', { class: 'entry-buttons' });
    this.place = h('div', {});
    this.open = null;
    this.form = null;
    this.element = h(
      'section',
      { class: `entries ${className}`, 'aria-label': name },
      h('h2', {}, title),
      this.row,
      this.place,
    );
  }

  get dirty() {
    return this.form?.changed === true;
  }

  /* Shows the buttons of these kinds. */
  offer(kinds) {
    const wanted = kinds.map((one) => one.kind).join();
    if (wanted === this.offered) return;
    this.offered = wanted;
    this.buttons = new Map(kinds.map((one) => [one.kind, this.#button(one)]));
    this.row.replaceChildren(...this.buttons.values());
    if (this.open && !this.buttons.has(this.open)) this.close();
  }

  #button(one) {
    return button(one.text, () => this.#toggle(one), { 'aria-expanded': String(this.open === one.kind) });
  }

  #toggle(one) {
    if (this.open === one.kind) this.close();
    else this.#show(one);
  }

  close({ focus = false } = {}) {
    const from = this.buttons.get(this.open);
    from?.setAttribute('aria-expanded', 'false');
    this.open = null;
    this.form = null;
    this.place.replaceChildren();
    if (focus) from?.focus();
  }

  #show(one) {
    this.close();
    this.open = one.kind;
    this.buttons.get(one.kind).setAttribute('aria-expanded', 'true');
    const { fields, first, submit, send, dress } = this.make(one);
    this.form = new Form(fields, {
      submit,
      onsubmit: send,
      extra: [button('Never mind', () => this.close({ focus: true }), { class: 'quiet' })],
    });
    this.form.element.classList.add('entry-form');
    dress(this.form);
    this.place.replaceChildren(this.form.element);
    (first ?? this.form.submit).focus();
  }
}
