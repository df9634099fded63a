/* The flour store: see what runs out, hold a lot, post what was wasted and undo it, order from a proposal;
 * use, values, and paper. */
import assert from 'node:assert/strict';
import { after, afterEach, before, test } from 'node:test';
import { mixingDate, order, plusDays } from './fixture.js';
import { checkLooks, flat, hands, openWorld, pdfPages, signedIn, visit } from './harness.js';
import { enterNight } from './night.js';

let world;
let page;
let today;
let mixing;

const delivery = (lines) => world.api('POST', '/goods-in', { date: today, supplier: 'mill', delivery_note: 'D 7', lines });

/* Bread flour for weeks in two lots, rye for less than the next mixing asks for. */
before(async () => {
  world = await openWorld();
  const found = await enterNight(world.api);
  today = found.today;
  await world.api('PUT', '/suppliers/mill', {
    name: 'Upper Mill',
    phone: '+351 200 960 101',
    email: 'orders@uppermill.example',
    lead_days: 5,
    minimum_order: '150.00',
  });
  await world.api('PUT', '/ingredients/flour/supply', { supplier: 'mill', pack_g: 25000 });
  await world.api('PUT', '/ingredients/rye/supply', { supplier: 'mill', pack_g: 5000 });
  await world.api('PUT', '/ingredients/rye/prices/2025-01-01', { pack_g: 5000, price: '6.00' });
  await delivery([
    { ingredient: 'flour', g: 50000, price: '40.00', lot_mark: 'W-301', best_before: plusDays(today, 200) },
    { ingredient: 'flour', g: 30000, price: '27.00', lot_mark: 'W-288', best_before: plusDays(today, 5) },
    { ingredient: 'rye', g: 3000, price: '3.60', lot_mark: 'R-12' },
    { ingredient: 'bag', pieces: 200, price: '8.00' },
  ]);
  await order(world.api, 'harbour-cafe', found.breadDay, { 'table-loaf': 40, 'dark-loaf': 12 });
  mixing = await mixingDate(world.api, found.breadDay);
  await lastWeek();
  page = await signedIn(world, 'owner');
});

const weekday = (date) => new Date(`${date}T00:00:00Z`).getUTCDay();

/* Salt came three weeks ago, and flour that was used up in the week before the last; last week more went than
 * the bread of its Friday asks for, and some was found missing; of the water less went. */
async function lastWeek() {
  const monday = plusDays(today, -7 - ((weekday(today) + 6) % 7));
  const [wednesday, friday] = [2, 4].map((days) => plusDays(monday, days));
  await order(world.api, 'counter', friday, { 'table-loaf': 40 });
  await world.api('POST', '/goods-in', {
    date: plusDays(today, -21),
    supplier: 'mill',
    lines: [
      { ingredient: 'salt', g: 10000, price: '5.00' },
      { ingredient: 'water', g: 100000, price: '0.20' },
      { ingredient: 'flour', g: 1000, price: '0.80' },
    ],
  });
  const post = (kind, ingredient, g, date = wednesday) =>
    world.api('POST', '/movements', { kind, ingredient, g, date, reason: 'Of last week' });
  await post('used', 'flour', 1000, plusDays(monday, -1));
  await post('used', 'salt', 2000);
  await post('wasted', 'salt', 250.4);
  await post('counted', 'salt', 7000);
  await post('used', 'water', 10000);
}
after(() => world.close());

afterEach(() => assert.deepEqual(page.faults, []));

const { field, press, told, textOf, textsOf } = hands(() => page);
const stockOf = (code) => world.api('GET', `/stock/${code}`);
const lotOf = async (mark) => (await world.api('GET', `/lots?lot_mark=${mark}`)).items[0];

const WEEKDAYS = ['Sunday', 'Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday'];
const weekdayOf = (date) => WEEKDAYS[weekday(date)];

