/* The count sheet: the same on paper, with boxes to write in, and on the screen, with fields. By place,
 * so that who counts walks through the store once.
 */
import { h, button } from './dom.js';
import * as api from './api.js';
import { CountRow, FoundRow } from './count-row.js';
import { Findable } from './find-field.js';
import { tellError } from './messages.js';

const BLANK_ROWS = 6; // on paper, for what is found besides
const LOTS = 30; // the newest lots to choose from

export class CountSheet {
  /* sheet: of the API; onchange(); onlast(): Enter on the last line */
  constructor(view, sheet, { onchange, onlast }) {
    this.view = view;
    this.sheet = sheet;
    this.onchange = onchange;
    this.onlast = onlast;
    this.besides = [];
    this.rows = sheet.items.map((item) => new CountRow(item, { onchange }));
    this.findable = new Findable('count-ingredients', this.#ingredients());
    this.sections = sheet.places.map((place) => this.#placeSection(place)).filter(Boolean);
    this.newSection = this.#newSection();
    this.besidesSection = this.#besidesSection();
    this.element = h(
      'div',
      { class: 'count-sheet' },
      h(
        'datalist',
        { id: 'count-places' },
        sheet.places.map((place) => h('option', { value: place })),
      ),
      this.findable.element,
      this.sections.map((section) => section.element),
      this.besidesSection,
      this.newSection,
    );
    this.element.addEventListener('keydown', (event) => this.#key(event));
  }

  #ingredients() {
    const found = new Map(
      this.sheet.items.map((item) => [item.ingredient, { code: item.ingredient, name: item.name, unit: item.unit }]),
    );
    return [...found.values()];
  }

  #heads() {
    return h(
      'thead',
      {},
      h(
        'tr',
        {},
        h('th', { scope: 'col' }, 'What'),
        h('th', { scope: 'col', class: 'packs' }, 'Full packs'),
        h('th', { scope: 'col', class: 'rest' }, 'Part-sack'),
        h('th', { scope: 'col', class: 'figures found' }, 'Found'),
        h('th', { scope: 'col', class: 'figures book' }, 'Book says'),
      ),
    );
  }

  #table(rows) {
    return h('table', { class: 'list count' }, this.#heads(), h('tbody', {}, rows));
  }

  #placeSection(place) {
    const rows = this.rows.filter((row) => row.item.place === place);
    if (rows.length === 0) return null;
    const element = h(
      'section',
      { class: 'count-place' },
      h('h2', {}, place),
      this.#table(rows.map((row) => row.element)),
    );
    return { place, element };
  }

