/* Holding a lot, so that nothing is taken of it, and releasing it. */
import * as api from './api.js';
import { ask, confirm } from './dialog.js';
import { lotName } from './lot-words.js';

const WHY = ['The supplier calls it back', 'Damaged', 'Insects', 'Does not bake as it should'];

/* stored: { body, etag } of the lot as it was read; refused when somebody has changed it since. why: goes
 * with its note. */
export async function putHeld({ body, etag }, held, why = null) {
  const members = {
    lot_mark: body.lot_mark,
    best_before: body.best_before,
    note: [body.note, why].filter(Boolean).join('; ') || null,
  };
  const given = Object.entries(members).filter(([, value]) => value !== null && value !== undefined);
  await api.put(`/lots/${body.lot}`, { ...Object.fromEntries(given), held }, { etag });
}

export const sureToRelease = (lot) =>
  confirm(`Release ${lotName(lot)}?`, { detail: 'From then on it is taken like any other.', yes: 'Release it' });

/* Resolves with the reason, or with null when it is not to be held. */
export const askWhyHeld = (lot) =>
  ask(`Hold ${lotName(lot)}?`, {
    detail: 'It stays in the store, and nothing is taken of it for mixing until it is released.',
    label: 'Why?',
    choices: WHY,
    yes: 'Hold it',
  });
