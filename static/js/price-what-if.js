/* What if: sliders change a few facts of the day, and costs, prices and margins of all products follow beside
 * those of today. Nothing is stored. And the other way round: which price of an ingredient brings the product
 * to its margin.
 */
import { h, debounce, uniqueId } from './dom.js';
import * as api from './api.js';
import { speak, sentence } from './messages.js';
import { GRAM_PLACES, MONEY_PLACES, PERCENT_PLACES, fromWire, plain } from './number.js';
import { table } from './figures.js';
import { coinPlaces, coins, fine, packWords, pct, signedPct } from './price-words.js';
import { session } from './session.js';
import { Slider } from './sliders.js';

/* facts: { product, list, date, ingredients: [{ code, name, pack }], rates, formula, dough_g, margin_pct } */
export class WhatIf {
  constructor(view, facts) {
    this.view = view;
    this.facts = facts;
    this.sliders = h('div', { class: 'sliders' });
    this.answer = h('div', { class: 'what-if-answer' });
    this.others = h('div', {});
    this.limit = h('div', { class: 'limit' });
    this.ask = debounce(250, () => this.#ask());
    this.element = h(
      'section',
      { class: 'what-if screen-only', 'aria-labelledby': 'what-if-heading' },
      h('h2', { id: 'what-if-heading' }, 'What if'),
      h(
        'p',
        { class: 'hint' },
        'Move a slider or type a figure: today’s stands beside what it would be. Nothing is stored.',
      ),
      h(
        'div',
        { class: 'what-if-body' },
        h('div', { class: 'what-if-moves' }, this.#chooser(), this.sliders),
        this.answer,
      ),
      this.others,
      this.limit,
    );
    this.#make();
  }

  begin() {
    this.#ask({ quiet: true });
    this.#askLimit();
  }

  #chooser() {
    const id = uniqueId('moved');
    this.choice = h(
      'select',
      { id },
      this.facts.ingredients.map(({ code, name }) => h('option', { value: code }, name)),
    );
    this.choice.addEventListener('change', () => {
      this.#make();
      this.ask();
      this.#askLimit();
    });
    return h(
      'div',
      { class: 'field', hidden: this.facts.ingredients.length === 0 },
      h('label', { for: id }, 'Pack price of'),
      this.choice,
    );
  }

  get ingredient() {
    return this.facts.ingredients.find(({ code }) => code === this.choice.value) ?? null;
  }

  /* Keeps what was moved, but for the pack price of another ingredient. */
  #make() {
    const before = new Map((this.all ?? []).map((slider) => [slider.name, slider]));
    this.all = this.#definitions().map(
      (definition) =>
        (definition.name === 'pack' ? null : before.get(definition.name)) ??
        new Slider({ ...definition, onchange: () => this.#moved() }),
    );
    this.sliders.replaceChildren(...this.all.map((slider) => slider.element));
  }

  #definitions() {
    const { rates, dough_g: dough, formula, margin_pct: margin } = this.facts;
    const coin = session().currency ?? '';
    const paid = (name, label, text, unit) => ({
      name,
      label,
      unit,
      places: MONEY_PLACES,
      now: fromWire(text, MONEY_PLACES),
      decimals: coinPlaces(),
    });
    const pack = this.ingredient?.pack;
    const tenth = 10n ** BigInt(PERCENT_PLACES - 1);
    const whole = 10n ** BigInt(PERCENT_PLACES);
    return [
      pack ? paid('pack', 'Its price', pack.price, `${coin} for ${packWords(pack)}`) : null,
      rates.hand_hour ? paid('hand_hour', 'Wage', rates.hand_hour, `${coin} an hour`) : null,
      rates.kwh ? paid('kwh', 'Energy', rates.kwh, `${coin} a kWh`) : null,
      rates.overhead_month ? paid('overhead', 'Overhead', rates.overhead_month, `${coin} a month`) : null,
      dough
        ? {
            name: 'dough_g',
            label: 'Dough of a piece',
            unit: 'g',
            places: GRAM_PLACES,
            ...around(fromWire(dough, GRAM_PLACES), 5000n),
          }
        : null,
      formula
        ? {
            name: 'hydration_pct',
            label: `Hydration of ${formula.name}`,
            unit: '%',
            places: PERCENT_PLACES,
            ...between(fromWire(formula.hydration_pct, PERCENT_PLACES), 20n * whole, tenth * 5n),
            difference: true,
          }
        : null,
      margin === null
        ? null
        : {
            name: 'margin_pct',
            label: 'Margin wanted',
            unit: '%',
            places: PERCENT_PLACES,
            now: fromWire(margin, PERCENT_PLACES),
            most: 95n * whole,
            step: tenth * 5n,
            difference: true,
          },
    ].filter(Boolean);
  }

