/* What a loaf costs and what it must sell for: from nothing to a price, down to the pack price, what if, and
 * what it cost before.
 */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { enterBakery, order, plusDays } from './fixture.js';
import { flat, hands, look, openWorld, pdfPages, signedIn, violations, visit } from './harness.js';

let world;
let page;
let today;
let breadDay;

const { field, press, said, textOf } = hands(() => page);

/* A shown amount in millionths. */
const millionths = (text) => BigInt(Math.round(Number(text.replace(/[^\d.]/g, '')) * 1e6));

/* Money of the API as the page shows a cost. */
const fine = (text) => `€${Number(text).toFixed(4)}`;

const line = (name) => page.locator('.why button', { hasText: name }).first();
const inner = (name) => line(name).locator('xpath=following-sibling::ul');

/* Values of the lines right under an opened one. */
const valuesUnder = (name) => inner(name).locator(':scope > li > .why-line .why-value').allTextContents();

before(async () => {
  world = await openWorld();
  ({ today, breadDay } = await enterBakery(world.api));
  await order(world.api, 'harbour-cafe', breadDay, { 'table-loaf': 40 });
  await order(world.api, 'counter', plusDays(today, -3), { 'table-loaf': 40 });
  await world.api('PUT', `/ingredients/flour/prices/${plusDays(today, -60)}`, { pack_g: 25000, price: '22.50' });
  await world.api('PUT', `/ingredients/flour/prices/${plusDays(today, -5)}`, { pack_g: 25000, price: '24.00' });
  page = await signedIn(world, 'owner');
});
after(() => world.close());

test('without rates and lists a cost says what it leaves out, and where prices begin', async () => {
  await visit(page, '#/prices');
  assert.match(await textOf('.left-out'), /without labour.*delivery and overhead: enter rates/);
  await said('There is no price list yet');
  const dark = flat(await page.locator('tr', { hasText: 'Dark loaf' }).textContent());
  assert.match(dark, /price of Rye flour is missing/);
  assert.match(dark, /not known/);
  assert.doesNotMatch(dark, /€/, 'a cost with a hole is no number');
});

test('a loaf is priced from scratch: rates, a list, a target, a price with a break', async () => {
  await visit(page, '#/rates');
  await field('An hour of one pair of hands').fill('18');
  await field('A month’s sum').fill('6 000');
  await press('Save the rates');
  await page.locator('[aria-invalid=true]').and(field('How many of them a month has')).waitFor();
  await field('How many of them a month has').fill('40000');
  await press('Save the rates');
  await said('were saved');
  assert.match(
    await textOf('.rate-table'),
    /€18\.00 an hour.*left out.*€6,000\.00 a month over 40 000 minutes of labour/,
  );

  await visit(page, '#/price-lists/+new');
  await field('Name').fill('Shop');
  await field('Prices go by').fill('0,05');
  await press('Save');
  await said('Saved: Shop');

  await visit(page, '#/prices/table-loaf');
  const cost = await world.api('GET', '/products/table-loaf/cost');
  assert.match(
    await textOf('.price-figures'),
    new RegExp(`Cost of a piece${fine(cost.cost_each).replace('.', '\\.')}`),
  );
  await field('Tax on it').fill('10');
  await field('Margin').fill('60');
  // 60 of 100 on top of 40: a markup of 150 %
  assert.equal(await field('Markup').inputValue(), '150');
  await field('Markup').fill('100');
  assert.equal(await field('Margin').inputValue(), '50');
  await field('Margin').fill('60');
  const asked = await world.api('POST', '/prices/preview', {
    cost_each: cost.cost_each,
    ingredients_each: cost.ingredients_each,
    tax_pct: 10,
    target: { margin_pct: 60 },
    list: 'shop',
  });
  await page.locator('.proposed .big', { hasText: `€${asked.price}` }).waitFor();
  assert.match(await textOf('.proposed'), /After rounding: margin 6\d(\.\d+)? %/);
  assert.ok(asked.margin_pct >= 60 && Math.round(Number(asked.price) * 100) % 5 === 0, JSON.stringify(asked));
  await press('Save target and tax');
  await said('Saved: target 60 % margin');
  assert.deepEqual((await world.api('GET', '/products/table-loaf/pricing')).target, { margin_pct: 60 });

  await press('Take this price');
  await press('Add a break');
  await field('From pieces, line 2').fill('20');
  await field('Price, line 2').fill('2,10');
  await page.locator('.earns tr', { hasText: '€2.10' }).waitFor();
  await press('Save the price');
  await said('Saved: Table loaf at');
  const { items } = await world.api('GET', '/price-lists/shop/prices');
  assert.deepEqual(items, [
    {
      list: 'shop',
      product: 'table-loaf',
      from: today,
      breaks: [
        { pieces: 1, price: asked.price },
        { pieces: 20, price: '2.10' },
      ],
    },
  ]);
  const price = await world.api('GET', '/products/table-loaf/price?list=shop');
  assert.match(await textOf('.break-even'), new RegExp(`From ${price.break_even_pieces} pieces? a day`));
  assert.match(await textOf('.break-table'), /1 to 19.*from 20.*€2\.10/);
});

