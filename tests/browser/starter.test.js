/* Starters: settings, raising, logging, feeding as planned, undoing, plans that cannot be done. */
import assert from 'node:assert/strict';
import { after, afterEach, before, test } from 'node:test';
import { enterBakery, order, plusDays } from './fixture.js';
import {
  checkPlaces,
  flat,
  hands,
  loseFirstAnswer,
  openWorld,
  pdfPages,
  signedIn,
  visit,
} from './harness.js';

let world;
let page;
let today;

const WHEAT = {
  name: 'Wheat starter',
  hydration_pct: 100,
  flours: [{ ingredient: 'flour', pct: 100 }],
  keep_g: 300,
  ripens: [
    { seed: 1, flour: 1, water: 1, c: 26, minutes: 240 },
    { seed: 1, flour: 5, water: 5, c: 26, minutes: 480 },
  ],
  stands_c: 26,
  stays_ripe_minutes: 240,
};

before(async () => {
  world = await openWorld();
  ({ today } = await enterBakery(world.api));
  await world.api('PUT', '/starters/wheat', WHEAT);
  page = await signedIn(world, 'owner');
});
after(() => world.close());

afterEach(() => assert.deepEqual(page.faults, []));

const { field, press, told, textOf } = hands(() => page);
const hoursAgo = (hours) => new Date(Date.now() - hours * 3600000).toISOString().replace(/\.\d+/, '');
const logOf = async (code) => (await world.api('GET', `/starters/${code}/log`)).items;
const log = (code, entry) => world.api('POST', `/starters/${code}/log`, entry);

/* Another starter like the wheat starter, with what was done to it. */
async function starter(code, entries, settings = {}) {
  await world.api('PUT', `/starters/${code}`, { ...WHEAT, name: `Starter ${code}`, ...settings });
  for (const entry of entries) await log(code, entry);
}

test('its settings: what was seen to ripen, in hours and minutes, with a comma', async () => {
  await visit(page, '#/starters/+new');
  await field('Name').fill('Night rye');
  await field('Hydration').fill('80');
  await field('Flour, flour 1').selectOption({ label: 'Rye flour' });
  await field('Share, flour 1').fill('100');
  await field('Seed, feed 1').fill('1');
  await field('Flour, feed 1').fill('2');
  await field('Water, feed 1').fill('2,4');
  await field('Stood at, feed 1').fill('26,5');
  await field('Ripe after, feed 1').fill('5 h 30');
  await field('Stays ripe for').fill('150');
  await field('Stays ripe for').blur();
  assert.equal(await field('Stays ripe for').inputValue(), '2:30');
  await press('Save');
  await page.locator('[aria-invalid=true]').and(field('Water, feed 1')).waitFor();
  await field('Water, feed 1').fill('1,6');
  await press('Save');
  await told('Saved: Night rye');
  const stored = await world.api('GET', '/starters/night-rye');
  assert.deepEqual(stored.ripens, [{ seed: 1, flour: 2, water: 1.6, c: 26.5, minutes: 330 }]);
  assert.deepEqual([stored.stays_ripe_minutes, stored.feed_within_minutes, stored.rest_feed_days], [150, 1440, 7]);
});

test('a starter is raised from nothing, day by day', async () => {
  await visit(page, '#/starters/night-rye');
  assert.match(await textOf('.pot'), /Nothing is in its log yet/);
  await page.getByRole('link', { name: 'Raise it from nothing' }).first().click();
  await page.locator('.raising-day').first().waitFor();
  await field('How much you want').fill('400');
  await field('A spoon of sweetener').fill('5');
  await page.locator('.raising-cautions', { hasText: 'infants' }).waitFor();
  assert.match(await textOf('.raising-cautions'), /mould.*pink.*infants/);
  const asked = await world.api('GET', `/starters/night-rye/raising?${page.url().split('?')[1]}`);
  assert.equal(await page.locator('.step-of-raising').count(), asked.steps.length);
  assert.match(await textOf('.step-of-raising.mix'), /50 g Rye flour40 g water5 g sweetenerMakes 95 g/);
  await press('Log this step');
  await told(/Begun with 95.g\. 95.g on hand/);
  await page.locator('.step-of-raising.mix.done').waitFor();
  assert.equal(await page.getByRole('button', { name: 'Log this step' }).count(), 1);
  await press('Log this step');
  await told(/Logged\. Fed/);
  const [fed, begun] = await logOf('night-rye');
  const feed = asked.steps.find((step) => step.kind === 'feed');
  assert.deepEqual(
    [begun.kind, begun.on_hand_g, fed.kind, fed.seed_g, fed.flour_g, fed.on_hand_g],
    ['begun', 95, 'fed', feed.keep_g, feed.flour_g, feed.after_g],
  );
  await visit(page, '#/starters');
  await visit(page, '#/starters/night-rye/raising');
  assert.equal(await field('A spoon of sweetener').inputValue(), '5', 'the programme is remembered');
  assert.equal(await page.locator('.step-of-raising.done').count(), 2);
});

