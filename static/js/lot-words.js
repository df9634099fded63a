/* Lots in plain words. */
import { shortDate } from './dates.js';
import { toldAmount } from './amounts.js';

/* By the mark on the sack, which a baker can read, and by our own number. */
export const lotName = (lot) => (lot.lot_mark ? `${lot.lot_mark} (lot ${lot.lot})` : `lot ${lot.lot}`);

/* "White flour, M-4471 (lot 12)" */
export const lotTitle = (lot) => `${lot.name}, ${lotName(lot)}`;

export const bestBeforeWords = (lot) => (lot.best_before ? `best before ${shortDate(lot.best_before)}` : 'no best-before');

/* Where no date stands beside it; else "past" will do. */
export const PAST = 'past its best-before';

/* For choosing one: "M-4471 (lot 12), best before 3 Mar 2027, 18.2 kg left" */
export function lotChoice(lot, { expired }) {
  const lasts = expired ? PAST : bestBeforeWords(lot);
  return `${lotName(lot)}, ${lasts}, ${toldAmount(lot, 'left')} left`;
}