test('an under-target margin is said in words, first on the page', async () => {
  const price = { breaks: [{ pieces: 1, price: '1.00' }] };
  await world.api('PUT', `/price-lists/shop/prices/table-loaf/${today}`, price);
  await visit(page, '#/prices');
  const rows = page.locator('.margins tbody tr');
  assert.match(flat(await rows.nth(0).textContent()), /Fell under|Under the target/);
  assert.match(flat(await rows.nth(1).textContent()), /Table loaf.*under its target of 60 % margin/);
  await visit(page, '#/prices/table-loaf');
  assert.match(await textOf('.price-figures'), /under the target 60 % margin/);
});

test('the chain opens one level at a time down to the pack price, and its lines sum exactly', async () => {
  await visit(page, '#/prices/table-loaf');
  const cost = await world.api('GET', '/products/table-loaf/cost');
  const kinds = await page.locator('.why > li > .why-line .why-value').allTextContents();
  assert.equal(
    kinds.map(millionths).reduce((sum, value) => sum + value, 0n),
    millionths(cost.cost_each),
    'the lines sum to the cost',
  );
  assert.equal(millionths(await textOf('.why-total .why-value')), millionths(cost.cost_each));
  assert.equal(await page.locator('.why ul').count(), 0, 'nothing is open');
  await line('Ingredients').click();
  await line('Table dough').click();
  const dough = millionths(await line('Table dough').locator('.why-value').textContent());
  assert.equal(
    (await valuesUnder('Table dough')).map(millionths).reduce((sum, value) => sum + value, 0n),
    dough,
  );
  const leaf = page.locator('.why-leaf', { hasText: 'White flour' }).first();
  assert.match(flat(await leaf.textContent()), /White flour.*g at €24\.00 for 25 kg · price from/);
  await leaf.getByRole('link').click();
  await page.getByRole('heading', { name: 'White flour' }).waitFor();
  await said('€24.00');
});

test('by keyboard alone: arrows in the outline, Enter on a fact, arrows on a slider', async () => {
  await visit(page, '#/prices/table-loaf');
  await line('Ingredients').focus();
  await page.keyboard.press('ArrowRight');
  assert.equal(await line('Ingredients').getAttribute('aria-expanded'), 'true');
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('Enter');
  assert.equal(await line('Table dough').getAttribute('aria-expanded'), 'true');
  await page.keyboard.press('ArrowLeft');
  assert.equal(await line('Table dough').getAttribute('aria-expanded'), 'false');
  await page.keyboard.press('ArrowLeft');
  assert.match(flat(await page.evaluate(() => document.activeElement.textContent)), /^Ingredients/);
  await page.keyboard.press('End');
  assert.match(flat(await page.evaluate(() => document.activeElement.textContent)), /^Overhead/);
  await page.keyboard.press('Home');
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowRight');
  assert.match(await page.evaluate(() => document.activeElement.textContent), /price from/);
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { name: 'White flour' }).waitFor();

  await visit(page, '#/prices/table-loaf');
  await said('Nothing is moved');
  const slider = page.getByRole('slider', { name: 'Wage, slider' });
  await slider.focus();
  await page.keyboard.press('ArrowRight');
  assert.equal(await field('Wage').inputValue(), '18.20');
  assert.equal(flat(await slider.getAttribute('aria-valuetext')), '18.2 EUR an hour, 1.1 % more');
  await page.waitForFunction(() => /Then: cost/.test(document.getElementById('spoken').textContent));
  await page.keyboard.press('ArrowLeft');
  assert.equal(await field('Wage').inputValue(), '18.00');
});

test('moving the flour price: then beside today, as the API reckons it, and nothing stored', async () => {
  await visit(page, '#/prices/table-loaf');
  await said('Nothing is moved');
  assert.equal(await field('Pack price of').inputValue(), 'flour', 'the main flour comes first');
  await field('Its price').fill('36');
  const { products } = await world.api('POST', '/what-if', {
    list: 'shop',
    changes: [{ ingredient: 'flour', price: '36' }],
  });
  const own = products.find((one) => one.product === 'table-loaf');
  await page.locator('.difference', { hasText: `${fine(own.difference)} more` }).waitFor();
  const cells = (await page.locator('.what-if-table tbody td').allTextContents()).map(flat);
  assert.deepEqual(cells.slice(0, 2), [fine(own.today.cost_each), fine(own.then.cost_each)]);
  assert.equal(await textOf('.slider output'), '50 % more');
  await field('Its price').fill('12x');
  await said('This is not a number.');
  await press('Its price as now');
  await said('Nothing is moved');
  assert.equal((await world.api('GET', '/ingredients/flour/prices')).items.at(-1).price, '24.00');
});

