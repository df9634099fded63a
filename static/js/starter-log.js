/* The log of a starter: newest first, each entry with the weight after it. */
import { clockOf } from './dates.js';
import { h } from './dom.js';
import { aligned, most } from './figures.js';
import { LogList, askWhyUndo, isUndone, struck, undoTool } from './log-list.js';
import { entryDetails, entryWords, gramsOf } from './starter-words.js';

export class StarterLog {
  /* undo(entry): it is to be undone. */
  constructor(code, { undo }) {
    this.path = `/starters/${code}/log`;
    this.list = new LogList({
      title: 'Log',
      section: 'starter-log',
      table: 'log',
      atOnce: 20,
      older: 'Older entries',
      empty: 'Nothing yet. Whatever is done to it goes here.',
      heads,
      rowsOf,
      tool: (entry) => (isUndone(entry) || entry.kind === 'reversed' ? null : toolOf(entry, undo)),
    });
    this.element = this.list.element;
  }

  /* Reads the newest page anew; older pages that were asked for stay. */
  load(options) {
    return this.list.load(this.path, options);
  }
}

const heads = () => [
  h('th', { scope: 'col', class: 'figures time' }, 'At'),
  h('th', { scope: 'col' }, 'What'),
  h('th', { scope: 'col', class: 'figures' }, 'On hand'),
];

function rowsOf(entries) {
  const decimals = most(entries.map((entry) => gramsOf(entry.on_hand_g)));
  return (entry) => rowOf(entry, decimals);
}

function rowOf(entry, decimals) {
  const details = [...entryDetails(entry), `entry ${entry.number}, ${entry.entered_by}`];
  return [
    h('td', { class: 'figures time' }, clockOf(entry.at)),
    h('th', { scope: 'row' }, struck(entry, entryWords(entry)), h('span', { class: 'sub' }, details.join(' · '))),
    h('td', { class: 'figures after' }, aligned(gramsOf(entry.on_hand_g), decimals, 'g')),
  ];
}

const toolOf = (entry, undo) =>
  undoTool(entry.number, { what: `entry ${entry.number}`, words: entryWords(entry), undo: () => undo(entry) });

/* Asks why; resolves with the reason, or null when it is not to be undone. */
export const askWhy = (entry) =>
  askWhyUndo(`entry ${entry.number}`, `${entryWords(entry)}. It stays in the log, and an entry of its own undoes it.`);