test('what runs out is said in a sentence and stands first', async () => {
  const rye = await stockOf('rye');
  assert.equal(rye.runs_out, mixing, 'the fixture lets the rye run out at the next mixing');
  await visit(page, '#/stock');
  assert.match(await textOf('.store-answer'), /Rye flour runs out .* before a delivery could come: ordered today it comes/);
  const rows = await textsOf('.stores tbody tr');
  assert.match(rows[0], new RegExp(`^Rye flour.*3 kg.*${weekdayOf(mixing)}`));
  assert.match(rows.find((row) => row.startsWith('White flour')), /▸ some of it is best before .*80 kg0 kg80 kg/);
  assert.match(rows.find((row) => row.startsWith('Paper bag')), /200 pcs/);
  assert.match(await textOf('.cautions'), /25 kg .*local rules.*Vacuum or clean wet, never sweep or blow/);
  assert.match(await textOf('.key-figures'), /first in, first out€82\.28.*moving average€82\.28/);
});

test('a day of the past tells what there was, and nothing of what is to come', async () => {
  await visit(page, `#/stock/+on/${plusDays(today, -40)}`);
  await page.getByText('Nothing was in the book at the end of this day.').waitFor();
  await field('At the end of').fill(today);
  await page.getByRole('heading', { name: 'Flour store', exact: true }).waitFor();
});

test('the course is drawn, told in a sentence, and the same as a table', async () => {
  const rye = await stockOf('rye');
  await visit(page, '#/stock/rye');
  const said = await textOf('.stock-course figcaption');
  assert.match(said, new RegExp(`3 kg now\\. Runs out on ${weekdayOf(mixing)}`));
  assert.match(await textOf('.stock-chart .run-out-words'), /^runs out \w{3} \d/);
  assert.ok(await page.locator('.stock-chart .steps.expected').getAttribute('d'));
  assert.equal(await page.locator('.stock-chart .delivery').count(), rye.course.filter((day) => day.delivered_g > 0).length);
  await page.getByText('The same as a table').click();
  const row = await textOf(`.course tbody tr:has(.sub:text("runs out"))`);
  const lacking = rye.course.find((day) => day.date === mixing).lacking_g / 1000;
  assert.ok(row.includes(`${Math.round(lacking * 100) / 100} kg lacking`), `${row} tells ${lacking} kg`);
});

test('a lot is held and released; nothing is taken of it meanwhile', async () => {
  await visit(page, '#/stock/flour');
  assert.deepEqual(
    (await textsOf('.lot-list li strong:first-child')).filter((text) => text.includes('W-')),
    [`W-288 (lot ${(await lotOf('W-288')).lot})`, `W-301 (lot ${(await lotOf('W-301')).lot})`],
    'the nearer best-before is taken first',
  );
  await page.getByRole('button', { name: /^Hold W-288/ }).click();
  await page.getByRole('dialog').getByRole('button', { name: 'Insects' }).click();
  await press('Hold it');
  await told('W-288');
  assert.match(await textOf('.lot-list li:has-text("W-288")'), /held: nothing is taken of it/);
  const held = await lotOf('W-288');
  assert.deepEqual([held.held, held.note, held.best_before], [true, 'Insects', plusDays(today, 5)]);
  assert.equal((await stockOf('flour')).usable_g, 50000);
  await page.getByRole('button', { name: /^Release W-288/ }).click();
  await press('Release it');
  await told(/\) is released\.$/);
  assert.equal((await stockOf('flour')).usable_g, 80000);
});

test('a lot mark is corrected; two who correct at once do not overwrite each other', async () => {
  await visit(page, '#/stock/rye');
  const { lot } = await lotOf('R-12');
  await page.getByRole('button', { name: /^Correct R-12/ }).click();
  await field('Lot mark').fill('R-21');
  await world.api('PUT', `/lots/${lot}`, { lot_mark: 'R-12', note: 'Of another' });
  await press('Save the lot');
  await page.locator('.messages .bad').waitFor();
  assert.equal((await world.api('GET', `/lots/${lot}`)).lot_mark, 'R-12');
  await press('Never mind');
  await page.getByRole('button', { name: /^Correct R-12/ }).click();
  await field('Lot mark').fill('R-21');
  await press('Save the lot');
  await told('was corrected');
  const stored = await world.api('GET', `/lots/${lot}`);
  assert.deepEqual([stored.lot_mark, stored.note], ['R-21', 'Of another']);
});