test('the other way round: the flour price that brings it under its margin', async () => {
  await world.api('PUT', `/price-lists/shop/prices/table-loaf/${today}`, { breaks: [{ pieces: 1, price: '9.00' }] });
  await visit(page, '#/prices/table-loaf');
  await page.locator('.limit', { hasText: 'just earns' }).waitFor();
  const limit = await world.api('POST', '/what-if/limit', {
    product: 'table-loaf',
    ingredient: 'flour',
    list: 'shop',
    margin_pct: 60,
  });
  assert.ok(Number(limit.price) > 24, JSON.stringify(limit));
  const shown = (Math.floor(Number(limit.price) * 100) / 100).toFixed(2);
  assert.match((await textOf('.limit')).replace(/,/g, ''), new RegExp(`At €${shown} for 25 kg of White flour`));
  assert.match(await textOf('.limit'), /above that price the margin is under it/);
});

test('what it cost over time: a chart with a title and a table that says the same', async () => {
  await visit(page, '#/prices/table-loaf');
  await page.locator('svg.chart').waitFor();
  const from = plusDays(today, -730);
  const { points } = await world.api('GET', `/products/table-loaf/cost-history?from=${from}&to=${today}&list=shop`);
  assert.equal(await page.locator('.history-list tbody tr').count(), points.length);
  const newest = flat(await page.locator('.history-list tbody tr').first().textContent());
  assert.ok(newest.includes(fine(points.at(-1).cost_each)), newest);
  const all = await textOf('.history-list');
  assert.match(all, /price of White flour/);
  assert.match(all, /rates/);
  assert.equal(await page.locator('svg.chart title').textContent(), 'Cost of one Table loaf');
  assert.match(await page.locator('svg.chart desc').textContent(), /^From €/);
  const steps = await page.locator('svg.chart .steps').getAttribute('d');
  const known = points.filter((point) => point.cost_each !== null);
  assert.equal(steps.match(/H/g).length, known.length, 'one level for each');
  assert.equal(steps.match(/V/g)?.length ?? 0, known.length - 1);
});

test('a cost with a hole is told in words on its page, its price still as it stands', async () => {
  await world.api('PUT', `/price-lists/shop/prices/dark-loaf/${today}`, { breaks: [{ pieces: 1, price: '4.20' }] });
  await visit(page, '#/prices/dark-loaf');
  assert.match(await textOf('.price-figures'), /Cost of a pieceat least|Cost of a piecenot known/);
  assert.match(await textOf('.holes'), /The cost is not known: price of Rye flour is missing/);
  assert.equal(await textOf('.why-total'), 'One piecenot known');
  assert.match(await textOf('.break-table'), /€4\.20.*not known/);
  assert.equal(await page.locator('.break-even').count(), 0);
  await page.locator('.holes').getByRole('link', { name: 'price of Rye flour' }).click();
  await page.getByRole('heading', { name: 'Rye flour' }).waitFor();
});

test('why so much is needed: through the lines to the order', async () => {
  await visit(page, `#/needs/${breadDay}`);
  await page.getByRole('button', { name: 'White flour' }).click();
  await line('Table loaf').waitFor();
  await line('Table loaf').click();
  await line('Table dough').click();
  const deeper = page.locator('.need-why .why button[aria-expanded=false]');
  while ((await deeper.count()) > 0) await deeper.first().click();
  const orders = page.locator('.need-why .why-leaf', { hasText: 'Harbour Café' });
  assert.match(flat(await orders.first().textContent()), /Harbour Café.*40 pieces · the order/);
  await orders.first().getByRole('link').click();
  await page.getByRole('heading', { name: 'Harbour Café' }).waitFor();
});

test('a customer keeps its price list when somebody else saves it', async () => {
  await visit(page, '#/customers/harbour-cafe');
  await field('Price list').selectOption({ label: 'Shop' });
  await press('Save the changes');
  await said('Saved: Harbour Café');
  const counter = await signedIn(world, 'counter');
  await visit(counter, '#/customers/harbour-cafe');
  await counter.getByLabel('Telephone', { exact: true }).fill('01632 960199');
  await counter.getByRole('button', { name: 'Save the changes' }).click();
  await counter.locator('#page').getByText('Saved: Harbour Café').waitFor();
  assert.deepEqual(counter.faults, []);
  await counter.context().close();
  const stored = await world.api('GET', '/customers/harbour-cafe');
  assert.deepEqual([stored.price_list, stored.phone], ['shop', '01632 960199']);
});

