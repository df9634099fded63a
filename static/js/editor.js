/* Entering, changing and deleting one thing of the book: a form, its ETag, and what may go wrong. */
import { button, link } from './dom.js';
import * as api from './api.js';
import { codeFrom } from './codes.js';
import { alike, explainConflict } from './conflict.js';
import { confirm } from './dialog.js';
import { differences } from './differences.js';
import { text } from './fields.js';
import { Form } from './form.js';
import { carry, clearMessages, tell, tellError } from './messages.js';
import { go } from './router.js';

export const NEW = '+new'; // in an address, where a code would stand

/* The field for the code of a new thing: follows the name until it is changed by hand. */
export function codeField(nameField, label = 'Short name') {
  const field = text({
    name: 'code',
    label,
    required: true,
    max: 63,
    code: true,
    hint: 'Small letters, digits and hyphens, for programs. It cannot be changed later.',
  });
  let own = false;
  field.input.addEventListener('input', () => {
    own = field.input.value !== '';
  });
  nameField.input.addEventListener('input', () => {
    if (!own) field.write(codeFrom(nameField.input.value));
  });
  return field;
}

export class Editor {
  /* options: kind ("formulas": path and address), one ("formula"), stored (answer of GET, or null when
   * new), fields (with one called code when new), nameOf, path (of the thing; when it has no code),
   * after, back (addresses to go to when saved, and when not), saved: what else to do then, mayDelete */
  constructor(view, options) {
    this.options = options;
    this.stored = options.stored;
    this.nameOf = options.nameOf ?? ((code) => code);
    const remove =
      this.stored && options.mayDelete !== false
        ? button(`Delete this ${options.one}`, () => this.#delete(), { class: 'danger' })
        : null;
    const back = options.kind ? link(options.back ?? `#/${options.kind}`, 'Back', { class: 'button quiet' }) : null;
    this.form = new Form(options.fields, {
      submit: this.stored ? 'Save the changes' : 'Save',
      onsubmit: (body) => this.#save(body),
      extra: [back, remove],
    });
    this.element = this.form.element;
    if (this.stored) this.form.write(this.stored.body);
    else
      this.form.write(
        Object.fromEntries(
          options.fields
            .filter((field) => field.list)
            .map((field) => [field.name, options.initial?.[field.name] ?? []]),
        ),
      );
    if (!this.stored && options.initial) this.form.write(options.initial);
    view.guard(() => this.form.changed);
  }

  path(code) {
    return this.options.path ?? `/${this.options.kind}/${code}`;
  }

  async #save({ code = this.stored?.body.code ?? this.stored?.body.name, ...body }, etag = this.stored?.etag) {
    const path = this.path(code);
    try {
      await api.put(path, body, this.stored || this.options.path ? { etag } : { create: true });
    } catch (error) {
      if (!error.conflict) throw error;
      await (this.stored ? this.#conflict(path, code, body) : this.#taken(path, code, body));
      return;
    }
    await this.#done(code, body);
  }

  /* There is one of that code already: somebody else's, or ours when the first answer got lost. */
  async #taken(path, code, body) {
    const theirs = await api.get(path);
    if (differences(theirs.body, alike(body, theirs.body)).length === 0) {
      await this.#done(code, body);
      return;
    }
    this.form.show([{ pointer: '/code', detail: `there is a ${this.options.one} called ${code} already` }]);
  }

  #conflict(path, code, body) {
    const keep = (etag) => {
      if (etag === null) this.stored = null;
      return this.form.run(() => this.#save({ code, ...body }, etag));
    };
    return explainConflict({
      path,
      mine: body,
      nameOf: this.nameOf,
      same: () => this.#done(code, body),
      keep,
      take: (theirs) => {
        this.stored = theirs;
        this.form.write(theirs.body);
        clearMessages();
      },
    });
  }

  async #done(code, body) {
    this.form.changed = false;
    await this.options.saved?.();
    carry(`Saved: ${body.name ?? code}.`);
    go(this.options.after ?? `#/${this.options.kind}`);
  }

  async #delete() {
    const name = this.stored.body.name;
    const sure = await confirm(`Delete ${name}?`, {
      detail: `This ${this.options.one} will be gone.`,
      yes: 'Delete',
      danger: true,
    });
    if (!sure) return;
    try {
      await api.remove(this.path(this.stored.body.code ?? name), { etag: this.stored.etag });
    } catch (error) {
      if (error.conflict) {
        tell('bad', 'Not deleted: somebody changed this meanwhile. Look at it as it is now.', [
          button('Show it', () => go(location.hash), { class: 'main' }),
        ]);
        return;
      }
      if (error.status !== 404) {
        // gone already is as good
        tellError(error, () => this.#delete());
        return;
      }
    }
    this.form.changed = false;
    carry(`Deleted: ${name}.`);
    go(`#/${this.options.kind}`);
  }
}
