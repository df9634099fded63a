/* The lots of an ingredient in the order in which they are taken: set apart and released, their mark and
 * best-before corrected, and the way to where each of them went. */
import { h, button, link } from './dom.js';
import * as api from './api.js';
import { relativeDay, shortDate } from './dates.js';
import { area, text } from './fields.js';
import { Form } from './form.js';
import { bestBeforeField } from './best-before.js';
import { askWhyHeld, putHeld, sureToRelease } from './lot-hold.js';
import { capital, tell, tellError } from './messages.js';
import { today } from './session.js';
import { amountOf, amountWords, unitOf } from './amounts.js';
import { bestBeforeWords, lotName } from './lot-words.js';

export class Lots {
  /* changed(words): called when a lot was changed; resolves when the page is up to date. */
  constructor({ changed }) {
    this.changed = changed;
    this.list = h('div', {});
    this.editing = h('div', {});
    this.form = null;
    this.element = h(
      'section',
      { class: 'below' },
      h('h2', {}, 'Lots, in the order in which they are taken'),
      this.list,
      this.editing,
    );
  }

  get dirty() {
    return this.form?.changed === true;
  }

  show(item) {
    this.item = item;
    if (item.lots.length === 0) {
      this.list.replaceChildren(h('p', { class: 'empty' }, 'Nothing of it is left.'));
      return;
    }
    this.list.replaceChildren(
      h(
        'ol',
        { class: 'lot-list' },
        item.lots.map((lot) => this.#lot(lot)),
      ),
    );
  }

  #lot(lot) {
    const unit = unitOf(this.item);
    const name = capital(lotName(lot));
    return h(
      'li',
      {},
      h(
        'div',
        {},
        h('p', {}, h('strong', {}, name), ' ', h('strong', { class: 'lot-left' }, amountWords(amountOf(lot, 'left'), unit))),
        h('p', { class: 'lot-best' }, bestBefore(lot), lot.held ? h('span', { class: 'stock-mark bad' }, '▸ held: nothing is taken of it') : null),
        h('p', { class: 'sub' }, [origin(lot), places(lot, unit)].filter(Boolean).join(' · ')),
      ),
      h(
        'p',
        { class: 'actions' },
        button(lot.held ? 'Release' : 'Hold', () => this.#hold(lot), {
          class: 'quiet',
          'aria-label': `${lot.held ? 'Release' : 'Hold'} ${lotName(lot)}`,
          'data-focus': `hold-${lot.lot}`,
        }),
        button('Correct', () => this.#correct(lot), {
          class: 'quiet',
          'aria-label': `Correct ${lotName(lot)}`,
          'data-focus': `correct-${lot.lot}`,
        }),
        link(`#/trace/${lot.lot}`, 'Trace', { class: 'button quiet', 'aria-label': `Trace ${lotName(lot)}` }),
      ),
    );
  }

  async #hold(lot) {
    const why = lot.held ? null : await askWhyHeld(lot);
    if (lot.held ? !(await sureToRelease(lot)) : why === null) return;
    try {
      await putHeld(await api.get(`/lots/${lot.lot}`), !lot.held, why);
      await this.changed();
      const name = capital(lotName(lot));
      tell('good', lot.held ? `${name} is released.` : `${name} is held. Nothing is taken of it until it is released.`);
    } catch (error) {
      tellError(error);
    }
  }

  async #correct(lot) {
    try {
      const { body, etag } = await api.get(`/lots/${lot.lot}`);
      this.#edit(lot, body, etag);
    } catch (error) {
      tellError(error, () => this.#correct(lot));
    }
  }

  #edit(lot, stored, etag) {
    const fields = [
      text({ name: 'lot_mark', label: 'Lot mark', hint: 'As it stands on the sack' }),
      bestBeforeField({ name: 'best_before', label: 'Best before' }),
      area({ name: 'note', label: 'Note' }),
    ];
    this.form = new Form(fields, {
      submit: 'Save the lot',
      onsubmit: async (body) => {
        await api.put(`/lots/${lot.lot}`, { ...body, held: stored.held }, { etag });
        this.#close(lot);
        await this.changed();
        tell('good', `${capital(lotName(lot))} was corrected.`);
      },
      extra: [button('Never mind', () => this.#close(lot), { class: 'quiet' })],
    });
    this.form.element.classList.add('entry-form');
    this.form.element.prepend(h('h3', {}, `Correct ${lotName(lot)}`));
    this.form.write(stored);
    this.editing.replaceChildren(this.form.element);
    fields[0].focus();
  }

  #close(lot) {
    this.form = null;
    this.editing.replaceChildren();
    this.list.querySelector(`[data-focus="correct-${lot.lot}"]`)?.focus();
  }
}

function bestBefore(lot) {
  const words = capital(bestBeforeWords(lot));
  if (lot.expired) return h('span', { class: 'stock-mark bad' }, `▸ ${words}, past`);
  if (lot.soon) return h('span', { class: 'stock-mark warn' }, `▸ ${words}, ${relativeDay(lot.best_before, today())}`);
  return words;
}

const origin = (lot) =>
  lot.supplier_name ? `from ${lot.supplier_name}, ${shortDate(lot.received_on)}` : `in the book since ${shortDate(lot.received_on)}`;

function places(lot, unit) {
  if (lot.places.length === 0) return null;
  if (lot.places.length === 1) return `in ${lot.places[0].place}`;
  return lot.places.map((one) => `${amountWords(amountOf(one), unit)} in ${one.place}`).join(', ');
}