  #moved() {
    this.answer.classList.add('stale');
    this.ask();
  }

  #slider(name) {
    return this.all.find((slider) => slider.name === name);
  }

  #changes() {
    const make = {
      pack: (price) => ({ ingredient: this.ingredient.code, price }),
      hand_hour: (value) => ({ hand_hour: { value } }),
      kwh: (value) => ({ kwh: { value } }),
      overhead: (value) => ({ overhead: { value } }),
      dough_g: (dough_g) => ({ product: this.facts.product.code, dough_g }),
      hydration_pct: (hydration_pct) => ({ formula: this.facts.formula.code, hydration_pct }),
      margin_pct: (margin_pct) => ({ product: this.facts.product.code, target: { margin_pct } }),
    };
    return this.all.filter((slider) => slider.changed).map((slider) => make[slider.name](slider.text));
  }

  #about() {
    const { list, date } = this.facts;
    return { ...(list ? { list } : {}), ...(date ? { date } : {}) };
  }

  /* The answer to an older question is not shown. */
  async #ask({ quiet = false } = {}) {
    this.asking?.abort();
    const own = new AbortController();
    this.asking = own;
    this.view.signal.addEventListener('abort', () => own.abort(), { once: true });
    const changes = this.#changes();
    try {
      const { body } = await api.post('/what-if', { ...this.#about(), changes }, { signal: own.signal });
      if (own.signal.aborted) return;
      this.#show(body, changes.length > 0);
      if (!quiet) speak(this.#spoken(body));
      if (!quiet && this.#slider('margin_pct')?.changed) this.#askLimit();
    } catch (error) {
      if (own.signal.aborted) return;
      this.#failed(error);
    }
    this.answer.classList.remove('stale');
  }

  #failed(error) {
    if (!(error instanceof api.Problem)) throw error;
    const texts = error.errors.length && !error.uncertain ? error.errors.map(({ detail }) => detail) : [error.detail];
    this.answer.replaceChildren(...texts.map((text) => h('p', { class: 'message bad' }, sentence(text))));
  }

  #own(body) {
    return body.products.find((one) => one.product === this.facts.product.code);
  }

  #spoken(body) {
    const { today: now, then } = this.#own(body) ?? {};
    if (!then || then.cost_each === null) return 'The cost is not known.';
    const price =
      then.price === null
        ? ''
        : `, price ${coins(then.price)}, margin ${then.margin_pct === null ? 'not known' : pct(then.margin_pct, 1)}`;
    return `Then: cost ${fine(then.cost_each)}${price}. Today: cost ${now.cost_each === null ? 'not known' : fine(now.cost_each)}.`;
  }

  #show(body, moved) {
    const own = this.#own(body);
    this.answer.replaceChildren(own ? thisProduct(own, moved) : h('p', {}, 'This product is not among the day’s.'));
    this.others.replaceChildren(others(body, this.facts.product.code) ?? '');
  }

  async #askLimit() {
    this.asked?.abort();
    if (!this.ingredient?.pack) {
      this.limit.replaceChildren();
      return;
    }
    const own = new AbortController();
    this.asked = own;
    this.view.signal.addEventListener('abort', () => own.abort(), { once: true });
    const margin = this.#slider('margin_pct');
    const question = { ...this.#about(), product: this.facts.product.code, ingredient: this.ingredient.code };
    try {
      const { body } = await api.post('/what-if/limit', margin ? { ...question, margin_pct: margin.text } : question, {
        signal: own.signal,
      });
      if (!own.signal.aborted)
        this.limit.replaceChildren(
          h('h3', {}, 'The other way round'),
          limitWords(body, this.facts.product, this.ingredient),
        );
    } catch (error) {
      if (own.signal.aborted) return;
      if (!(error instanceof api.Problem)) throw error;
      const text = error.errors.find(({ detail }) => detail)?.detail ?? error.detail;
      this.limit.replaceChildren(h('h3', {}, 'The other way round'), h('p', { class: 'hint' }, sentence(text)));
    }
  }
}

