/* Entering orders: by keyboard alone, and never lost, never twice. */
import assert from 'node:assert/strict';
import { after, before, beforeEach, test } from 'node:test';
import { enterBakery, order, plusDays } from './fixture.js';
import { interfere, loseFirstAnswer, openPage, openWorld, signedIn, visit } from './harness.js';

let world;
let page;
let breadDay;

const ordersOf = async (date = breadDay) => (await world.api('GET', `/orders?date=${date}`)).items;
const pieces = (product) => page.getByLabel(product, { exact: true });

before(async () => {
  world = await openWorld();
  ({ breadDay } = await enterBakery(world.api));
});
after(() => world.close());

beforeEach(async () => {
  await page?.context().close();
  for (const one of await ordersOf()) await world.api('DELETE', `/orders/${one.id}`);
  page = await signedIn(world, 'counter');
});

async function openNew() {
  await visit(page, `#/orders/${breadDay}/new`);
}

async function fillIn(customer, count) {
  await page.getByLabel('Customer', { exact: true }).fill(customer);
  await pieces('Table loaf').fill(String(count));
}

test('signs in, enters an order and leaves it, by keyboard alone', async () => {
  const fresh = await openPage(world);
  await fresh.goto(`${world.base}/#/orders/${breadDay}`);
  await fresh.waitForSelector('form');
  const keys = async (...list) => {
    for (const key of list) await fresh.keyboard.press(key);
  };
  const focused = () =>
    fresh.evaluate(() => document.activeElement.labels?.[0]?.textContent ?? document.activeElement.textContent);
  const tabTo = async (name) => {
    for (let n = 0; n < 60 && (await focused()) !== name; n += 1) await keys('Tab');
    assert.equal(await focused(), name);
  };
  await tabTo('Name');
  await fresh.keyboard.type('counter');
  await tabTo('Password');
  await fresh.keyboard.type('crumb-and-crust-11');
  await keys('Enter');
  await fresh.getByRole('heading', { name: /^Orders/ }).waitFor();
  await tabTo('New order');
  await keys('Enter');
  await fresh.getByRole('heading', { name: 'New order' }).waitFor();
  assert.equal(await focused(), 'Customer');
  await fresh.keyboard.type('harbour café');
  await keys('Enter'); // a known customer: on to the pieces
  assert.equal(await focused(), 'Dark loaf');
  await fresh.keyboard.type('6');
  await keys('ArrowDown');
  assert.equal(await focused(), 'Table loaf');
  await fresh.keyboard.type('40');
  assert.match(await fresh.locator('.totals').textContent(), /^46 pieces · 40\.000 kg/);
  await keys('ArrowUp', 'Enter', 'Enter'); // down again, and on the last one Enter saves
  await fresh.locator('#page').getByText('Saved: Harbour Café, 46 pieces').waitFor();
  const [saved] = await ordersOf();
  assert.equal(saved.customer, 'harbour-cafe');
  assert.deepEqual(saved.lines, [
    { product: 'dark-loaf', pieces: 6 },
    { product: 'table-loaf', pieces: 40 },
  ]);
  assert.deepEqual(fresh.faults, []);
  await fresh.context().close();
});

test('adds a customer who is not known on the spot', async () => {
  await openNew();
  await page.getByLabel('Customer', { exact: true }).fill('Öl & Salz Café');
  await page.keyboard.press('Enter');
  await page.keyboard.press('Enter'); // the button that adds
  await page.waitForFunction(() => document.activeElement.closest('table.pieces'));
  await pieces('Table loaf').fill('3');
  await page.getByRole('button', { name: 'Save the order' }).click();
  await page.locator('#page').getByText('Saved: Öl & Salz Café').waitFor();
  assert.equal((await ordersOf())[0].customer, 'ol-salz-cafe');
});

test('shows faults at their fields, ours and the server’s', async () => {
  await openNew();
  await fillIn('Harbour Café', '4x');
  await page.getByRole('button', { name: 'Save the order' }).click();
  const input = pieces('Table loaf');
  assert.equal(await input.getAttribute('aria-invalid'), 'true');
  assert.match(await page.locator(`#${await input.getAttribute('aria-describedby')}`).textContent(), /not a number/);
  await input.fill('2000000'); // more than the server takes
  await pieces('Dark loaf').fill('1');
  await page.getByRole('button', { name: 'Save the order' }).click();
  await page.waitForSelector('[role=alert]');
  assert.equal(await input.getAttribute('aria-invalid'), 'true');
  assert.equal(await pieces('Dark loaf').getAttribute('aria-invalid'), null);
  assert.equal(await page.evaluate(() => document.activeElement.labels[0].textContent), 'Table loaf');
  assert.equal((await ordersOf()).length, 0);
});

test('a double click makes one order', async () => {
  await openNew();
  await fillIn('Harbour Café', 12);
  await page.getByRole('button', { name: 'Save the order' }).dblclick();
  await page.locator('#page').getByText('Saved: Harbour Café').waitFor();
  assert.equal((await ordersOf()).length, 1);
});

test('without a connection what was typed stays, and trying again saves it once', async () => {
  await openNew();
  await fillIn('Harbour Café', 12);
  await interfere(page, '/orders', (route, times) => (times < 3 ? route.abort('failed') : route.continue()));
  await page.getByRole('button', { name: 'Save the order' }).click();
  await page.locator('#page').getByText('cannot be reached').waitFor();
  assert.equal(await pieces('Table loaf').inputValue(), '12');
  await page.getByRole('button', { name: 'Try again' }).click();
  await page.locator('#page').getByText('cannot be reached').waitFor();
  await page.getByRole('button', { name: 'Try again' }).click();
  await page.locator('#page').getByText('Saved: Harbour Café').waitFor();
  assert.equal((await ordersOf()).length, 1);
});

