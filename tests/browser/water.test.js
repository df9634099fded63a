/* How warm the water must be: on the mixing list, on paper and in the calculator, in both scales. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { mixingDate, order } from './fixture.js';
import { flat, hands, openWorld, pdfPages, signedIn, visit } from './harness.js';
import { enterNight, putBakery } from './night.js';

let world;
let page;
let date;

const { textOf } = hands(() => page);
const field = (name) => page.locator('details[open], .water-form').getByLabel(name, { exact: true });
const scale = (name) => page.getByRole('radio', { name: `degrees ${name}` }).check();

/* Anew, also when the page is shown already. */
async function open(hash) {
  await visit(page, '#/orders');
  await visit(page, hash);
}

before(async () => {
  world = await openWorld();
  const { breadDay } = await enterNight(world.api);
  await order(world.api, 'counter', breadDay, { 'table-loaf': 40 });
  date = await mixingDate(world.api, breadDay);
  page = await signedIn(world, 'baker');
});
after(() => world.close());

async function calculate(values) {
  for (const [name, value] of Object.entries(values)) await field(name).fill(value);
  await page.keyboard.press('Enter');
}

const figures = async () =>
  Object.fromEntries(
    await page
      .locator('.water-answer .key-figures div')
      .evaluateAll((all) => all.map((one) => [one.querySelector('dt').textContent, one.querySelector('dd').textContent])),
  );

async function awaitWater(text) {
  await page.locator('.water-answer dd', { hasText: text }).waitFor();
  return Object.fromEntries(Object.entries(await figures()).map(([name, value]) => [name, flat(value)]));
}

test('the calculator: three factors, ice and tap water', async () => {
  await open('#/water');
  await calculate({ 'Dough wanted': '25', Flour: '22', Room: '24', Friction: '14', Tap: '20', Water: '10000' });
  // 3 x 25 - 22 - 24 - 14 = 15 °C; ice = 10000 x (20 - 15) / (20 + 80) = 500 g
  assert.deepEqual(await awaitWater('15'), { 'Water at': '15 °C', Ice: '500 g', 'From the tap': '9 500 g' });
});

test('in Fahrenheit what was typed means the same, and friction converts as a difference', async () => {
  await scale('Fahrenheit');
  assert.equal(await field('Dough wanted').inputValue(), '77');
  assert.equal(await field('Flour').inputValue(), '71.6');
  assert.equal(await field('Friction').inputValue(), '25.2');
  // The same temperatures give the same water and ice: 59 °F.
  assert.deepEqual(await awaitWater('59'), { 'Water at': '59 °F', Ice: '500 g', 'From the tap': '9 500 g' });
  const asked = page.waitForRequest('**/water-temperature');
  await calculate({ 'Preferment or starter': '75.2' });
  const body = (await asked).postDataJSON();
  assert.equal(body.dough_f, '77');
  assert.equal(body.friction_f, '25.2');
  assert.equal(Object.keys(body).some((name) => name.endsWith('_c')), false);
  // 4 x 77 - 71.6 - 75.2 - 75.2 - 25.2 = 60.8 °F
  await awaitWater('60.8');
  await page.reload();
  await field('Dough wanted').waitFor();
  assert.equal(await page.getByRole('radio', { name: 'degrees Fahrenheit' }).isChecked(), true, 'the browser remembers');
  assert.equal(await field('Room').inputValue(), '75.2');
  await scale('Celsius');
});

test('what is missing is said at its field, and warnings in words', async () => {
  await open('#/water');
  await calculate({ 'Dough wanted': 'warm' });
  await page.locator('#page').getByText('Not saved').or(page.locator('.fault:visible')).first().waitFor();
  assert.equal(await field('Dough wanted').getAttribute('aria-invalid'), 'true');
  await calculate({ 'Dough wanted': '40', Flour: '10', Room: '10', Friction: '2' });
  await page.locator('.water-warning', { hasText: '40 °C' }).waitFor();
});