const around = (now, step) => ({ now, least: now / 2n, most: now + now / 2n, step });
const between = (now, span, step) => ({ now, least: now > span ? now - span : 0n, most: now + span, step });

const moneyOr = (text, words, show) => (text === null ? h('span', { class: 'missing' }, words) : show(text));

function thisProduct({ name, today: now, then, difference }, moved) {
  const line = (what, member, words, show) => [
    what,
    ...[now, then].map((side) => h('td', { class: 'figures' }, moneyOr(side[member], words, show))),
  ];
  return h(
    'div',
    { class: 'then' },
    table({
      caption: name,
      className: 'what-if-table',
      heads: [
        h('span', { class: 'unseen' }, 'Figure'),
        { text: 'Today', figures: true },
        { text: 'Then', figures: true },
      ],
      rows: [
        line('Cost', 'cost_each', 'not known', fine),
        line('Price', 'price', 'none', coins),
        line('Margin', 'margin_pct', 'not known', (value) => pct(value, 2)),
      ],
    }),
    h('p', { class: 'difference' }, differenceWords(difference, moved)),
  );
}

function differenceWords(difference, moved) {
  if (!moved) return 'Nothing is moved: then is as today.';
  if (difference === null) return 'By how much the cost changes is not known.';
  const value = fromWire(difference, MONEY_PLACES);
  if (value === 0n) return 'A piece costs the same.';
  return `A piece costs ${fine(plain(value < 0n ? -value : value, MONEY_PLACES))} ${value < 0n ? 'less' : 'more'}.`;
}

/* Other products that the same changes touch. */
function others(body, code) {
  const touched = body.products.filter(
    (one) => one.product !== code && (one.difference === null ? false : fromWire(one.difference, MONEY_PLACES) !== 0n),
  );
  if (touched.length === 0) return null;
  const cell = (side, member, shown) => h('td', { class: 'figures' }, moneyOr(side[member], 'not known', shown));
  const margin = (value) => pct(value, 1);
  const heads = ['Cost today', 'then', 'Margin today', 'then'].map((text) => ({ text, figures: true }));
  return h(
    'details',
    { class: 'panel others' },
    h(
      'summary',
      {},
      touched.length === 1 ? 'One other product changes with it' : `${touched.length} other products change with it`,
    ),
    table({
      className: 'touched',
      heads: ['Product', ...heads],
      rows: touched.map((one) => [
        one.name,
        cell(one.today, 'cost_each', fine),
        cell(one.then, 'cost_each', fine),
        cell(one.today, 'margin_pct', margin),
        cell(one.then, 'margin_pct', margin),
      ]),
    }),
  );
}

function limitWords(found, product, ingredient) {
  const margin = pct(found.margin_pct);
  const of =
    ingredient.pack.unit === 'g'
      ? packWords({ per: found.pack_g, unit: 'g' })
      : packWords({ per: found.pack_pieces, unit: 'piece' });
  if (found.price === null)
    return h(
      'p',
      {},
      `No price of ${found.name} brings ${product.name} to a margin of ${margin}: the rest already costs more, or it holds none.`,
    );
  const change = found.pct === null ? '' : ` (${signedPct(found.pct, 1)})`;
  const price = coins(plain(roundedDown(found.price), MONEY_PLACES));
  const words = h(
    'p',
    {},
    `At `,
    h('strong', {}, `${price} for ${of}`),
    ` of ${found.name}${change}, ${product.name} just earns its margin of ${margin}. `,
    limitMeaning(found),
  );
  return words;
}

const limitMeaning = ({ now, price }) => {
  if (now === null) return '';
  const under = fromWire(now, MONEY_PLACES) > fromWire(price, MONEY_PLACES);
  return `Now it is ${coins(now)}: ${under ? 'the margin is under it already' : 'above that price the margin is under it'}.`;
};

/* To the coin, downwards: at that price the margin is still met. */
function roundedDown(text) {
  const coin = 10n ** BigInt(MONEY_PLACES - coinPlaces());
  const value = fromWire(text, MONEY_PLACES);
  return value - (value % coin);
}
