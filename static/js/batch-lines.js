/* The lines of the panel in which a batch is said to be mixed: what was weighed of each thing, and of
 * which lots.
 *
 * A group is one thing with a row for each lot; a row without a lot is taken oldest best-before first.
 */
import { isExpired, leftOf } from './batch-lots.js';
import { h, button, unseen } from './dom.js';
import { choice, grams } from './fields.js';
import { amountWords } from './amounts.js';
import { bestBeforeWords, lotChoice, lotName } from './lot-words.js';
import { sentence } from './messages.js';
import { GRAM_PLACES, fromWire, plain } from './number.js';
import { thingOf } from './things.js';

const noted = (mg) => plain(mg, GRAM_PLACES);
const words = (mg) => amountWords(mg, 'g');

/* One amount, and the lot that it is of. */
class Row {
  constructor(group, { g, lot = null }) {
    this.group = group;
    const second = group.rows.length > 0;
    const { name, lots, date } = group;
    this.amount = grams({ name: 'g', label: second ? `${name}, another lot` : name, required: true, missing: 'how much was weighed? 0 for none' });
    this.amount.write(g);
    this.lot = lots.length
      ? choice({
          name: 'lot',
          label: `Lot of ${name}${second ? ', another lot' : ''}`,
          quiet: true,
          empty: 'Oldest best-before first',
          choices: lots.map((one) => [String(one.lot), lotChoice(one, { expired: isExpired(one, date) })]),
        })
      : null;
    this.lot?.write(lot === null ? '' : String(lot));
    this.hint = h('p', { class: 'batch-from' });
    this.tools = h('p', { class: 'batch-tools' });
    this.element = h(
      'div',
      { class: 'batch-line' },
      this.amount.element,
      this.lot ? [this.lot.element, this.hint, this.tools] : null,
    );
    this.unfold(lot !== null || second);
  }

  /* The choice of a lot is folded away until somebody wants another. */
  unfold(yes) {
    if (this.lot) this.lot.element.hidden = !yes;
  }

  get isFolded() {
    return this.lot.element.hidden;
  }

  /* Milligrams, or null while nothing readable stands there. */
  get mg() {
    const typed = this.amount.read(() => {});
    return typed === undefined ? null : fromWire(typed, GRAM_PLACES);
  }

  get chosen() {
    const value = this.lot?.read(() => {});
    return value ? Number(value) : null;
  }
}

class Group {
  constructor(line, name, { lots, date, changed }) {
    this.line = line;
    this.name = name;
    this.lots = lots;
    this.date = date;
    this.changed = changed;
    this.rows = [];
    this.element = h('div', { class: 'batch-group' });
    this.element.addEventListener('input', () => this.update());
    this.add(line);
  }

  add({ g, lot }) {
    const row = new Row(this, { g, lot });
    this.rows.push(row);
    this.element.append(row.element);
    return row;
  }

  /* The first lot gives what it has, another one the rest. */
  split() {
    const first = this.rows.at(-1);
    const free = this.lots.filter((one) => this.rows.every((row) => row === first || row.chosen !== one.lot));
    const lot = free.find((one) => one.lot === first.chosen) ?? free[0];
    const other = free.find((one) => one !== lot);
    const all = first.mg ?? 0n;
    const here = all < leftOf(lot) ? all : leftOf(lot);
    first.lot.write(String(lot.lot));
    first.unfold(true);
    first.amount.write(noted(here));
    const row = this.add({ g: noted(all - here), lot: other?.lot });
    this.update();
    row.amount.focus();
  }

  join(row) {
    const before = this.rows[this.rows.indexOf(row) - 1];
    before.amount.write(noted((before.mg ?? 0n) + (row.mg ?? 0n)));
    this.rows = this.rows.filter((one) => one !== row);
    row.element.remove();
    this.update();
    before.amount.focus();
  }

