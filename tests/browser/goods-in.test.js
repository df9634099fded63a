/* Goods in: typed at the door by keyboard alone, posted once, undone, and against what was ordered. */
import assert from 'node:assert/strict';
import { after, before, beforeEach, test } from 'node:test';
import { enterBakery, plusDays } from './fixture.js';
import { flat, hands, look, loseFirstAnswer, openWorld, signedIn, violations, visit } from './harness.js';

let world;
let page;
let today;

const { press, said, textOf, keys } = hands(() => page);
const line = (n) => page.getByRole('group', { name: `Line ${n}`, exact: true });
const enter = async (text) => {
  await page.keyboard.type(text);
  await keys('Enter');
};
const deliveries = async () => (await world.api('GET', '/goods-in')).items;
const postButton = () => page.getByRole('button', { name: 'Post what came in' });

before(async () => {
  world = await openWorld();
  ({ today } = await enterBakery(world.api));
  await world.api('PUT', '/ingredients/seeds', { name: 'Sunflower seeds', kind: 'other', unit: 'g' });
  await world.api('PUT', '/suppliers/mill', { name: 'Upper Mill' });
  await world.api('PUT', '/ingredients/salt/supply', { supplier: 'mill', pack_g: 10000, place: 'bakehouse' });
});
after(() => world.close());

beforeEach(async () => {
  page ??= await signedIn(world, 'baker');
  await page.unrouteAll();
  await page.evaluate(() => localStorage.clear());
  await visit(page, '#/suppliers');
});

/* The supplier and one line of flour, up to its lot mark. */
async function beginLine(packs) {
  await visit(page, '#/goods-in');
  await enter('upper');
  await keys('Enter'); // no delivery note
  await enter('white');
  await page.waitForFunction(() => document.querySelector('.delivery-line .pack input').value === '25000');
  await enter(packs);
}

/* Two years from now, so that the year has to be typed. */
const far = () => String(Number(today.slice(0, 4)) + 2);

test('a delivery is typed and posted with Enter alone', async () => {
  await beginLine('4');
  await enter('L27-061');
  await enter(`14.3.${far()}`);
  assert.equal(await line(1).getByLabel('Best before').inputValue(), `14 Mar ${far()}`);
  await enter('bag'); // the code will do
  assert.equal(await line(2).getByLabel('Ingredient').inputValue(), 'Paper bag');
  await page.waitForFunction(() => document.querySelectorAll('.delivery-line .pack input')[1].value === '100');
  await enter('5');
  await keys('Enter', 'Enter'); // no mark, no date
  await enter('sun');
  await keys('Enter'); // not in packs
  await enter('3,4 kg');
  assert.match(flat(await line(3).textContent()), /= 3\.4 kg/);
  await keys('Enter', 'Enter');
  assert.equal(await textOf('.totals'), '3 lines · to lift: 103.4 kg in 4 packs of up to 25 kg');
  await keys('Enter'); // on an empty line: there is no more
  assert.equal(await page.evaluate(() => document.activeElement.textContent), 'Post what came in');
  await keys('Enter');
  await said('Posted: 3 lots of Upper Mill');
  const [posted] = await deliveries();
  assert.deepEqual(
    posted.lines.map((one) => [
      one.ingredient,
      one.g ?? one.pieces,
      one.pack_g ?? one.pack_pieces ?? null,
      one.lot_mark,
      one.best_before,
      one.place,
    ]),
    [
      ['flour', 100000, 25000, 'L27-061', `${far()}-03-14`, 'store'],
      ['bag', 500, 100, null, null, 'store'],
      ['seeds', 3400, null, null, null, 'store'],
    ],
  );
  for (const one of posted.lines) await page.getByRole('article', { name: `Lot ${one.lot}, ${one.name}` }).waitFor();
  assert.match(await textOf('.lot-in'), /4 × 25 kg = 100 kg/);
  assert.doesNotMatch(await textOf('#page'), /€|Price/, 'what it cost is not a baker’s');
});

