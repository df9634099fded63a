/* An order of whatever nobody proposed: supplier, what, how much. */
import { h } from './dom.js';
import { area, choice, count, date, text } from './fields.js';
import { Form } from './form.js';
import { readAmount, toWire } from './amounts.js';
import { NumberFault } from './number.js';
import { Once } from './once.js';
import { rows } from './rows.js';

/* "60 kg", "4 x 25 kg"-like words are not asked for: packs, or an amount. */
function packAmount(line, units) {
  const { ingredient, packs, amount } = line;
  if (packs !== undefined) return { ingredient, packs };
  if (amount === undefined) return { ingredient };
  const unit = units.get(ingredient) ?? 'g';
  try {
    return { ingredient, [unit === 'g' ? 'g' : 'pieces']: toWire(readAmount(amount, unit), unit) };
  } catch (error) {
    if (!(error instanceof NumberFault)) throw error;
    return { ingredient, [unit === 'g' ? 'g' : 'pieces']: amount };
  }
}

/* ordered(order): called with what was stored. */
export function freeOrder({ suppliers, ingredients, ordered }) {
  const units = new Map(ingredients.map((one) => [one.code, one.unit]));
  const choices = ingredients.map((one) => [one.code, one.name]);
  const lines = rows({
    name: 'lines',
    label: 'What',
    one: 'line',
    add: 'One more line',
    required: true,
    blanks: 1,
    alias: { g: 'amount', pieces: 'amount' },
    pack: (line) => packAmount(line, units),
    columns: [
      {
        label: 'Ingredient',
        class: 'what',
        make: () => [choice({ name: 'ingredient', label: 'Ingredient', quiet: true, choices, empty: 'Choose', required: true })],
      },
      { label: 'Packs', class: 'share', make: () => [count({ name: 'packs', label: 'Packs', quiet: true })] },
      {
        label: 'or amount',
        class: 'share',
        make: () => [text({ name: 'amount', label: 'Or an amount', quiet: true, placeholder: 'g, kg', max: 16 })],
      },
    ],
  });
  const once = new Once('/purchase-orders');
  const form = new Form(
    [
      choice({ name: 'supplier', label: 'Supplier', required: true, empty: 'Choose', choices: suppliers.map((one) => [one.code, one.name]) }),
      lines,
      date({ name: 'due', label: 'Comes on', hint: 'Empty: as soon as this supplier delivers' }),
      area({ name: 'note', label: 'Note to the supplier' }),
    ],
    {
      submit: 'Order',
      onsubmit: async (body) => {
        const { body: order } = await once.post(body);
        form.changed = false;
        ordered(order);
      },
    },
  );
  form.write({ lines: [] });
  return {
    form,
    element: h('details', { class: 'panel' }, h('summary', {}, 'Order something that is not proposed'), form.element),
  };
}
