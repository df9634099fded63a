/* The way of a tick to the server: never lost, never twice.
 *
 * A batch that is ticked as mixed is kept first (batch-store.js) and sent then, with or without a
 * connection; there is no other way. What is of unknown fate is sent again under its own key until the
 * server's word is certain; in the order of the ticks, by one tab at a time, as the one who ticked.
 * Certain words are: posted; posted by somebody else before (409); refused, which is asked about.
 */
import * as api from './api.js';
import { alone } from './batch-lease.js';
import { dropEntry, keepEntry, nameOf, readEntries, readEntry, whenOtherTabsChange } from './batch-store.js';
import { sentence } from './messages.js';
import { may, session } from './session.js';

const FIRST_WAIT = 2000; // milliseconds; doubled at each attempt that came to nothing
const LONGEST_WAIT = 60000;
const AT = '/at'; // where the server says that it cannot be of that time

const listeners = new Set();
let trouble = null; // why nothing could be sent at the last attempt, in the server's or our own words
let wait = 0; // until the next attempt; 0: the last one came through
let timer = 0;
let running = null;
let again = false;

/* work(posted, elsewhere) is called whenever an entry has changed. posted: the batch as the server has it,
 * or null; elsewhere: another tab changed it. */
export function whenQueueChanges(signal, work) {
  listeners.add(work);
  signal.addEventListener('abort', () => listeners.delete(work), { once: true });
}

function announce(posted = null, elsewhere = false) {
  for (const work of [...listeners]) work(posted, elsewhere);
}

/* Why entries wait: a sentence, or null when nothing stands in their way. */
export const queueTrouble = () => trouble;

export const isMine = (entry) => entry.by === session()?.name;

const pathOf = (entry) => `/mixing-lists/${entry.date}/batches`;
const nextSeq = () => readEntries().reduce((most, entry) => Math.max(most, entry.seq + 1), Date.now());

function textOf(entry, { lines, at }) {
  const body = { formula: entry.formula, batch: entry.batch, lines };
  return JSON.stringify(at ? { ...body, at } : body);
}

/* Keeps a tick and sends it. which: { date, formula, name, batch, batches }; lines as the API takes them,
 * names of their things. False: another tab has ticked it already. */
export function tick(which, lines, names) {
  if (readEntry(nameOf(which)) !== null) return false;
  const at = new Date().toISOString().replace(/\.\d+/, '');
  keepEntry({
    ...which,
    seq: nextSeq(),
    by: session().name,
    at,
    key: api.newKey(),
    text: textOf(which, { lines, at }),
    names,
    state: 'waiting',
    tried: false,
  });
  announce();
  flush();
  return true;
}

export const linesOf = (entry) => JSON.parse(entry.text).lines;

/* --- deciding about what was refused --- */

/* Changes an entry that is in the given state; what another tab did meanwhile stands. */
function change(entry, state, changes) {
  const now = readEntry(nameOf(entry));
  if (now?.state === state && now.key === entry.key) keepEntry({ ...now, ...changes(now) });
  announce();
  flush();
}

/* Under a new key, behind all others. more: other changes. */
const anew = (more = {}) => ({
  key: api.newKey(),
  state: 'waiting',
  tried: false,
  said: null,
  errors: [],
  seq: nextSeq(),
  by: session().name,
  ...more,
});

/* Sends what was refused with other lines. It was refused, so nothing of it was stored: a new key. */
export const amend = (entry, lines, names) =>
  change(entry, 'asked', (now) => anew({ text: textOf(now, { lines, at: JSON.parse(now.text).at }), names }));

/* Sends it as it is, because the book says something else now. */
export const askAgain = (entry) => change(entry, 'asked', () => anew());

/* Sends what somebody else ticked as who is signed in. What became of an attempt of theirs does not matter:
 * the server takes a batch once, and says so. */
export const takeOver = (entry) => change(entry, 'waiting', () => anew());

/* Takes a tick back. One that may have been posted already is posted for certain, and reversed then. */
export function takeBack(entry) {
  const now = readEntry(nameOf(entry));
  if (now?.key === entry.key) {
    if (now.state === 'waiting' && now.tried) keepEntry({ ...now, back: now.back ?? api.newKey() });
    else dropEntry(nameOf(now));
  }
  announce();
  flush();
}

/* It was seen how an entry was settled. */
export function seen(entry) {
  if (readEntry(nameOf(entry))?.state === 'told') dropEntry(nameOf(entry));
  announce();
}