test('a best-before date is understood as it stands on the sack', async () => {
  await beginLine('1');
  const field = line(1).getByLabel('Best before');
  const understood = async (typed) => {
    await field.fill(typed);
    await field.blur();
    return field.inputValue();
  };
  const yesterday = plusDays(today, -1);
  const [year, month, day] = yesterday.split('-').map(Number);
  const next = await understood(`${day}.${month}`); // it was yesterday, so the next is a year from then
  assert.match(next, new RegExp(` ${year + 1}$`));
  assert.equal(await understood('140328'), '14 Mar 2028');
  assert.equal(await understood('14 mar 28'), '14 Mar 2028');
  assert.equal(await understood('2028-03-14'), '14 Mar 2028');
  assert.equal(await understood('02/2028'), '29 Feb 2028', 'the end of the month');
  assert.equal(await understood('30.2.28'), '30.2.28');
  await postButton().click();
  assert.match(flat(await line(1).textContent()), /The calendar has no such day/);
  await understood(yesterday);
  assert.match(flat(await line(1).textContent()), /It has passed already/);
});

test('says what is wrong at its place, ours and the server’s', async () => {
  await visit(page, '#/goods-in');
  await press('Post what came in');
  await said('Whose delivery is it?');
  await said('Type at least one line');
  await page.getByLabel('Supplier').fill('Upper Mill');
  await line(1).getByLabel('Ingredient').fill('Rye flour');
  await line(1).getByLabel('Packs').fill('2');
  await press('Post what came in');
  assert.match(flat(await line(1).textContent()), /How much is in one\?/, 'its pack is not known');
  await line(1).getByLabel('of', { exact: true }).fill('25 kg');
  await page.getByLabel('Date').fill(plusDays(today, 1));
  await press('Post what came in');
  await said('This day is still to come');
  assert.equal(await page.getByLabel('Date').getAttribute('aria-invalid'), 'true');
  await line(1).getByLabel('Price of it all').fill('99999999999'); // more than the server takes
  await page.getByLabel('Date').fill(today);
  await press('Post what came in');
  await page.waitForSelector('[role=alert]');
  assert.equal(await line(1).getByLabel('Price of it all').getAttribute('aria-invalid'), 'true');
  assert.equal(await page.getByLabel('Date').getAttribute('aria-invalid'), null);
});

test('a supplier who is not known yet is added at the door', async () => {
  await visit(page, '#/goods-in');
  await enter('Seed House');
  await keys('Enter'); // the button that adds
  await page.waitForFunction(() => document.activeElement.labels?.[0]?.textContent === 'Delivery note');
  assert.equal((await world.api('GET', '/suppliers/seed-house')).name, 'Seed House');
});

test('after a lost answer and a reload it is posted once', async () => {
  const earlier = (await deliveries()).length;
  await beginLine('2');
  await loseFirstAnswer(page, '/goods-in');
  await postButton().dblclick();
  await page.getByRole('button', { name: 'Try again' }).waitFor();
  await page.reload();
  await said('What you typed before and did not post is back');
  assert.equal(await line(1).getByLabel('Packs').inputValue(), '2');
  await press('Post what came in');
  await said('Posted: one lot of Upper Mill');
  assert.equal((await deliveries()).length, earlier + 1);
});

test('changed after a lost answer, it is not posted a second time unasked', async () => {
  const earlier = (await deliveries()).length;
  await beginLine('2');
  await loseFirstAnswer(page, '/goods-in');
  await postButton().click();
  await page.getByRole('button', { name: 'Try again' }).waitFor();
  await line(1).getByLabel('Packs').fill('3');
  await postButton().click();
  await said('What stood here before you changed it did reach the server');
  assert.equal((await deliveries()).length, earlier + 1);
  await press('Undo that one and post what stands here now');
  await said('Posted: one lot of Upper Mill');
  const [now, undone] = await deliveries();
  assert.equal(now.lines[0].g, 75000);
  assert.equal(undone.lines[0].g, 50000);
  assert.notEqual(undone.reversed_by, null);
});