test('what was wasted is posted as people write it, and undone when asked', async () => {
  await visit(page, '#/stock/flour');
  await press('Wasted');
  await field('How much is gone').fill('90 kg');
  await press('Post: wasted');
  await page.locator('[aria-invalid=true]').and(field('How much is gone')).waitFor();
  assert.match(await textOf('.entry-form .fault:not([hidden])'), /only 80 kg of White flour/);
  await field('How much is gone').fill('2,5 kg');
  await field('How much is gone').blur();
  assert.equal(await field('How much is gone').inputValue(), '2500');
  await press('Burst sack');
  await press('Post: wasted');
  await told(/Wasted: −2\.5.kg\. 77\.5.kg on hand/);
  const [wasted] = (await world.api('GET', '/movements?ingredient=flour')).items;
  assert.deepEqual(
    [wasted.kind, wasted.reason, wasted.lines.map((line) => [line.lot_mark, line.g])],
    ['wasted', 'Burst sack', [['W-288', -2500]]],
  );
  await press('Undo what was just posted');
  await page.getByRole('dialog').getByLabel('Why?').waitFor();
  await press('No, go back');
  assert.equal((await stockOf('flour')).g, 77500);
  await page.getByRole('button', { name: `Undo movement ${wasted.number}: Wasted` }).click();
  await press('It did not happen');
  await press('Undo it');
  await told(/Undone: Wasted\. 80.kg on hand/);
  assert.equal((await stockOf('flour')).g, 80000);
  await page.locator('.movements tr.undone', { hasText: 'Burst sack' }).waitFor();
  assert.equal(await page.getByRole('button', { name: `Undo movement ${wasted.number}: Wasted` }).count(), 0);
});

test('sacks are carried to another place', async () => {
  await visit(page, '#/stock/flour');
  await press('Moved');
  await page.getByRole('button', { name: /^1.×.25.kg$/ }).click();
  await field('Of which lot').selectOption({ index: 0 });
  await field('To which place').fill('cellar');
  await press('Post: moved');
  await told(/Moved: 25.kg\. 80.kg on hand/);
  const places = (await lotOf('W-288')).places.map((one) => [one.place, one.g]);
  assert.deepEqual(places.sort(), [['cellar', 25000], ['store', 5000]]);
});

test('how it is ordered is entered on its page', async () => {
  await visit(page, '#/stock/bag');
  await page.getByText('How it is ordered').click();
  await field('Supplier').selectOption({ label: 'Upper Mill' });
  assert.equal(await field('Pack').inputValue(), '100', 'the pack of its price is in force');
  await field('Place').fill('loft');
  await press('Save how it is ordered');
  await told('Saved how it is ordered');
  const supply = await world.api('GET', '/ingredients/bag/supply');
  assert.deepEqual([supply.supplier, supply.place, supply.service_pct], ['mill', 'loft', 95]);
});

test('an order is made of a proposal, sent, printed and closed', async () => {
  const { suppliers } = await world.api('GET', '/order-proposals');
  const rye = suppliers.find((one) => one.supplier === 'mill').lines.find((line) => line.ingredient === 'rye');
  await visit(page, '#/ordering');
  const block = page.locator('.proposal', { hasText: 'Upper Mill' });
  assert.match(flat(await block.textContent()), /Order today: it comes .*expected use \+ .* to be safe − 3 kg here or on order = .* lacking/);
  assert.match(flat(await block.locator('.order-total').textContent()), /under the minimum order of €150\.00/);
  const packs = block.getByLabel('Packs of Rye flour', { exact: true });
  assert.equal(await packs.inputValue(), String(rye.packs));
  await packs.fill('40');
  assert.match(flat(await block.locator('.order-total').textContent()), /About €2\d\d\.\d\d\.$/, '40 packs of 6.00 reach the minimum');
  await block.getByRole('button', { name: 'Order from Upper Mill' }).click();
  await told(/Order \d+ to Upper Mill is entered/);
  const [stored] = (await world.api('GET', '/purchase-orders?open=true')).items;
  assert.deepEqual(
    stored.lines.filter((line) => line.ingredient === 'rye').map((line) => [line.packs, line.g, line.missing_g]),
    [[40, 200000, 200000]],
  );
  const mail = decodeURIComponent(await page.getByRole('link', { name: /^Mail to/ }).getAttribute('href'));
  assert.match(mail, /^mailto:orders@uppermill\.example\?subject=Order \d+, Fennel Row Bakery&body=To Upper Mill\r\n/);
  assert.ok(mail.includes('- Rye flour: 40 × 5 kg (200 kg)'), mail);
  assert.equal(await page.getByRole('link', { name: /^Call/ }).getAttribute('href'), 'tel:+351200960101');
  const hash = `#/goods-in?order=${stored.number}`;
  assert.equal(await page.getByRole('link', { name: 'Goods in for this order' }).getAttribute('href'), hash);
  const [paper, ...more] = await pdfPages(world, page);
  assert.equal(more.length, 0);
  assert.match(flat(paper), /Upper Mill.*Fennel Row Bakery.*40 × 5 kg 200 kg/);
  assert.doesNotMatch(flat(paper), /€|Close|missing/i, 'no costs and nothing of the screen on paper');
  await press('Close this order');
  await press('Close it');
  await told('nothing more of it is awaited');
  assert.equal((await world.api('GET', `/purchase-orders/${stored.number}`)).state, 'closed');
});

