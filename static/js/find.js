/* Finding a line of a long list by typing part of it. */
import { h, uniqueId } from './dom.js';
import { fold } from './find-field.js';

const FEW = 12; // lines that are seen at a glance

/* The table with a field above it that leaves only the lines which hold what is typed. */
export function findable(what, table) {
  const rows = [...table.tBodies[0].rows];
  if (rows.length <= FEW) return table;
  const id = uniqueId('find');
  const input = h('input', { id, type: 'search', autocomplete: 'off', placeholder: 'Part of a name' });
  const none = h('p', { class: 'empty', role: 'status', hidden: true }, 'Nothing of that name.');
  input.addEventListener('input', () => {
    const wanted = fold(input.value.trim());
    rows.forEach((row) => {
      row.hidden = !fold(row.textContent).includes(wanted);
    });
    none.hidden = rows.some((row) => !row.hidden);
  });
  return h(
    'div',
    { class: 'findable' },
    h('label', { for: id, class: 'unseen' }, `Find in ${what}`),
    input,
    table,
    none,
  );
}
