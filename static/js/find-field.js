/* A thing of the book found by typing: a word's beginning is enough where it means only one. */
import { h, uniqueId } from './dom.js';

/* So that accents and capitals do not matter. */
export const fold = (text) =>
  text
    .normalize('NFKD')
    .replace(/[\u0300-\u036f]/g, '')
    .trim()
    .toLowerCase();

/* One list of suggestions for all fields that find the same things. */
export class Findable {
  /* things: { code, name } */
  constructor(stem, things) {
    this.things = things;
    this.id = uniqueId(stem);
    this.element = h('datalist', { id: this.id });
    this.#fill();
  }

  /* Two of one name are told apart by their codes. */
  labelOf(thing) {
    const alone = this.things.every((other) => other === thing || fold(other.name) !== fold(thing.name));
    return alone ? thing.name : `${thing.name} (${thing.code})`;
  }

  add(thing) {
    this.things.push(thing);
    this.#fill();
  }

  #fill() {
    this.element.replaceChildren(...this.things.map((thing) => h('option', { value: this.labelOf(thing) })));
  }

  byCode(code) {
    return this.things.find((thing) => thing.code === code) ?? null;
  }

  exactly(typed) {
    const text = fold(typed);
    return this.things.find((thing) => fold(this.labelOf(thing)) === text || thing.code === text) ?? null;
  }

  /* Those whose words begin with each of the words that are typed. */
  matching(typed) {
    const wanted = fold(typed).split(/\s+/).filter(Boolean);
    if (wanted.length === 0) return [];
    return this.things.filter((thing) => {
      const words = fold(`${this.labelOf(thing)} ${thing.code}`).split(/[\s()-]+/);
      return wanted.every((part) => words.some((word) => word.startsWith(part)));
    });
  }
}

export class FindField {
  /* findable; label; first; onpick(thing): chosen with Enter or on leaving; onchange(); onempty(): Enter
   * with nothing typed; onunknown(typed): Enter on what is none */
  constructor(findable, options) {
    this.findable = findable;
    this.options = options;
    this.name = options.name;
    const id = uniqueId(options.name);
    this.input = h('input', {
      id,
      type: 'text',
      list: findable.id,
      autocomplete: 'off',
      maxlength: 200,
      enterkeyhint: 'next',
      'aria-describedby': `${id}-fault`,
      'data-first': options.first,
    });
    this.faultElement = h('p', { class: 'fault', id: `${id}-fault`, hidden: true });
    this.labelElement = h('label', { for: id }, options.label);
    this.element = h(
      'div',
      { class: `field ${options.class ?? ''}` },
      this.labelElement,
      this.input,
      this.faultElement,
    );
    this.input.addEventListener('input', () => this.#typed());
    this.input.addEventListener('blur', () => this.#settle());
    this.input.addEventListener('keydown', (event) => {
      if (event.key === 'Enter') this.#enter(event);
    });
    this.shown = null; // what onpick was last told of
  }

  /* What is chosen; null: nothing, or nothing that is known. */
  get thing() {
    return this.findable.exactly(this.input.value);
  }

  get text() {
    return this.input.value;
  }

  #typed() {
    this.fault('');
    this.#tell();
    this.options.onchange();
  }

  #tell() {
    const { thing } = this;
    if (thing === this.shown) return;
    this.shown = thing;
    this.options.onthing?.(thing);
  }

  /* What is typed becomes the one thing that it can mean. */
  #settle() {
    const found = this.thing ? [this.thing] : this.findable.matching(this.input.value);
    if (found.length !== 1 || this.input.value === this.findable.labelOf(found[0])) return;
    this.input.value = this.findable.labelOf(found[0]);
    this.#tell();
    this.options.onchange();
  }

  #enter(event) {
    event.preventDefault();
    event.stopPropagation();
    this.#settle();
    if (this.thing) this.options.onpick();
    else if (this.input.value.trim() === '') this.options.onempty?.();
    else this.#several();
  }

  #several() {
    const names = this.findable.matching(this.input.value).map((thing) => thing.name);
    if (names.length > 1) this.fault(`Which: ${names.slice(0, 4).join(', ')}${names.length > 4 ? '…' : ''}?`);
    else this.options.onunknown?.(this.input.value.trim());
  }

  write(textOrCode) {
    const known = this.findable.byCode(textOrCode);
    this.input.value = known ? this.findable.labelOf(known) : (textOrCode ?? '');
    this.#tell();
  }

  fault(text) {
    this.faultElement.textContent = text;
    this.faultElement.hidden = text === '';
    if (text) this.input.setAttribute('aria-invalid', 'true');
    else this.input.removeAttribute('aria-invalid');
  }

  relabel(label) {
    this.labelElement.textContent = label;
  }

  focus() {
    this.input.focus();
  }
}
