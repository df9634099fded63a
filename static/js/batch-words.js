/* Batches in plain words. */
import { session } from './session.js';

/* "batch 2 of Table dough"; "Table dough" when there is one. */
export const batchWords = ({ name, batch, batches }) => (batches === 1 ? name : `batch ${batch} of ${name}`);

/* The wall clock in the bakery of an instant that this browser wrote. */
export function clockHere(instant) {
  const shown = { hour: '2-digit', minute: '2-digit', timeZone: session().time_zone };
  return new Intl.DateTimeFormat('en-GB', shown).format(new Date(instant));
}
