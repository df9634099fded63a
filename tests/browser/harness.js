/* What every browser test stands on: a fresh database, the real server, a real browser.
 *
 * The browser reaches the server by a host name over plain HTTP, as in a bakery: there is no secure
 * context then, and whatever needs one would fail here.
 *
 * MORROWLOAF is the program, MORROWLOAF_TEST_CONNINFO a PostgreSQL where databases may be made.
 */
import assert from 'node:assert/strict';
import { execFile, spawn } from 'node:child_process';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { chromium } from 'playwright-core';

export const run = promisify(execFile);

const HOST = 'bakery.test';
const PASSWORD = 'crumb-and-crust-11';
const FLAGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  `--host-resolver-rules=MAP ${HOST} 127.0.0.1, MAP * ~NOTFOUND, EXCLUDE 127.0.0.1`,
];

function needed(name) {
  const value = process.env[name];
  if (!value) throw new Error(`${name} is not set`);
  return value;
}

/* Runs the program with words; input goes to its standard input. */
function program(env, words, input = '') {
  return new Promise((resolve, reject) => {
    const child = execFile(needed('MORROWLOAF'), words, { env }, (error, out) =>
      error ? reject(error) : resolve(out),
    );
    child.stdin.on('error', () => {}); // it reads nothing and has ended already; else it fails by itself
    child.stdin.end(input);
  });
}

async function freshDatabase() {
  const conninfo = needed('MORROWLOAF_TEST_CONNINFO');
  const name = `browser_${process.pid}_${Math.floor(Math.random() * 1e9)}`;
  await run('psql', [conninfo, '-qc', `CREATE DATABASE ${name}`]);
  return {
    conninfo: `${conninfo} dbname=${name}`,
    drop: () => run('psql', [conninfo, '-qc', `DROP DATABASE ${name} WITH (FORCE)`]),
  };
}

function startServer(env) {
  const child = spawn(needed('MORROWLOAF'), ['serve'], { env, stdio: ['ignore', 'ignore', 'pipe'] });
  let log = '';
  return new Promise((resolve, reject) => {
    child.stderr.on('data', (data) => {
      log += data;
      const found = /listening on http:\/\/127\.0\.0\.1:(\d+)/.exec(log);
      if (found) resolve({ child, port: Number(found[1]), log: () => log });
    });
    child.on('exit', (code) => reject(new Error(`the server ended with ${code}:\n${log}`)));
  });
}

/* Calls the API as a program does; throws unless the answer is good. */
function client(port, token) {
  return async (method, path, body, headers = {}) => {
    const all = { Authorization: `Bearer ${token}`, ...headers };
    if (body !== undefined) all['Content-Type'] = 'application/json';
    if (method === 'POST') all['Idempotency-Key'] = `test-${Math.random()}`;
    const response = await fetch(`http://127.0.0.1:${port}/api/v1${path}`, {
      method,
      headers: all,
      body: body && JSON.stringify(body),
    });
    const text = await response.text();
    if (!response.ok) throw new Error(`${method} ${path}: ${response.status} ${text}`);
    return text ? JSON.parse(text) : null;
  };
}

/* A world: server, API client, browser. Call close() at the end. */
export async function openWorld() {
  const database = await freshDatabase();
  const env = {
    ...process.env,
    MORROWLOAF_DB: database.conninfo,
    MORROWLOAF_LISTEN: '127.0.0.1:0',
    MORROWLOAF_LOG: 'info',
  };
  await program(env, ['migrate']);
  for (const role of ['owner', 'baker', 'counter'])
    await program(env, ['user', 'add', role, '--role', role], `${PASSWORD}\n`);
  const token = (await program(env, ['token', 'add', 'test', '--role', 'owner'])).trim().split('\n').at(-1);
  const server = await startServer(env);
  const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: FLAGS });
  const folder = await mkdtemp(join(tmpdir(), 'browser-test-'));
  return {
    api: client(server.port, token),
    base: `http://${HOST}:${server.port}`,
    browser,
    cookies: new Map(), // of sessions, by who is signed in
    folder,
    demo: () => program(env, ['demo']),
    async close() {
      await browser.close();
      server.child.removeAllListeners('exit');
      const ended = new Promise((resolve) => {
        server.child.on('exit', resolve);
      });
      server.child.kill('SIGTERM');
      await ended;
      await database.drop();
      await rm(folder, { recursive: true });
    },
  };
}

