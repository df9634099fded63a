/* Batches are mixed on the mixing list: by touch, of a chosen lot, undone; and ticks without a connection,
 * which are never lost and never posted twice. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { enterBakery, mixingDate, order, plusDays } from './fixture.js';
import { checkLooks, deliver, flat, interfere, openWorld, pdfPages, signedIn, visit } from './harness.js';

const EACH = 8855; // grams of white flour that the list has for a batch of table dough: 8854.167 at 5 g

let world;
let page;
let dates; // of two mixing lists, each with three batches of table dough and one of dark dough
let lots; // numbers of lots of white flour: the one that lasts shorter, the one that lasts longer

before(async () => {
  world = await openWorld();
  const { today } = await enterBakery(world.api);
  dates = [];
  for (const day of [1, 2]) {
    const breadDay = plusDays(today, day);
    await order(world.api, 'harbour-cafe', breadDay, { 'table-loaf': 60, 'dark-loaf': 12 });
    dates.push(await mixingDate(world.api, breadDay));
  }
  const { lines } = await world.api('POST', '/goods-in', {
    date: today,
    supplier: 'mill',
    delivery_note: 'D-881',
    lines: [
      { ingredient: 'flour', g: 25000, lot_mark: 'UM 4471', best_before: plusDays(today, 60) },
      { ingredient: 'flour', g: 75000, lot_mark: 'UM 4502', best_before: plusDays(today, 200) },
    ],
  });
  lots = lines.map((line) => line.lot);
  page = await tablet();
});
after(() => world.close());

/* A page of a browser of its own that is touched, not clicked. */
const tablet = () => signedIn(world, 'baker', { width: 820, height: 1180, touch: true });

const tap = (name, on = page) => on.getByRole('button', { name, exact: true }).tap();
const mark = (batch, on = page) => on.locator('#mix-of-table .batch-mark').nth(batch - 1);
const posted = (date) => world.api('GET', `/mixing-lists/${date}/batches`).then(({ items }) => items);
const left = async () => Promise.all(lots.map(async (lot) => (await world.api('GET', `/lots/${lot}`)).left_g));
const mixed = async () => (await world.api('GET', '/movements?kind=mixed&limit=100')).items;
const block = (on) => on.context().route('**/api/**', (route) => route.abort('failed'));

/* The network is there again, and the browser has noticed. */
async function unblock(on) {
  await on.context().unroute('**/api/**');
  await on.evaluate(() => window.dispatchEvent(new Event('online')));
}

/* The two touches of a batch as it is listed. */
async function tick(batch, on = page) {
  await tap(`Mixed batch ${batch} of Table dough`, on);
  await tap('Mixed', on);
}

async function until(what, work) {
  for (let n = 0; n < 100; n += 1) {
    if (await work()) return;
    await new Promise((resolve) => {
      setTimeout(resolve, 100);
    });
  }
  assert.fail(what);
}

test('a batch of a chosen lot, by touch', async () => {
  await visit(page, `#/mixing/${dates[0]}`);
  const control = page.getByRole('button', { name: 'Mixed batch 1 of Table dough' });
  const box = await control.boundingBox();
  assert.ok(box.height >= 48 && box.width >= 48, `${box.width} by ${box.height} px`);
  await control.tap();
  const dialog = page.locator('dialog');
  assert.match(flat(await dialog.textContent()), /White flourg.*Oldest best-before: UM 4471/);
  await tap('Another lot of White flour');
  await dialog.getByLabel('Lot of White flour', { exact: true }).selectOption(String(lots[1]));
  await dialog.getByLabel('Salt', { exact: true }).fill('180');
  await dialog.getByText('17.005 kg in all; 17.000 kg are listed').waitFor();
  await tap('Mixed');
  await page.locator('.batch-mark.mixed').getByText(/^Mixed \d\d:\d\d.*, baker$/).waitFor();
  const [batch] = await posted(dates[0]);
  assert.deepEqual([batch.formula, batch.batch, batch.posted_by], ['table', 1, 'baker']);
  const weighed = (code) => batch.lines.find((line) => line.ingredient === code);
  assert.deepEqual([weighed('salt').g, weighed('flour').lots.map(({ lot, g }) => [lot, g])], [180, [[lots[1], EACH]]]);
  assert.deepEqual(await left(), [25000, 75000 - EACH]);
});

test('as listed it takes two touches, and the lot that lasts shortest; split over two lots by a line', async () => {
  await tick(2);
  await mark(2).and(page.locator('.mixed')).waitFor();
  assert.deepEqual(await left(), [25000 - EACH, 75000 - EACH]);
  await tap('Mixed batch 3 of Table dough');
  await tap('Another lot of White flour');
  await page.getByLabel('Lot of White flour', { exact: true }).selectOption(String(lots[0]));
  await tap('Split over one more lot of White flour');
  await page.getByLabel('White flour', { exact: true }).fill('2000');
  await page.getByLabel('White flour, another lot', { exact: true }).fill('6855');
  await tap('Mixed');
  await mark(3).and(page.locator('.mixed')).waitFor();
  assert.deepEqual(await left(), [25000 - EACH - 2000, 75000 - EACH - 6855]);
  await tap('What went in batch 3 of Table dough');
  assert.match(flat(await page.locator('dialog').textContent()), /2 kg of UM 4471 .*6\.855 kg of UM 4502/);
  await tap('Close');
});

