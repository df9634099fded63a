/* What can stand in a line: ingredients, starters and formulas in one list of choices. A choice is
 * "ingredient:salt", so that codes of different kinds never meet.
 */
export function thingChoices(groups) {
  return Object.entries(groups).map(([kind, { label, items }]) => ({
    group: label,
    choices: items.map((item) => [`${kind}:${item.code}`, item.name]),
  }));
}

/* { thing: "starter:rye", ...rest } -> { starter: "rye", ...rest } */
export function packThing({ thing, ...rest }) {
  if (!thing) return rest;
  const [kind, code] = thing.split(':');
  return { [kind]: code, ...rest };
}

/* The choice that a line of the API stands for. */
export function thingOf(line) {
  const kind = ['ingredient', 'starter', 'formula'].find((name) => line[name]);
  return kind ? `${kind}:${line[kind]}` : '';
}

/* Where faults of a line's thing are shown. */
export const THING_ALIAS = { ingredient: 'thing', starter: 'thing', formula: 'thing' };
