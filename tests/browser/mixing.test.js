/* The mixing list and its prints. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { enterBakery, mixingDate, order, plusDays } from './fixture.js';
import { deliver, flat, openWorld, pdfPages, signedIn, visit } from './harness.js';

let world;
let page;
let breadDay;
let date;

before(async () => {
  world = await openWorld();
  ({ breadDay } = await enterBakery(world.api));
  await order(world.api, 'harbour-cafe', breadDay, { 'table-loaf': 40 });
  date = await mixingDate(world.api, breadDay);
  page = await signedIn(world, 'baker', { scheme: 'dark' });
});
after(() => world.close());

const press = (name) => page.getByRole('button', { name }).click();

test('prints the list: kilos, batches, amounts, starter, allergens', async () => {
  await visit(page, `#/mixing/${date}`);
  await page.locator('#page').getByText('Not printed yet').waitFor();
  await page.getByRole('button', { name: 'Print', exact: true }).dblclick();
  await page.locator('#page').getByText('Print 1, made at').or(page.locator('.print-mark')).first().waitFor();
  await page.waitForFunction(() => window.prints === 1);
  assert.equal((await world.api('GET', `/mixing-lists/${date}/prints`)).items.length, 1);
  const pages = await pdfPages(world, page);
  const text = flat(pages.join(' '));
  assert.match(text, /Table dough 34\.000 kg/);
  assert.match(text, /2 batches of 17\.000 kg · big · dough at 25 °C/);
  // 17,000 g divided by 192 parts: 8854.167, 6197.917, 177.083 and 1770.833 g, at divisions of 5 g
  for (const [amount, name] of [
    ['8 855', 'White flour'],
    ['6 200', 'Water'],
    ['175', 'Salt'],
    ['1 770', 'Wheat starter'],
  ])
    assert.match(text, new RegExp(`${amount} g ${name}`), name);
  assert.match(text, /exactly 177\.083 g/);
  assert.match(text, /Wheat starter 3 540 g taken, 300 g kept back 3 840 g/);
  assert.match(text, /Allergens: wheat/);
  pages.forEach((one, index) => {
    assert.ok(one.includes(`Page ${index + 1} of ${pages.length}`), `page ${index + 1}`);
    assert.match(one, /Print 1 · \d\d:\d\d/);
    assert.match(one, /Fennel Row Bakery/);
  });
});

test('what is typed on the screen does not come onto paper, and dark is black on white', async () => {
  await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
  const seen = await page.evaluate(() => ({
    body: [window.getComputedStyle(document.body).color, window.getComputedStyle(document.body).backgroundColor],
    shell: window.getComputedStyle(document.getElementById('shell')).display,
    buttons: [...document.querySelectorAll('#page button:not(.lead-to)')].filter((one) => one.checkVisibility()).length,
  }));
  assert.deepEqual(seen, { body: ['rgb(0, 0, 0)', 'rgb(255, 255, 255)'], shell: 'none', buttons: 0 });
  await page.emulateMedia({ media: null, colorScheme: 'dark' });
});

test('a changed order shows against the print, and the next print says what it replaces', async () => {
  await order(world.api, 'counter', breadDay, { 'table-loaf': 10 });
  await visit(page, `#/mixing/${date}`);
  assert.match(
    flat(await page.locator('.print-state').textContent()),
    /out of date.*Table dough34\.00042\.500\+8\.500/,
  );
  await press('Print anew, in place of print 1');
  await page.waitForFunction(() => window.prints === 2);
  const text = flat((await pdfPages(world, page, { format: 'Letter' })).join(' '));
  assert.match(text, /Print 2/);
  assert.match(text, /Replaces print 1/);
  assert.match(text, /Changed since print 1/);
  assert.match(text, /Table dough 34\.000 42\.500 \+8\.500/);
  assert.match(text, /Table loaf, \w{3} \d+ \w{3} 40 50 \+10/);
  await visit(page, `#/mixing/${date}/print/1`);
  assert.match(flat(await page.locator('#page').textContent()), /Table dough34\.000 kg/);
});

test('a lost answer does not make two prints', async () => {
  await visit(page, `#/mixing/${date}`);
  let times = 0;
  await page.route('**/prints', async (route) => {
    times += 1;
    if (times > 1) return route.continue();
    await deliver(route);
    return route.abort('failed');
  });
  await press('Print anew, in place of print 2');
  await press('Try again');
  await page.waitForFunction(() => window.prints === 3);
  assert.equal((await world.api('GET', `/mixing-lists/${date}/prints`)).items.length, 3);
  await page.unroute('**/prints');
});

test('a ticked line stays ticked over a reload', async () => {
  await visit(page, `#/mixing/${date}`);
  const tick = page.getByRole('checkbox', { name: 'Salt, batch 2' });
  await tick.check({ force: true });
  await page.reload();
  await tick.waitFor({ state: 'attached' });
  assert.equal(await tick.isChecked(), true);
  assert.equal(await page.getByRole('checkbox', { name: 'Salt, batch 1' }).isChecked(), false);
});

