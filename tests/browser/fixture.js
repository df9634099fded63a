/* A small bakery of our own invention with round figures, entered through the API. */

const day = 24 * 60 * 60 * 1000;

export function plusDays(date, days) {
  return new Date(Date.parse(`${date}T00:00:00Z`) + days * day).toISOString().slice(0, 10);
}

const INGREDIENTS = {
  flour: { name: 'White flour', kind: 'flour', unit: 'g', allergens: ['wheat'] },
  rye: { name: 'Rye flour', kind: 'flour', unit: 'g', allergens: ['rye'] },
  water: { name: 'Water', kind: 'water', unit: 'g' },
  salt: { name: 'Salt', kind: 'salt', unit: 'g' },
  bag: { name: 'Paper bag', kind: 'packaging', unit: 'piece' },
};

const stages = [
  { stage: 'Mix', minutes: 15, hands: 1 },
  { stage: 'Rest', minutes: 240, at: '24 °C' },
  { stage: 'Bake', minutes: 45, at: '240 °C', hands: 2 },
];

/* 40 table loaves of 850 g are 34 kg: two batches of 17 kg in a mixer of 20 kg. */
export async function enterBakery(api) {
  await api('PUT', '/bakery', {
    name: 'Fennel Row Bakery',
    currency: 'EUR',
    time_zone: 'Europe/Lisbon',
    mixers: [{ code: 'big', min_g: 2000, max_g: 20000 }],
    scale_g: 5,
    small_scale_g: 0.1,
    small_below_g: 100,
  });
  for (const [code, body] of Object.entries(INGREDIENTS)) await api('PUT', `/ingredients/${code}`, body);
  await api('PUT', '/suppliers/mill', { name: 'Upper Mill' });
  for (const [code, pack, price] of [
    ['flour', 25000, '20.00'],
    ['water', 1000000, '2.00'],
    ['salt', 10000, '5.00'],
  ])
    await api('PUT', `/ingredients/${code}/prices/2025-01-01`, { pack_g: pack, price });
  await api('PUT', '/ingredients/bag/prices/2025-01-01', { pack_pieces: 100, price: '4.00' });
  await api('PUT', '/starters/wheat', {
    name: 'Wheat starter',
    hydration_pct: 100,
    flours: [{ ingredient: 'flour', pct: 100 }],
    keep_g: 300,
  });
  await api('PUT', '/formulas/table', {
    name: 'Table dough',
    basis: 'final',
    mixer: 'big',
    dough_c: 25,
    stages,
    lines: [
      { ingredient: 'flour', pct: 100 },
      { ingredient: 'water', pct: 70 },
      { ingredient: 'salt', pct: 2 },
      { starter: 'wheat', pct: 20 },
    ],
  });
  await api('PUT', '/formulas/dark', {
    name: 'Dark dough',
    basis: 'total',
    stages,
    lines: [
      { ingredient: 'rye', pct: 60 },
      { ingredient: 'flour', pct: 40 },
      { ingredient: 'water', pct: 75 },
      { ingredient: 'salt', pct: 2 },
      { starter: 'wheat', flour_pct: 10 },
    ],
  });
  await api('PUT', '/products/table-loaf', {
    name: 'Table loaf',
    parts: [{ formula: 'table', g: 850 }],
    packaging: [{ ingredient: 'bag', pieces: 1 }],
    bake_loss_pct: 12,
    declared_g: 740,
  });
  await api('PUT', '/products/dark-loaf', {
    name: 'Dark loaf',
    parts: [{ formula: 'dark', g: 1000 }],
    bake_loss_pct: 10,
  });
  await api('PUT', '/customers/harbour-cafe', { name: 'Harbour Café', ready_at: '06:00' });
  await api('PUT', '/customers/counter', { name: 'Our counter' });
  const { today } = await api('GET', '/sessions/current');
  return { today, breadDay: plusDays(today, 3) };
}

export const order = (api, customer, date, pieces) =>
  api('POST', '/orders', {
    customer,
    date,
    lines: Object.entries(pieces).map(([product, count]) => ({ product, pieces: count })),
  });

/* The date on whose list a dough of a bread day is mixed. */
export async function mixingDate(api, breadDay) {
  return (await api('GET', `/days/${breadDay}/production`)).doughs[0].mixing_date;
}