test('the mixing list: water of each batch, its ice, and the same on paper', async () => {
  await open(`#/mixing/${date}`);
  // Four factors, the starter as warm as the room: 4 x 25 - 22 - 24 - 24 - 12 = 18; the tap has 16.
  assert.match(await textOf('.mix-water'), /Water at 18 °C: 6 200 g for each batch · friction 12 °C/);
  assert.match(await textOf('.reckoned-with'), /room 24 °C, flour 22 °C, tap 16 °C. Nothing measured tonight/);
  await page.locator('summary', { hasText: 'Tonight’s temperatures' }).click();
  await field('Room').fill('27');
  await field('Flour').fill('25');
  await page.getByRole('button', { name: 'Save tonight’s temperatures' }).click();
  await page.locator('#page').getByText('Saved. The water is worked out anew.').waitFor();
  // 100 - 25 - 27 - 27 - 12 = 9 °C; ice = 6200 x (16 - 9) / (16 + 80) = 452.083 g
  assert.match(await textOf('.mix-water'), /Water at 9 °C: 452 g ice and 5 748 g from the tap for each batch/);
  assert.match(await textOf('.reckoned-with'), /room 27 °C, flour 25 °C, tap 16 °C, as measured tonight/);
  const stored = await world.api('GET', `/mixing-lists/${date}/temperatures`);
  assert.equal(stored.room_c, 27);
  assert.equal(stored.tap_c, null);
  await page.getByRole('button', { name: 'Print', exact: true }).click();
  await page.locator('.print-mark').waitFor();
  const text = flat((await pdfPages(world, page)).join(' '));
  assert.match(text, /Water at 9 °C: 452 g ice and 5 748 g from the tap for each batch · friction 12 °C/);
  assert.match(text, /as measured tonight/);
});

test('temperatures are entered and shown in Fahrenheit, and kept in Celsius', async () => {
  await open(`#/mixing/${date}`);
  await scale('Fahrenheit');
  assert.match(await textOf('.mix-water'), /Water at 48\.2 °F.*friction 21\.6 °F/);
  assert.match(await textOf('.mix-facts'), /dough at 77 °F/);
  await page.locator('summary', { hasText: 'Tonight’s temperatures' }).click();
  assert.equal(await field('Room').inputValue(), '80.6');
  await field('Room').fill('75.2');
  await page.getByRole('button', { name: 'Save tonight’s temperatures' }).click();
  await page.locator('#page').getByText('Saved. The water is worked out anew.').waitFor();
  const stored = await world.api('GET', `/mixing-lists/${date}/temperatures`);
  assert.deepEqual([stored.room_c, stored.flour_c], [24, 25]);
  await scale('Celsius');
});

test('somebody else’s temperatures are not overwritten unseen', async () => {
  await open(`#/mixing/${date}`);
  await page.locator('summary', { hasText: 'Tonight’s temperatures' }).click();
  await world.api('PUT', `/mixing-lists/${date}/temperatures`, { room_c: 20 });
  await field('Flour').fill('21');
  await page.getByRole('button', { name: 'Save tonight’s temperatures' }).click();
  await page.locator('#page').getByText('somebody else entered temperatures meanwhile').waitFor();
  assert.equal((await world.api('GET', `/mixing-lists/${date}/temperatures`)).room_c, 20);
});

test('three logged doughs teach the friction of this dough in this mixer', async () => {
  await world.api('PUT', `/mixing-lists/${date}/temperatures`, {});
  await open(`#/mixing/${date}`);
  await page.locator('summary', { hasText: 'How warm did a dough come out?' }).click();
  await page.locator('.learnt').getByText('Friction').first().waitFor();
  assert.equal(await field('Water').inputValue(), '18', 'the list’s own water is where typing begins');
  for (const dough of ['26', '26,5', '27']) {
    await field('Dough after mixing').fill(dough);
    await page.getByRole('button', { name: 'Enter it' }).dblclick();
    await page.locator('#page').getByText('Entered: mixing warmed this dough').waitFor();
    await page.waitForFunction(() => document.querySelector('.panel[open] form [aria-disabled]') === null);
  }
  const { items } = await world.api('GET', '/dough-temperatures?mixer=big&formula=table');
  assert.equal(items.length, 3, 'a double click enters once');
  // 4 x 26.5 - 22 - 24 - 18 - 24 = 18, the middle one of 16, 18 and 20
  assert.match(await textOf('.learnt'), /Friction learnt: 18 °C/);
  // and the list reckons with it: 100 - 22 - 24 - 24 - 18 = 12
  assert.match(await textOf('.mix-water'), /Water at 12 °C.*friction 18 °C/);
});

test('an unknown temperature is said in words, not reckoned as nought', async () => {
  await putBakery(world.api, { flour_c: null });
  await open(`#/mixing/${date}`);
  assert.match(await textOf('.mix-water'), /Water not worked out\. Not known: the flour's temperature/);
  await putBakery(world.api);
});

test('nothing went wrong in the scripts', () => {
  assert.deepEqual(page.faults, []);
});
