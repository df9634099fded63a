/* What differs between two prints, or between a print and now: kilos of each mix, pieces of each product. */
import { h } from './dom.js';
import { shortDay } from './dates.js';
import { figureCell, table } from './figures.js';
import { GRAM_PLACES, fromWire, kilos, whole } from './number.js';

/* The same as the API's `changes`, from two prints: both are records, so this can be said for ever. */
export function changesBetween(before, now) {
  return {
    since: before.number,
    mixes: mixChanges(before.mixes, now.mixes),
    products: pieceChanges(before.pieces, now.pieces),
  };
}

function pairs(before, now, keyOf) {
  const all = new Map();
  for (const item of before) all.set(keyOf(item), [item, null]);
  for (const item of now) all.set(keyOf(item), [all.get(keyOf(item))?.[0] ?? null, item]);
  return [...all.values()];
}

function mixChanges(before, now) {
  return pairs(before, now, (mix) => mix.formula)
    .map(([old, fresh]) => ({ name: (fresh ?? old).name, before_g: old?.dough_g ?? 0, now_g: fresh?.dough_g ?? 0 }))
    .filter((change) => change.before_g !== change.now_g);
}

function pieceChanges(before, now) {
  return pairs(before, now, (one) => `${one.date}/${one.product}`)
    .map(([old, fresh]) => ({
      date: (fresh ?? old).date,
      name: (fresh ?? old).name,
      before: old?.pieces ?? 0,
      now: fresh?.pieces ?? 0,
    }))
    .filter((change) => change.before !== change.now);
}

export const isChanged = (changes) => changes !== null && changes.mixes.length + changes.products.length > 0;

const kilosOf = (json) => kilos(fromWire(json, GRAM_PLACES));

export function changesTable(changes) {
  const heads = (what) => [what, ...['Was', 'Is', 'Change'].map((text) => ({ text, figures: true }))];
  const mixes = changes.mixes.map((mix) => {
    const by = fromWire(mix.now_g, GRAM_PLACES) - fromWire(mix.before_g, GRAM_PLACES);
    return [
      mix.name,
      figureCell(kilosOf(mix.before_g), 3),
      figureCell(kilosOf(mix.now_g), 3),
      figureCell(signed(kilos(by)), 3),
    ];
  });
  const products = changes.products.map((one) => [
    `${one.name}, ${shortDay(one.date)}`,
    figureCell(whole(one.before)),
    figureCell(whole(one.now)),
    figureCell(signed(whole(one.now - one.before))),
  ]);
  return h(
    'div',
    { class: 'changes' },
    mixes.length ? table({ heads: heads('Mix, in kg'), rows: mixes }) : null,
    products.length ? table({ heads: heads('Pieces'), rows: products }) : null,
  );
}

const signed = (text) => (text.startsWith('-') ? text.replace('-', '−') : `+${text}`);
