/* The timetable of a bread day, moving tasks by hand, and the run sheet on paper. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { order, plusDays } from './fixture.js';
import { flat, openWorld, pdfPages, signedIn, visit } from './harness.js';
import { enterNight, putBakery } from './night.js';

let world;
let page;
let breadDay;

const timetable = (date = breadDay) => world.api('GET', `/days/${date}/timetable`);
const textOf = async (selector) => flat(await page.locator(selector).innerText());
const rowOf = (id) => page.locator(`table.tasks tr[data-task="${id}"]`);
const clock = (instant) => instant.slice(11, 16);

/* Anew, also when the page is shown already. */
async function open(hash) {
  await visit(page, '#/orders');
  await visit(page, hash);
}

before(async () => {
  world = await openWorld();
  ({ breadDay } = await enterNight(world.api));
  await order(world.api, 'counter', breadDay, { 'table-loaf': 40 });
  page = await signedIn(world, 'baker');
});
after(() => world.close());

test('shows the night: every task in the list and on the ribbon, a load’s instructions in words', async () => {
  const { tasks } = await timetable();
  assert.ok(tasks.length >= 16, `${tasks.length} tasks`);
  await open(`#/timetable/${breadDay}`);
  assert.equal(await page.locator('table.tasks tbody tr[data-task]').count(), tasks.length);
  assert.equal(await page.locator('.ribbon-task').count(), tasks.length);
  const list = await textOf('table.tasks');
  assert.match(list, /Mix: Table dough, batch 1 of 2 17\.000 kg · in big · one pair of hands/);
  assert.match(list, /Deck 1: 10 Table loaf 250 °C falling to 225 °C after 10 min, steam at loading, 45 min/);
  assert.match(list, /Preheat deck 1 to 250 °C/);
  const cooled = tasks.find((task) => task.kind === 'cool');
  assert.match(flat(await rowOf(cooled.id).textContent()), new RegExp(`may be packed from ${clock(cooled.ends_at)}`));
  const names = (await page.locator('.ribbon-name').allTextContents()).join(', ');
  assert.equal(names, 'big, Bench and room, Cold, Deck 1, Deck 2, Cooling, Hands');
});

test('the ribbon is laid out by elapsed time, and its words do not cover each other', async () => {
  const { tasks } = await timetable();
  const boxes = await page
    .locator('.ribbon-task')
    .evaluateAll((all) => all.map((one) => ({ left: parseFloat(one.style.left), width: parseFloat(one.style.width) })));
  const minute = boxes.find((box) => box.width > 400 * 0.9).width;
  const cold = tasks.filter((task) => task.uses === 'cold').map((task) => task.minutes);
  assert.ok(cold.some((minutes) => Math.abs(minute / minutes - 1.5) < 0.01), 'a cold proof is 1.5 px to the minute');
  const covered = await page.locator('.ribbon-track').evaluateAll((tracks) =>
    tracks.flatMap((track) => {
      const words = [...track.querySelectorAll('.words')].map((one) => [one.textContent, one.getBoundingClientRect()]);
      return words.flatMap(([a, one], index) =>
        words
          .slice(index + 1)
          .filter(([, other]) => one.left < other.right && other.left < one.right && one.top < other.bottom && other.top < one.bottom)
          .map(([b]) => `${a} and ${b}`),
      );
    }),
  );
  assert.deepEqual(covered, []);
});

test('moves a task by keyboard, says what breaks before it is saved, and goes back', async () => {
  const { tasks } = await timetable();
  const shape = tasks.find((task) => task.stage === 'Shape');
  await open(`#/timetable/${breadDay}`);
  const press = rowOf(shape.id).getByRole('button');
  await press.focus();
  await page.keyboard.press('Enter');
  const begin = page.getByLabel('Begins', { exact: true });
  assert.equal(await begin.inputValue(), clock(shape.begins_at));
  for (let n = 0; n < 3; n += 1) await page.keyboard.press('ArrowUp');
  const says = page.locator('.move-says');
  await says.getByText('Shape: Table dough').first().waitFor();
  assert.match(flat(await says.textContent()), /begins before what it waits for has ended \(15 min\) – Rest: Table dough/);
  assert.equal((await world.api('GET', `/days/${breadDay}/moves`)).moves.length, 0, 'trying stores nothing');
  await page.keyboard.press('Enter');
  await page.locator('#page').getByText('Saved. The timetable is now as you moved it.').waitFor();
  assert.equal(await page.evaluate(() => document.activeElement.closest('tr')?.dataset.task), shape.id);
  const [move] = (await world.api('GET', `/days/${breadDay}/moves`)).moves;
  assert.equal(move.task, shape.id);
  assert.equal(Date.parse(move.begins_at), Date.parse(shape.begins_at) - 15 * 60000);
  assert.match(await textOf('.troubles'), /Shape: Table dough, batch \d of 2 \(\d\d:\d\d\) begins before/);
  assert.match(flat(await rowOf(shape.id).textContent()), /moved by hand/);
  await page.getByRole('button', { name: 'Go back to as worked out' }).click();
  await page.getByRole('dialog').getByRole('button', { name: 'Go back to as worked out' }).click();
  await page.locator('#page').getByText('Saved. The timetable is as worked out.').waitFor();
  assert.deepEqual((await world.api('GET', `/days/${breadDay}/moves`)).moves, []);
  assert.equal(await page.locator('.troubles').textContent(), '');
});

