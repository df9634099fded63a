/* The bakery of fixture.js with an oven, hands and warmth: what a night needs.
 *
 * Round figures: the mixer takes 20 kg, so 40 table loaves of 850 g (34 kg) are two batches of 20
 * loaves; a deck takes 10 loaves, so four loads. Mix 15 min, rest 3 h, shape 30 min, cold 8 h, bake 45
 * min, cool 60 min.
 */
import { enterBakery } from './fixture.js';

export const STAGES = [
  { stage: 'Mix', minutes: 15, hands: 1, uses: 'mixer' },
  { stage: 'Rest', minutes: 180, at: '24 °C' },
  { stage: 'Shape', minutes: 30, hands: 2, at: 'bench' },
  { stage: 'Proof', minutes: 480, at: 'fridge, 5 °C', uses: 'cold', most_minutes: 720 },
  { stage: 'Bake', minutes: 45, hands: 1, uses: 'oven' },
  { stage: 'Cool', minutes: 60, at: 'racks' },
];

const BAKERY = {
  name: 'Fennel Row Bakery',
  currency: 'EUR',
  time_zone: 'Europe/Lisbon',
  mixers: [{ code: 'big', min_g: 2000, max_g: 20000, friction_c: 12 }],
  ovens: [{ code: 'hearth', decks: 2, places: 1, preheat_minutes: 60, recovery_minutes: 5 }],
  shifts: [{ name: 'Night', from: '12:00', to: '12:00', hands: 2 }],
  scale_g: 5,
  small_scale_g: 0.1,
  small_below_g: 100,
  room_c: 24,
  flour_c: 22,
  tap_c: 16,
};

export async function putBakery(api, changes = {}) {
  await api('PUT', '/bakery', { ...BAKERY, ...changes });
}

/* changes: members of the bakery that are to be other than above */
export async function enterNight(api, changes = {}) {
  const found = await enterBakery(api);
  await putBakery(api, changes);
  const table = await api('GET', '/formulas/table');
  await api('PUT', '/formulas/table', {
    name: table.name,
    basis: table.basis,
    mixer: 'big',
    dough_c: 25,
    lines: table.lines.map(({ ingredient, starter, pct }) => (starter ? { starter, pct } : { ingredient, pct })),
    stages: STAGES,
  });
  await api('PUT', '/products/table-loaf', {
    name: 'Table loaf',
    parts: [{ formula: 'table', g: 850 }],
    packaging: [{ ingredient: 'bag', pieces: 1 }],
    bake_loss_pct: 12,
    declared_g: 740,
    bake: {
      per_place: 10,
      steps: [
        { c: 250, minutes: 10, steam: true },
        { c: 225, minutes: 35 },
      ],
    },
  });
  return found;
}