/* --- sending --- */

const next = () => readEntries().find((entry) => entry.state === 'waiting' && isMine(entry));

const isUncertain = (error) => error.uncertain || error.status === 401 || error.status === 429;

/* Ends an attempt with changes to its entry, unless another tab has put another in its place. */
function settle(entry, changes) {
  const now = readEntry(nameOf(entry));
  if (now?.key !== entry.key) return;
  if (changes === null) dropEntry(nameOf(entry));
  else keepEntry({ ...now, ...changes });
}

/* A clock that is wrong, or a log that went on meanwhile: then it was mixed when the server hears of it. */
function withoutTime(entry, error) {
  const body = JSON.parse(entry.text);
  if (!body.at || error.errors.length === 0 || error.errors.some(({ pointer }) => pointer !== AT)) return null;
  return { key: api.newKey(), text: textOf(entry, { lines: body.lines }) };
}

function refused(entry, error) {
  const said = error.errors.map(({ detail }) => sentence(detail)).join(' ') || error.detail;
  const isBack = Boolean(readEntry(nameOf(entry))?.back);
  if (isBack) settle(entry, null); // nothing was stored, and nothing was to be
  else if (error.status === 409) settle(entry, { state: 'told', said: error.errors[0]?.detail ?? error.detail });
  else settle(entry, withoutTime(entry, error) ?? { state: 'asked', said, errors: error.errors });
}

/* True when the server's word is certain, so that the next may follow. */
async function post(entry) {
  keepEntry({ ...entry, tried: true });
  try {
    const { body } = await api.post(pathOf(entry), entry.text, { key: entry.key, signingIn: true });
    const back = readEntry(nameOf(entry))?.back;
    settle(entry, back ? { movement: body.movement } : null);
    announce(back ? null : body);
  } catch (error) {
    if (!(error instanceof api.Problem)) throw error;
    if (isUncertain(error)) return missed(error);
    refused(entry, error);
    announce();
  }
  return true;
}

async function reverse(entry) {
  const body = { kind: 'reversed', reverses: entry.movement, reason: 'The tick was taken back' };
  try {
    await api.post('/movements', body, { key: entry.back, signingIn: true });
    settle(entry, null);
  } catch (error) {
    if (!(error instanceof api.Problem)) throw error;
    if (isUncertain(error)) return missed(error);
    const said = `it was posted before it was taken back, and that could not be undone: ${error.errors[0]?.detail ?? error.detail}`;
    settle(entry, error.status === 409 ? null : { state: 'told', said });
  }
  announce();
  return true;
}

function whyNot(error) {
  if (error.offline) return 'the server cannot be reached';
  return error.status === 401 ? 'nobody is signed in' : error.detail;
}

function missed(error) {
  trouble = whyNot(error);
  wait = Math.min(Math.max(wait * 2, FIRST_WAIT), LONGEST_WAIT);
  if (error.retryAfter) wait = Math.max(wait, Math.min(error.retryAfter * 1000, LONGEST_WAIT));
  return false;
}

async function sendAll(renew) {
  for (let entry = next(); entry; entry = next()) {
    const certain = renew() && (await (entry.movement ? reverse(entry) : post(entry)));
    if (!certain) return;
    trouble = null;
    wait = 0;
  }
}

async function run() {
  clearTimeout(timer);
  do {
    again = false;
    if (!may('baker') || !next()) break;
    await alone(sendAll);
  } while (again);
  if (!next()) trouble = null;
  announce();
  later();
}

function later() {
  clearTimeout(timer);
  if (!next()) return;
  timer = setTimeout(flush, Math.max(wait, FIRST_WAIT));
}

/* Sends what waits; once at a time, however often it is asked to. */
function flush() {
  again = true;
  running ??= run().finally(() => {
    running = null;
  });
  return running;
}

/* The server can be reached again, or may be: does not wait for the timer. */
export function flushNow() {
  wait = 0;
  return flush();
}

let started = false;

/* Once somebody is signed in: sends what an earlier page left, and looks after what comes. */
export function startQueue() {
  if (!started) {
    started = true;
    window.addEventListener('online', flushNow);
    document.addEventListener('visibilitychange', () => document.visibilityState === 'visible' && flushNow());
    whenOtherTabsChange(() => {
      announce(null, true);
      later();
    });
  }
  return flushNow();
}