test('the programme prints, cautions first, no step over two pages', async () => {
  await visit(page, '#/starters/night-rye/raising');
  const steps = await page.locator('.step-of-raising').count();
  for (const format of ['A4', 'Letter']) {
    const pages = (await pdfPages(world, page, { format })).map(flat);
    const all = pages.join(' ');
    const [cautions, days] = [all.indexOf('Before you begin'), all.indexOf('Day 1')];
    assert.ok(cautions > 0 && cautions < days, `cautions at ${cautions}, days from ${days}: ${all.slice(0, 900)}`);
    assert.match(all, /mould.*Ready/);
    assert.equal(all.match(/\d\d:\d\d (Mix|Stir|Feed|Ready)/g).length, steps);
    assert.doesNotMatch(all, /Log this step|Work it out|Menu/);
    for (const one of pages) {
      const heads = one.match(/\d\d:\d\d (Mix|Feed)/g)?.length ?? 0;
      assert.equal(one.match(/Makes /g)?.length ?? 0, heads, 'what a step makes stands on its own page');
    }
  }
});

test('what is done is logged by hand, as people write numbers', async () => {
  await visit(page, '#/starters/wheat');
  await press('Begun');
  await field('How much there is').fill('1 500,5');
  await page.keyboard.press('Enter');
  await told(/Begun with 1.500\.5.g/);
  assert.match(await textOf('.pot-weight'), /1 500\.5 g on hand/);
  await press('Fed');
  await field('Seed').fill('200');
  await field('Flour').fill('400');
  assert.equal(await field('Water').inputValue(), '400', 'water follows the hydration');
  await field('Water').fill('600');
  await page.locator('.entry-form').getByRole('button', { name: 'Fed', exact: true }).click();
  await page.locator('[aria-invalid=true]').and(field('Water')).waitFor();
  await field('Water').fill('400');
  await page.locator('.entry-form').getByRole('button', { name: 'Fed', exact: true }).click();
  await told(/Fed: 200.g of seed, 400.g of flour, 400.g of water\. 1.000.g on hand/);
  await press('Thrown away');
  await field('How much was thrown away').fill('1200');
  await page.locator('.entry-form .main').click();
  await page.locator('.entry-form').getByText('This is more than there is').waitFor();
  await field('How much was thrown away').fill('50');
  await page.locator('.entry-form .main').click();
  await told(/950.g on hand/);
  assert.equal((await logOf('wheat'))[0].on_hand_g, 950);
  assert.match(flat(await page.locator('table.log tr.entry').first().textContent()), /Thrown away: 50 g.*owner950 g/);
});

test('an entry of an hour ago, by keyboard alone; the focus comes back', async () => {
  await starter('keys', [{ kind: 'begun', g: 400, at: hoursAgo(30) }]);
  await visit(page, '#/starters/keys');
  await page.getByRole('button', { name: 'Taken', exact: true }).focus();
  await page.keyboard.press('Enter');
  assert.equal(await page.evaluate(() => document.activeElement.labels[0].textContent), 'How much was taken');
  await page.keyboard.type('50');
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter'); // opens "at another time"
  await field('When: day').fill(plusDays(today, -1));
  await field('When: time').fill('12.15');
  await field('Note').fill('For pancakes');
  await page.locator('.entry-form .main').focus();
  await page.keyboard.press('Enter');
  await told(/Taken: 50.g/);
  assert.equal(await page.evaluate(() => document.activeElement.textContent), 'Taken');
  const [taken] = await logOf('keys');
  assert.deepEqual([taken.at.slice(0, 16), taken.note], [`${plusDays(today, -1)}T12:15`, 'For pancakes']);
});

