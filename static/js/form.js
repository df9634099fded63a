/* A form from a list of fields: reads a body, and shows every fault at the place that its JSON pointer
 * names. A place that the form does not show is named in the message above it.
 */
import { h } from './dom.js';
import { Problem } from './api.js';
import { clearMessages, sentence, tell, tellError } from './messages.js';

class LocalFaults extends Error {
  constructor(errors) {
    super('faults in the form');
    this.errors = errors;
  }
}

const unescape = (part) => part.replace(/~1/g, '/').replace(/~0/g, '~');

export class Form {
  constructor(fields, { submit, onsubmit, extra = [] }) {
    this.fields = fields;
    this.changed = false;
    this.busy = false;
    this.submit = h('button', { class: 'main' }, submit);
    this.element = h(
      'form',
      { novalidate: true },
      fields.map((field) => field.element),
      h('p', { class: 'actions save' }, this.submit, extra),
    );
    this.element.addEventListener('submit', (event) => {
      event.preventDefault();
      this.run(onsubmit);
    });
    this.element.addEventListener('input', (event) => this.#typed(event));
  }

  #typed(event) {
    this.changed = true;
    const field = this.fields.find((candidate) => candidate.element.contains(event.target));
    if (field && !field.list) field.fault('');
    if (event.target.getAttribute('aria-invalid')) event.target.removeAttribute('aria-invalid');
  }

  write(value) {
    for (const field of this.fields) if (field.name in value) field.write(value[field.name]);
    this.changed = false;
  }

  /* { value, errors }: what can be read, and what cannot. */
  collect() {
    const value = {};
    const errors = [];
    for (const field of this.fields) {
      const member = field.read((text, path = '') => errors.push({ pointer: `/${field.name}${path}`, detail: text }));
      if (member !== undefined) value[field.name] = member;
    }
    return { value, errors };
  }

  /* The body; throws LocalFaults when something cannot be read. */
  read() {
    const { value, errors } = this.collect();
    if (errors.length > 0) throw new LocalFaults(errors);
    return value;
  }

  clear() {
    for (const field of this.fields) {
      if (field.list) field.list.clear();
      else field.fault('');
    }
  }

  /* The field of a pointer, or null. */
  find(pointer) {
    const [name, ...rest] = pointer.split('/').slice(1).map(unescape);
    const field = this.fields.find((candidate) => candidate.name === name);
    if (!field) return null;
    return field.find ? field.find(rest) : field;
  }

  /* Shows each fault at its place; returns those that have none. focus: go to the first. */
  show(errors, { focus = true } = {}) {
    this.clear();
    const homeless = [];
    let first = null;
    for (const { pointer, detail } of errors) {
      const field = this.find(pointer);
      if (!field) homeless.push(detail);
      else field.fault(sentence(detail));
      first ??= field;
    }
    if (focus) first?.focus();
    return homeless;
  }

  /* Sends once, however often it is asked to while it runs. */
  async run(work) {
    if (this.busy) return;
    this.busy = true;
    this.submit.setAttribute('aria-disabled', 'true');
    clearMessages();
    try {
      await work(this.read());
    } catch (error) {
      this.explain(error, () => this.run(work));
    }
    this.busy = false;
    this.submit.removeAttribute('aria-disabled');
  }

  explain(error, again) {
    const placed =
      error instanceof LocalFaults || (error instanceof Problem && error.errors.length > 0 && !error.uncertain);
    if (!placed) {
      tellError(error, again);
      return;
    }
    const homeless = this.show(error.errors);
    const count = error.errors.length - homeless.length;
    const here =
      count === 1 ? 'Not saved: one place needs another look.' : `Not saved: ${count} places need another look.`;
    tell(
      'bad',
      h(
        'div',
        {},
        count > 0 ? h('p', {}, here) : null,
        homeless.map((detail) => h('p', {}, sentence(detail))),
      ),
    );
  }
}
