/* All formulas. */
import { h, link } from '../dom.js';
import * as api from '../api.js';
import { NEW } from '../editor.js';
import { findable } from '../find.js';
import { table } from '../figures.js';
import { joinWords, duration } from '../dates.js';

export async function show(view) {
  const [formulas, products] = await Promise.all([api.list('/formulas', view), api.list('/products', view)]);
  return view.frame(
    'Formulas',
    'Formulas',
    h('p', { class: 'lead' }, 'Doughs, preferments, soakers and fillings as baker’s percentages.'),
    h('p', { class: 'actions' }, link(`#/formulas/${NEW}`, 'New formula', { class: 'button main' })),
    formulas.length === 0
      ? h('p', { class: 'empty' }, 'None yet. Enter ingredients and starters first, then preferments, then doughs.')
      : findable('Formulas', formulaTable(formulas, products)),
  );
}

function formulaTable(formulas, products) {
  const parts = new Map(formulas.map((formula) => [formula.code, []]));
  for (const user of formulas) for (const line of user.lines) parts.get(line.formula)?.push(user.name);
  for (const product of products) for (const part of product.parts) parts.get(part.formula)?.push(product.name);
  return table({
    heads: ['Formula', { text: 'From mixing to ready', figures: true }, { text: 'Goes into', class: 'wide-only' }],
    rows: formulas.map((formula) => [
      link(`#/formulas/${formula.code}`, formula.name),
      h('td', { class: 'figures' }, duration(formula.stages.reduce((sum, stage) => sum + stage.minutes, 0))),
      h('td', { class: 'wide-only' }, joinWords(parts.get(formula.code)) || '—'),
    ]),
  });
}
