/* The trace: from a delivery to the printed recall sheet, and from a bread day back to its lots. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { enterBakery, mixingDate, order, plusDays } from './fixture.js';
import { checkLooks, flat, hands, openWorld, pdfPages, signedIn, visit } from './harness.js';

let world;
let page;
let breadDay;
let lot; // of white flour, which two batches of table dough and a feed of the wheat starter take from

before(async () => {
  world = await openWorld();
  const { api } = world;
  const { today } = await enterBakery(api);
  breadDay = plusDays(today, 1);
  await api('PUT', '/suppliers/mill', { name: 'Upper Mill', phone: '+351 21 555 0100' });
  await api('PUT', '/customers/harbour-cafe', { name: 'Harbour Café', ready_at: '06:00', phone: '+351 21 555 0177', address: '2 Quay Road' });
  await order(api, 'harbour-cafe', breadDay, { 'table-loaf': 34 });
  await order(api, 'counter', breadDay, { 'table-loaf': 6 });
  const { lines } = await api('POST', '/goods-in', {
    date: today,
    supplier: 'mill',
    delivery_note: 'D-881',
    lines: [
      { ingredient: 'flour', g: 50000, lot_mark: 'UM 4471', best_before: plusDays(today, 60) },
      { ingredient: 'salt', g: 10000 },
    ],
  });
  lot = lines[0].lot;
  await api('POST', '/starters/wheat/log', { kind: 'begun', g: 1000 });
  await api('POST', '/starters/wheat/log', { kind: 'fed', flour_g: 3000, water_g: 3000 });
  const date = await mixingDate(api, breadDay);
  for (const batch of [1, 2]) await api('POST', `/mixing-lists/${date}/batches`, { formula: 'table', batch });
  page = await signedIn(world, 'baker');
});
after(() => world.close());

const { field, press, textOf } = hands(() => page);

test('a lot is found by its mark, its number, its ingredient, its supplier', async () => {
  await visit(page, '#/trace');
  const found = page.locator('.found tbody th a');
  await field('Lot mark or number').fill('UM 4471');
  await press('Find');
  await page.getByText('One lot').waitFor();
  assert.equal(flat(await found.textContent()), `White flour, UM 4471 (lot ${lot})`);
  await field('Lot mark or number').fill(String(lot));
  await press('Find');
  await page.waitForFunction((number) => location.hash.endsWith(`lot=${number}`), lot);
  await found.getByText(`(lot ${lot})`).waitFor();
  await field('Lot mark or number').fill('');
  await field('Ingredient').selectOption('Salt');
  await field('Supplier').selectOption('Upper Mill');
  await press('Find');
  await found.getByText(`Salt, lot ${lot + 1}`).waitFor();
  await field('Lot mark or number').fill('no such mark');
  await press('Find');
  await page.getByText('No such lot has come in.').waitFor();
  await field('Lot mark or number').fill('UM 4471');
  await field('Ingredient').selectOption('Any');
  await press('Find');
  await found.getByText('UM 4471').click();
  await page.locator('.trace-page').waitFor();
  await page.goBack();
  await page.getByText('One lot').waitFor();
  assert.equal(await field('Lot mark or number').inputValue(), 'UM 4471', 'what was looked for is still there');
});

test('forwards: from whom, whether it adds up, where it went, who got it', async () => {
  await visit(page, `#/trace/${lot}`);
  assert.match(await textOf('.origin'), /Upper Mill\+351 21 555 0100Lot markUM 4471.*delivery note D-881/);
  assert.equal(await page.locator('.origin a.telephone').getAttribute('href'), 'tel:+351215550100');
  // 2 × 8,855 g weighed in; 3 kg fed; 50 − 17.71 − 3 = 29.29
  assert.match(await textOf('.balance'), /50 kg came in = 17\.71 kg mixed into batches \+ 3 kg fed to starters \+ 29\.29 kg left\.It adds up\./);
  assert.match(await textOf('.trace-summary'), /2 customers1 bread day1 product2 batches1 starter/);
  const row = page.locator('table.recall tbody tr', { hasText: 'Harbour Café' });
  assert.match(flat(await row.textContent()), /Harbour Café\+351 21 555 01772 Quay Road34 Table loaf, .*, still to come34$/);
  assert.match(await textOf('table.recall tbody tr:has-text("Our counter")'), /no telephone entered/);
  // 1,770 g of starter, of whose 7 kg 3 kg are this flour, go into each batch: 758.57 g
  assert.match(await textOf('#batches-of-it tbody'), /weighed in, through Wheat starter9\.614 kg/);
  assert.match(await textOf('#starters-of-it tbody'), /Wheat starter3 kg1\.517 kg50\.6 %0 g0 %1\.483 kg49\.4 %/);
});

test('a lot is held and released', async () => {
  await press('Hold this lot');
  await page.locator('.held').getByText('nothing is taken of what is left, 29.29 kg').waitFor();
  assert.equal((await world.api('GET', `/lots/${lot}`)).held, true);
  await press('Release this lot');
  await press('Release it');
  await page.getByText('Released.').waitFor();
  const kept = await world.api('GET', `/lots/${lot}`);
  assert.deepEqual([kept.held, kept.lot_mark], [false, 'UM 4471']);
});

test('a call that was made stays ticked', async () => {
  const call = page.getByRole('checkbox', { name: 'Harbour Café was called' });
  await call.check({ force: true });
  await page.reload();
  await call.waitFor({ state: 'attached' });
  assert.equal(await call.isChecked(), true);
});

test('the recall sheet prints on paper of any size', async (t) => {
  for (const format of ['A4', 'Letter', 'A6'])
    await t.test(format, async () => {
      const pages = await pdfPages(world, page, { format });
      const text = flat(pages.join(' '));
      for (const words of ['Recall sheet', 'UM 4471', 'Upper Mill', '+351 21 555 0100', 'Harbour Café', '+351 21 555 0177', 'Our counter'])
        assert.ok(text.includes(words), words);
      assert.match(text, /your food authority and local food law decide/);
      assert.match(text, /34 Table loaf, \w{3} \d+ \w{3} \d{4}/);
      assert.doesNotMatch(text, /Mixing list|Hold this lot|Fed to starters/);
      pages.forEach((one, index) => assert.match(one, new RegExp(`Page ${index + 1} of ${pages.length}`)));
    });
});

test('backwards: from a bread day to its lots', async () => {
  await visit(page, '#/trace');
  await field('Bread day').fill(breadDay);
  await press('What was in its bread');
  await page.locator('table.back-lots').waitFor();
  const row = flat(await page.locator('table.back-lots tbody tr', { hasText: 'UM 4471' }).textContent());
  assert.match(row, /White flour, UM 4471 \(lot \d+\)came in .*; weighed in, through Wheat starter ?Upper Mill\+351 21 555 0100/);
  assert.match(row, /19\.227 kg56\.\d %$/);
  assert.match(await textOf('.trace-batches'), /Table dough, batch 1.*8\.855 kg White flour, lot \d+ · 6\.2 kg Water/);
  await page.getByRole('link', { name: /UM 4471/ }).click();
  await page.locator('.trace-page').waitFor();
});

/* --- everybody can use it, also of large amounts --- */

test('a long lot comes in', async () => {
  const { working_day: date } = await world.api('GET', '/days/next');
  await world.api('POST', '/goods-in', { date, supplier: 'mill', lines: [{ ingredient: 'bag', pieces: 987654, lot_mark: 'TW20783-12' }] });
});

test('axe finds nothing, by day and on a telephone by night', async () => {
  for (const hash of ['#/trace', `#/trace/${lot}`, `#/trace/day/${breadDay}`]) {
    await visit(page, hash);
    await checkLooks(page, hash);
  }
});

test('nothing went wrong in the scripts', () => {
  assert.deepEqual(page.faults, []);
});
