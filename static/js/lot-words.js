/* Lots in plain words. */
import { dayWords, shortDay } from './dates.js';
import { amountWords, toldAmount } from './amounts.js';
import { GRAM_PLACES, fromWire } from './number.js';
import { today } from './session.js';

/* By the mark on the sack, which a baker can read, and by our own number. */
export const lotName = (lot) => (lot.lot_mark ? `${lot.lot_mark} (lot ${lot.lot})` : `lot ${lot.lot}`);

/* "White flour, M-4471 (lot 12)" */
export const lotTitle = (lot) => `${lot.name}, ${lotName(lot)}`;

export const bestBeforeWords = (lot) =>
  lot.best_before ? `best before ${shortDay(lot.best_before)} ${lot.best_before.slice(0, 4)}` : 'no best-before';

export const dateWords = (date) => (date ? dayWords(date, today()) : 'not known');

export const weightWords = (json) => amountWords(fromWire(json, GRAM_PLACES), 'g');

/* For choosing one: "M-4471 (lot 12), best before Wed 3 Mar 2027, 18.2 kg left" */
export function lotChoice(lot, { expired }) {
  const lasts = expired ? 'PAST its best-before' : bestBeforeWords(lot);
  return `${lotName(lot)}, ${lasts}, ${toldAmount(lot, 'left')} left`;
}