test('none of it is on paper', async () => {
  const text = flat((await pdfPages(world, page)).join(' '));
  assert.match(text, /Table dough/);
  assert.doesNotMatch(text, /Mixed \d\d:\d\d|What went in/);
});

test('it is undone when asked, and what it took is back', async () => {
  await tap('What went in batch 1 of Table dough');
  await tap('Undo this batch');
  await tap('Ticked by mistake');
  await tap('Undo it');
  await page.locator('.messages').getByText('Undone: batch 1 of Table dough').waitFor();
  await page.getByRole('button', { name: 'Mixed batch 1 of Table dough' }).waitFor();
  assert.deepEqual(await left(), [25000 - EACH - 2000, 75000 - 6855]);
});

test('a tablet whose clock is an hour ahead posts all the same, at the time of the server', async () => {
  const other = await tablet();
  await other.clock.setFixedTime(Date.now() + 3600000);
  await visit(other, `#/mixing/${dates[0]}`);
  await tick(1, other);
  await mark(1, other).and(other.locator('.mixed')).waitFor();
  const batch = (await posted(dates[0])).find((one) => one.formula === 'table' && one.batch === 1);
  assert.ok(Math.abs(Date.parse(batch.mixed_at) - Date.now()) < 60000, batch.mixed_at);
  assert.deepEqual(other.faults, []);
  await other.context().close();
  await world.api('POST', '/movements', { kind: 'reversed', reverses: batch.movement });
});

test('a batch that was mixed on another tablet appears', async () => {
  await world.api('POST', `/mixing-lists/${dates[0]}/batches`, { formula: 'dark', batch: 1 });
  await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
  await page.locator('#mix-of-dark .batch-mark.mixed').getByText(/, test$/).waitFor();
});

test('ticked without a connection: kept over a reload, posted once', async () => {
  await visit(page, `#/mixing/${dates[1]}`);
  const earlier = (await mixed()).length;
  await block(page);
  await tick(1);
  await tick(2);
  await mark(2).getByText('waits for the server').waitFor();
  await page.getByText('2 batches that were ticked wait for the server.').waitFor();
  await page.reload(); // the server is away still: the page says so, and forgets nothing
  await page.getByText('The server cannot be reached.').first().waitFor();
  assert.deepEqual(await posted(dates[1]), []);
  await unblock(page);
  await page.reload();
  await mark(2).and(page.locator('.mixed')).waitFor();
  assert.deepEqual((await posted(dates[1])).map((one) => one.batch), [1, 2]);
  assert.equal((await mixed()).length, earlier + 2);
  assert.equal(await page.evaluate(() => Object.keys(localStorage).filter((name) => name.startsWith('morrowloaf-batch')).length), 0);
});

test('an answer that was lost is asked for again, and nothing is posted twice', async () => {
  const earlier = (await mixed()).length;
  let sent = 0;
  await interfere(page, '/mixing-lists/*/batches', async (route, times) => {
    sent = times;
    if (times > 1) return route.continue();
    await deliver(route);
    return route.abort('failed');
  });
  await tick(3);
  await mark(3).and(page.locator('.mixed')).waitFor();
  assert.deepEqual([sent, (await mixed()).length], [2, earlier + 1]);
  await page.unrouteAll();
});

test('a tick of unknown fate that is taken back is undone once its fate is known', async () => {
  await tap('What went in batch 3 of Table dough');
  await tap('Undo this batch');
  await tap('Ticked by mistake');
  await tap('Undo it');
  await page.getByRole('button', { name: 'Mixed batch 3 of Table dough' }).waitFor();
  const earlier = await left();
  let delivered = 0;
  await page.route('**/api/**', async (route) => {
    if (route.request().method() === 'POST' && delivered === 0) {
      delivered += 1;
      await deliver(route);
    }
    return route.abort('failed');
  });
  await tick(3);
  await until('the tick was not sent', async () => (await posted(dates[1])).length === 3);
  await tap('Take the tick back batch 3 of Table dough');
  await mark(3).getByText('the tick is taken back as soon as the server answers').waitFor();
  await page.unroute('**/api/**');
  await page.evaluate(() => window.dispatchEvent(new Event('online')));
  await page.getByRole('button', { name: 'Mixed batch 3 of Table dough' }).waitFor();
  assert.deepEqual([(await posted(dates[1])).length, await left()], [2, earlier]);
});

