/* What is not in the book yet is added on the spot, by its name alone: the button for it. */
import { createUnder } from './codes.js';
import { button } from './dom.js';
import { speak, tellError } from './messages.js';

export class AddButton {
  /* path: "/customers"; one: "customer"; name(): what is typed; added(thing): it is in the book now;
   * fault(text): why it cannot be */
  constructor(path, one, { name, added, fault }) {
    Object.assign(this, { path, one, name, added, fault });
    this.element = button('', () => this.#add(), { class: 'add', hidden: true });
  }

  /* Whether there is something to add. */
  show(yes) {
    this.element.hidden = !yes;
    this.element.textContent = `Add “${this.name()}” as a new ${this.one}`;
  }

  async #add() {
    if (this.adding) return;
    this.adding = true;
    const name = this.name();
    try {
      const { body } = await createUnder(this.path, name, { name });
      this.added(body);
      speak(`${name} is a ${this.one} now.`);
    } catch (error) {
      if (error.errors?.length) this.fault(error.errors[0].detail);
      else tellError(error, () => this.#add());
    }
    this.adding = false;
  }
}
