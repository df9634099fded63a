/* What can hurt where sacks are carried and stored. Published guidance differs from place to place, so
 * each caution names its figure and gives way to the local rule.
 */
import { h } from './dom.js';

const CAUTIONS = [
  [
    'Lifting',
    'a sack of 25 kg, held close to the trunk, is about what most people can lift; there is no weight that is safe for everyone. ' +
      'Share, trolley or split heavier and many loads, keep heavy sacks between knee and chest. Follow your local rules on lifting.',
  ],
  [
    'Dust',
    'flour dust harms lungs. Set sacks down instead of dropping them; take up spills with a vacuum or a wet cloth, never sweep or blow. ' +
      'Follow your local rules on flour dust.',
  ],
  ['Stacks', 'low and steady, dry, off the floor, away from doors and ways out. Follow your local rules on storage.'],
];

export function storeCautions() {
  return h(
    'section',
    { class: 'cautions' },
    h('h2', {}, 'Mind'),
    h(
      'ul',
      {},
      CAUTIONS.map(([what, words]) => h('li', {}, h('strong', {}, `${what}: `), words)),
    ),
  );
}
