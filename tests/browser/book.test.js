/* The book: formulas worked out as they are typed, products, prices, people, a bakery begun anew. */
import assert from 'node:assert/strict';
import { after, afterEach, before, test } from 'node:test';
import { enterBakery } from './fixture.js';
import { hands, openWorld, signedIn, visit } from './harness.js';

let world;
let page;

before(async () => {
  world = await openWorld();
  page = await signedIn(world, 'owner');
});
after(() => world.close());

afterEach(() => assert.deepEqual(page.faults, []));

const { field, press } = hands(() => page);
const invalid = (name) => page.locator('[aria-invalid=true]').and(field(name)).waitFor();
const worked = () => page.locator('.preview').textContent();

test('a bakery that is new begins with its settings', async () => {
  await page.locator('#page').getByText('Begin with the bakery itself').waitFor();
  await field('Name').fill('Fennel Row Bakery');
  await field('Currency').fill('eur');
  await field('Time zone').fill('Europe/Nowhere');
  await press('Save');
  await invalid('Time zone');
  await invalid('Currency');
  await field('Currency').fill('EUR');
  await field('Time zone').fill('Europe/Lisbon');
  await field('Short name, mixer 1').fill('big');
  await field('Most, mixer 1').fill('20 000,5');
  await press('Save');
  await page.locator('#page').getByText('Saved: Fennel Row Bakery').waitFor();
  const bakery = await world.api('GET', '/bakery');
  assert.deepEqual(
    [bakery.currency, bakery.mixers],
    ['EUR', [{ code: 'big', min_g: 0, max_g: 20000.5, friction_c: null, power_w: null }]],
  );
  assert.match(await page.locator('.wordmark').textContent(), /Fennel Row Bakery/);
  await enterBakery(world.api);
});

test('a formula is worked out as it is typed, and saved', async () => {
  await visit(page, '#/formulas/+new');
  await field('Name').fill('White pan');
  assert.equal(await field('Short name').inputValue(), 'white-pan');
  await field('What, line 1').selectOption({ label: 'White flour' });
  await field('Share, line 1').fill('100');
  await field('What, line 2').selectOption({ label: 'Water' });
  await field('Share, line 2').fill('65,5');
  await field('What, line 3').selectOption({ label: 'Wheat starter' });
  await field('Share, line 3').fill('20');
  // 10 of flour and 10 of water stand in the starter: 75.5 of water to 110 of flour
  await page.locator('dd', { hasText: /^68\.6364 %$/ }).waitFor();
  assert.match(await worked(), /Prefermented flour9\.0909 %/);
  await field('Stage, stage 1').fill('Mix');
  await field('Takes, stage 1').fill('20');
  await press('Save');
  await page.locator('#page').getByText('Saved: White pan').waitFor();
  const stored = await world.api('GET', '/formulas/white-pan');
  assert.deepEqual(stored.lines, [
    { ingredient: 'flour', pct: 100 },
    { ingredient: 'water', pct: 65.5 },
    { starter: 'wheat', pct: 20 },
  ]);
  assert.deepEqual(
    stored.stages.map((stage) => stage.minutes),
    [20],
  );
});

test('faults of a formula stand at their line', async () => {
  await visit(page, '#/formulas/dark');
  await field('Share, line 5').fill('90'); // more flour fermented in the starter than the flour line has
  const at = page.locator('.formula-lines tbody tr', { has: page.locator('.fault:not([hidden])') });
  await at.first().waitFor();
  assert.match(await page.locator('.preview').textContent(), /does not work out yet/);
  assert.match(await at.first().locator('select').first().inputValue(), /^ingredient:flour$/);
  await press('Save the changes');
  await page.locator('#page').getByText('Not saved').waitFor();
  assert.equal((await world.api('GET', '/formulas/dark')).lines[4].flour_pct, 10);
  await field('Share, line 5').fill('12');
  await page.locator('#page').getByText('12 %', { exact: true }).first().waitFor();
  await press('Save the changes');
  await page.locator('#page').getByText('Saved: Dark dough').waitFor();
});