test('an order that was stored without our hearing of it is not stored again', async () => {
  await openNew();
  await fillIn('Harbour Café', 12);
  await loseFirstAnswer(page, '/orders');
  await page.getByRole('button', { name: 'Save the order' }).click();
  await page.getByRole('button', { name: 'Try again' }).click();
  await page.locator('#page').getByText('Saved: Harbour Café').waitFor();
  assert.equal((await ordersOf()).length, 1);
});

test('changed after a lost answer, it becomes a change of that order', async () => {
  await openNew();
  await fillIn('Harbour Café', 12);
  await loseFirstAnswer(page, '/orders');
  await page.getByRole('button', { name: 'Save the order' }).click();
  await page.getByRole('button', { name: 'Try again' }).waitFor();
  await pieces('Table loaf').fill('15');
  await page.getByRole('button', { name: 'Save the order' }).click();
  await page.locator('#page').getByText('Saved: Harbour Café').waitFor();
  const orders = await ordersOf();
  assert.deepEqual(
    orders.map((one) => one.lines),
    [[{ product: 'table-loaf', pieces: 15 }]],
  );
});

test('reloaded after a lost answer, it still knows its key', async () => {
  await openNew();
  await fillIn('Harbour Café', 12);
  await loseFirstAnswer(page, '/orders');
  await page.getByRole('button', { name: 'Save the order' }).click();
  await page.getByRole('button', { name: 'Try again' }).waitFor();
  await page.reload();
  await page.locator('#page').getByText('What you typed before').waitFor();
  assert.equal(await pieces('Table loaf').inputValue(), '12');
  await page.getByRole('button', { name: 'Save the order' }).click();
  await page.locator('#page').getByText('Saved: Harbour Café').waitFor();
  assert.equal((await ordersOf()).length, 1);
});

test('a session that ends meanwhile costs nothing that was typed', async () => {
  await openNew();
  await fillIn('Harbour Café', 9);
  await page.context().clearCookies();
  await page.getByRole('button', { name: 'Save the order' }).click();
  await page.getByRole('heading', { name: 'Please sign in again' }).waitFor();
  await page.getByLabel('Name').fill('counter');
  await page.getByLabel('Password').fill('crumb-and-crust-11');
  await page.keyboard.press('Enter');
  await page.locator('#page').getByText('Saved: Harbour Café, 9 pieces').waitFor();
  assert.equal((await ordersOf()).length, 1);
});

test('a change by another is shown, and the user decides', async () => {
  const { id } = await order(world.api, 'counter', breadDay, { 'table-loaf': 24 });
  const change = (count) =>
    world.api('PUT', `/orders/${id}`, {
      customer: 'counter',
      date: breadDay,
      lines: [{ product: 'table-loaf', pieces: count }],
    });
  await visit(page, `#/orders/${breadDay}/${id}`);
  await pieces('Table loaf').fill('26');
  await change(30);
  await page.getByRole('button', { name: 'Save the changes' }).click();
  await page.locator('#page').getByText('somebody else changed this').waitFor();
  assert.match(await page.locator('.messages table').textContent(), /Table loaf.*30.*26/);
  await page.getByRole('button', { name: 'Take the other’s' }).click();
  assert.equal(await pieces('Table loaf').inputValue(), '30');
  await pieces('Table loaf').fill('27');
  await change(31);
  await page.getByRole('button', { name: 'Save the changes' }).click();
  await page.getByRole('button', { name: 'Keep what I typed' }).click();
  await page.locator('#page').getByText('Saved: Our counter, 27 pieces').waitFor();
  assert.equal((await ordersOf())[0].lines[0].pieces, 27);
});

test('cancels an order after asking', async () => {
  const { id } = await order(world.api, 'counter', breadDay, { 'table-loaf': 24 });
  await visit(page, `#/orders/${breadDay}/${id}`);
  await page.getByRole('button', { name: 'Cancel this order' }).click();
  await page.getByRole('button', { name: 'No, go back' }).click();
  assert.equal((await ordersOf()).length, 1);
  await page.getByRole('button', { name: 'Cancel this order' }).click();
  await page.locator('dialog').getByRole('button', { name: 'Cancel the order' }).click();
  await page.locator('#page').getByText('Cancelled: the order of Our counter').waitFor();
  assert.equal((await ordersOf()).length, 0);
});

test('copies a customer’s order, and all orders, from another day', async () => {
  const earlier = plusDays(breadDay, -7);
  await order(world.api, 'harbour-cafe', earlier, { 'table-loaf': 8, 'dark-loaf': 2 });
  await order(world.api, 'counter', earlier, { 'dark-loaf': 5 });
  await openNew();
  await page.getByLabel('Customer', { exact: true }).fill('Harbour Café');
  await page.getByRole('button', { name: 'Copy', exact: true }).click();
  await page.locator('#page').getByText('Copied from').waitFor();
  assert.equal(await pieces('Table loaf').inputValue(), '8');
  await page.getByRole('button', { name: 'Save the order' }).click();
  await page.locator('#page').getByText('Saved: Harbour Café, 10 pieces').waitFor();
  await page.locator('#page').getByText('Copy the orders of another day').click();
  await page.getByRole('button', { name: 'Show them' }).click();
  // Harbour Café has an order for the day already and is left out.
  await page.getByRole('button', { name: 'Copy those ticked' }).dblclick();
  await page.locator('#page').getByText('One order was copied').waitFor();
  const orders = await ordersOf();
  assert.deepEqual(orders.map((one) => one.customer).sort(), ['counter', 'harbour-cafe']);
});

test('nothing went wrong in the scripts', () => {
  assert.deepEqual(page.faults, []);
});
