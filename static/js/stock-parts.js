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

const CAUTIONS = [
  [
    'Lifting',
    'most people can lift 25 kg held close to the trunk, and a sack of that is still to be assessed for whoever lifts it. ' +
      'Trolley or share it; store heavy sacks where nobody stoops or reaches up for them; follow your local rules.',
  ],
  [
    'Dust',
    'flour dust can cause asthma. Vacuum or clean wet, never sweep or blow; tip sacks low and slowly; follow your local rules on flour dust.',
  ],
  ['Stacks', 'off the floor, away from walls and heat, and so that none can fall; keep your local food rules.'],
];

/* Where sacks are planned, stored and carried. */
export const storeCautions = () =>
  h(
    'section',
    { class: 'cautions' },
    h('h2', {}, 'Mind'),
    h(
      'ul',
      {},
      CAUTIONS.map(([what, words]) => h('li', {}, h('strong', {}, `${what}: `), words)),
    ),
  );

/* Words below a line, each with a mark of its own so that colour tells nothing alone. */
export const markList = (marks) =>
  marks.map(({ level, text }) => h('span', { class: `sub stock-mark ${level}` }, `${level === 'note' ? '' : '▸ '}${text}`));
