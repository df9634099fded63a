/* The look before a count is posted: what differs, what does not, what was not counted. Lines of one lot
 * in one place are one, as the server takes them.
 */
import { h, button } from './dom.js';
import * as api from './api.js';
import { biggestFirst, differencesTable, sumWords, worthOf } from './count-differences.js';
import { keyOf, lotWords } from './count-row.js';
import { amountOf } from './amounts.js';
import { may } from './session.js';

/* counted: of CountSheet.read(). Fetches what the book says now, since it may have gone on. */
export async function reviewLines(view, counted) {
  const [sheet, lots] = await Promise.all([
    api.get('/count-sheet', view),
    may('owner') ? api.list('/lots?left=true', view) : [],
  ]);
  const book = new Map(sheet.body.items.map((item) => [keyOf(item), item]));
  const byNumber = new Map(lots.map((lot) => [lot.lot, lot]));
  const merged = new Map();
  for (const one of counted) {
    const before = merged.get(one.key);
    if (before) before.counted += one.amount;
    else merged.set(one.key, lineOf(one, book.get(one.key), byNumber.get(one.item.lot)));
  }
  return [...merged.values()];
}

function lineOf({ item, amount, place }, now, lot) {
  const expected = now ? amountOf(now, 'expected') : 0n;
  return {
    name: item.name,
    detail: [lotWords(item) || 'begins its book', place].filter(Boolean).join(' · '),
    unit: item.unit,
    pack: amountOf(item, 'pack'),
    expected,
    counted: amount,
    lot,
    begins: item.lot === null,
  };
}

const listOf = (summary, names) =>
  names.length === 0
    ? null
    : h(
        'details',
        { class: 'panel' },
        h('summary', {}, summary),
        h(
          'ul',
          { class: 'names' },
          names.map((name) => h('li', {}, name)),
        ),
      );

const namesOf = (line) => `${line.name}, ${line.detail}`;

/* The whole look; back() and post() are what its buttons do. postButton is handed out for its state. */
export function reviewElement(lines, skipped, { back, postButton }) {
  const owner = may('owner');
  for (const line of lines) line.value = owner && !line.begins ? worthOf(line.counted - line.expected, line.lot) : null;
  const differing = biggestFirst(lines.filter((line) => line.counted !== line.expected));
  const same = lines.filter((line) => line.counted === line.expected);
  const heading = h('h2', { tabindex: -1 }, 'Look through it before it is posted');
  const empty = `${skipped.length} ${skipped.length === 1 ? 'line was' : 'lines were'} left empty`;
  const skippedWords = `${empty}: not counted, so the book stays as it is there`;
  const element = h(
    'section',
    { class: 'count-review' },
    heading,
    differing.length === 0
      ? h('p', { class: 'message good' }, 'Everything that was counted is as the book says.')
      : [
          differencesTable(differing, { withMoney: owner, about: true }),
          owner
            ? h(
                'p',
                { class: 'lead' },
                `${sumWords(differing)} Reckoned by what each lot cost; the posted count has the exact worth.`,
              )
            : null,
        ],
    listOf(`${same.length} ${same.length === 1 ? 'line is' : 'lines are'} as the book says`, same.map(namesOf)),
    listOf(
      skippedWords,
      skipped.map((item) => [item.name, lotWords(item), item.place].filter(Boolean).join(', ')),
    ),
    h(
      'div',
      { class: 'savebar' },
      h('p', {}, 'Posting it sets the book right.'),
      h('p', { class: 'actions' }, button('Back to typing', back, { class: 'quiet' }), postButton),
    ),
  );
  return { element, heading };
}