  /* What no stock is kept of yet: counting it begins its book. */
  #newSection() {
    const rows = this.rows.filter((row) => row.item.lot === null);
    if (rows.length === 0) return null;
    return h(
      'details',
      { class: 'panel count-new' },
      h('summary', {}, `Not in the book yet (${rows.length})`),
      h(
        'p',
        { class: 'hint' },
        'Of these no stock is kept so far. What is filled in here begins the book; what is left empty stays out of it.',
      ),
      this.#table(rows.map((row) => row.element)),
    );
  }

  #besidesSection() {
    this.besidesBody = h('tbody', {}, Array.from({ length: BLANK_ROWS }, blankRow));
    return h(
      'section',
      { class: 'count-place besides' },
      h('h2', {}, 'Found besides'),
      h('table', { class: 'list count' }, this.#heads(), this.besidesBody),
      h(
        'p',
        { class: 'actions' },
        button('Add what is not on the sheet', () => this.addBesides().focus(), { class: 'add' }),
      ),
    );
  }

  addBesides() {
    const row = new FoundRow({
      findable: this.findable,
      lotsOf: (thing) => this.#lotsOf(thing),
      onchange: this.onchange,
      ondrop: (gone) => this.#drop(gone),
    });
    this.besides.push(row);
    this.besidesBody.append(row.element);
    return row;
  }

  #drop(row) {
    this.besides = this.besides.filter((one) => one !== row);
    row.element.remove();
    this.onchange();
    this.besidesSection.querySelector('.add').focus();
  }

  /* The lots that an extra line may be of, as items of the sheet; nothing is expected of them elsewhere. */
  async #lotsOf({ code }) {
    const own = this.sheet.items.filter((item) => item.ingredient === code);
    if (own.some((item) => item.lot === null)) return own;
    try {
      const { body } = await api.get(`/lots?ingredient=${code}&limit=${LOTS}`, this.view);
      const { name, unit } = this.findable.byCode(code);
      return body.items.map((lot) => ({
        ...packOf(own, lot),
        ...lot,
        name,
        unit,
        place: null,
        [`expected_${unit === 'g' ? 'g' : 'pieces'}`]: 0,
      }));
    } catch (error) {
      if (error.name === 'AbortError') return [];
      tellError(error);
      return own.map((item) => ({ ...item, place: null }));
    }
  }

  /* --- moving --- */

  #key(event) {
    const rows = this.#visible();
    const at = rows.findIndex((row) => row.inputs.includes(event.target));
    if (at < 0) return;
    const column = rows[at].inputs.indexOf(event.target);
    if (event.key === 'Enter') {
      event.preventDefault();
      const next = rows[at].inputs[column + 1] ?? rows[at + 1]?.inputs[0];
      if (next) next.focus();
      else this.onlast();
    }
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (!step || !rows[at + step]) return;
    event.preventDefault();
    const { inputs } = rows[at + step];
    inputs[Math.min(column, inputs.length - 1)].focus();
  }

  #all() {
    return [...this.rows, ...this.besides];
  }

  /* In the order in which they stand on the page. */
  #visible() {
    const shown = this.#all().filter((row) => row.element.isConnected && row.element.checkVisibility());
    return shown.toSorted((a, b) => (a.element.compareDocumentPosition(b.element) & 4 ? -1 : 1));
  }

  focus() {
    this.#visible()[0]?.focus();
  }

  /* Only the lines of one place; '' for all. */
  only(place) {
    for (const section of this.sections) section.element.hidden = place !== '' && section.place !== place;
    if (this.newSection) this.newSection.hidden = place !== '';
  }

  blind(yes) {
    this.element.classList.toggle('blind', yes);
  }

  /* --- out and in again --- */

  /* { counted: [{ line, amount, item, key }], skipped: [item], faults }; faults are shown. */
  read() {
    const result = { counted: [], skipped: [], faults: 0 };
    let first = null;
    for (const row of this.#all()) {
      const found = row.read((text) => {
        row.fault(text);
        first ??= row;
        result.faults += 1;
      });
      if (found) result.counted.push({ ...found, row });
      else if (row.item && row.item.lot !== null && row.blank && !this.besides.includes(row))
        result.skipped.push(row.item);
    }
    first?.focus();
    return result;
  }

  /* How many lines of the sheet are filled in, of how many. */
  progress() {
    const kept = this.rows.filter((row) => row.item.lot !== null);
    return { filled: this.#all().filter((row) => !row.blank).length, all: kept.length };
  }

  typed() {
    return {
      rows: this.rows.filter((row) => !row.blank).map((row) => [row.key, row.typed()]),
      besides: this.besides.map((row) => row.typed()),
    };
  }

  /* Typed lines of a draft. Returns how many of them the sheet does not have any more. */
  write({ rows, besides }) {
    const known = new Map(this.rows.map((row) => [row.key, row]));
    for (const [key, values] of rows) known.get(key)?.write(values);
    const gone = rows.filter(([key]) => !known.has(key)).length;
    besides.forEach((values) => this.addBesides().restore(values));
    if (this.newSection && rows.some(([key]) => key.startsWith('+'))) this.newSection.open = true;
    return gone;
  }

  clearFaults() {
    this.#all().forEach((row) => row.fault(''));
  }
}

/* The pack that the sheet knows of the same lot, or of another one of the ingredient. */
function packOf(items, { lot }) {
  const { pack_g: grams, pack_pieces: pieces } = items.find((item) => item.lot === lot) ?? items[0] ?? {};
  return { pack_g: grams, pack_pieces: pieces };
}

function blankRow() {
  return h(
    'tr',
    { class: 'print-only blank' },
    h('td', {}),
    h('td', { class: 'packs' }, h('span', { class: 'box' })),
    h('td', { class: 'rest' }, h('span', { class: 'box' })),
    h('td', { class: 'found' }),
    h('td', { class: 'book' }),
  );
}
