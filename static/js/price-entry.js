/* Prices of a product in a list: the one in force with what it earns, those before and to come, and a new one
 * from a date on, with its breaks, whose earnings are seen before it is saved.
 */
import { h, button, debounce, unseen } from './dom.js';
import * as api from './api.js';
import { dayWords } from './dates.js';
import { confirm } from './dialog.js';
import { count, date, price as priceField } from './fields.js';
import { table } from './figures.js';
import { Form } from './form.js';
import { carry, sentence, tellError } from './messages.js';
import { whole } from './number.js';
import { rows } from './rows.js';
import { coins, pct } from './price-words.js';
import { go } from './router.js';
import { session, today } from './session.js';

const unknown = (text, shown) =>
  h(
    'td',
    { class: text === null || text === undefined ? 'figures missing' : 'figures' },
    text === null || text === undefined ? 'not known' : shown(text),
  );

/* What each break earns. */
export function breakTable(breaks, caption) {
  return table({
    caption,
    className: 'break-table',
    heads: [
      { text: 'Pieces' },
      { text: 'Price', figures: true },
      { text: 'Margin', figures: true },
      { text: 'Markup', class: 'figures wide-only' },
      { text: 'Ingredients', class: 'figures wide-only' },
    ],
    rows: breaks.map((one, index) => {
      const [markup, share] = [
        unknown(one.markup_pct, (value) => pct(value, 1)),
        unknown(one.ingredient_share_pct, (value) => pct(value, 1)),
      ];
      [markup, share].forEach((cell) => cell.classList.add('wide-only'));
      const from =
        breaks.length === 1 ? 'any' : index === 0 ? `1 to ${whole(breaks[1].pieces - 1)}` : `from ${whole(one.pieces)}`;
      return [
        from,
        h('td', { class: 'figures' }, coins(one.price)),
        unknown(one.margin_pct, (value) => pct(value, 1)),
        markup,
        share,
      ];
    }),
  });
}

/* "needs 12 % more pieces to earn the same" */
function volumeWords(change) {
  if (!change) return '';
  if (change.volume_pct === null) return 'At that price no number of pieces earns what today’s price does.';
  const size = pct(String(change.volume_pct).replace('-', ''), 1);
  return change.volume_pct > 0
    ? `To earn the same, ${size} more pieces must be sold.`
    : `It earns the same with ${size} fewer pieces sold.`;
}

const breakWords = (breaks) =>
  breaks.map((one, index) => `${index === 0 ? '' : `from ${whole(one.pieces)} pieces `}${coins(one.price)}`).join(', ');

export class PriceEntry {
  /* prices: all of this product in the list; price: the answer of …/price */
  constructor(view, { product, list, prices, price, query }) {
    Object.assign(this, { view, product, list, prices, price, query });
    this.found = h('div', { class: 'earns', role: 'status' });
    this.form = new Form([date({ name: 'from', label: 'From', required: true }), this.#breakRows()], {
      submit: 'Save the price',
      onsubmit: (body) => this.#save(body),
    });
    this.form.write({
      from: today(),
      breaks: this.price.breaks.map(({ pieces, price: amount }) => ({ pieces, price: amount })),
    });
    if (this.price.breaks.length === 0) this.#row(0).write({ pieces: 1 });
    this.form.changed = false;
    this.ask = debounce(300, () => this.#ask());
    this.form.element.addEventListener('input', () => this.ask());
    this.element = h(
      'div',
      { class: 'panel open price-entry' },
      h('h3', {}, `New price in “${list.name}”`),
      this.form.element,
      this.found,
    );
  }

  get changed() {
    return this.form.changed;
  }

  #breakRows() {
    this.breaks = rows({
      name: 'breaks',
      label: 'Price of a piece',
      one: 'line',
      add: 'Add a break',
      required: true,
      blanks: 1,
      class: 'breaks',
      hint: `${this.list.with_tax ? 'With tax.' : 'Without tax.'} The first line is from one piece; further lines are for who takes more.`,
      columns: [
        {
          label: 'From pieces',
          class: 'share',
          make: () => [count({ name: 'pieces', label: 'From pieces', quiet: true, required: true, unit: 'pc' })],
        },
        {
          label: 'Price',
          class: 'share',
          make: () => [
            priceField({ name: 'price', label: 'Price', quiet: true, required: true, unit: session().currency }),
          ],
        },
      ],
      blank: ({ price: amount }) => !amount,
      onchange: () => this.ask?.(),
    });
    return this.breaks;
  }