test('its revisions say who changed what', async () => {
  await visit(page, '#/formulas/dark');
  await page.locator('#page').getByText('What it was before').click();
  await page.locator('.revisions li').first().waitFor();
  const [newest, first] = await page.locator('.revisions > li').allTextContents();
  assert.match(newest, /by owner.*Lines: Wheat starter10 % of all flour12 % of all flour/s);
  assert.match(first, /by test.*Entered/s);
});

test('a product shows raw and baked weight, and a fault at the line', async () => {
  await visit(page, '#/products/+new');
  await field('Name').fill('Small table loaf');
  await field('What, part 1').selectOption({ label: 'Table dough' });
  await field('Raw weight, part 1').fill('455,5');
  await field('Bake loss').fill('12');
  await field('Declared weight').fill('410');
  // 455.5 × 0.88 = 400.84
  assert.match(await worked(), /Raw455\.5 g.*Baked400\.84 g.*Under the declared weight by9\.16 g/);
  await page.getByRole('button', { name: 'Add a part' }).click();
  await field('What, part 2').selectOption({ label: 'Salt' });
  await field('Raw weight, part 2').fill('0');
  await press('Save');
  await invalid('Raw weight, part 2');
  await page.getByRole('button', { name: 'Remove part 2' }).click();
  await press('Save');
  await page.locator('#page').getByText('Saved: Small table loaf').waitFor();
  assert.equal((await world.api('GET', '/products/small-table-loaf')).parts[0].g, 455.5);
});

test('prices, and what is in use is not deleted', async () => {
  await visit(page, '#/ingredients/rye');
  await page.locator('#page').getByText('never reckoned as nothing').waitFor();
  await field('From').fill('2026-01-15');
  await field('Pack').fill('25 000');
  await field('Price of a pack').fill('19,95');
  await press('Save the price');
  await page.locator('#page').getByText('The price was saved').waitFor();
  assert.match(await page.locator('#page').textContent(), /Thursday 15 January.*25.000 g.*€19\.95/);
  await press('Delete this ingredient');
  await page.locator('dialog').getByRole('button', { name: 'Delete' }).click();
  await page.locator('.message.bad', { hasText: 'dark' }).waitFor();
  assert.equal((await world.api('GET', '/ingredients/rye')).code, 'rye');
});

test('a starter, a supplier, a customer and a person are entered', async () => {
  await visit(page, '#/starters/+new');
  await field('Name').fill('Rye starter');
  await field('Hydration').fill('80');
  await field('Flour, flour 1').selectOption({ label: 'Rye flour' });
  await field('Share, flour 1').fill('90');
  await press('Save');
  await page.locator('fieldset.rows .fault:not([hidden])').first().waitFor();
  await field('Share, flour 1').fill('100');
  await press('Save');
  await page.locator('#page').getByText('Saved: Rye starter').waitFor();
  await visit(page, '#/people/+new');
  await field('Name to sign in with').fill('ines');
  await field('Password').fill('short');
  await press('Save');
  await invalid('Password');
  await field('Password').fill('long enough for ines');
  await press('Save');
  await page.locator('#page').getByText('Saved: ines').waitFor();
  await visit(page, '#/customers/+new');
  await field('Name').fill('Harbour Café'); // its code is taken
  await press('Save');
  await page.locator('#page').getByText('already').waitFor();
  await field('Short name').fill('harbour-cafe-north');
  await field('Ready at').fill('545');
  await press('Save');
  await page.locator('#page').getByText('Saved: Harbour Café').waitFor();
  assert.equal((await world.api('GET', '/customers/harbour-cafe-north')).ready_at, '05:45');
});

