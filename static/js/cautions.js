/* What can hurt, said where it is done. Published guidance differs from place to place: each caution gives
 * way to the local rule.
 */
import { h } from './dom.js';

const STORE = [
  [
    'Lifting',
    'most people can lift 25 kg held close to the trunk, and a sack of that is still to be assessed for whoever lifts it. ' +
      'Share it or take a trolley; store heavy sacks where nobody stoops or reaches up for them. Follow your local rules on lifting.',
  ],
  [
    'Dust',
    'flour dust can cause asthma. Vacuum or clean wet, never sweep or blow; tip sacks low and slowly, set them down instead of ' +
      'dropping them. Follow your local rules on flour dust.',
  ],
  [
    'Stacks',
    'low and steady, dry, off the floor, away from walls, heat and ways out. Follow your local rules on storing food.',
  ],
];

/* list: of what and words */
export const cautions = (list) =>
  h(
    'section',
    { class: 'cautions' },
    h('h2', {}, 'Mind'),
    h(
      'ul',
      {},
      list.map(([what, words]) => h('li', {}, h('strong', {}, `${what}: `), words)),
    ),
  );

/* Where sacks are carried, stored and counted. */
export const storeCautions = () => cautions(STORE);
