/* Every page: clean to axe in light and dark, no sideways scrolling on a telephone, nothing of what the
 * role may not see. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { mixingDate, order } from './fixture.js';
import { checkAllLooks, openPage, openWorld, signIn, signedIn, visit } from './harness.js';
import { enterNight } from './night.js';

let world;
let places;

before(async () => {
  world = await openWorld();
  const { breadDay } = await enterNight(world.api);
  const { id } = await order(world.api, 'harbour-cafe', breadDay, { 'table-loaf': 40, 'dark-loaf': 12 });
  const date = await mixingDate(world.api, breadDay);
  await world.api('POST', `/mixing-lists/${date}/prints`, {});
  await order(world.api, 'counter', breadDay, { 'table-loaf': 4 });
  await world.api('POST', '/tokens', { name: 'till', role: 'counter' });
  await world.api('PUT', '/rates/2025-01-01', { hand_hour: '18.00', overhead_month: '6000', overhead_base: 40000 });
  await world.api('PUT', '/price-lists/shop', { name: 'Shop', step: '0.05' });
  await world.api('PUT', '/price-lists/trade', { name: 'Cafés', with_tax: false });
  await world.api('PUT', '/products/table-loaf/pricing', { tax_pct: 10, target: { margin_pct: 80 } });
  await world.api('PUT', '/price-lists/shop/prices/table-loaf/2025-02-01', {
    breaks: [
      { pieces: 1, price: '3.60' },
      { pieces: 20, price: '3.20' },
    ],
  });
  places = {
    orders: `#/orders/${breadDay}`,
    'new order': `#/orders/${breadDay}/new`,
    order: `#/orders/${breadDay}/${id}`,
    production: `#/production/${breadDay}`,
    needs: `#/needs/${breadDay}`,
    'mixing list': `#/mixing/${date}`,
    print: `#/mixing/${date}/print/1`,
    timetable: `#/timetable/${breadDay}`,
    'run sheet': `#/run-sheet/${date}`,
    water: '#/water',
    formulas: '#/formulas',
    formula: '#/formulas/dark',
    'new formula': '#/formulas/+new',
    products: '#/products',
    product: '#/products/table-loaf',
    customers: '#/customers',
    customer: '#/customers/harbour-cafe',
    starters: '#/starters',
    starter: '#/starters/wheat',
    ingredients: '#/ingredients',
    ingredient: '#/ingredients/flour',
    suppliers: '#/suppliers',
    supplier: '#/suppliers/mill',
    'loaf prices': '#/prices',
    'loaf price': '#/prices/table-loaf',
    'loaf price with a hole': '#/prices/dark-loaf',
    'price lists': '#/price-lists',
    'price list': '#/price-lists/shop',
    'new price list': '#/price-lists/+new',
    rates: '#/rates',
    bakery: '#/bakery',
    people: '#/people',
    person: '#/people/baker',
    programs: '#/tokens',
    'an empty day': '#/orders/2031-01-01',
    'no such page': '#/loaf',
    'no such thing': '#/formulas/nothing',
  };
});
after(() => world.close());

test('axe finds nothing before anybody is signed in', async () => {
  const stranger = await openPage(world);
  await stranger.goto(world.base);
  await stranger.waitForSelector('form');
  await checkAllLooks(stranger, 'sign in');
  await stranger.context().close();
});

test('axe finds nothing, by day and by night, at a desk and on a telephone', async (t) => {
  const page = await signedIn(world, 'owner');
  for (const [name, hash] of Object.entries(places)) {
    await t.test(name, async () => {
      await visit(page, hash);
      await checkAllLooks(page, name);
      assert.equal(await page.locator('h1').count(), 1);
      assert.match(await page.title(), / · Morrowloaf$/);
    });
  }
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

const menuOf = (page) => page.locator('#menu a').allTextContents();

test('a role sees only what it may use', async () => {
  const counter = await signedIn(world, 'counter');
  assert.deepEqual(await menuOf(counter), ['Orders', 'Production', 'Customers']);
  const baker = await signedIn(world, 'baker');
  assert.deepEqual(await menuOf(baker), [
    'Orders',
    'Production',
    'Mixing list',
    'Timetable',
    'Run sheet',
    'Water',
    'Needs',
    'Flour store',
    'Goods in',
    'Count',
    'Ordering',
    'Trace',
    'Customers',
    'Products',
    'Formulas',
    'Starters',
    'Ingredients',
    'Suppliers',
  ]);
  for (const page of [counter, baker]) await page.context().close();
});

const MONEY = /€|EUR|\bcosts? [\d€]|\bprice/i;

test('the counter is asked for nothing that tells a cost, and sees none', async () => {
  const page = await signedIn(world, 'counter');
  const asked = [];
  page.on('response', async (response) => {
    if (response.url().includes('/api/')) asked.push(response.url());
    assert.notEqual(response.status(), 403, response.url());
  });
  for (const hash of Object.values(places)) {
    await visit(page, hash);
    assert.doesNotMatch(await page.locator('#page').textContent(), MONEY, hash);
  }
  assert.deepEqual(
    asked.filter((url) => /needs|cost|prices|people|tokens|mixing|timetable|run-sheet/.test(url)),
    [],
  );
  await visit(page, places.needs);
  await page.locator('#page').getByText('This page is for bakers and owners').waitFor();
  await page.context().close();
});

test('a baker sees the needs without costs; an owner sees both, and a missing price in words', async () => {
  const baker = await signedIn(world, 'baker');
  await visit(baker, places.needs);
  await baker.locator('#page').getByText('White flour').first().waitFor();
  assert.doesNotMatch(await baker.locator('#page').textContent(), MONEY);
  const owner = await signedIn(world, 'owner');
  await visit(owner, places.needs);
  const text = await owner.locator('#page').textContent();
  assert.match(text, /Cost: not known\. At least €\d/);
  assert.match(text, /no price on this day for Rye flour/);
  assert.match(await owner.locator('tr', { hasText: 'Rye flour' }).first().textContent(), /no price/);
  assert.doesNotMatch(text, /€0\.00/);
  for (const page of [baker, owner]) await page.context().close();
});

test('signing out ends it; the menu works by keyboard on a telephone', async () => {
  const page = await openPage(world, { width: 390 });
  await signIn(page, world, 'baker');
  const toggle = page.getByRole('button', { name: 'Menu' });
  await toggle.focus();
  await page.keyboard.press('Enter');
  assert.equal(await toggle.getAttribute('aria-expanded'), 'true');
  await page.keyboard.press('Tab');
  await page.keyboard.press('Escape');
  assert.equal(await toggle.getAttribute('aria-expanded'), 'false');
  await toggle.click();
  await page.getByRole('button', { name: 'Sign out' }).click();
  await page.getByRole('heading', { name: 'Sign in' }).waitFor();
  await page.goto(`${world.base}/#/formulas`);
  await page.getByRole('heading', { name: 'Sign in' }).waitFor();
  await page.context().close();
});

test('a wrong password is said in words', async () => {
  const page = await openPage(world);
  await page.goto(world.base);
  await page.getByLabel('Name').fill('baker');
  await page.getByLabel('Password').fill('not the password');
  await page.keyboard.press('Enter');
  await page.locator('#page').getByText('do not belong together').waitFor();
  await page.context().close();
});