  #row(index) {
    return this.breaks.list.rows[index] ?? this.breaks.list.add(null);
  }

  /* A price from elsewhere, as that of one piece. */
  take(amount) {
    this.#row(0).field('pieces').write(1);
    this.#row(0).field('price').write(amount);
    this.form.changed = true;
    this.#ask();
    this.#row(0).field('price').focus();
  }

  /* What is typed, asked for line by line. */
  async #ask() {
    this.asking?.abort();
    const { value } = this.form.collect();
    const typed = (value.breaks ?? []).filter((one) => one.price !== undefined && one.pieces !== undefined);
    if (typed.length === 0) {
      this.found.replaceChildren();
      return;
    }
    const own = new AbortController();
    this.asking = own;
    this.view.signal.addEventListener('abort', () => own.abort(), { once: true });
    try {
      const answers = await Promise.all(
        typed.map((one) =>
          api.get(`/products/${this.product.code}/price?${this.query}&pieces=${one.pieces}&price=${one.price}`, {
            signal: own.signal,
          }),
        ),
      );
      if (own.signal.aborted) return;
      const earned = answers.map(({ body }, index) => ({ ...body, pieces: typed[index].pieces }));
      const volume = volumeWords(earned[0].change);
      this.found.replaceChildren(breakTable(earned, 'What it would earn'), volume ? h('p', {}, volume) : '');
    } catch (error) {
      if (own.signal.aborted) return;
      if (!(error instanceof api.Problem)) throw error;
      this.found.replaceChildren(h('p', { class: 'fault' }, sentence(error.errors[0]?.detail ?? error.detail)));
    }
  }

  async #save({ from, breaks }) {
    await api.put(`/price-lists/${this.list.code}/prices/${this.product.code}/${from}`, { breaks });
    this.form.changed = false;
    carry(`Saved: ${this.product.name} at ${breakWords(breaks)} from ${dayWords(from, today())}.`);
    go(location.hash);
  }

  /* Every price that was entered, the latest first. */
  known() {
    if (this.prices.length === 0) return h('p', { class: 'empty' }, `No price in “${this.list.name}” yet.`);
    const current = this.prices.filter((one) => one.from <= today()).at(-1);
    return table({
      heads: ['From', 'Price', { text: unseen('Delete'), class: 'tools' }],
      rows: this.prices.toReversed().map((one) => [
        h(
          'th',
          { scope: 'row' },
          dayWords(one.from, today()),
          one === current
            ? h('span', { class: 'sub' }, 'in force')
            : one.from > today()
              ? h('span', { class: 'sub' }, 'to come')
              : null,
        ),
        breakWords(one.breaks),
        h(
          'td',
          { class: 'tools' },
          button('×', () => this.#drop(one), {
            class: 'tool',
            'aria-label': `Delete the price from ${dayWords(one.from, today())}`,
          }),
        ),
      ]),
    });
  }

  async #drop(one) {
    const sure = await confirm(`Delete the price from ${dayWords(one.from, today())}?`, {
      yes: 'Delete',
      danger: true,
    });
    if (!sure) return;
    try {
      await api.remove(`/price-lists/${this.list.code}/prices/${this.product.code}/${one.from}`);
      carry('The price was deleted.');
      go(location.hash);
    } catch (error) {
      tellError(error, () => this.#drop(one));
    }
  }
}
