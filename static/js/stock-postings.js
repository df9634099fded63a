/* Quick postings of one ingredient: big buttons, each of which opens a short form. What was used without a
 * batch, thrown away, sent back, or carried to another place. */
import { h, button, uniqueId } from './dom.js';
import { choice, date, text } from './fields.js';
import { amountField, amountOf, amountWords, toWire, unitOf } from './amounts.js';
import { capital, tell } from './messages.js';
import { Once } from './once.js';
import { QuickForms } from './quick-forms.js';
import { today } from './session.js';
import { lotName } from './lot-words.js';

const KINDS = [
  { kind: 'wasted', text: 'Wasted', label: 'How much is gone', why: ['Spilled', 'Damp', 'Insects', 'Past its best-before', 'Burst sack'] },
  { kind: 'used', text: 'Used', label: 'How much was used', why: ['Dusting the bench', 'A trial', 'Staff'] },
  { kind: 'returned', text: 'Sent back', label: 'How much goes back', why: ['Damaged', 'The supplier calls it back', 'Wrong goods'] },
  { kind: 'moved', text: 'Moved', label: 'How much', why: [] },
];

/* What there is of each lot in each place: { value: "12 cellar", lot, place, amount, words }. */
function shelvesOf(item) {
  const unit = unitOf(item);
  return item.lots.flatMap((lot) =>
    lot.places.map((one) => ({
      value: `${lot.lot} ${one.place}`,
      lot: lot.lot,
      place: one.place,
      words: `${capital(lotName(lot))}: ${amountWords(amountOf(one), unit)} in ${one.place}${lot.held ? ', held' : ''}`,
    })),
  );
}

export class Postings {
  /* posted(movement answer): called when something was posted; resolves when the page is up to date. */
  constructor({ posted }) {
    this.posted = posted;
    this.forms = new QuickForms({
      name: 'Post something',
      title: 'Post what happened',
      className: 'stock-postings',
      make: (one) => this.#make(one),
    });
    this.element = this.forms.element;
  }

  get dirty() {
    return this.forms.dirty;
  }

  show(item) {
    this.item = item;
    this.forms.offer(KINDS);
    this.element.hidden = item.lots.length === 0 && this.forms.open === null;
  }

  #make(one) {
    const fields = one.kind === 'moved' ? this.#moveFields(one) : this.#fields(one);
    const once = new Once('/movements');
    return {
      fields,
      first: fields[0],
      submit: `Post: ${one.text.toLowerCase()}`,
      send: (typed) => this.#send(once, one, typed),
      dress: (form) => alias(form, fields.find((field) => field.name === 'which')),
    };
  }

  #amount(one) {
    const unit = unitOf(this.item);
    const pack = packOf(this.item);
    const field = amountField({ label: one.label, hint: unit === 'g' ? 'In grams, or with “kg” behind it' : null, required: true }, () => unit);
    const said = h('output', { class: 'hint' });
    const say = () => {
      const amount = field.read(() => {});
      said.textContent = amount !== undefined && unit === 'g' ? `= ${amountWords(amount, unit)}` : '';
    };
    field.input.addEventListener('input', say);
    const packs = pack ? [1n, 2n, 3n].map((count) => this.#packButton(count, pack, field, say)) : [];
    field.element.append(said, packs.length ? h('p', { class: 'actions packs-quick' }, packs) : '');
    return field;
  }

  #packButton(count, pack, field, say) {
    const unit = unitOf(this.item);
    return button(
      `${count}\u00a0×\u00a0${amountWords(pack, unit)}`,
      () => {
        field.write(count * pack);
        this.forms.form.changed = true;
        field.fault('');
        say();
      },
      { class: 'quiet' },
    );
  }

  #fields(one) {
    const which = choice({
      name: 'which',
      label: 'Of which lot',
      empty: 'As they are taken: oldest best-before first',
      choices: shelvesOf(this.item).map((shelf) => [shelf.value, shelf.words]),
    });
    return [this.#amount(one), which, whyField(one), ...dayField()];
  }

  #moveFields(one) {
    const shelves = shelvesOf(this.item);
    const which = choice({ name: 'which', label: 'Of which lot', required: true, choices: shelves.map((shelf) => [shelf.value, shelf.words]) });
    const id = uniqueId('places');
    const known = [...new Set(shelves.map((shelf) => shelf.place).concat(this.item.supply?.place ?? 'store'))];
    const to = text({ name: 'to', label: 'To which place', required: true, max: 60, list: id });
    to.element.append(h('datalist', { id }, known.map((place) => h('option', { value: place }))));
    return [this.#amount(one), which, to, ...dayField()];
  }

  #body(one, { which, ...typed }) {
    const unit = unitOf(this.item);
    const shelf = shelvesOf(this.item).find((candidate) => candidate.value === which);
    const member = unit === 'g' ? 'g' : 'pieces';
    return {
      kind: one.kind,
      ingredient: this.item.ingredient,
      ...typed,
      [member]: toWire(typed[member], unit),
      ...(shelf ? { lot: shelf.lot, place: shelf.place } : {}),
    };
  }

  async #send(once, one, typed) {
    const body = this.#body(one, typed);
    const earlier = await once.settle(body);
    const { body: movement } = earlier ?? (await once.send(body));
    this.forms.close({ focus: true });
    await this.posted(movement);
    if (earlier) tell('warn', 'What you typed before was posted after all. Nothing else was posted.');
  }
}

export const packOf = (item) => (item.supply ? amountOf(item.supply, 'pack', unitOf(item)) : null);

/* What the server finds wrong with a lot or a place is shown at which, where both are chosen. */
function alias(form, which) {
  const find = form.find.bind(form);
  form.find = (pointer) => (['/lot', '/place'].includes(pointer) ? which : find(pointer));
}

function dayField() {
  const field = date({ name: 'date', label: 'On', hint: 'Empty: today' });
  field.input.max = today();
  return [field];
}

/* A few words; those that are often true are taken over by a touch. */
function whyField(one) {
  const field = text({ name: 'reason', label: 'Why', max: 200 });
  const take = (words) => () => {
    field.write(words);
    field.input.dispatchEvent(new Event('input', { bubbles: true }));
  };
  field.element.append(
    h(
      'p',
      { class: 'actions reasons' },
      one.why.map((words) => button(words, take(words), { class: 'quiet' })),
    ),
  );
  return field;
}