/* What the browser itself logs: requests that were refused. */
const OF_THE_BROWSER = /^Failed to load resource/;

/* A page of its own where nobody is signed in. Errors of scripts end up in page.faults. */
export async function openPage(world, { width = 1280, height = 900, scheme = 'light', touch = false } = {}) {
  const viewport = { width, height };
  const context = await world.browser.newContext({ viewport, colorScheme: scheme, hasTouch: touch, locale: 'en-GB' });
  const page = await context.newPage();
  page.setDefaultTimeout(10000);
  page.faults = [];
  page.on('pageerror', (error) => page.faults.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error' && !OF_THE_BROWSER.test(message.text())) page.faults.push(message.text());
  });
  await page.addInitScript(() => {
    window.prints = 0;
    window.print = () => {
      window.prints += 1;
    };
  });
  return page;
}

/* Signs in by the form. */
export async function signIn(page, world, who) {
  await page.goto(`${world.base}/#/customers`);
  await page.getByLabel('Name').fill(who);
  await page.getByLabel('Password').fill(PASSWORD);
  await page.keyboard.press('Enter');
  await page.waitForSelector('#menu', { state: 'attached' });
  await page.waitForSelector('#page:not([aria-busy]) > .page:not(.entrance)');
}

/* A page of its own with somebody signed in: by the form the first time, later by the same session. */
export async function signedIn(world, who, options) {
  const page = await openPage(world, options);
  if (world.cookies.has(who)) {
    await page.context().addCookies(world.cookies.get(who));
    await page.goto(`${world.base}/#/customers`);
    await page.waitForSelector('#page:not([aria-busy]) > .page:not(.entrance)');
  } else {
    await signIn(page, world, who);
    world.cookies.set(who, await page.context().cookies());
  }
  return page;
}

/* Goes to an address inside the page, or to it anew, and waits until that page stands. */
export async function visit(page, hash) {
  const pathOf = (address) => address.split('?')[0];
  const shown = pathOf(await page.evaluate(() => location.hash));
  if (shown === pathOf(hash)) await visit(page, shown === '#/customers' ? '#/orders' : '#/customers');
  await page.evaluate((to) => {
    document.querySelector('#page > *')?.setAttribute('data-old', '');
    location.hash = to;
  }, hash);
  await page.waitForSelector('#page:not([aria-busy]) > .page:not([data-old])');
}

/* Lets a request of the page reach the server; the caller decides what the page hears of it. */
export async function deliver(route) {
  const { origin, ...headers } = route.request().headers(); // of the host name, which only the browser knows
  const response = await route.fetch({ url: route.request().url().replace(HOST, '127.0.0.1'), headers });
  if (!origin || !response.ok()) throw new Error(`the server answered ${response.status()}`);
}

/* work(route, times) for every POST to a path of the API. */
export async function interfere(page, path, work) {
  let times = 0;
  await page.route(`**/api/v1${path}`, (route) => {
    if (route.request().method() !== 'POST') return route.continue();
    times += 1;
    return work(route, times);
  });
}

const unavailable = (route) =>
  route.fulfill({
    status: 503,
    contentType: 'application/problem+json',
    headers: { 'Retry-After': '1' },
    body: JSON.stringify({ type: 'about:blank', title: 'Service Unavailable', status: 503, detail: 'try again', errors: [] }),
  });

/* The first POST to a path is done, but its answer never comes; hears(route): what the page hears instead. */
export const loseFirstAnswer = (page, path, hears = unavailable) =>
  interfere(page, path, async (route, times) => {
    if (times > 1) return route.continue();
    await deliver(route);
    return hears(route);
  });

/* Text with single plain spaces. */
export const flat = (text) => text.replace(/[\s\u00a0\u202f]+/g, ' ').trim();