/* --- a big night --- */

async function enterBigNight(bigDay) {
  for (let n = 0; n < 30; n += 1)
    await world.api('PUT', `/ingredients/seed-${n}`, {
      name: `Seed number ${n}`,
      kind: 'other',
      unit: 'g',
      allergens: [`allergen ${n % 14}`],
    });
  const lines = (count) => [
    { ingredient: 'flour', pct: 100 },
    { ingredient: 'water', pct: 70 },
    ...Array.from({ length: count }, (_, n) => ({ ingredient: `seed-${n}`, pct: n + 1 })),
  ];
  const stages = Array.from({ length: 6 }, (_, n) => ({ stage: `Stage ${n}`, minutes: 20, at: 'bench' }));
  for (let n = 0; n < 12; n += 1) {
    await world.api('PUT', `/formulas/big-${n}`, {
      name: `Big dough ${n}.`,
      basis: 'final',
      mixer: 'big',
      lines: lines(n === 7 ? 30 : 3 + n),
      stages,
    });
    await world.api('PUT', `/products/big-${n}`, { name: `Big loaf ${n}`, parts: [{ formula: `big-${n}`, g: 1000 }] });
  }
  await order(
    world.api,
    'counter',
    bigDay,
    Object.fromEntries(Array.from({ length: 12 }, (_, n) => [`big-${n}`, 15 * (n + 1)])),
  );
}

test('a big night: no batch is split over pages, heads repeat, pages are counted', async (t) => {
  const bigDay = plusDays(breadDay, 14);
  await enterBigNight(bigDay);
  await visit(page, `#/mixing/${await mixingDate(world.api, bigDay)}`);
  await page.getByRole('button', { name: 'Print', exact: true }).click();
  await page.locator('.print-mark').waitFor();
  for (const format of ['A4', 'Letter']) {
    await t.test(format, async () => {
      const pages = await pdfPages(world, page, { format });
      assert.ok(pages.length > 8, `${pages.length} pages`);
      pages.forEach((one, index) => assert.match(one, new RegExp(`Page ${index + 1} of ${pages.length}\\b`)));
      checkBlocks(pages);
    });
  }
});

/* Walks the sheets as they come: every line belongs to the head that was seen last on its own page. */
function checkBlocks(pages) {
  const pagesOf = new Map(Array.from({ length: 12 }, (_, n) => [n, new Set()]));
  const linesOf = new Map(Array.from({ length: 12 }, (_, n) => [n, 0]));
  pages.forEach((text, index) => {
    let head = null;
    for (const line of text.split('\n')) {
      const name = /^\s*\d\d:\d\d.*Big\s+dough\s+(\d+)\.\s+[\d ]+\.\d{3} kg/.exec(line)?.[1];
      if (name) head = Number(name);
      if (!/(White\s+flour|Water|Seed\s+number\s+\d+)\b/.test(line)) continue;
      assert.notEqual(head, null, `page ${index + 1}: a line stands above any head: ${line}`);
      pagesOf.get(head).add(index + 1);
      linesOf.set(head, linesOf.get(head) + 1);
    }
    if (/Stage \d/.test(text)) assert.notEqual(head, null, `page ${index + 1} has steps without a head`);
  });
  for (let n = 0; n < 12; n += 1) {
    assert.equal(linesOf.get(n), n === 7 ? 32 : n + 5, `lines of Big dough ${n}`);
    // One of them is longer than a page and cannot but break; its head then stands on each page.
    if (n === 7) assert.ok(pagesOf.get(n).size >= 2, 'the long one reaches over pages');
    else
      assert.equal(pagesOf.get(n).size, 1, `the batch of Big dough ${n} is on pages ${[...pagesOf.get(n)].join(', ')}`);
  }
}

test('a date that is past shows its last print as it was', async () => {
  const { working_day: workingDay } = await world.api('GET', '/sessions/current');
  const past = plusDays(workingDay, -4);
  const pastDay = plusDays(past, 1);
  await order(world.api, 'counter', pastDay, { 'table-loaf': 20 });
  const pastDate = await mixingDate(world.api, pastDay);
  await world.api('POST', `/mixing-lists/${pastDate}/prints`, {});
  await order(world.api, 'counter', pastDay, { 'table-loaf': 20 });
  await visit(page, `#/mixing/${pastDate}`);
  assert.match(flat(await page.locator('#page').textContent()), /Below is print 1 as it was made.*17\.000 kg/);
  assert.equal(await page.getByRole('button', { name: 'Print', exact: true }).count(), 0);
});

test('nothing went wrong in the scripts', () => {
  assert.deepEqual(page.faults, []);
});
