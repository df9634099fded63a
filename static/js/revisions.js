/* Who changed a formula or product, when, and what. Read when it is opened. */
import { h } from './dom.js';
import * as api from './api.js';
import { differenceTable, differences } from './differences.js';
import { momentWords } from './dates.js';
import { tellError } from './messages.js';
import { labelOf } from './wording.js';

export function revisionsPanel(path, nameOf) {
  const found = h('div', {});
  const panel = h(
    'details',
    { class: 'panel' },
    h('summary', {}, 'What it was before, who changed it and when'),
    found,
  );
  panel.addEventListener('toggle', async () => {
    if (!panel.open) return;
    try {
      found.replaceChildren(timeline(await api.list(`${path}/revisions`), nameOf));
    } catch (error) {
      panel.open = false;
      tellError(error);
    }
  });
  return panel;
}

function timeline(items, nameOf) {
  return h(
    'ol',
    { class: 'revisions' },
    items.map((item, index) => revision(item, items[index + 1], nameOf)),
  );
}

function revision(item, before, nameOf) {
  const head = h('p', {}, h('strong', {}, momentWords(item.at)), ` by ${item.by}`);
  if (item.deleted) return h('li', {}, head, h('p', {}, 'Deleted.'));
  if (!before?.body) return h('li', {}, head, h('p', {}, 'Entered.'));
  const found = differences(before.body, item.body, nameOf);
  if (found.length === 0)
    return h(
      'li',
      {},
      head,
      h('p', {}, item.changed.length ? `Changed: ${item.changed.map(labelOf).join(', ')}.` : 'Saved without a change.'),
    );
  return h('li', {}, head, differenceTable(found, 'Before', 'After'));
}
