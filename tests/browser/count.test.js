/* Counting: the sheet on paper, typed in by keyboard, looked through, posted once; the book is right then. */
import assert from 'node:assert/strict';
import { after, before, beforeEach, test } from 'node:test';
import { enterBakery, plusDays } from './fixture.js';
import { flat, hands, look, loseFirstAnswer, openWorld, pdfPages, signedIn, violations, visit } from './harness.js';

let world;
let page;
let today;
let lots; // flour in the store, rye, salt

const { field, press, said } = hands(() => page);
const rowsOf = async (selector) => (await page.locator(`${selector} tbody tr:visible`).allTextContents()).map(flat);
const leftOf = async (lot) => (await world.api('GET', `/lots/${lot}`)).left_g;

before(async () => {
  world = await openWorld();
  ({ today } = await enterBakery(world.api));
  await world.api('PUT', '/ingredients/seeds', { name: 'Sunflower seeds', kind: 'other', unit: 'g' });
  const { lines } = await world.api('POST', '/goods-in', {
    date: today,
    supplier: 'mill',
    lines: [
      {
        ingredient: 'flour',
        g: 100000,
        pack_g: 25000,
        price: '100.00',
        lot_mark: 'L27-061',
        best_before: plusDays(today, 90),
      },
      { ingredient: 'rye', g: 50000, pack_g: 25000, price: '30.00', place: 'loft' },
      { ingredient: 'salt', g: 20000, pack_g: 10000, price: '10.00', place: 'loft' },
    ],
  });
  lots = lines.map((one) => one.lot);
});
after(() => world.close());

beforeEach(async () => {
  page ??= await signedIn(world, 'owner');
  await page.unrouteAll();
  await page.evaluate(() => localStorage.clear());
  await visit(page, '#/count');
});

const packs = (name, lot, place) => field(`${name}, lot ${lot}, ${place}: full packs`);
const rest = (name, lot, place) => field(`${name}, lot ${lot}, ${place}: grams besides full packs`);

test('prints a sheet with room to write, blind when wanted', async () => {
  const [open] = await pdfPages(world, page);
  assert.match(open, /Count sheet/);
  assert.match(open, /Counted by/);
  assert.match(open, /Loft[\s\S]*Rye flour[\s\S]*Salt[\s\S]*Store[\s\S]*White flour/, 'by place');
  assert.match(open, /Full packs +Part-sack +Book says/);
  assert.match(open, /L27-061/);
  assert.match(open, /100 kg/);
  await packs('White flour', lots[0], 'store').fill('77');
  await field('Blind: leave out what the book says').check();
  const [blind] = await pdfPages(world, page);
  assert.doesNotMatch(blind, /Book says|100 kg|50 kg/);
  assert.doesNotMatch(blind, /Dust:/);
  assert.deepEqual(await page.locator('.book:visible').count(), 0);
  await visit(page, '#/count');
  assert.equal(await field('Blind: leave out what the book says').isChecked(), true, 'the choice is remembered');
  assert.equal(await packs('White flour', lots[0], 'store').inputValue(), '77', 'and so is what was typed');
  await press('Start over');
  await page.waitForFunction(() =>
    [...document.querySelectorAll('table.count input')].every((one) => one.value === ''),
  );
});

test('is typed in with Enter, looked through, posted, and the book is right', async () => {
  await packs('Rye flour', lots[1], 'loft').focus();
  for (const typed of ['1', '12,5 kg', '2', '', '', '']) {
    await page.keyboard.type(typed);
    await page.keyboard.press('Enter');
  }
  assert.equal(await page.evaluate(() => document.activeElement.textContent), 'Look at the differences');
  assert.equal(flat(await page.locator('.totals').textContent()), '2 lines filled in, 3 on the sheet');
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { name: 'Look through it before it is posted' }).waitFor();
  // 12.5 kg of rye are missing, at 30.00 for 50 kg; salt is as the book says; flour was not counted.
  const [rye] = await rowsOf('.differences');
  assert.match(rye, /Rye flour.*37\.5 kg.*50 kg−12\.5 kg−€7\.50$/);
  assert.equal((await rowsOf('.differences')).length, 1);
  await said('1 line is as the book says');
  await said('1 line was left empty: not counted');
  assert.equal(await leftOf(lots[1]), 50000, 'nothing is posted yet');
  await press('Post the count');
  await said('Posted: the book says now what was found');
  assert.equal(await leftOf(lots[1]), 37500);
  assert.equal(await leftOf(lots[0]), 100000, 'what was not counted stays');
  const [count] = (await world.api('GET', '/counts')).items;
  assert.deepEqual(
    count.lines.map((one) => [one.ingredient, one.difference_g, one.difference_value]),
    [
      ['rye', -12500, '-7.50'],
      ['salt', 0, '0.00'],
    ],
  );
  assert.match((await rowsOf('.differences'))[0], /−12\.5 kg−€7\.50$/);
  const [paper] = await pdfPages(world, page);
  assert.match(paper, /Rye flour[\s\S]*−12\.5 kg +−€7\.50/);
  await press('Undo this count');
  await page.getByRole('dialog').getByRole('button', { name: 'Counted wrong' }).click();
  await page.keyboard.press('Enter');
  await said('Undone: the book says again');
  assert.equal(await leftOf(lots[1]), 50000);
});

