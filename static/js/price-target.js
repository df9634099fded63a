/* The target of a product and its tax: margin, markup or share of ingredients, of which one is the target and
 * the two others follow as it is typed; and the price that meets it in a list, after rounding.
 */
import { h, button, debounce } from './dom.js';
import * as api from './api.js';
import { percent } from './fields.js';
import { Form } from './form.js';
import { carry, sentence, tell } from './messages.js';
import {
  MONEY_PLACES,
  NumberFault,
  PERCENT_PLACES,
  divideHalfEven,
  fromWire,
  plain,
  readDecimal,
  rescale,
} from './number.js';
import { TARGETS, coins, pct, targetWords } from './price-words.js';
import { go } from './router.js';

const WHOLE = 100n * 10n ** BigInt(PERCENT_PLACES);

/* The margin that a target asks for, or null when it has none. cost and ingredients in millionths. */
function marginOf(member, value, { cost, ingredients }) {
  if (member === 'margin_pct') return value;
  if (member === 'markup_pct') return divideHalfEven(value * WHOLE, WHOLE + value);
  return ingredients > 0n ? WHOLE - divideHalfEven(cost * value, ingredients) : null;
}

/* And the other way: what a margin is as the given target. */
function ofMargin(member, margin, { cost, ingredients }) {
  if (member === 'margin_pct') return margin;
  if (member === 'markup_pct') return margin < WHOLE ? divideHalfEven(margin * WHOLE, WHOLE - margin) : null;
  return cost > 0n ? divideHalfEven(ingredients * (WHOLE - margin), cost) : null;
}

export class TargetForm {
  /* pricing: the stored answer with its ETag; price: the answer of …/price; list: or null; onuse(price) */
  constructor(view, { product, pricing, price, list, onuse }) {
    Object.assign(this, { view, product, pricing, list, onuse });
    this.known =
      price.cost_each === null
        ? null
        : {
            cost: fromWire(price.cost_each, MONEY_PLACES),
            ingredients: fromWire(price.ingredients_each, MONEY_PLACES),
          };
    this.price = price;
    this.fields = TARGETS.map(([name, label]) => percent({ name, label, hint: ' ' }));
    this.tax = percent({ name: 'tax_pct', label: 'Tax on it', hint: 'Empty: none' });
    this.form = new Form([...this.fields, this.tax], { submit: 'Save target and tax', onsubmit: () => this.#save() });
    this.form.element.classList.add('target-form');
    this.found = h('div', { class: 'proposed', role: 'status' });
    this.element = h(
      'div',
      { class: 'target' },
      h('h3', {}, 'Target'),
      h('p', { class: 'hint' }, 'Type one of the three: it is the target, the others follow from it.'),
      this.form.element,
      this.found,
    );
    this.ask = debounce(250, () => this.#ask());
    this.fields.forEach((field) => field.input.addEventListener('input', () => this.#typed(field)));
    this.tax.input.addEventListener('input', () => this.ask());
    view.guard(() => this.form.changed);
    this.#write(pricing.body);
  }

  #write({ tax_pct: tax, target }) {
    this.form.write({ tax_pct: tax || null });
    const [member] = target ? Object.keys(target) : [null];
    this.target = this.fields.find((field) => field.name === member) ?? null;
    this.target?.write(target[member]);
    this.#follow();
    this.#ask();
  }

  #typed(field) {
    this.target = field.input.value.trim() === '' ? null : field;
    this.#follow();
    this.ask();
  }

  /* What is typed as a count of 1/10,000 percent, or null. */
  #read() {
    try {
      return this.target ? readDecimal(this.target.input.value, PERCENT_PLACES) : null;
    } catch (error) {
      if (!(error instanceof NumberFault)) throw error;
      return null;
    }
  }

  #follow() {
    const value = this.#read();
    const margin = value === null || !this.known ? null : marginOf(this.target.name, value, this.known);
    for (const field of this.fields) {
      const hint = field.element.querySelector('.hint');
      if (field !== this.target) {
        const shown = margin === null ? null : ofMargin(field.name, margin, this.known);
        field.input.value = shown === null ? '' : plain(rescale(shown, PERCENT_PLACES, 2), 2);
        field.fault('');
      }
      field.element.classList.toggle('is-target', field === this.target);
      hint.textContent =
        this.target === null
          ? 'not set'
          : field === this.target
            ? 'the target'
            : this.known
              ? 'follows'
              : 'when the cost is known';
    }
  }

  #body() {
    const { value, errors } = this.form.collect();
    const wrong = errors.filter(({ pointer }) => pointer === '/tax_pct' || pointer === `/${this.target?.name}`);
    const target =
      this.target && value[this.target.name] !== undefined ? { [this.target.name]: value[this.target.name] } : null;
    return { body: { tax_pct: value.tax_pct ?? '0', target }, wrong };
  }

