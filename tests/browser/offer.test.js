/* Until when something can be ordered, and whether so much of it can be taken. */
import assert from 'node:assert/strict';
import { after, before, beforeEach, test } from 'node:test';
import { order, plusDays } from './fixture.js';
import { flat, openWorld, signedIn, visit } from './harness.js';
import { enterNight } from './night.js';

let world;
let page;
let breadDay;
let today;

const pieces = (product) => page.getByLabel(product, { exact: true });
const row = (product) => page.locator('table.pieces tr', { hasText: product });
const answer = (product) => row(product).locator('.offer');

/* Anew, also when the page is shown already. */
async function open(hash) {
  await visit(page, '#/orders');
  await visit(page, hash);
}

before(async () => {
  world = await openWorld();
  ({ breadDay, today } = await enterNight(world.api));
  page = await signedIn(world, 'counter');
});
after(() => world.close());

beforeEach(async () => {
  for (const one of (await world.api('GET', `/orders?date=${breadDay}`)).items) await world.api('DELETE', `/orders/${one.id}`);
  await page.evaluate(() => localStorage.clear());
});

const lastOrder = async (date, product) =>
  (await world.api('GET', `/days/${date}/last-orders`)).items.find((one) => one.product === product);

test('each product says until when it can be ordered, and follows the bread day that is typed', async () => {
  const last = await lastOrder(breadDay, 'table-loaf');
  assert.equal(last.over, false);
  await open(`#/orders/${breadDay}/new`);
  const clock = row('Table loaf').locator('.last-order');
  await clock.getByText('until').waitFor();
  assert.match(flat(await clock.textContent()), new RegExp(`^until ${last.at.slice(11, 16)} `));
  await page.getByLabel('Bread day').fill(plusDays(today, -1));
  await clock.getByText('closed since').waitFor();
  assert.match(flat(await clock.textContent()), /^closed since \d\d:\d\d /);
});

test('the clock goes on while the page stands open', async () => {
  await page.route('**/last-orders', async (route) => {
    const now = new Date();
    const at = new Date(now.getTime() + 3000);
    const instant = (moment) => `${moment.toISOString().slice(0, 19)}+00:00`;
    const item = { product: 'table-loaf', name: 'Table loaf', at: instant(at), over: false, because: 'mix', formula: 'table', starter: null };
    await route.fulfill({ json: { date: breadDay, now: instant(now), items: [item] } });
  });
  await open(`#/orders/${breadDay}/new`);
  await pieces('Table loaf').fill('3');
  const clock = row('Table loaf').locator('.last-order');
  await clock.getByText('until').waitFor();
  await clock.getByText('closed since').waitFor({ timeout: 20000 });
  assert.match(await page.locator('#spoken').textContent(), /last moment to order Table loaf has passed/);
  await page.unroute('**/last-orders');
});

test('can we take it? yes', async () => {
  await open(`#/orders/${breadDay}/new`);
  await pieces('Table loaf').fill('20');
  await row('Table loaf').getByRole('button', { name: 'Can we take it?' }).click();
  await answer('Table loaf').getByText('Yes, 20 can be made.').waitFor();
  await pieces('Table loaf').fill('21');
  assert.equal(await answer('Table loaf').textContent(), '', 'an answer about 20 is none about 21');
});

/* A number that is too many, and what the API says to it. */
async function tooMany() {
  const asked = 4000;
  const offer = await world.api('POST', `/days/${breadDay}/offers`, { product: 'table-loaf', pieces: asked });
  assert.equal(offer.answer, 'no');
  assert.ok(offer.possible > 0 && offer.possible < asked, JSON.stringify(offer));
  return { asked, offer };
}

test('no: the one thing that binds, and one key takes what is possible', async () => {
  const { asked, offer } = await tooMany();
  await open(`#/orders/${breadDay}/new`);
  await pieces('Table loaf').fill(String(asked));
  await page.keyboard.press('?');
  await answer('Table loaf').getByText('No: ').waitFor();
  assert.match(flat(await answer('Table loaf').textContent()), new RegExp(offer.reason.text));
  assert.equal(await pieces('Table loaf').inputValue(), String(asked), 'the question mark is not typed');
  await page.waitForFunction(() => document.activeElement.classList.contains('take'));
  await page.keyboard.press('Enter');
  assert.equal(await pieces('Table loaf').inputValue(), String(offer.possible));
  assert.equal(await page.evaluate(() => document.activeElement.labels?.[0].textContent), 'Table loaf');
});

test('it advises only: an order is saved against its advice', async () => {
  const { asked } = await tooMany();
  await open(`#/orders/${breadDay}/new`);
  await page.getByLabel('Customer', { exact: true }).fill('Our counter');
  await pieces('Table loaf').fill(String(asked));
  await page.keyboard.press('?');
  await answer('Table loaf').getByText('No: ').waitFor();
  await page.getByRole('button', { name: 'Save the order' }).click();
  await page.locator('#page').getByText('Saved: Our counter').waitFor();
});

test('an order that is changed asks for what comes on top', async () => {
  const { id } = await order(world.api, 'counter', breadDay, { 'table-loaf': 10 });
  await open(`#/orders/${breadDay}/${id}`);
  const press = row('Table loaf').getByRole('button', { name: 'Can we take it?' });
  await press.click();
  await answer('Table loaf').getByText('it is ordered already').waitFor();
  await pieces('Table loaf').fill('14');
  const asked = page.waitForRequest('**/offers');
  await press.click();
  assert.deepEqual((await asked).postDataJSON(), { product: 'table-loaf', pieces: 4 });
  await answer('Table loaf').getByText('Yes, 14 can be made.').waitFor();
});

test('without a connection it says so, and the order can be written all the same', async () => {
  await page.route('**/last-orders', (route) => route.abort('failed'));
  await page.route('**/offers', (route) => route.abort('failed'));
  await open(`#/orders/${breadDay}/new`);
  await page.locator('#page').getByText('Until when each product can be ordered is not known').waitFor();
  await pieces('Table loaf').fill('20');
  await page.keyboard.press('?');
  await answer('Table loaf').getByText('Not known: The server cannot be reached').waitFor();
  await page.unroute('**/last-orders');
  await page.unroute('**/offers');
});

test('nothing went wrong in the scripts', () => {
  assert.deepEqual(page.faults, []);
});
