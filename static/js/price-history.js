/* What a product cost over time: a chart of steps that prints, and the same as a table. */
import { h, uniqueId } from './dom.js';
import * as api from './api.js';
import { stepChart } from './chart.js';
import { addDays, dayWords, joinWords } from './dates.js';
import { table } from './figures.js';
import { sentence } from './messages.js';
import { coins, fine, pct } from './price-words.js';
import { session, today } from './session.js';

const SPANS = [
  [91, 'three months'],
  [365, 'a year'],
  [730, 'two years'],
  [1826, 'five years'],
];

export class History {
  constructor(view, { product, list }) {
    Object.assign(this, { view, product, list });
    const id = uniqueId('span');
    this.span = h(
      'select',
      { id },
      SPANS.map(([days, words]) => h('option', { value: days, selected: days === 730 }, words)),
    );
    this.found = h('div', { class: 'history-body' }, h('p', { class: 'hint', role: 'status' }, 'Reckoning…'));
    this.element = h(
      'section',
      { class: 'history', 'aria-labelledby': 'history-heading' },
      h('h2', { id: 'history-heading' }, 'What it cost over time'),
      h('p', { class: 'copy screen-only' }, h('label', { for: id }, 'The last'), this.span),
      this.found,
    );
    this.span.addEventListener('change', () => this.load());
    const wide = window.matchMedia('(width >= 45rem)');
    wide.addEventListener('change', () => this.#draw(), { signal: view.signal });
    this.wide = wide;
  }

  async load() {
    const from = addDays(today(), -Number(this.span.value));
    const list = this.list ? `&list=${this.list.code}` : '';
    this.found.setAttribute('aria-busy', 'true');
    try {
      const { body } = await api.get(
        `/products/${this.product.code}/cost-history?from=${from}&to=${today()}${list}`,
        this.view,
      );
      this.points = body.points;
      this.#draw();
    } catch (error) {
      if (this.view.signal.aborted) return;
      if (!(error instanceof api.Problem)) throw error;
      this.found.replaceChildren(h('p', { class: 'message bad' }, sentence(error.detail)));
    }
    this.found.removeAttribute('aria-busy');
  }

  #draw() {
    if (!this.points) return;
    const chart = this.points.some((point) => point.cost_each !== null)
      ? stepChart({
          points: this.points.map(({ date, cost_each: cost }) => ({
            date,
            value: cost === null ? null : Number(cost),
          })),
          to: today(),
          name: `Cost of one piece, ${session().currency ?? ''}`,
          width: this.wide.matches ? 760 : 380,
          title: `Cost of one ${this.product.name}`,
          desc: summary(this.points),
        })
      : h('p', { class: 'empty' }, 'In all this time the cost is not known.');
    this.found.replaceChildren(
      h('figure', { class: 'chart-figure' }, chart, h('figcaption', { class: 'hint' }, summary(this.points))),
      historyTable(this.points),
    );
  }
}

/* The whole in one sentence. */
function summary(points) {
  const known = points.filter((point) => point.cost_each !== null);
  if (known.length === 0) return 'The cost is not known.';
  const [first, last] = [known[0], known.at(-1)];
  const holes = points.length > known.length ? ' There are times at which it is not known.' : '';
  if (known.length === 1) return `${fine(first.cost_each)} since ${dayWords(first.date, today())}.${holes}`;
  const [since, until] = [dayWords(first.date, today()), dayWords(last.date, today())];
  const moved = `From ${fine(first.cost_each)} on ${since} to ${fine(last.cost_each)} since ${until}.`;
  return `${moved} A cost holds until the next change.${holes}`;
}

const cell = (text, show, words = 'not known') =>
  h('td', { class: text === null ? 'figures missing' : 'figures' }, text === null ? words : show(text));

function because(reasons) {
  const words = reasons.map((reason) => {
    if (reason.ingredient) return `price of ${reason.name}`;
    return reason.rates ? 'rates' : 'its own price';
  });
  return joinWords(words);
}

function historyTable(points) {
  return h(
    'div',
    { class: 'history-table' },
    table({
      className: 'history-list by-line',
      heads: [
        'From',
        { text: 'Cost', figures: true },
        { text: 'Ingredients', class: 'figures wide-only' },
        { text: 'Price', figures: true },
        { text: 'Margin', figures: true },
      ],
      rows: points.toReversed().map((point) => {
        const ingredients = cell(point.ingredients_each, fine);
        ingredients.classList.add('wide-only');
        return [
          h(
            'th',
            { scope: 'row' },
            dayWords(point.date, today()),
            point.because.length ? h('span', { class: 'sub' }, because(point.because)) : null,
          ),
          cell(point.cost_each, fine),
          ingredients,
          point.price === null ? h('td', { class: 'figures' }, 'none') : cell(point.price, coins),
          point.price === null ? h('td', { class: 'figures' }, '—') : cell(point.margin_pct, (value) => pct(value, 1)),
        ];
      }),
    }),
  );
}
