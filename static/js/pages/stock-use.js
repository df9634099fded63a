/* Use: what the formulas ask for against what really went, week by week, so that over-scaling and leaks
 * show. The biggest difference stands first. */
import { h, link, uniqueId } from '../dom.js';
import * as api from '../api.js';
import { addDays, joinWords, shortDay } from '../dates.js';
import { aligned, most, table } from '../figures.js';
import { sentence } from '../messages.js';
import { signedPct } from '../price-words.js';
import { today } from '../session.js';
import { stockTabs } from '../stock-parts.js';
import { amountOf, unitOf } from '../amounts.js';
import { figureOf, roundWords } from '../stock-words.js';
import { size } from '../number.js';

const SPANS = [
  [1, 'last whole week'],
  [4, 'last four weeks'],
  [8, 'last eight weeks'],
  [13, 'last thirteen weeks'],
];

export async function show(view) {
  const page = new UsePage(view);
  await page.load();
  return view.frame(
    'Use of the flour store',
    [h('span', { class: 'over' }, 'Flour store'), ' Use'],
    stockTabs('#/stock/+use'),
    h(
      'p',
      { class: 'lead' },
      'What the formulas ask for against what really went. A little over is dusting and scraps; more, week after week, is a scale, a hand or a leak.',
    ),
    h('p', { class: 'copy screen-only' }, page.label, page.span),
    page.found,
  );
}

/* The Monday of the present week. */
function monday() {
  const weekday = new Date(`${today()}T00:00:00Z`).getUTCDay();
  return addDays(today(), -((weekday + 6) % 7));
}

class UsePage {
  constructor(view) {
    this.view = view;
    const id = uniqueId('span');
    this.label = h('label', { for: id }, 'The');
    this.span = h(
      'select',
      { id },
      SPANS.map(([weeks, words]) => h('option', { value: weeks, selected: weeks === 4 }, words)),
    );
    this.span.addEventListener('change', () => this.load());
    this.found = h('div', { class: 'below' });
  }

  async load() {
    const weeks = Number(this.span.value);
    this.found.setAttribute('aria-busy', 'true');
    try {
      const from = addDays(monday(), -7 * weeks);
      this.#draw(await api.list(`/stock-use?from=${from}&weeks=${weeks}`, this.view));
    } catch (error) {
      if (this.view.signal.aborted) return;
      if (!(error instanceof api.Problem)) throw error;
      this.found.replaceChildren(h('p', { class: 'message bad' }, sentence(error.detail)));
    }
    this.found.removeAttribute('aria-busy');
  }

  #draw(items) {
    if (items.length === 0) {
      this.found.replaceChildren(h('p', { class: 'empty' }, 'In these weeks nothing was used of what is kept in the store.'));
      return;
    }
    const sorted = items.toSorted(byDifference);
    const off = sorted.filter((item) => amountOf(item, 'over') !== 0n);
    const rest = sorted.length - off.length;
    this.found.replaceChildren(
      off.length === 0 ? '' : useTable(off),
      h('p', { class: 'hint' }, restWords(rest, off.length), ' ', HOW),
    );
  }
}

const HOW =
  'Really gone is what was posted as mixed, fed or used, what was wasted, and what a count found missing; what a count found too much is taken off.';

const restWords = (rest, off) => {
  if (rest === 0) return '';
  if (off === 0) return 'Everything went as the formulas ask.';
  return rest === 1 ? 'In one other week an ingredient went as its formulas ask.' : `${rest} other lines went as the formulas ask.`;
};

/* Nothing of it was written down in that week: that is no difference, but a book that was not kept. */
const isSilent = (item) => ['posted', 'wasted', 'counted'].every((stem) => amountOf(item, stem) === 0n);

/* What was written down before what was not, weights before pieces, then the biggest difference, then the
 * newest week. */
function byDifference(a, b) {
  if (isSilent(a) !== isSilent(b)) return isSilent(a) ? 1 : -1;
  const [ua, ub] = [unitOf(a), unitOf(b)];
  if (ua !== ub) return ua === 'g' ? -1 : 1;
  const [da, db] = [size(amountOf(a, 'over')), size(amountOf(b, 'over'))];
  if (da !== db) return da > db ? -1 : 1;
  return b.from.localeCompare(a.from) || a.name.localeCompare(b.name);
}

function saysOf(item) {
  if (isSilent(item)) return `nothing of it was posted, and the formulas ask for ${roundWords(amountOf(item, 'theory'), unitOf(item))}`;
  const over = amountOf(item, 'over');
  const amount = roundWords(size(over), unitOf(item));
  const share = item.over_pct === null || item.over_pct === undefined ? '' : ` (${signedPct(item.over_pct, 1)})`;
  return `${amount} ${over > 0n ? 'more' : 'less'} went than the formulas ask for${share}`;
}

function partsOf(item) {
  const unit = unitOf(item);
  const words = (stem) => roundWords(amountOf(item, stem), unit);
  const counted = amountOf(item, 'counted');
  const parts = [`${words('posted')} posted`];
  if (amountOf(item, 'wasted') > 0n) parts.push(`${words('wasted')} wasted`);
  if (counted < 0n) parts.push(`${roundWords(size(counted), unit)} found missing`);
  if (counted > 0n) parts.push(`${words('counted')} found too much`);
  return joinWords(parts);
}

function useTable(items) {
  const stems = ['theory', 'actual', 'over'];
  const decimals = stems.map((stem) =>
    most(items.filter((item) => unitOf(item) === 'g').map((item) => figureOf(amountOf(item, stem), 'g').text)),
  );
  const cell = (item, index) => {
    const value = amountOf(item, stems[index]);
    const shown = figureOf(value, unitOf(item));
    const plus = index === 2 && value > 0n ? '+' : '';
    return h('td', { class: 'figures' }, aligned(plus + shown.text, unitOf(item) === 'g' ? decimals[index] : 0, shown.unit));
  };
  return table({
    className: 'use-table by-line',
    heads: ['What', ...['By the formulas', 'Really gone', 'Difference'].map((text) => ({ text, figures: true }))],
    rows: items.map((item) => [
      h(
        'th',
        { scope: 'row' },
        link(`#/stock/${item.ingredient}`, item.name),
        h('span', { class: 'use-says' }, sentence(saysOf(item))),
        h('span', { class: 'sub' }, isSilent(item) ? weekWords(item) : `${weekWords(item)}: ${partsOf(item)}`),
      ),
      cell(item, 0),
      cell(item, 1),
      cell(item, 2),
    ]),
  });
}

const weekWords = (item) => `${shortDay(item.from)} to ${shortDay(item.to)}`;
