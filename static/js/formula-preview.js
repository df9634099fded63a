/* What a formula comes to: hydration, salt, prefermented flour, and both forms of its percentages. */
import { h } from './dom.js';
import { joinWords } from './dates.js';
import { aligned, most } from './figures.js';
import { PERCENT_PLACES, fromWire, percent } from './number.js';

const shown = (json) => percent(fromWire(json, PERCENT_PLACES));

export class FormulaPreview {
  constructor() {
    this.state = h(
      'p',
      { class: 'hint', role: 'status' },
      'Choose lines and type their shares: the figures appear here.',
    );
    this.found = h('div', {});
    this.element = h(
      'section',
      { class: 'preview', 'aria-label': 'Worked out' },
      h('h2', {}, 'Worked out'),
      this.state,
      this.found,
    );
  }

  /* Keeps the figures that stand, marked as not of this moment. */
  wait(text) {
    this.state.textContent = text;
    this.found.classList.add('stale');
  }

  show({ overall, final, allergens }) {
    this.state.textContent = '';
    this.found.classList.remove('stale');
    this.found.replaceChildren(
      h(
        'dl',
        { class: 'key-figures' },
        keyFigure('Hydration', overall.hydration_pct),
        keyFigure('Salt', overall.salt_pct),
        keyFigure('Prefermented flour', overall.prefermented_flour_pct),
      ),
      shares('Final mix', 'The flour weighed into it is 100', final.lines),
      shares('Everything in it', 'All flour is 100', overall.lines),
      h('p', {}, 'Allergens: ', h('strong', {}, allergens.length ? joinWords(allergens) : 'none entered')),
    );
  }
}

function keyFigure(name, json) {
  return h('div', {}, h('dt', {}, name), h('dd', {}, json === null ? '—' : `${shown(json)} %`));
}

function shares(caption, what, lines) {
  const sum = lines.reduce((total, line) => total + fromWire(line.pct, PERCENT_PLACES), 0n);
  const texts = lines.map((line) => shown(line.pct));
  const decimals = most([...texts, percent(sum)]);
  const row = (name, text) =>
    h('tr', {}, h('th', { scope: 'row' }, name), h('td', { class: 'figures' }, aligned(text, decimals, '%')));
  return h(
    'table',
    { class: 'list' },
    h('caption', {}, caption, h('span', { class: 'sub' }, what)),
    h(
      'tbody',
      {},
      lines.map((line, index) => row(line.name, texts[index])),
    ),
    h('tfoot', {}, row('Total', percent(sum))),
  );
}