test('undoing asks why and leaves both entries in the log', async () => {
  await visit(page, '#/starters/wheat');
  const thrown = (await logOf('wheat'))[0];
  await page.getByRole('button', { name: `Undo entry ${thrown.number}: Thrown away: 50\u00a0g` }).click();
  await press('Undo it');
  await page.locator('dialog').getByText('A word or two are needed').waitFor();
  await press('Entered twice');
  await press('Undo it');
  await told(/Undone: Thrown away: 50.g\. 1.000.g on hand/);
  const [undo, undone] = await logOf('wheat');
  assert.deepEqual(
    [undo.kind, undo.reverses, undo.note, undo.on_hand_g],
    ['reversed', thrown.number, 'Entered twice', 1000],
  );
  assert.equal(undone.reversed_by, undo.number);
  assert.equal(
    await page.getByRole('button', { name: new RegExp(`Undo entry (${undo.number}|${undone.number}):`) }).count(),
    0,
  );
  await page.getByRole('button', { name: /Undo entry 2/ }).click();
  await page.keyboard.press('Escape');
  assert.equal((await logOf('wheat'))[0].number, undo.number, 'Escape undoes nothing');
});

test('tonight is planned, and fed as planned once, also when the answer gets lost', async () => {
  await starter('plan', [
    { kind: 'begun', g: 1500, at: hoursAgo(30) },
    { kind: 'fed', seed_g: 300, flour_g: 300, water_g: 300, at: hoursAgo(6) },
  ]);
  await world.api('PUT', '/formulas/planned', {
    name: 'Planned dough',
    basis: 'final',
    lines: [
      { ingredient: 'flour', pct: 100 },
      { ingredient: 'water', pct: 70 },
      { starter: 'plan', pct: 20 },
    ],
    stages: [{ stage: 'Mix and rest', minutes: 240 }],
  });
  await world.api('PUT', '/products/planned', { name: 'Planned loaf', parts: [{ formula: 'planned', g: 950 }] });
  await order(world.api, 'counter', plusDays(today, 2), { planned: 40 });
  await visit(page, '#/starters/plan');
  const plan = await world.api('GET', '/starters/plan/plan');
  assert.equal(plan.possible, true);
  const take = await textOf('tr.take');
  assert.match(take, /2 000 g for Planned dough/, 'the first of two batches');
  assert.match(take, new RegExp(plan.takes[0].at.slice(11, 16)));
  const shown = await textOf('.next .weighing');
  const figure = (json) => String(json).replace(/\B(?=(\d{3})+$)/g, ' ');
  assert.match(
    shown,
    new RegExp(`${figure(plan.feeds[0].seed_g)} g seed, kept back.*${figure(plan.feeds[0].water_g)} g water`),
  );

  await loseFirstAnswer(page, '/starters/plan/log', (route) => route.abort());
  await press('Fed as planned');
  await page
    .getByRole('dialog')
    .getByText(/The plan has this feed at/)
    .waitFor();
  await press('No, not yet');
  assert.equal((await logOf('plan')).length, 2, 'nothing was logged');
  await press('Fed as planned');
  await press('Yes, it was fed now');
  await page.locator('.messages').getByText('cannot be reached').waitFor();
  await press('Try again');
  await told(/Logged\. Fed/);
  const entries = await logOf('plan');
  assert.equal(entries.length, 3, 'it was fed once');
  assert.deepEqual(
    [entries[0].seed_g, entries[0].flour_g, entries[0].water_g],
    [plan.feeds[0].seed_g, plan.feeds[0].flour_g, plan.feeds[0].water_g],
  );
});