  async #ask() {
    this.asking?.abort();
    const { body, wrong } = this.#body();
    if (wrong.length > 0 || body.target === null || !this.known) {
      this.found.replaceChildren(this.#noProposal(body.target));
      return;
    }
    const own = new AbortController();
    this.asking = own;
    this.view.signal.addEventListener('abort', () => own.abort(), { once: true });
    try {
      const question = {
        cost_each: this.price.cost_each,
        ingredients_each: this.price.ingredients_each,
        ...body,
        ...(this.list ? { list: this.list.code } : {}),
      };
      const answer = await api.post('/prices/preview', question, { signal: own.signal });
      if (!own.signal.aborted) this.found.replaceChildren(this.#proposal(answer.body));
    } catch (error) {
      if (own.signal.aborted) return;
      if (!(error instanceof api.Problem)) throw error;
      this.found.replaceChildren(h('p', { class: 'fault' }, sentence(error.errors[0]?.detail ?? error.detail)));
    }
  }

  #noProposal(target) {
    if (!this.known) return h('p', { class: 'hint' }, 'No price is proposed while the cost is not known.');
    return h('p', { class: 'hint' }, target ? 'Look at what is marked.' : 'Without a target no price is proposed.');
  }

  #proposal(found) {
    const taxed = fromWire(found.tax_pct, PERCENT_PLACES) > 0n;
    const net = taxed && this.list?.with_tax !== false ? `, ${coins(found.net_price)} before tax` : '';
    return h(
      'div',
      {},
      h(
        'p',
        {},
        'Asks for ',
        h('strong', { class: 'big' }, coins(found.price)),
        net,
        this.list ? `, rounded as “${this.list.name}”` : '',
      ),
      h(
        'p',
        { class: 'hint' },
        `After rounding: margin ${pct(found.margin_pct)}, markup ${pct(found.markup_pct)}, ingredients ${pct(found.ingredient_share_pct)} of it.`,
      ),
      this.list
        ? h(
            'p',
            { class: 'actions' },
            button('Take this price', () => this.onuse(found.price)),
          )
        : null,
    );
  }

  async #save() {
    const { body, wrong } = this.#body();
    if (wrong.length > 0) {
      this.form.show(wrong);
      tell('bad', 'Not saved: look at what is marked.');
      return;
    }
    try {
      await api.put(`/products/${this.product.code}/pricing`, body, api.unlessChanged(this.pricing));
    } catch (error) {
      if (error.conflict) {
        tell('bad', 'Not saved: somebody else changed the target meanwhile. Look at it as it is now.', [
          button('Show it', () => go(location.hash), { class: 'main' }),
        ]);
        return;
      }
      throw placed(error);
    }
    this.form.changed = false;
    carry(`Saved: target ${targetWords(body.target)}.`);
    go(location.hash);
  }
}

/* Faults of the target's members belong to the fields of the form. */
function placed(error) {
  if (error instanceof api.Problem)
    error.errors = error.errors.map((one) => ({ ...one, pointer: one.pointer.replace('/target/', '/') }));
  return error;
}