/* What a test does with its page, in short words; current(): the page that it has just now. */
export function hands(current) {
  return {
    field: (name) => current().getByLabel(name, { exact: true }),
    press: (name) => current().getByRole('button', { name, exact: true }).click(),
    said: (words) => current().locator('#page').getByText(words).first().waitFor(),
    told: (words) => current().locator('.messages').getByText(words).waitFor(),
    textOf: async (selector) => flat(await current().locator(selector).first().textContent()),
    textsOf: async (selector) => (await current().locator(selector).allTextContents()).map(flat),
    async keys(...list) {
      for (const key of list) await current().keyboard.press(key);
    },
  };
}

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');

/* What axe finds wrong with a page as it stands, and whether it scrolls sideways: [] when it is good. parts: looks
 * at these elements alone, where the rest was looked at before. */
export async function violations(page, parts = ['html']) {
  if (!(await page.evaluate(() => Boolean(window.axe)))) await page.evaluate(await readFile(AXE, 'utf8'));
  const { over, found } = await page.evaluate(
    async (include) => ({
      over: document.documentElement.scrollWidth - document.documentElement.clientWidth,
      found: await window.axe.run({ include }, { resultTypes: ['violations'] }),
    }),
    parts,
  );
  const words = found.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.html.slice(0, 160)).join(' | ')}`);
  return over > 0 ? [...words, `scrolls sideways by ${over} px`] : words;
}

/* The same page as by day at a desk or as by night on a telephone. */
export async function look(page, { scheme, width }) {
  await page.emulateMedia({ colorScheme: scheme });
  await page.setViewportSize({ width, height: 900 });
}

/* By day at a desk, by night on a telephone. */
const DAY_AND_NIGHT = [
  { scheme: 'light', width: 1280 },
  { scheme: 'dark', width: 390 },
];

/* Holds a page as it stands against axe, in several looks. parts: as above; also(how): what else holds in each */
export async function checkLooks(page, what, { parts, looks = DAY_AND_NIGHT, also = () => {} } = {}) {
  for (const how of looks) {
    await look(page, how);
    const words = `${what}, ${how.scheme}, ${how.width} wide`;
    assert.deepEqual(await violations(page, parts), [], words);
    await also(how, words);
  }
}

/* What is pressed with a finger and too low for that; links in running text are read, not aimed at. */
const smallTargets = (page) =>
  page.evaluate(() =>
    [...document.querySelectorAll('button, .button, input, select, textarea, .step, .tabs a, #menu a')]
      .filter(
        (one) =>
          one.checkVisibility() &&
          !one.matches('.lead-to, .tick input, .tickbox input') &&
          one.getBoundingClientRect().height < 44,
      )
      .map((one) => `${one.outerHTML.slice(0, 100)} is ${one.getBoundingClientRect().height} high`),
  );

/* The same in every look, and nothing is too small for a finger. */
export const checkAllLooks = (page, what) =>
  checkLooks(page, what, {
    looks: [...DAY_AND_NIGHT, { scheme: 'light', width: 390 }, { scheme: 'dark', width: 1280 }],
    also: async ({ width }, words) => {
      if (width === 390) assert.deepEqual(await smallTargets(page), [], words);
    },
  });

/* The same of places: name -> [address, text of a button that is pressed there, if any]. */
export async function checkPlaces(t, page, places) {
  for (const [name, [hash, opens]] of Object.entries(places)) {
    await t.test(name, async () => {
      await visit(page, hash);
      if (opens) await page.locator('main button', { hasText: opens }).first().click();
      await checkAllLooks(page, name);
      await page.evaluate(() => document.querySelector('dialog')?.close());
    });
  }
}

/* The texts of a PDF, one for each page, as pdftotext reads them; thin spaces become plain ones. */
export async function pdfPages(world, page, options = { format: 'A4' }) {
  const path = join(world.folder, `print-${Math.random()}.pdf`);
  await page.pdf({ path, ...options });
  await run('pdftotext', ['-layout', path, `${path}.txt`]);
  const text = await readFile(`${path}.txt`, 'utf8');
  return text
    .replace(/[\u202f\u00a0]/g, ' ')
    .split('\f')
    .slice(0, -1);
}