test('a begin is typed; Escape gives it up; two people do not overwrite each other', async () => {
  const { tasks } = await timetable();
  const mix = tasks.find((task) => task.kind === 'mix');
  await open(`#/timetable/${breadDay}`);
  await rowOf(mix.id).getByRole('button').click();
  const begin = page.getByLabel('Begins', { exact: true });
  await begin.fill('0915');
  await page.locator('.move-says li').first().waitFor();
  assert.match(flat(await rowOf(mix.id).textContent()), /^09:15/);
  await page.keyboard.press('Escape');
  await page.waitForFunction((text) => document.querySelector('table.tasks tr[data-task] .time').textContent === text, clock(mix.begins_at));
  assert.equal(await page.locator('.move-bar').isVisible(), false);
  await rowOf(mix.id).getByRole('button').click();
  await page.getByRole('button', { name: '5 min earlier' }).click();
  const others = { moves: [{ task: tasks[1].id, begins_at: tasks[1].begins_at }] };
  await world.api('PUT', `/days/${breadDay}/moves`, others);
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.locator('#page').getByText('somebody else moved tasks').waitFor();
  await page.getByRole('button', { name: 'Show theirs' }).click();
  await page.locator('#page').getByText('One task is moved by hand').waitFor();
  await world.api('PUT', `/days/${breadDay}/moves`, { moves: [] });
});

test('a block is dragged with the mouse', async () => {
  const { tasks } = await timetable();
  await open(`#/timetable/${breadDay}`);
  const block = page.locator('.ribbon-task.mix').first();
  const box = await block.boundingBox();
  await page.mouse.move(box.x + 5, box.y + 5);
  await page.mouse.down();
  await page.mouse.move(box.x + 5 + 45, box.y + 5, { steps: 4 }); // half an hour at 1.5 px to the minute
  await page.mouse.up();
  await page.locator('.move-says li').first().waitFor();
  const mix = tasks.find((task) => task.kind === 'mix');
  const wanted = await page.getByLabel('Begins', { exact: true }).inputValue();
  const day = mix.begins_at.slice(0, 10);
  const moved = (Date.parse(`${day}T${wanted}:00Z`) - Date.parse(`${day}T${clock(mix.begins_at)}:00Z`)) / 60000;
  assert.equal(moved, 30);
  await page.getByRole('button', { name: 'Give it up' }).click();
});

test('without a connection the try says so, and works when it is tried again', async () => {
  const { tasks } = await timetable();
  await open(`#/timetable/${breadDay}`);
  await page.route('**/timetable', (route) => (route.request().method() === 'POST' ? route.abort('failed') : route.continue()));
  await rowOf(tasks[0].id).getByRole('button').click();
  await page.keyboard.press('ArrowDown');
  await page.locator('#page').getByText('cannot be reached').waitFor();
  await page.unroute('**/timetable');
  await page.getByRole('button', { name: 'Try again' }).click();
  await page.locator('.move-says li').first().waitFor();
  await page.getByRole('button', { name: 'Give it up' }).click();
});

test('hands that lack are said in words', async () => {
  const day = plusDays(breadDay, 7);
  await order(world.api, 'counter', day, { 'table-loaf': 80 });
  await putBakery(world.api, { shifts: [{ from: '12:00', to: '12:00', hands: 1 }] });
  const { hands } = await timetable(day);
  await open(`#/timetable/${day}`);
  assert.equal(hands[0].needed, 2);
  assert.equal(hands[0].there, 1);
  assert.match(await textOf('.troubles'), /\d\d:\d\d \w{3} to \d\d:\d\d: 2 pairs of hands needed, 1 is there/);
  assert.ok((await page.locator('.ribbon-hands.short').count()) > 0);
  await putBakery(world.api);
});

/* The last Sunday of a month of the year after next: far from all other orders. */
function lastSunday(month) {
  const year = Number(breadDay.slice(0, 4)) + 2;
  const last = new Date(Date.UTC(year, month, 0));
  return new Date(last.getTime() - last.getUTCDay() * 86400000).toISOString().slice(0, 10);
}