test('use is held against the formulas, the biggest difference first', async () => {
  await visit(page, '#/stock/+use');
  await field('The').selectOption({ label: 'last whole week' });
  await page.waitForFunction(() => document.querySelectorAll('.use-table tbody tr').length === 3);
  const [water, salt, flour] = await textsOf('.use-table tbody tr');
  assert.match(flour, /^White flourNothing of it was posted, and the formulas ask for 19\.5 kg\./);
  assert.match(water, /^Water.* less went than the formulas ask for \(−\d/, 'kilos of water before grams of salt');
  assert.match(salt, /^Salt.* more went than the formulas ask for \(\+\d.*2 kg posted, 250 g wasted and 750 g found missing/);
  const { items } = await world.api('GET', '/stock-use?weeks=1');
  const own = items.find((item) => item.ingredient === 'salt');
  assert.deepEqual([own.posted_g, own.wasted_g, own.counted_g, own.actual_g], [2000, 250.4, -749.6, 3000]);
  const over = Math.round((own.actual_g - own.theory_g) / 10) / 100;
  assert.ok(own.theory_g > 0 && salt.includes(`${over} kg more`), `${salt} tells ${over} kg`);
  await field('The').selectOption({ label: 'last four weeks' });
  await page.locator('.use-table').waitFor();
});

test('a month’s values add up, by both methods, on the screen and on paper', async () => {
  const month = today.slice(0, 7);
  await visit(page, `#/stock/+values/${month}`);
  const found = await world.api('GET', `/stock-values?from=${month}-01&to=${today}`);
  const digits = (text) => BigInt(text.replace(/[^\d]/g, '')) * (/−/.test(text) ? -1n : 1n);
  for (const column of [2, 3]) {
    const cells = await textsOf(`.value-totals tbody td:nth-child(${column})`);
    const [opening, received, counted, used, wasted, returned, closing] = cells.map(digits);
    assert.equal(opening + received + counted - used - wasted - returned, closing, cells.join(' '));
    assert.ok(closing > 0n);
  }
  const blocks = await textsOf('.value-block caption');
  assert.deepEqual(blocks, found.items.map((item) => item.name));
  const [paper] = await pdfPages(world, page);
  assert.match(flat(paper), /Fennel Row Bakery · Values of .*First in, first out Moving average.*Opening.*Closing/);
});

test('a baker sees the store and orders without costs', async () => {
  const baker = await signedIn(world, 'baker');
  for (const hash of ['#/stock', '#/stock/flour', '#/stock/+use']) {
    await visit(baker, hash);
    assert.doesNotMatch(await baker.locator('#page').textContent(), /€|EUR|worth/i, hash);
  }
  await visit(baker, '#/ordering');
  assert.doesNotMatch(await baker.locator('#page').textContent(), /About/);
  await visit(baker, '#/stock/+values');
  await baker.getByText('This page is for owners').waitFor();
  await baker.context().close();
});

test('axe finds nothing, nothing scrolls sideways on a telephone, also of large amounts', async () => {
  await delivery([{ ingredient: 'salt', g: 1900000, price: '13481.80' }]);
  const { number } = (await world.api('GET', '/purchase-orders')).items[0];
  for (const hash of ['#/stock', '#/stock/flour', '#/stock/+use', '#/stock/+values', '#/ordering', `#/ordering/${number}`]) {
    await visit(page, hash);
    if (hash === '#/stock/flour') await press('Sent back');
    await checkLooks(page, hash);
  }
});
