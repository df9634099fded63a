/* Finding a lot: by the mark on its sack or its number, by ingredient, by supplier. What was looked for
 * stays in the address, so that going back finds it again. */
import * as api from './api.js';
import { h, link } from './dom.js';
import { dayWords, shortDate } from './dates.js';
import { choice, text } from './fields.js';
import { figureCell, table } from './figures.js';
import { Form } from './form.js';
import { lotTitle } from './lot-words.js';
import { toldAmount } from './amounts.js';
import { Paged } from './paged.js';
import { today } from './session.js';

const PAGE = 50;

const queryOf = (wanted) => new window.URLSearchParams(Object.entries(wanted).filter(([, value]) => value)).toString();

const wantedFromAddress = () => Object.fromEntries(new window.URLSearchParams(location.hash.split('?')[1] ?? ''));

export class LotFinder {
  constructor(view, { ingredients, suppliers }) {
    this.view = view;
    this.place = h('div', { class: 'found', role: 'status' });
    this.paged = new Paged({
      atOnce: PAGE,
      older: 'Older lots',
      draw: () => this.#draw(),
      lineAt: (index) => this.place.querySelectorAll('tbody th a')[index],
      view,
    });
    const named = (things) => things.map((one) => [one.code, one.name]);
    this.form = new Form(
      [
        text({ name: 'lot', label: 'Lot mark or number', hint: 'As it stands on the sack, or our own number', first: true }),
        choice({ name: 'ingredient', label: 'Ingredient', choices: named(ingredients), empty: 'Any' }),
        choice({ name: 'supplier', label: 'Supplier', choices: named(suppliers), empty: 'Any' }),
      ],
      { submit: 'Find', onsubmit: (wanted) => this.find(wanted) },
    );
    this.form.element.classList.add('lot-finder');
  }

  /* What the address asks for, else the newest lots. */
  async begin() {
    const wanted = wantedFromAddress();
    this.form.write(wanted);
    await this.#read(wanted);
  }

  async find(wanted) {
    history.replaceState(null, '', `#/trace?${queryOf(wanted)}`);
    await this.#read(wanted);
  }

  async #read({ lot, ...wanted }) {
    const own = /^\d{1,15}$/.test(lot ?? '') ? await api.getOrNull(`/lots/${Number(lot)}`, this.view) : null;
    this.own = own?.body ?? null;
    await this.paged.begin(`/lots?${queryOf({ ...wanted, lot_mark: lot })}`);
  }

  /* The lot of that number stands before those of that mark. */
  #draw() {
    const { items, next } = this.paged;
    const lots = this.own && !items.some((one) => one.lot === this.own.lot) ? [this.own, ...items] : items;
    if (lots.length === 0) {
      this.place.replaceChildren(h('p', { class: 'empty' }, 'No such lot has come in.'));
      return;
    }
    this.place.replaceChildren(
      table({
        caption: lots.length === 1 && next === null ? 'One lot' : 'Lots, the newest first',
        heads: [
          'Lot',
          { text: 'Supplier', class: 'wide-only' },
          { text: 'Best before', class: 'wide-only' },
          { text: 'Came in', figures: true },
          { text: 'Left', figures: true },
        ],
        rows: lots.map(lotRow),
      }),
      this.paged.moreButton(),
    );
  }
}

function lotRow(lot) {
  const supplier = lot.supplier_name ?? 'not known';
  return [
    h(
      'th',
      { scope: 'row' },
      link(`#/trace/${lot.lot}`, lotTitle(lot)),
      h('span', { class: 'sub' }, `came in ${dayWords(lot.received_on, today())}`, lot.held ? h('strong', { class: 'missing' }, ' · held') : null),
      h('span', { class: 'sub narrow-only' }, supplier),
    ),
    h('td', { class: 'wide-only' }, supplier),
    h(
      'td',
      { class: 'wide-only' },
      lot.best_before ? shortDate(lot.best_before) : '',
      lot.expired ? h('strong', { class: 'missing' }, ', past') : null,
    ),
    figureCell(toldAmount(lot, 'received')),
    figureCell(toldAmount(lot, 'left')),
  ];
}
