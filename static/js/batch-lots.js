/* The lots that a batch can be taken from, in the order in which they are taken. */
import * as api from './api.js';
import { GRAM_PLACES, fromWire } from './number.js';

/* What is left, as the server told it last; without a connection it may be old, and decides nothing. */
export class Lots {
  constructor() {
    this.all = [];
  }

  async load(options) {
    this.all = await api.list('/lots?left=true&limit=1000', options);
  }

  /* Of an ingredient, for a mixing date: what is held or came in later is left out; what is past its
   * best-before comes last, then what lasts shortest, then what came in first. */
  of(ingredient, date) {
    const late = (lot) => isExpired(lot, date);
    const lasts = (lot) => lot.best_before ?? '9999-12-31';
    return this.all
      .filter((lot) => lot.ingredient === ingredient && lot.unit === 'g' && !lot.held && lot.received_on <= date)
      .sort(
        (a, b) => Number(late(a)) - Number(late(b)) || lasts(a).localeCompare(lasts(b)) || a.lot - b.lot,
      );
  }
}

export const isExpired = (lot, date) => lot.best_before !== null && lot.best_before < date;

export const leftOf = (lot) => fromWire(lot.left_g, GRAM_PLACES);
