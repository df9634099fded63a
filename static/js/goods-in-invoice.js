/* Prices of a delivery's lots, when the invoice is here. Owners only. */
import { h } from './dom.js';
import * as api from './api.js';
import { price } from './fields.js';
import { carry, sentence, tell, tellError } from './messages.js';
import { go } from './router.js';
import { session } from './session.js';

export function invoicePanel(delivery) {
  const fields = delivery.lines.map((line) => {
    const field = price({
      name: `price-${line.lot}`,
      label: `Lot ${line.lot}, ${line.name}`,
      unit: session().currency,
    });
    field.write(line.price ?? undefined);
    field.stored = field.read(() => {});
    return field;
  });
  const form = h(
    'form',
    { class: 'invoice-form', novalidate: true },
    h('p', { class: 'hint' }, 'The price of the whole lot. Empty: not known, and never reckoned as nothing.'),
    h(
      'div',
      { class: 'invoice-prices' },
      fields.map((field) => field.element),
    ),
    h('p', { class: 'actions' }, h('button', { class: 'main' }, 'Save the prices')),
  );
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    save(delivery, fields);
  });
  return h('details', { class: 'panel' }, h('summary', {}, 'The invoice is here'), form);
}

/* Only what was changed; a PUT may be repeated without harm. */
async function save(delivery, fields) {
  let bad = 0;
  const wanted = fields.map((field) => {
    field.fault('');
    return field.read((text) => {
      bad += 1;
      field.fault(sentence(text));
    });
  });
  if (bad > 0) return;
  try {
    for (const [index, line] of delivery.lines.entries()) {
      if (wanted[index] === fields[index].stored) continue;
      await putPrice(line.lot, wanted[index], fields[index]);
      fields[index].stored = wanted[index];
    }
  } catch (error) {
    if (error.shown) return;
    tellError(error, () => save(delivery, fields));
    return;
  }
  carry('The prices of this delivery were saved.');
  go(location.hash);
}

async function putPrice(lot, value, field) {
  try {
    await api.put(`/lots/${lot}/price`, { price: value ?? null });
  } catch (error) {
    if (!error.errors?.length || error.uncertain) throw error;
    field.fault(sentence(error.errors[0].detail));
    field.focus();
    tell('bad', 'Not all prices were saved: look at what is marked.');
    error.shown = true;
    throw error;
  }
}