test('two tabs of one browser send a tick once', async () => {
  await visit(page, `#/mixing/${dates[0]}`);
  const other = await page.context().newPage();
  await other.goto(`${world.base}/#/mixing/${dates[0]}`);
  await other.getByRole('button', { name: 'Mixed batch 1 of Table dough' }).waitFor();
  await block(page);
  await tick(1);
  await mark(1, other).getByText('waits for the server').waitFor();
  await mark(1).getByText('waits for the server').waitFor();
  const sent = [];
  page.context().on('response', (response) => response.request().method() === 'POST' && sent.push(response.status()));
  await page.context().unroute('**/api/**');
  await Promise.all([page, other].map((tab) => tab.evaluate(() => window.dispatchEvent(new Event('online')))));
  for (const tab of [page, other]) await mark(1, tab).and(tab.locator('.mixed')).waitFor();
  assert.deepEqual(sent, [201]);
  assert.equal((await posted(dates[0])).filter((one) => one.formula === 'table' && one.batch === 1).length, 1);
  await other.close();
});

test('posted by somebody else meanwhile: said, and settled', async () => {
  await visit(page, `#/mixing/${dates[1]}`);
  await block(page);
  await tick(3);
  await mark(3).getByText('waits for the server').waitFor();
  await world.api('POST', `/mixing-lists/${dates[1]}/batches`, { formula: 'table', batch: 3 });
  await unblock(page);
  await mark(3).getByText(/was not posted: was posted by test at \d\d:\d\d/).waitFor();
  await tap('All right batch 3 of Table dough');
  await mark(3).and(page.locator('.mixed')).getByText(/, test$/).waitFor();
});

test('too little by the book stays as a question with its ways out', async () => {
  await world.api('POST', '/starters/wheat/log', { kind: 'begun', g: 200 });
  const dark = page.locator('#mix-of-dark .batch-mark');
  await tap('Mixed Dark dough');
  await page.getByLabel('White flour', { exact: true }).fill('80 000');
  await tap('Mixed');
  await dark.and(page.locator('.asked')).waitFor();
  assert.match(flat(await dark.textContent()), /not posted\..*[Tt]here (are|is) only .*White flour/);
  assert.equal(await dark.getByRole('link', { name: 'Count what there is' }).getAttribute('href'), '#/count');
  assert.equal(await dark.getByRole('link', { name: 'Weigh the pot of Wheat starter' }).getAttribute('href'), '#/starters/wheat');
  await page.reload();
  await dark.and(page.locator('.asked')).waitFor();
  await tap('Change amount or lot Dark dough');
  await page.locator('dialog .fault', { hasText: 'only' }).first().waitFor();
  await page.getByLabel('White flour', { exact: true }).fill('2035');
  await page.getByLabel('Wheat starter', { exact: true }).fill('150');
  await tap('Mixed');
  await dark.and(page.locator('.mixed')).waitFor();
  const [taken] = (await world.api('GET', '/starters/wheat/log')).items;
  assert.deepEqual([taken.kind, taken.on_hand_g, taken.batch.formula], ['taken', 50, 'dark']);
  await world.api('POST', '/starters/wheat/log', { kind: 'weighed', g: 20000 });
});

test('where the print is of other amounts, what was weighed is asked for', async () => {
  const words = page.locator('dialog').getByText('The print is of other amounts');
  const { movement } = (await posted(dates[1])).find((one) => one.formula === 'dark');
  await world.api('POST', '/movements', { kind: 'reversed', reverses: movement });
  await world.api('POST', `/mixing-lists/${dates[1]}/prints`);
  await page.reload();
  await tap('Mixed Dark dough');
  assert.equal(await words.count(), 0);
  await tap('Not yet');
  const { id } = await world.api('POST', '/orders', {
    customer: 'harbour-cafe',
    date: plusDays(dates[1], 1),
    lines: [{ product: 'dark-loaf', pieces: 1 }],
  });
  await page.reload();
  await tap('Mixed Dark dough');
  await words.waitFor();
  await tap('Not yet');
  await world.api('DELETE', `/orders/${id}`);
});

/* --- everybody can use it --- */

test('axe finds nothing, by day and on a telephone by night', async () => {
  const { movement } = (await posted(dates[1])).find((one) => one.batch === 2);
  await world.api('POST', '/movements', { kind: 'reversed', reverses: movement });
  await page.reload();
  await page.getByRole('button', { name: 'Mixed batch 2 of Table dough' }).waitFor();
  await checkLooks(page, 'posted');
  await tap('Mixed batch 2 of Table dough');
  await tap('Another lot of White flour');
  await checkLooks(page, 'the panel', { parts: ['dialog'] });
  await page.getByLabel('White flour', { exact: true }).fill('900 000');
  await tap('Mixed');
  await page.locator('.asked').waitFor();
  await checkLooks(page, 'asked', { parts: ['#mix-of-table'] });
  await tap('Take the tick back batch 2 of Table dough');
  await block(page);
  await tick(2);
  await page.locator('.batch-notice .message').waitFor();
  await checkLooks(page, 'waiting', { parts: ['.batch-notice', '#mix-of-table'] });
  await unblock(page);
  await mark(2).and(page.locator('.mixed')).waitFor();
  await tap('What went in batch 2 of Table dough');
  await checkLooks(page, 'what went in', { parts: ['dialog'] });
  await tap('Close');
});

test('nothing went wrong in the scripts', () => {
  assert.deepEqual(page.faults, []);
});
