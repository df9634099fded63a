/* One tab of a browser at a time: by a lock where the browser has any (it has none on plain HTTP by host
 * name), else by a lease in localStorage that ends by itself when its tab has died.
 *
 * The lease spares the server doubles; it does not guard against them. That is done by the
 * Idempotency-Key, which is the same in all tabs.
 */
import { newKey } from './api.js';

const NAME = 'morrowloaf-batch-lease';
const LASTS = 30000; // milliseconds: longer than a request may take (api.js)
const SETTLE = 60; // until what two tabs wrote at once is the same in both
const BEGINS = 2000; // so long it lasts before the first request

const me = newKey();

const pause = (milliseconds) =>
  new Promise((resolve) => {
    setTimeout(resolve, milliseconds);
  });

function holder() {
  const lease = JSON.parse(localStorage.getItem(NAME) ?? 'null');
  return lease && lease.until > Date.now() ? lease.by : null;
}

const write = (lasts) => localStorage.setItem(NAME, JSON.stringify({ by: me, until: Date.now() + lasts }));

/* Holds it for another while; false when another tab took it, because this one slept too long. */
function renew() {
  if (holder() !== me) return false;
  write(LASTS);
  return true;
}

async function take() {
  if (holder() !== null) return false;
  write(BEGINS);
  await pause(SETTLE * (1 + Math.random()));
  return holder() === me;
}

function release() {
  if (holder() === me) localStorage.removeItem(NAME);
}

async function byLease(work) {
  window.addEventListener('pagehide', release);
  try {
    if (!(await take())) return false;
    await work(renew);
  } finally {
    window.removeEventListener('pagehide', release);
    release();
  }
  return true;
}

function hasStorage() {
  try {
    localStorage.setItem(`${NAME}?`, '');
    localStorage.removeItem(`${NAME}?`);
    return true;
  } catch {
    return false; // then no other tab knows of what this one keeps
  }
}

const always = () => true;

/* Does work(renew) unless another tab is at it; false: it was. renew() is asked before every request, and
 * says whether work may go on. */
export async function alone(work) {
  const { locks } = window.navigator;
  if (locks) {
    return locks.request(NAME, { ifAvailable: true }, async (lock) => {
      if (lock) await work(always);
      return lock !== null;
    });
  }
  if (hasStorage()) return byLease(work);
  await work(always);
  return true;
}
