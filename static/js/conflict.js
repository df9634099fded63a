/* Two people changed the same thing: shows what differs and lets the user decide. */
import { h, button } from './dom.js';
import * as api from './api.js';
import { differenceTable, differences } from './differences.js';
import { tell } from './messages.js';

/* path: of the resource; mine: the body that was refused; keep(etag): saves mine over theirs (null: it
 * was deleted); take(theirs): shows theirs instead; same(): what is stored is what was typed, as after
 * an answer that got lost. nameOf: code -> name. */
export async function explainConflict({ path, mine, keep, take, same, nameOf }) {
  const theirs = await api.getOrNull(path);
  if (theirs === null) {
    tell('bad', 'Not saved: somebody deleted this meanwhile.', [
      button('Save it anew', () => keep(null), { class: 'main' }),
    ]);
    return;
  }
  const found = differences(theirs.body, alike(mine, theirs.body), nameOf);
  if (found.length === 0) {
    same();
    return;
  }
  const words = h(
    'div',
    {},
    h('p', {}, h('strong', {}, 'Not saved: somebody else changed this while you were at it.')),
    differenceTable(found, 'Saved by the other', 'Typed by you'),
  );
  tell('bad', words, [
    button('Keep what I typed', () => keep(theirs.etag), { class: 'main' }),
    button('Take the other’s', () => take(theirs)),
  ]);
}

/* mine in the form of theirs: what was sent as text is a number there, what was left out is unset. */
export function alike(mine, theirs) {
  if (Array.isArray(theirs))
    return (mine ?? []).map((item, index) => (typeof item === 'object' ? alike(item, theirs[index] ?? {}) : item));
  const all = new Set([...Object.keys(theirs), ...Object.keys(mine)]);
  return Object.fromEntries([...all].map((name) => [name, alikeMember(mine[name], theirs[name])]));
}

function alikeMember(mine, theirs) {
  if (mine === undefined || mine === null) return emptyLike(theirs);
  if (Array.isArray(mine)) return alike(mine, Array.isArray(theirs) ? theirs : []);
  return mine;
}

/* What a member that was left out stands for, so that it compares equal. */
function emptyLike(value) {
  if (Array.isArray(value)) return [];
  if (value === 0 || value === false) return value;
  return null;
}
