/* What differs between two states of a thing, in words: for revisions and for changes that collide. */
import { h } from './dom.js';
import { labelOf, valueText } from './wording.js';

const IDENTITIES = ['ingredient', 'starter', 'formula', 'product', 'stage', 'code'];
const WORKED_OUT = new Set([
  'code',
  'id',
  'placed_at',
  'placed_by',
  'overall',
  'final',
  'allergens_of',
  'piece_g',
  'baked_g',
  'from',
]);

/* A member of a list: what it is about, and the rest of it. */
function entry(item, nameOf) {
  if (typeof item !== 'object') return [String(item), 'named'];
  const identity = IDENTITIES.find((name) => item[name]);
  const rest = Object.entries(item)
    .filter(([name, value]) => name !== identity && value !== null && !(name === 'hands' && value === 0))
    .map(([name, value]) => `${valueText(name, value, nameOf)} ${labelOf(name)}`.trim());
  return [identity ? nameOf(item[identity]) : '', rest.join(', ')];
}

/* Every fact of a body as label -> text. */
function facts(body, nameOf) {
  const found = new Map();
  const add = (label, text) => found.set(found.has(label) ? `${label} (again)` : label, text);
  for (const [member, value] of Object.entries(body ?? {})) {
    if (WORKED_OUT.has(member)) continue;
    if (Array.isArray(value))
      value.forEach((item) => {
        const [about, rest] = entry(item, nameOf);
        add(about ? `${labelOf(member)}: ${about}` : labelOf(member), rest);
      });
    else if (value !== null && typeof value === 'object')
      for (const [label, text] of facts(value, nameOf)) add(`${labelOf(member)}: ${label}`, text);
    else add(labelOf(member), valueText(member, value, nameOf));
  }
  return found;
}

/* [{ label, before, after }]; a fact that one side lacks is "nothing". */
export function differences(before, after, nameOf = (code) => code) {
  const old = facts(before, nameOf);
  const now = facts(after, nameOf);
  const labels = new Set([...old.keys(), ...now.keys()]);
  return [...labels]
    .map((label) => ({ label, before: old.get(label) ?? 'nothing', after: now.get(label) ?? 'nothing' }))
    .filter((difference) => difference.before !== difference.after);
}

/* A table of them. */
export function differenceTable(found, beforeWords, afterWords) {
  return h(
    'table',
    { class: 'plain' },
    h(
      'thead',
      {},
      h(
        'tr',
        {},
        ['What', beforeWords, afterWords].map((head) => h('th', { scope: 'col' }, head)),
      ),
    ),
    h(
      'tbody',
      {},
      found.map(({ label, before, after }) =>
        h('tr', {}, h('th', { scope: 'row' }, label), h('td', {}, before), h('td', {}, after)),
      ),
    ),
  );
}