test('a token is shown once', async () => {
  await visit(page, '#/tokens');
  await field('Name').fill('till');
  await press('Make a token');
  const token = await page.locator('code.token').textContent();
  assert.match(token, /^\d+\.[\w-]{20,}$/);
  assert.match(await page.locator('table').textContent(), /till/);
  await visit(page, '#/people');
  await visit(page, '#/tokens');
  assert.doesNotMatch(await page.locator('#page').textContent(), new RegExp(token));
});

test('a supplier says when it takes orders, and how soon it brings them', async () => {
  await visit(page, '#/suppliers/+new');
  await field('Name').fill('Weir Mill');
  await field('Telephone').fill('01632 960017');
  await field('E-mail').fill('orders');
  for (const day of ['Tuesday', 'Wednesday', 'Friday', 'Saturday', 'Sunday']) await field(day).uncheck();
  assert.equal(await field('Days from the order to the delivery').inputValue(), '1');
  await field('Days from the order to the delivery').fill('2');
  await field('Minimum order').fill('120,5');
  await press('Save');
  await invalid('E-mail');
  await field('E-mail').fill('orders@weir.example');
  await press('Save');
  await page.locator('#page').getByText('Saved: Weir Mill').waitFor();
  const stored = await world.api('GET', '/suppliers/weir-mill');
  assert.deepEqual(
    [stored.phone, stored.email, stored.order_days, stored.lead_days, stored.minimum_order],
    ['01632 960017', 'orders@weir.example', [1, 4], 2, '120.50'],
  );
  assert.match(await page.locator('table').textContent(), /Weir Mill.*01632 960017.*after 2 days/);
});

test('beside an ingredient stands how it is ordered', async () => {
  await visit(page, '#/ingredients/salt');
  await page.getByText('How it is ordered').click();
  const own = page.locator('.stock-supply');
  await own.getByLabel('Supplier', { exact: true }).selectOption({ label: 'Upper Mill' });
  await own.getByLabel('Pack', { exact: true }).fill('10 kg');
  await field('How sure it is to last until the next delivery').fill('98');
  await press('Save how it is ordered');
  await page.locator('#page').getByText('Saved how it is ordered').waitFor();
  const stored = await world.api('GET', '/ingredients/salt/supply');
  assert.deepEqual([stored.supplier, stored.pack_g, stored.service_pct, stored.place], ['mill', 10000, 98, null]);
  await press('Go by the pack price again');
  await page.locator('#page').getByText('It goes by the pack price again').waitFor();
  assert.equal((await world.api('GET', '/ingredients/salt/supply')).entered, false);
  await page.getByRole('button', { name: 'Go by the pack price again' }).waitFor({ state: 'hidden' });
});

test('two who change the same thing: the second decides', async () => {
  await visit(page, '#/suppliers/mill');
  await world.api('PUT', '/suppliers/mill', { name: 'Upper Mill', note: 'Closed on Mondays' });
  await field('Note').fill('Ask for Rui');
  await press('Save the changes');
  await page.locator('#page').getByText('somebody else changed this').waitFor();
  assert.match(await page.locator('.messages table').textContent(), /Note.*Closed on Mondays.*Ask for Rui/);
  await press('Keep what I typed');
  await page.locator('#page').getByText('Saved: Upper Mill').waitFor();
  assert.equal((await world.api('GET', '/suppliers/mill')).note, 'Ask for Rui');
});

test('leaving with something unsaved asks first', async () => {
  await visit(page, '#/suppliers/mill');
  await field('Note').fill('half a thought');
  await page.locator('#menu').getByRole('link', { name: 'Formulas' }).click();
  await page.getByRole('button', { name: 'Stay here' }).click();
  assert.equal(await field('Note').inputValue(), 'half a thought');
  await page.locator('#menu').getByRole('link', { name: 'Formulas' }).click();
  await page.getByRole('button', { name: 'Leave', exact: true }).click();
  await page.getByRole('heading', { name: 'Formulas' }).waitFor();
});
