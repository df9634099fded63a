/* A list inside a form (lines of a formula, parts of a product): a native table whose rows hold
 * fields. Rows left empty are not sent; faults find their row by the index that was sent.
 *
 * Enter moves down the column and adds a row at the end.
 */
import { h, button, uniqueId, unseen } from './dom.js';

/* options: name, label, hint, columns [{ label, class, make(row) -> fields }], add: text of the button,
 * one: what a row is called, sorted: rows can be moved, required, onchange() */
export function rows(options) {
  const list = new RowList(options);
  return {
    name: options.name,
    label: options.label,
    element: list.element,
    read: (report) => list.read(report),
    write: (value) => list.write(value),
    find: (parts) => list.find(parts),
    fault: (text) => list.fault(text),
    focus: () => list.focus(),
    list,
  };
}

class RowList {
  constructor(options) {
    this.options = options;
    this.rows = [];
    this.sent = [];
    this.body = h('tbody');
    const id = uniqueId(options.name);
    this.faultElement = h('p', { class: 'fault', id: `${id}-fault`, hidden: true });
    this.addButton = button(options.add, () => this.add().focus(), { class: 'add' });
    this.element = h(
      'fieldset',
      { class: `rows ${options.class ?? ''}`, 'aria-describedby': `${id}-fault` },
      h('legend', {}, options.label),
      options.hint ? h('p', { class: 'hint' }, options.hint) : null,
      h('table', { class: 'rows' }, h('thead', {}, this.#heading()), this.body),
      this.faultElement,
      h('p', { class: 'actions' }, this.addButton),
    );
    this.body.addEventListener('keydown', (event) => this.#key(event));
  }

  #heading() {
    return h(
      'tr',
      {},
      this.options.columns.map((column) => h('th', { scope: 'col', class: column.class ?? null }, column.label)),
      h('th', { scope: 'col', class: 'tools' }, unseen('Change the list')),
    );
  }

  add(value) {
    const row = new Row(this, this.options, value);
    this.rows.push(row);
    this.body.append(row.element);
    this.#renumber();
    if (value === undefined) this.options.onchange?.();
    return row;
  }

  drop(row) {
    const index = this.rows.indexOf(row);
    this.rows.splice(index, 1);
    row.element.remove();
    this.#renumber();
    (this.rows[Math.min(index, this.rows.length - 1)] ?? { focus: () => this.addButton.focus() }).focus();
    this.options.onchange?.();
  }

  raise(row) {
    const index = this.rows.indexOf(row);
    if (index === 0) return;
    this.rows.splice(index, 1);
    this.rows.splice(index - 1, 0, row);
    this.rows[index].element.before(row.element);
    this.#renumber();
    row.up.focus();
    this.options.onchange?.();
  }

  #renumber() {
    this.rows.forEach((row, index) => row.number(index + 1));
  }

  read(report) {
    const values = [];
    this.sent = [];
    for (const row of this.rows) {
      const index = values.length;
      const faults = [];
      const value = row.read((name, text) => faults.push([`/${index}/${name}`, text]));
      if (value === null) continue;
      faults.forEach(([path, text]) => report(text, path));
      this.sent.push(row);
      values.push(value);
    }
    if (values.length === 0 && this.options.required) report(`at least one ${this.options.one} is needed`);
    return values;
  }

  write(values) {
    this.rows = [];
    this.body.replaceChildren();
    (values ?? []).forEach((value) => this.add(value));
    for (let blank = this.rows.length; blank < (this.options.blanks ?? 0); blank += 1) this.add(null);
  }

  find([index, ...rest]) {
    if (index === undefined) return this;
    const row = this.sent[Number(index)];
    return row ? row.find(rest) : this;
  }

  fault(text) {
    this.faultElement.textContent = text;
    this.faultElement.hidden = text === '';
  }

  clear() {
    this.fault('');
    this.rows.forEach((row) => row.clear());
  }

  focus() {
    (this.rows[0] ?? { focus: () => this.addButton.focus() }).focus();
  }

  #key(event) {
    if (event.key !== 'Enter' || event.target.tagName === 'BUTTON') return;
    event.preventDefault();
    const at = this.rows.findIndex((row) => row.element.contains(event.target));
    const column = this.rows[at].columnOf(event.target);
    (this.rows[at + 1] ?? this.add()).focus(column);
  }
}

class Row {
  constructor(list, options, value) {
    this.list = list;
    this.options = options;
    this.fields = [];
    const cells = options.columns.map((column) => {
      const fields = column.make(this);
      this.fields.push(...fields);
      return h(
        'td',
        { class: column.class ?? null },
        fields.map((field) => field.element),
      );
    });
    this.up = button('↑', () => list.raise(this), { class: 'tool' });
    this.out = button('×', () => list.drop(this), { class: 'tool' });
    this.faultElement = h('p', { class: 'fault', hidden: true });
    this.fields.at(0).element.append(this.faultElement);
    this.element = h('tr', {}, cells, h('td', { class: 'tools' }, options.sorted ? this.up : null, this.out));
    this.write(value ?? {});
  }

  number(n) {
    const name = `${this.options.one} ${n}`;
    this.up.setAttribute('aria-label', `Move ${name} up`);
    this.out.setAttribute('aria-label', `Remove ${name}`);
    this.fields.forEach((field) => field.relabel?.(`${field.label}, ${name}`));
  }

  field(name) {
    return this.fields.find((field) => field.name === name);
  }

  write(value) {
    (this.options.unpack ?? ((given) => given))(value, this);
    for (const field of this.fields) if (field.name in value) field.write(value[field.name]);
  }

  /* The row's value, or null when nothing is entered in it. */
  read(report) {
    const value = {};
    const faults = [];
    for (const field of this.fields) {
      const member = field.read((text) => faults.push([field.name, text]));
      if (member !== undefined) value[field.name] = member;
    }
    const blank = this.options.blank ?? ((given) => Object.keys(given).length === 0);
    if (blank(value) && faults.every(([, text]) => text === 'this is needed')) return null;
    faults.forEach(([name, text]) => report(name, text));
    return this.options.pack ? this.options.pack(value) : value;
  }

  find([name]) {
    if (name === undefined) return this;
    return this.field(this.options.alias?.[name] ?? name) ?? this;
  }

  fault(text) {
    this.faultElement.textContent = text;
    this.faultElement.hidden = text === '';
  }

  clear() {
    this.fault('');
    this.fields.forEach((field) => field.fault(''));
  }

  columnOf(element) {
    return this.fields.findIndex((field) => field.element.contains(element));
  }

  focus(column = 0) {
    this.fields[Math.max(0, column)].focus();
  }
}