test('is undone while nothing was used of it, and then not any more', async () => {
  const body = { date: today, supplier: 'mill', lines: [{ ingredient: 'salt', g: 20000, pack_g: 10000 }] };
  const first = await world.api('POST', '/goods-in', body);
  await visit(page, `#/goods-in/${first.number}`);
  await press('Undo this delivery');
  await page.getByRole('dialog').getByRole('button', { name: 'Typed twice' }).click();
  await keys('Enter');
  await said('Undone: the delivery is out of the book again');
  assert.equal(await page.getByRole('button', { name: 'Undo this delivery' }).count(), 0);
  const second = await world.api('POST', '/goods-in', body);
  await visit(page, `#/goods-in/${second.number}`);
  await page.getByRole('button', { name: 'Undo this delivery' }).waitFor();
  await world.api('POST', '/movements', { kind: 'used', ingredient: 'salt', g: 500 });
  await press('Undo this delivery'); // it was still all there when the page was opened
  await page.getByRole('dialog').getByRole('button', { name: 'Typed wrong' }).click();
  await keys('Enter');
  await said('Not undone');
  await visit(page, '#/goods-in');
  await visit(page, `#/goods-in/${second.number}`);
  await said('19.5 kg of it is left');
  assert.equal(await page.getByRole('button', { name: 'Undo this delivery' }).count(), 0);
});

test('against an order, one key takes over what is missing', async () => {
  const { number } = await world.api('POST', '/purchase-orders', {
    supplier: 'mill',
    lines: [
      { ingredient: 'flour', g: 250000 },
      { ingredient: 'salt', g: 35000 },
    ],
  });
  await visit(page, '#/goods-in');
  await press(`Upper Mill, order ${number}`);
  await page.getByRole('button', { name: 'Everything came as ordered' }).waitFor();
  assert.equal(await page.evaluate(() => document.activeElement.textContent), 'Everything came as ordered');
  await keys('Enter');
  assert.equal(await line(1).getByLabel('Packs').inputValue(), '10');
  assert.equal(await line(2).getByLabel('Packs').inputValue(), '3');
  assert.equal(await line(2).getByLabel('and loose').inputValue(), '5000');
  await line(2).getByLabel('Packs').fill(''); // the salt did not come
  await line(2).getByLabel('and loose').fill('');
  await line(2).getByLabel('Lot mark').fill('S 12');
  await press('Post what came in');
  await line(2).getByText('how many came?').waitFor(); // a mark was typed: it is not left out in silence
  await line(2).getByLabel('Lot mark').fill('');
  await press('Post what came in');
  await said('Posted: one lot of Upper Mill');
  const order = await world.api('GET', `/purchase-orders/${number}`);
  assert.equal(order.state, 'part');
  assert.deepEqual(
    order.lines.map((one) => one.missing_g),
    [0, 35000],
  );
  await visit(page, `#/goods-in?order=${number}`);
  assert.equal(await page.locator('.delivery-line').count(), 1);
  assert.match(await textOf('.awaited'), /not here yet: 3 × 10 kg and 5 kg/);
});

test('the owner enters the price when the invoice is here', async () => {
  const body = { date: today, supplier: 'mill', lines: [{ ingredient: 'rye', g: 25000 }] };
  const { number, lines } = await world.api('POST', '/goods-in', body);
  const baker = page;
  page = await signedIn(world, 'owner');
  await visit(page, `#/goods-in/${number}`);
  await page.getByText('The invoice is here').click();
  await page.getByLabel(`Lot ${lines[0].lot}, Rye flour`).last().fill('18,5');
  await press('Save the prices');
  await said('The prices of this delivery were saved');
  assert.match(await textOf('.lot-in'), /Price ?€18\.50/);
  assert.equal((await world.api('GET', `/lots/${lines[0].lot}`)).price, '18.50');
  await page.context().close();
  page = baker;
});

test('half typed, it is clean to axe and fits a telephone, by night too', async () => {
  await look(page, { scheme: 'dark', width: 390 });
  await beginLine('4');
  await line(1).getByRole('button', { name: 'Damage, °C' }).click();
  await said('Follow your local rules on flour dust');
  await said('Follow your local rules on lifting');
  assert.deepEqual(await violations(page), []);
  assert.deepEqual(page.faults, []);
});