for (const [month, words, hours] of [
  [10, 'clocks back', ['00:00', '01:00', '01:00', '02:00', '03:00']],
  [3, 'clocks forward', ['00:00', '02:00', '03:00', '04:00']],
]) {
  test(`a night in which the clocks change: ${words}`, async () => {
    const day = lastSunday(month);
    await order(world.api, 'counter', day, { 'table-loaf': 10 });
    const { tasks } = await timetable(day);
    await open(`#/timetable/${day}`);
    const ticks = await page
      .locator('.ribbon-tick')
      .evaluateAll((all) => all.map((one) => [one.querySelector('span')?.textContent, parseFloat(one.style.left), one.textContent]));
    const from = ticks.findIndex(([hour]) => hour === '00:00');
    assert.deepEqual(
      ticks.slice(from, from + hours.length).map(([hour]) => hour),
      hours,
    );
    assert.ok(ticks.some(([, , text]) => text.includes(words)));
    for (let n = 1; n < ticks.length; n += 1) assert.ok(Math.abs(ticks[n][1] - ticks[n - 1][1] - 90) < 0.6, 'hours are equally wide');
    const proof = tasks.find((task) => task.uses === 'cold');
    const widths = await page.locator('.ribbon-task.cold').evaluateAll((all) => all.map((one) => parseFloat(one.style.width)));
    assert.ok(widths.some((width) => Math.abs(width - proof.minutes * 1.5) < 0.6), `${widths} for ${proof.minutes} min`);
  });
}

test('on a telephone the list comes first and the ribbon scrolls in itself', async () => {
  const phone = await signedIn(world, 'baker', { width: 390, height: 800 });
  await visit(phone, `#/timetable/${breadDay}`);
  const top = (selector) => phone.locator(selector).evaluate((one) => one.getBoundingClientRect().top + window.scrollY);
  assert.ok((await top('table.tasks')) < (await top('.ribbon-scroller')));
  const wide = await phone.locator('.ribbon-scroller').evaluate((one) => [one.scrollWidth, one.clientWidth]);
  assert.ok(wide[0] > wide[1] && wide[1] < 390);
  await phone.getByRole('button', { name: 'To the ribbon' }).click();
  assert.equal(await phone.evaluate(() => document.activeElement.className), 'ribbon-scroller');
  await phone.context().close();
});

test('a day without orders says so', async () => {
  await open('#/timetable/2031-01-01');
  await page.locator('#page').getByText('there is nothing to do for it').waitFor();
  assert.equal(await page.locator('.ribbon').isVisible(), false);
});

test('prints the run sheet: loads with instructions, boxes to tick, one or two pages', async (t) => {
  const { tasks } = await timetable();
  const date = tasks[0].mixing_date;
  await page.emulateMedia({ colorScheme: 'dark' });
  await open(`#/run-sheet/${date}`);
  const sheet = await world.api('GET', `/working-days/${date}/run-sheet`);
  const told = sheet.tasks.filter((task) => !['stage', 'cool'].includes(task.kind) || task.hands > 0);
  assert.equal(await page.locator('table.run-sheet tbody tr:not(.day-row)').count(), told.length);
  for (const format of ['A4', 'Letter']) {
    await t.test(format, async () => {
      const pages = await pdfPages(world, page, { format });
      assert.ok(pages.length <= 2, `${pages.length} pages`);
      const text = flat(pages.join(' '));
      assert.match(text, /Deck 1: 10 Table loaf/);
      assert.match(text, /250 °C falling to 225 °C after 10 min, steam at loading, 45 min/);
      assert.match(text, /then Rest \(24 °C\) until \d\d:\d\d/);
      assert.match(text, /Begins What hands do Until Pack from/);
      assert.match(text, /Heat: ovens, steam and hot trays burn/);
      assert.match(text, /Your local rules on ovens, dust, loads and food come first/);
      assert.match(text, /Fennel Row Bakery · Run sheet of/);
      assert.doesNotMatch(text, /Menu|Sign out|as a ribbon/);
    });
  }
  await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
  const seen = await page.evaluate(() => [
    window.getComputedStyle(document.body).color,
    window.getComputedStyle(document.body).backgroundColor,
    window.getComputedStyle(document.querySelector('table.run-sheet .square')).borderTopColor,
  ]);
  assert.deepEqual(seen, ['rgb(0, 0, 0)', 'rgb(255, 255, 255)', 'rgb(0, 0, 0)']);
  await page.emulateMedia({ media: null, colorScheme: 'light' });
});

test('a tick on the run sheet stays over a reload', async () => {
  const tick = page.locator('table.run-sheet input').first();
  await tick.check({ force: true });
  await page.reload();
  await tick.waitFor({ state: 'attached' });
  assert.equal(await tick.isChecked(), true);
});

test('what cannot be ready is said on the production page', async () => {
  const { tasks } = await timetable();
  const cooling = tasks.find((task) => task.kind === 'cool');
  const late = new Date(Date.parse(cooling.begins_at) + 5 * 3600000).toISOString();
  await world.api('PUT', `/days/${breadDay}/moves`, { moves: [{ task: cooling.id, begins_at: late }] });
  await open(`#/production/${breadDay}`);
  assert.match(await textOf('.message.bad'), /Not all of it can be ready:.*10 Table loaf.*is not ready in time/);
  await page.getByRole('link', { name: 'Timetable of this day' }).click();
  await page.locator('table.tasks').waitFor();
  await world.api('PUT', `/days/${breadDay}/moves`, { moves: [] });
});

test('nothing went wrong in the scripts', () => {
  assert.deepEqual(page.faults, []);
});