test('a plan that cannot be done says so, and what is the nearest that can', async () => {
  const inAWhile = new Date(Date.now() + 26 * 3600000);
  const clock = inAWhile.toISOString().slice(11, 16);
  await starter('short', [{ kind: 'begun', g: 400, at: hoursAgo(1) }], { pot_g: 3000 });
  await world.api('PUT', '/formulas/short', {
    name: 'Great dough',
    basis: 'final',
    lines: [
      { ingredient: 'flour', pct: 100 },
      { starter: 'short', pct: 100 },
    ],
    stages: [{ stage: 'Mix', minutes: 10 }],
  });
  await world.api('PUT', '/products/short', {
    name: 'Great loaf',
    parts: [{ formula: 'short', g: 1000 }],
    ready_at: clock,
  });
  await order(world.api, 'counter', inAWhile.toISOString().slice(0, 10), { short: 40 });
  const plan = await world.api('GET', '/starters/short/plan');
  assert.ok(plan.short, 'the plan falls short');
  await visit(page, '#/starters/short');
  const words = await textOf('.plan-trouble');
  assert.match(words, /This cannot be done\. Great dough wants 10 kg at \d\d:\d\d/);
  assert.match(words, Number(plan.short.most_g) > 0 ? /instead of 10 kg/ : /no feeds can make any ripe by then/);
  if (plan.short.later) assert.match(words, new RegExp(`Mix at ${plan.short.later.slice(11, 16)}`));
  await visit(page, '#/starters');
  assert.match(await textOf('.starter-card:has-text("Starter short")'), /does not work out/);
});

test('late is said in words', async () => {
  await starter('late', [
    { kind: 'begun', g: 400, at: hoursAgo(80) },
    { kind: 'fed', flour_g: 400, water_g: 400, at: hoursAgo(50) },
  ]);
  await visit(page, '#/starters/late');
  assert.match(await textOf('.late'), /Late\. It had to be fed by \d\d:\d\d.*ago/);
  await visit(page, '#/starters');
  assert.match(await textOf('.starter-card:has-text("Starter late")'), /Late\./);
});

test('asleep it says since when; for what is ordered it is woken and fed', async () => {
  await visit(page, '#/starters/plan');
  await press('In the cold');
  await field('How cold').fill('5');
  await page.locator('.entry-form .main').click();
  await told(/Put in the cold/);
  assert.match(await textOf('.pot-state'), /Asleep in the cold since/);
  assert.equal(await page.getByRole('button', { name: 'Ripe now' }).count(), 0);
  await press('Woken and fed as planned');
  await press('Yes, it was fed now');
  await told(/Logged\. Fed/);
  const [fed, woken, chilled] = await logOf('plan');
  assert.deepEqual([fed.kind, woken.kind, chilled.kind, chilled.c], ['fed', 'woken', 'chilled', 5]);
  assert.match(await textOf('.pot-state'), /Waking up: one more feed/);
});

test('it looks again by itself, and says when it cannot', async () => {
  await visit(page, '#/starters/wheat');
  const look = () => page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
  await log('wheat', { kind: 'weighed', g: 987 });
  await look();
  await page.locator('.pot-weight', { hasText: '987' }).waitFor();
  await page.route('**/starters/wheat/plan', (route) => route.abort());
  await look();
  await page
    .locator('.stale-note')
    .getByText(/What you see is of \d\d:\d\d/)
    .waitFor();
  await page.unroute('**/starters/wheat/plan');
  await press('Look again');
  await page.locator('.stale-note .message').waitFor({ state: 'detached' });
});

test('a long log is shown page by page', async () => {
  await starter('old', [{ kind: 'begun', g: 1000, at: hoursAgo(100) }]);
  for (let n = 1; n <= 45; n += 1) await log('old', { kind: 'taken', g: n === 45 ? 0.125 : 1, at: hoursAgo(100 - n) });
  await visit(page, '#/starters/old');
  const rows = page.locator('table.log tr.entry');
  assert.equal(await rows.count(), 20);
  await press('Older entries');
  await page.waitForFunction(() => document.querySelectorAll('table.log tr.entry').length === 40);
  await press('Older entries');
  await page.waitForFunction(() => document.querySelectorAll('table.log tr.entry').length === 46);
  assert.equal(await page.getByRole('button', { name: 'Older entries' }).count(), 0);
  assert.match(flat(await rows.first().textContent()), /Taken: 0\.125 g.*955\.875/);
  assert.match(flat(await rows.last().textContent()), /Begun with 1 000 g/);
});

/* --- everybody can use it --- */

const PLACES = {
  starters: ['#/starters'],
  'at work': ['#/starters/wheat', 'Fed'],
  planned: ['#/starters/plan', 'In the cold'],
  short: ['#/starters/short'],
  late: ['#/starters/late', 'Ripe now'],
  'undo asked': ['#/starters/keys', 'Undo'],
  raising: ['#/starters/night-rye/raising'],
};

test('axe finds nothing, by day and by night, at a desk and on a telephone', (t) => checkPlaces(t, page, PLACES));