test('power and labour are entered where their things are', async () => {
  await visit(page, '#/bakery');
  await field('Power, mixer 1').fill('4000');
  await press('Save the changes');
  await said('Saved: Fennel Row Bakery');
  assert.equal((await world.api('GET', '/bakery')).mixers[0].power_w, 4000);
  await visit(page, '#/formulas/table');
  await field('Minutes of labour, stage 1').fill('1,5');
  await press('Save the changes');
  await page.locator('[aria-invalid=true], .fault:visible').first().waitFor();
  await field('Labour is of, stage 1').selectOption({ label: 'a piece' });
  await press('Save the changes');
  await said('Saved: Table dough');
  assert.deepEqual((await world.api('GET', '/formulas/table')).stages[0].labour, { per: 'piece', minutes: 1.5 });
});

test('on paper: cost, prices and the chart, black on white, without what only a screen can do', async () => {
  await visit(page, '#/prices/table-loaf');
  await page.locator('svg.chart').waitFor();
  await line('Ingredients').click();
  const text = flat((await pdfPages(world, page)).join(' '));
  assert.match(text, /Table loaf/);
  assert.match(text, /Table dough/);
  assert.match(text, /Cost of one piece, EUR/);
  assert.match(text, /What it cost over time/);
  assert.doesNotMatch(text, /What if|Save|Take this price/);
  await page.emulateMedia({ media: 'print' });
  assert.equal(
    await page.locator('svg.chart .steps').evaluate((path) => window.getComputedStyle(path).stroke),
    'rgb(0, 0, 0)',
  );
  await page.emulateMedia({ media: null });
});

test('on a telephone nothing scrolls sideways, open or closed, and axe finds nothing', async () => {
  const own = await signedIn(world, 'owner', { width: 390 });
  const sideways = () => own.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  for (const hash of ['#/prices', '#/prices/dark-loaf', '#/rates', '#/price-lists/shop', `#/needs/${breadDay}`, '#/prices/table-loaf']) {
    await visit(own, hash);
    assert.equal(await sideways(), 0, hash);
  }
  await own.locator('svg.chart').waitFor();
  await own.locator('.limit', { hasText: 'just earns' }).waitFor();
  await own.getByRole('slider', { name: 'Wage, slider' }).press('ArrowRight');
  await own.locator('.difference', { hasText: 'more' }).waitFor();
  const closed = own.locator('.why button[aria-expanded=false]');
  while ((await closed.count()) > 0) await closed.first().click();
  assert.equal(await sideways(), 0, 'everything open');
  for (const scheme of ['light', 'dark']) {
    await look(own, { scheme, width: 1280 });
    assert.deepEqual(await violations(own), [], scheme);
  }
  assert.deepEqual(own.faults, []);
  await own.context().close();
});

for (const [currency, price, shown] of [
  ['JPY', '420', 'JP¥420'],
  ['KWD', '1.250', 'KWD 1.250'],
]) {
  test(`prices in ${currency} have the decimals that it has`, async () => {
    const bakery = await world.api('GET', '/bakery');
    await world.api('PUT', '/bakery', { ...bakery, currency });
    await world.api('PUT', `/price-lists/coins`, { name: 'Coins' });
    await world.api('PUT', `/price-lists/coins/prices/table-loaf/${today}`, { breaks: [{ pieces: 1, price }] });
    await page.reload();
    await page.waitForSelector('#page:not([aria-busy]) > .page');
    await visit(page, '#/price-lists/coins');
    const found = await textOf('.list-prices');
    assert.ok(found.includes(shown), found);
    await world.api('PUT', '/bakery', bakery);
    await page.reload();
    await page.waitForSelector('#page:not([aria-busy]) > .page');
  });
}

test('by the moving average the flour leads to its lots, and can be moved', async () => {
  const bakery = await world.api('GET', '/bakery');
  await world.api('POST', '/goods-in', {
    date: plusDays(today, -2),
    supplier: 'mill',
    lines: [{ ingredient: 'flour', g: 40000, price: '50.00' }],
  });
  await world.api('PUT', '/bakery', { ...bakery, cost_by: 'average' });
  await visit(page, '#/prices/table-loaf');
  await line('Ingredients').click();
  await line('Table dough').click();
  const leaf = page.locator('.why-leaf', { hasText: 'White flour' }).first();
  assert.match(flat(await leaf.textContent()), /White flour.*g at €50\.00 for 40 kg · its lots/);
  assert.equal(await field('Pack price of').inputValue(), 'flour', 'it can be moved');
  await leaf.getByRole('link').click();
  await page.waitForFunction(() => location.hash === '#/stock/flour');
  await world.api('PUT', '/bakery', bakery);
});

test('nothing went wrong in the scripts', () => {
  assert.deepEqual(page.faults, []);
});
