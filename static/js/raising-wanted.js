/* What a programme of raising was asked for with: kept in the address while one tries, and in this
 * browser once it has begun, so that the same programme is there on the fourth day. */
import { instantOf } from './zone.js';
import { session } from './session.js';

const PREFIX = 'morrowloaf-raising:';
const MEMBERS = ['begins', 'c', 'ready_g', 'keep_g', 'sweetener_g'];

const only = (wanted) =>
  Object.fromEntries(MEMBERS.filter((name) => wanted?.[name]).map((name) => [name, wanted[name]]));

export function queryOf(wanted) {
  return Object.entries(only(wanted))
    .map(([name, value]) => `${name}=${encodeURIComponent(value)}`)
    .join('&');
}

export function wantedFromAddress() {
  const query = location.hash.split('?')[1] ?? '';
  const pairs = query.split('&').map((pair) => pair.split('='));
  return only(Object.fromEntries(pairs.map(([name, value = '']) => [name, decodeURIComponent(value)])));
}

export function keepWanted(code, wanted) {
  try {
    localStorage.setItem(PREFIX + code, JSON.stringify(only(wanted)));
  } catch {
    // A browser without storage: the programme is asked for again.
  }
}

export function keptWanted(code) {
  try {
    return only(JSON.parse(localStorage.getItem(PREFIX + code)) ?? {});
  } catch {
    return {}; // no storage, or something that is not ours
  }
}

/* Tomorrow at nine, when nothing was said. */
export const usualBegin = (tomorrow) => instantOf(tomorrow, '09:00', session().time_zone);

const DAY = 24 * 60 * 60 * 1000;

/* When it began: as it was planned, unless what was logged is of another day. */
export function begunAt(kept, logged) {
  const near = kept.begins && Math.abs(Date.parse(kept.begins) - Date.parse(logged)) < DAY / 2;
  return near ? kept.begins : logged;
}
