/* Forms: what is opened and saved unchanged stays as it was, to the last member; equipment and bakes in the
 * words of the trade.
 */
import assert from 'node:assert/strict';
import { after, afterEach, before, test } from 'node:test';
import { enterBakery } from './fixture.js';
import { checkPlaces, hands, openWorld, signedIn, visit } from './harness.js';

let world;
let page;

before(async () => {
  world = await openWorld();
  await enterBakery(world.api);
  page = await signedIn(world, 'owner');
});
after(() => world.close());
afterEach(() => assert.deepEqual(page.faults, []));

const { field, press, told } = hands(() => page);

const EVERYTHING = {
  '/bakery': {
    cost_by: 'average',
    mixers: [{ code: 'big', min_g: 2000, max_g: 20000, friction_c: 11.5, power_w: 4500 }],
    ovens: [{ code: 'deck', decks: 3, places: 2, preheat_minutes: 75, recovery_minutes: 4, power_w: 7000 }],
    shifts: [
      { name: 'Night', days: [1, 2, 6], from: '22:00', to: '06:30', hands: 2 },
      { name: null, days: [1, 2, 3, 4, 5, 6, 7], from: '10:00', to: '14:00', hands: 1 },
    ],
    cold_g: 250000,
    feed_from: '05:00',
    feed_to: '22:30',
    room_c: 22.5,
    flour_c: 20,
    tap_c: 11,
    preferment_c: 24,
  },
  '/starters/wheat': { pot_g: 9000, feed_within_minutes: 1000, rest_feed_days: 5, wake_feeds: 3, note: 'Lively' },
  '/formulas/table': {
    stages: [
      { stage: 'Mix', minutes: 15, at: null, hands: 1, uses: 'mixer', most_minutes: null, labour: { per: 'mix', minutes: 12.5 } },
      { stage: 'Cold proof', minutes: 600, at: '5 °C', hands: 0, uses: 'cold', most_minutes: 900, labour: null },
      { stage: 'Bake', minutes: 45, at: '240 °C', hands: 2, uses: 'oven', most_minutes: null, labour: { per: 'load', minutes: 8 } },
    ],
  },
  '/products/table-loaf': {
    labour_minutes: 0.25,
    unsold_pct: 3.5,
    bake: {
      per_place: 14,
      steps: [
        { c: 250, minutes: 10, steam: true },
        { c: 225, minutes: 28, steam: false },
      ],
    },
  },
};

const FORMS = {
  '/bakery': '#/bakery',
  '/starters/wheat': '#/starters/wheat/settings',
  '/formulas/table': '#/formulas/table',
  '/products/table-loaf': '#/products/table-loaf',
};

const WORKED_OUT = ['code', 'piece_g', 'baked_g', 'overall', 'final', 'allergens'];

test('a form that is opened and saved changes nothing', async (t) => {
  for (const [path, members] of Object.entries(EVERYTHING)) {
    await t.test(path, async () => {
      const stored = Object.fromEntries(
        Object.entries(await world.api('GET', path)).filter(([name]) => !WORKED_OUT.includes(name)),
      );
      const entered = await world.api('PUT', path, { ...stored, ...members });
      for (const [name, value] of Object.entries(members)) assert.deepEqual(entered[name], value, name);
      await visit(page, FORMS[path]);
      await press('Save the changes');
      await told('Saved:');
      assert.deepEqual(await world.api('GET', path), entered);
    });
  }
});

test('ovens, shifts and bakes are entered in the words of the trade', async () => {
  await visit(page, '#/bakery');
  await press('Add an oven');
  await field('Short name, oven 2').fill('rack');
  await field('Places a deck, oven 2').fill('18');
  await field('Heats up in, oven 2').fill('45');
  await press('Add a shift');
  await field('From, shift 3').fill('4');
  await field('To, shift 3').fill('12');
  const days = page.locator('table.rows tr', { has: field('From, shift 3') });
  await days.getByLabel('Sunday').uncheck();
  await field('Ingredients cost').selectOption('First in, first out');
  await press('Save the changes');
  await told('Saved:');
  const bakery = await world.api('GET', '/bakery');
  assert.deepEqual(bakery.ovens[1], { code: 'rack', decks: 1, places: 18, preheat_minutes: 45, recovery_minutes: 0, power_w: null });
  assert.equal(bakery.cost_by, 'fifo');
  assert.deepEqual(bakery.shifts[2], { name: null, days: [1, 2, 3, 4, 5, 6], from: '04:00', to: '12:00', hands: 1 });

  await visit(page, '#/products/dark-loaf');
  await field('Oven at, step 1').fill('250');
  await field('For, step 1').fill('1:10');
  await press('Save the changes');
  await page.locator('.bake').getByText('How many are baked at once').waitFor();
  await field('Pieces on one tray, or on the stone of one deck').fill('12');
  await press('Save the changes');
  await told('Saved:');
  assert.deepEqual((await world.api('GET', '/products/dark-loaf')).bake, {
    per_place: 12,
    steps: [{ c: 250, minutes: 70, steam: false }],
  });
});

const PLACES = {
  bakery: ['#/bakery', 'Add a shift'],
  starter: ['#/starters/wheat/settings', 'Add a feed'],
  formula: ['#/formulas/table', 'Add a stage'],
  product: ['#/products/table-loaf', 'Add a step'],
};

test('axe finds nothing, by day and by night, at a desk and on a telephone', (t) => checkPlaces(t, page, PLACES));
