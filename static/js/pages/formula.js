/* A formula, worked out as it is typed. */
import { h, debounce } from '../dom.js';
import * as api from '../api.js';
import { codeFrom } from '../codes.js';
import { Editor, NEW, codeField } from '../editor.js';
import { area, celsius, choice, percent, text, yes } from '../fields.js';
import { FormulaPreview } from '../formula-preview.js';
import { revisionsPanel } from '../revisions.js';
import { rows } from '../rows.js';
import { stageRows } from '../stage-rows.js';
import { THING_ALIAS, packThing, thingChoices, thingOf } from '../things.js';
import { BASES } from '../wording.js';

export async function show(view, code) {
  const isNew = code === NEW;
  const [ingredients, starters, formulas, bakery, stored] = await Promise.all([
    api.list('/ingredients', view),
    api.list('/starters', view),
    api.list('/formulas', view),
    api.getOrNull('/bakery', view),
    isNew ? null : api.get(`/formulas/${code}`, view),
  ]);
  const names = new Map([...ingredients, ...starters, ...formulas].map((thing) => [thing.code, thing.name]));
  const nameOf = (one) => names.get(one) ?? one;
  const page = new FormulaPage(view, {
    ingredients,
    starters,
    formulas: formulas.filter((one) => one.code !== code),
    mixers: bakery?.body.mixers ?? [],
    stored,
    nameOf,
  });
  const title = isNew ? 'New formula' : stored.body.name;
  const element = view.frame(
    title,
    isNew ? title : [h('span', { class: 'over' }, 'Formula'), ' ', title],
    h('div', { class: 'two-columns editor' }, page.editor.element, page.preview.element),
    isNew ? null : revisionsPanel(`/formulas/${code}`, nameOf),
  );
  page.begin();
  return element;
}

class FormulaPage {
  constructor(view, book) {
    this.view = view;
    this.book = book;
    this.preview = new FormulaPreview(book.stored?.body);
    this.#makeFields();
    this.editor = new Editor(view, {
      kind: 'formulas',
      one: 'formula',
      stored: book.stored,
      nameOf: book.nameOf,
      after: book.stored ? `#/formulas/${book.stored.body.code}` : undefined,
      initial: { basis: 'final', lines: [], stages: [] },
      fields: this.fields,
    });
    this.later = debounce(350, () => this.#work());
    this.editor.element.addEventListener('input', () => this.#changed());
    this.editor.element.addEventListener('change', () => this.#changed());
  }

  #makeFields() {
    const name = text({ name: 'name', label: 'Name', required: true, first: !this.book.stored });
    this.basis = choice({ name: 'basis', label: 'Percentages are of', choices: BASES, required: true });
    this.lines = this.#lineRows();
    const hand = yes({ name: 'by_hand', label: 'Mixed by hand: one batch, no mixer' });
    this.fields = [
      name,
      ...(this.book.stored ? [] : [codeField(name)]),
      this.basis,
      this.lines,
      percent({
        name: 'handling_loss_pct',
        label: 'Handling loss',
        hint: 'What stays in bowls and on benches, of the dough',
      }),
      celsius({ name: 'dough_c', label: 'Dough temperature' }),
      choice({
        name: 'mixer',
        label: 'Mixer',
        empty: 'the largest',
        choices: this.book.mixers.map(({ code }) => [code, code]),
      }),
      hand,
      stageRows(),
      area({ name: 'note', label: 'Note' }),
    ];
  }

  #lineRows() {
    const choices = thingChoices({
      ingredient: { label: 'Ingredients', items: this.book.ingredients.filter((one) => one.unit === 'g') },
      starter: { label: 'Starters', items: this.book.starters },
      formula: { label: 'Formulas', items: this.book.formulas },
    });
    return rows({
      name: 'lines',
      label: 'Lines',
      one: 'line',
      add: 'Add a line',
      required: true,
      blanks: 3,
      sorted: true,
      class: 'formula-lines',
      hint: 'Starters and preferments are lines of their own.',
      onchange: () => this.#changed(),
      columns: [
        {
          label: 'What',
          class: 'what',
          make: () => [
            choice({ name: 'thing', label: 'What', quiet: true, required: true, choices, empty: '—' }),
            choice({
              name: 'of',
              label: 'Meaning',
              quiet: true,
              required: true,
              choices: [
                ['flour_pct', '% of all flour is fermented in it'],
                ['pct', 'g of it to 100 g of all flour'],
              ],
            }),
          ],
        },
        {
          label: 'Share',
          class: 'share',
          make: () => [percent({ name: 'pct', label: 'Share', quiet: true, required: true })],
        },
      ],
      alias: { ...THING_ALIAS, flour_pct: 'pct' },
      blank: ({ thing, pct }) => !thing && !pct,
      pack: ({ of, pct, ...rest }) => packThing({ ...rest, [this.#meaning(rest.thing, of)]: pct }),
      unpack: (line, row) => {
        row.field('thing').write(thingOf(line));
        row.field('of').write(line.pct === undefined ? 'flour_pct' : 'pct');
        row.field('pct').write(line.pct ?? line.flour_pct);
        return {};
      },
    });
  }

  /* Only with percentages of all flour, and only for a part, is there a choice. */
  #hasMeaning(thing) {
    return this.basis.input.value === 'total' && /^(starter|formula):/.test(thing ?? '');
  }

  #meaning(thing, of) {
    return this.#hasMeaning(thing) ? of : 'pct';
  }

  begin() {
    this.#showMeanings();
    if (this.book.stored) this.preview.show(this.book.stored.body);
  }

  #showMeanings() {
    for (const row of this.lines.list.rows)
      row.field('of').element.hidden = !this.#hasMeaning(row.field('thing').input.value);
  }

  #changed() {
    if (!this.editor) return;
    this.editor.form.changed = true;
    this.#showMeanings();
    this.later();
  }

  /* Asks the server what it would come to; the answer to an older question is not shown. */
  async #work() {
    const { value, errors } = this.editor.form.collect();
    if (errors.some(({ pointer }) => pointer !== '/name' && pointer !== '/code')) {
      this.preview.wait('Fill in what is half entered, and the figures follow.');
      return;
    }
    this.asking?.abort();
    const asking = new AbortController();
    this.asking = asking;
    const code = this.book.stored?.body.code ?? (codeFrom(value.code ?? value.name ?? '') || 'new');
    try {
      const { body } = await api.post(
        '/formulas/preview',
        { name: 'New formula', ...value, code },
        { signal: asking.signal },
      );
      this.lines.list.clear();
      this.preview.show(body);
    } catch (error) {
      this.#explain(error, asking);
    }
  }

  #explain(error, asking) {
    if (asking.signal.aborted) return;
    if (!(error instanceof api.Problem)) throw error;
    this.lines.list.clear();
    const faults = error.uncertain ? [] : error.errors.filter(({ pointer }) => pointer.startsWith('/lines'));
    for (const { pointer, detail } of faults) this.editor.form.find(pointer)?.fault(detail);
    this.preview.wait(
      error.uncertain
        ? 'The server cannot be reached; the figures are those of before.'
        : 'It does not work out yet: see the lines.',
    );
  }
}
