/* Lists and forms of the small things of the book, from their descriptions in book-things.js. */
import { h, link } from '../dom.js';
import * as api from '../api.js';
import { THINGS } from '../book-things.js';
import { Editor, NEW } from '../editor.js';
import { table } from '../figures.js';
import { findable } from '../find.js';
import { capital } from '../messages.js';
import { may } from '../session.js';

export const listOf = (kind) => async (view) => {
  const thing = THINGS[kind];
  const items = await api.list(`/${kind}`, view);
  return view.frame(
    thing.title,
    thing.title,
    h('p', { class: 'lead' }, thing.intro),
    h('p', { class: 'actions' }, link(`#/${kind}/${NEW}`, `New ${thing.one}`, { class: 'button main' })),
    items.length === 0
      ? h('p', { class: 'empty' }, 'None yet.')
      : findable(
          thing.title,
          table({
            heads: thing.columns.map(([head]) => head),
            rows: items.map((item) =>
              thing.columns.map(([, show], index) => (index === 0 ? nameCell(kind, thing, item) : (show(item) ?? ''))),
            ),
          }),
        ),
  );
};

function nameCell(kind, thing, item) {
  const below = thing.sub?.(item);
  return h(
    'th',
    { scope: 'row' },
    link(`#/${kind}/${encodeURIComponent(item.code ?? item.name)}`, item.name),
    below ? h('span', { class: 'sub' }, below) : null,
  );
}

export const oneOf = (kind) => async (view, code) => {
  const thing = THINGS[kind];
  const isNew = code === NEW;
  const [stored, context] = await Promise.all([
    isNew ? null : api.get(`/${kind}/${code}`, view),
    thing.load ? thing.load(view) : {},
  ]);
  const editor = new Editor(view, {
    kind,
    one: thing.one,
    stored,
    fields: thing.fields(stored?.body ?? null, context),
    initial: thing.initial ?? {},
    nameOf: context.nameOf,
  });
  const title = isNew ? `New ${thing.one}` : stored.body.name;
  const over = capital(thing.one);
  const below = stored && thing.below && may(thing.below.role) ? await thing.below.show(view, stored.body) : null;
  return view.frame(title, isNew ? title : [h('span', { class: 'over' }, over), ' ', title], editor.element, below);
};
