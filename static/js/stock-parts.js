/* What the pages of the flour store share: the way between them, and what to mind. */
import { h, link } from './dom.js';
import { may } from './session.js';

const TABS = [
  { hash: '#/stock', text: 'What there is', role: 'baker' },
  { hash: '#/stock/+use', text: 'Use', role: 'baker' },
  { hash: '#/stock/+values', text: 'A month’s values', role: 'owner' },
];

export const stockTabs = (current) =>
  h(
    'nav',
    { class: 'tabs', 'aria-label': 'The flour store' },
    h(
      'ul',
      {},
      TABS.filter((tab) => may(tab.role)).map((tab) =>
        h('li', {}, link(tab.hash, tab.text, { 'aria-current': tab.hash === current ? 'page' : null })),
      ),
    ),
  );

/* Words below a line, each with a mark of its own so that colour tells nothing alone. */
export const markList = (marks) =>
  marks.map(({ level, text }) => h('span', { class: `sub stock-mark ${level}` }, `${level === 'note' ? '' : '▸ '}${text}`));