  update() {
    for (const row of this.rows) {
      if (!row.lot) continue;
      row.hint.replaceChildren(...hintOf(row, this));
      row.tools.replaceChildren(...this.#toolsOf(row));
    }
    this.changed();
  }

  #unfold(row) {
    row.unfold(true);
    this.update();
    row.lot.focus();
  }

  #toolsOf(row) {
    const tool = (text, work) => button([text, unseen(` of ${this.name}`)], work, { class: 'quiet' });
    if (row.isFolded) return this.lots.length > 1 ? [tool('Another lot', () => this.#unfold(row))] : [];
    if (row !== this.rows.at(-1)) return [];
    return [
      this.rows.length < this.lots.length ? tool('Split over one more lot', () => this.split()) : null,
      this.rows.length > 1 ? tool('One lot less', () => this.join(row)) : null,
    ].filter(Boolean);
  }
}

/* What will be taken, where that is not what the choice already says. */
function hintOf(row, { lots }) {
  const { mg } = row;
  const chosen = lots.find((one) => one.lot === row.chosen);
  const there = chosen ? leftOf(chosen) : lots.reduce((sum, one) => sum + leftOf(one), 0n);
  if (mg !== null && mg > there) return [h('strong', { class: 'missing' }, `By the book there are only ${words(there)}.`)];
  if (chosen) return [`${bestBeforeWords(chosen)}, ${words(there)} left`];
  return [`Oldest best-before: ${partsOf(mg ?? 0n, lots).join(', then ')}`];
}

/* "M-4471 (lot 12)", or, of several, what each of them gives. */
function partsOf(mg, lots) {
  if (mg <= leftOf(lots[0])) return [lotName(lots[0])];
  const parts = [];
  let rest = mg;
  for (const lot of lots) {
    const given = rest < leftOf(lot) ? rest : leftOf(lot);
    if (given > 0n) parts.push(`${words(given)} of ${lotName(lot)}`);
    rest -= given;
  }
  return parts;
}

export class BatchLines {
  /* lines: of a body; names: of their things; lots: a Lots; changed(): something else stands there now */
  constructor(lines, names, { lots, date, changed }) {
    this.groups = [];
    lines.forEach((line, index) => {
      const before = this.groups.at(-1);
      const again = before && line.lot && thingOf(before.line) === thingOf(line);
      if (again) before.add(line);
      else
        this.groups.push(
          new Group(line, names[index], { lots: line.ingredient ? lots.of(line.ingredient, date) : [], date, changed }),
        );
    });
    this.element = h('div', {}, this.groups.map((group) => group.element));
    for (const group of this.groups) group.update();
  }

  get #rows() {
    return this.groups.flatMap((group) => group.rows.map((row) => ({ group, row })));
  }

  /* Milligrams of all that can be read. */
  get total() {
    return this.#rows.reduce((sum, { row }) => sum + (row.mg ?? 0n), 0n);
  }

  /* { lines, names } as they are posted, or null when something cannot be read: then it is said there. */
  read() {
    let first = null;
    const found = this.#rows.map(({ group, row }) => {
      row.amount.fault('');
      const g = row.amount.read((text) => {
        row.amount.fault(sentence(text));
        first ??= row.amount;
      });
      const { ingredient, starter, formula } = group.line;
      const thing = ingredient ? { ingredient } : starter ? { starter } : { formula };
      return { line: { ...thing, g, ...(row.chosen === null ? {} : { lot: row.chosen }) }, name: group.name };
    });
    first?.focus();
    return first ? null : { lines: found.map((one) => one.line), names: found.map((one) => one.name) };
  }

  /* The server's faults at their lines; returns those that have none. */
  fault(errors) {
    const rows = this.#rows;
    return errors.filter(({ pointer, detail }) => {
      const [, index, member] = /^\/lines\/(\d+)(?:\/(\w+))?$/.exec(pointer) ?? [];
      const row = rows[index]?.row;
      const field = row && ((member === 'lot' && row.lot) || row.amount);
      field?.fault(sentence(detail));
      return !field;
    });
  }
}
