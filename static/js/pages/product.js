/* A product; its raw and baked weight as they are typed. */
import { h } from '../dom.js';
import * as api from '../api.js';
import { bakeField } from '../bake-field.js';
import { Editor, NEW, codeField } from '../editor.js';
import { area, choice, clock, count, decimal, grams, percent, text } from '../fields.js';
import { GRAM_PLACES, PERCENT_PLACES, divideHalfEven, fromWire, grams as shown } from '../number.js';
import { revisionsPanel } from '../revisions.js';
import { rows } from '../rows.js';
import { THING_ALIAS, packThing, thingChoices, thingOf } from '../things.js';

const WHOLE = 100n * 10n ** BigInt(PERCENT_PLACES);

export async function show(view, code) {
  const isNew = code === NEW;
  const [ingredients, formulas, stored] = await Promise.all([
    api.list('/ingredients', view),
    api.list('/formulas', view),
    isNew ? null : api.get(`/products/${code}`, view),
  ]);
  const names = new Map([...ingredients, ...formulas].map((thing) => [thing.code, thing.name]));
  const nameOf = (one) => names.get(one) ?? one;
  const fields = fieldsFor(ingredients, formulas, stored);
  const editor = new Editor(view, {
    kind: 'products',
    one: 'product',
    stored,
    nameOf,
    fields,
    after: isNew ? undefined : `#/products/${code}`,
    initial: { parts: [], packaging: [], bake: null },
  });
  const weights = h('dl', { class: 'key-figures' });
  const work = () => weights.replaceChildren(...weightFigures(editor.form.collect().value));
  editor.element.addEventListener('input', work);
  editor.element.addEventListener('change', work);
  work();
  const title = isNew ? 'New product' : stored.body.name;
  return view.frame(
    title,
    isNew ? title : [h('span', { class: 'over' }, 'Product'), ' ', title],
    h(
      'div',
      { class: 'two-columns editor' },
      editor.element,
      h('section', { class: 'preview', 'aria-label': 'One piece' }, h('h2', {}, 'One piece'), weights),
    ),
    isNew ? null : revisionsPanel(`/products/${code}`, nameOf),
  );
}

function fieldsFor(ingredients, formulas, stored) {
  const name = text({ name: 'name', label: 'Name', required: true, first: !stored });
  return [
    name,
    ...(stored ? [] : [codeField(name)]),
    partRows(ingredients, formulas),
    percent({ name: 'bake_loss_pct', label: 'Bake loss', hint: 'What the piece loses in the oven and while it cools' }),
    grams({ name: 'declared_g', label: 'Declared weight' }),
    percent({ name: 'spare_pct', label: 'Spare', hint: 'Pieces baked beyond what is ordered' }),
    clock({ name: 'ready_at', label: 'Ready at', hint: 'Empty: as the bakery' }),
    bakeField(),
    packagingRows(ingredients),
    decimal(4, { name: 'labour_minutes', label: 'Labour of a piece', unit: 'min', hint: 'Beyond the stages of its doughs: wrapping, slicing' }),
    percent({ name: 'unsold_pct', label: 'Comes back unsold', hint: 'Of the pieces that leave' }),
    area({ name: 'note', label: 'Note' }),
  ];
}

function partRows(ingredients, formulas) {
  const food = ingredients.filter((one) => one.kind !== 'packaging' && one.unit === 'g');
  const choices = thingChoices({
    formula: { label: 'Formulas', items: formulas },
    ingredient: { label: 'Ingredients, as topping', items: food },
  });
  return rows({
    name: 'parts',
    label: 'Made of, for one piece',
    one: 'part',
    add: 'Add a part',
    required: true,
    blanks: 1,
    columns: [
      {
        label: 'Dough, filling or topping',
        class: 'what',
        make: () => [choice({ name: 'thing', label: 'What', quiet: true, required: true, choices, empty: '—' })],
      },
      {
        label: 'Raw weight',
        class: 'share',
        make: () => [grams({ name: 'g', label: 'Raw weight', quiet: true, required: true })],
      },
    ],
    alias: THING_ALIAS,
    pack: packThing,
    unpack: (part, row) => {
      row.field('thing').write(thingOf(part));
    },
  });
}

function packagingRows(ingredients) {
  const choices = ingredients.filter((one) => one.unit === 'piece').map((one) => [one.code, one.name]);
  return rows({
    name: 'packaging',
    label: 'Packaging, for one piece',
    one: 'package',
    add: 'Add packaging',
    blanks: 1,
    columns: [
      {
        label: 'What',
        class: 'what',
        make: () => [choice({ name: 'ingredient', label: 'What', quiet: true, required: true, choices, empty: '—' })],
      },
      {
        label: 'Pieces',
        class: 'share',
        make: () => [count({ name: 'pieces', label: 'Pieces', quiet: true, required: true })],
      },
    ],
  });
}

/* Exact, like the server: sum of the parts, less the bake loss. */
function weightFigures({ parts = [], bake_loss_pct: loss = '0', declared_g: declared }) {
  const raw = parts.reduce((sum, part) => sum + (part.g ? fromWire(part.g, GRAM_PLACES) : 0n), 0n);
  const baked = divideHalfEven(raw * (WHOLE - fromWire(loss, PERCENT_PLACES)), WHOLE);
  const figure = (name, value) => h('div', {}, h('dt', {}, name), h('dd', {}, `${shown(value)} g`));
  const figures = [figure('Raw', raw), figure('Baked', baked)];
  if (!declared || fromWire(declared, GRAM_PLACES) === 0n) return figures;
  const over = baked - fromWire(declared, GRAM_PLACES);
  return [
    ...figures,
    over < 0n
      ? h('div', { class: 'bad' }, h('dt', {}, 'Under the declared weight by'), h('dd', {}, `${shown(-over)} g`))
      : figure('Over the declared weight by', over),
  ];
}