test('the biggest difference comes first: by money for the owner, by kilos for a baker, who sees no money', async () => {
  const fill = async () => {
    await packs('White flour', lots[0], 'store').fill('3'); // 25 kg of flour at 100.00 for 100 kg: 25.00
    await packs('Rye flour', lots[1], 'loft').fill('0'); // 50 kg of rye: 30.00
    await rest('Salt', lots[2], 'loft').fill('48 kg'); // 28 kg of salt at 10.00 for 20 kg: 14.00
    await press('Look at the differences');
    await page.waitForSelector('.count-review');
    return (await rowsOf('.differences')).map((text) => /^\D+?(?=L27-061|Lot)/.exec(text)[0]);
  };
  assert.deepEqual(await fill(), ['Rye flour', 'White flour', 'Salt']);
  assert.match((await rowsOf('.differences'))[0], /A whole pack or more: look again/);
  await said('−€41.00 altogether');
  const owner = page;
  page = await signedIn(world, 'baker');
  await visit(page, '#/count');
  assert.deepEqual(await fill(), ['Rye flour', 'Salt', 'White flour']);
  assert.doesNotMatch(await page.locator('#page').textContent(), /€|[Ww]orth/);
  await page.context().close();
  page = owner;
});

test('takes what is not on the sheet: a lot in another place, and what no book was kept of', async () => {
  await press('Add what is not on the sheet');
  await page.keyboard.type('white');
  await page.keyboard.press('Enter');
  const extra = page.locator('tr:has(.found-what)');
  await extra.getByLabel('Of which lot').waitFor();
  assert.equal(await extra.getByLabel('Of which lot').inputValue(), String(lots[0]));
  await extra.getByLabel(/besides full packs/).fill('4000');
  await press('Look at the differences');
  await said('Where does it stand?');
  await extra.getByLabel('Place', { exact: true }).fill('bakehouse');
  await page.getByText(/^Not in the book yet/).click();
  await field('Sunflower seeds: grams besides full packs').fill('3400');
  await field('Sunflower seeds: place').fill('loft');
  await press('Look at the differences');
  await page.waitForSelector('.count-review');
  assert.match((await rowsOf('.differences')).join('\n'), /Sunflower seeds.*begins its book/);
  await press('Post the count');
  await said('Posted: the book says now');
  const flour = await world.api('GET', `/lots/${lots[0]}`);
  assert.deepEqual(
    flour.places.map((one) => [one.place, one.g]),
    [
      ['bakehouse', 4000],
      ['store', 100000],
    ],
  );
  const [seeds] = (await world.api('GET', '/lots?ingredient=seeds')).items;
  assert.deepEqual([seeds.supplier, seeds.left_g, seeds.places[0].place], [null, 3400, 'loft']);
});

test('says what is wrong at its line, and nothing typed is no count', async () => {
  await press('Look at the differences');
  await said('Nothing is filled in yet');
  await packs('Salt', lots[2], 'loft').fill('1.5');
  await press('Look at the differences');
  assert.match(await page.locator('tr', { hasText: 'Salt' }).first().textContent(), /Only whole numbers here/);
  assert.equal(await packs('Salt', lots[2], 'loft').getAttribute('aria-invalid'), 'true');
  await packs('Salt', lots[2], 'loft').fill('1');
  await field('Counted on').fill(plusDays(today, 800));
  await press('Look at the differences');
  await press('Post the count');
  await said('is more than two years ahead');
  assert.equal(await field('Counted on').isVisible(), true, 'back at what is to be put right');
});

test('after a lost answer it is posted once', async () => {
  const earlier = (await world.api('GET', '/counts')).items.length;
  await loseFirstAnswer(page, '/counts', (route) => route.abort('failed'));
  await packs('Salt', lots[2], 'loft').fill('1');
  await press('Look at the differences');
  await press('Post the count');
  await said('cannot be reached');
  await press('Try again');
  await said('Posted: the book says now');
  assert.equal((await world.api('GET', '/counts')).items.length, earlier + 1);
  assert.equal(await leftOf(lots[2]), 10000);
});

test('typed, looked through and posted it is clean to axe, and fits a telephone by night', async () => {
  await look(page, { scheme: 'dark', width: 390 });
  await press('Add what is not on the sheet');
  await packs('Rye flour', lots[1], 'loft').fill('1');
  assert.deepEqual(await violations(page), [], 'typing');
  await page.getByRole('button', { name: 'Take this line out' }).click();
  await press('Look at the differences');
  await page.waitForSelector('.count-review');
  assert.deepEqual(await violations(page), [], 'looking through');
  await press('Post the count');
  await said('Posted: the book says now');
  assert.deepEqual(await violations(page), [], 'posted');
  assert.deepEqual(page.faults, []);
});
