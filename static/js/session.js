/* Who is signed in, for which bakery, and what their role may do. */
import * as api from './api.js';

const RANK = { counter: 1, baker: 2, owner: 3 };

/* name, role, bakery, currency, time_zone, today, working_day; null: nobody is signed in */
let current = null;
let loadedAt = 0;

export const session = () => current;

export const may = (role) => current !== null && RANK[current.role] >= RANK[role];

/* Asks the server anew; null when nobody is signed in. */
export async function loadSession() {
  try {
    current = (await api.get('/sessions/current', { signingIn: true })).body;
    loadedAt = Date.now();
  } catch (error) {
    if (!(error instanceof api.Problem) || error.status !== 401) throw error;
    current = null;
  }
  return current;
}

const FRESH = 5 * 60 * 1000;

/* A page may stand open over midnight: asks again what day it is. */
export async function refreshSession() {
  if (current === null || Date.now() - loadedAt < FRESH) return;
  const { body } = await api.get('/sessions/current');
  current = body;
  loadedAt = Date.now();
}

export async function signIn(name, password) {
  await api.post('/sessions', { name, password }, { signingIn: true });
  return loadSession();
}

export async function signOut() {
  await api.remove('/sessions/current', { signingIn: true });
  current = null;
}

export const today = () => current.today;

/* The bread day that the pages of a day go to when none is named: the one looked at last. */
let breadDay = null;

export function rememberBreadDay(date) {
  breadDay = date;
}

export async function currentBreadDay() {
  if (breadDay === null) breadDay = (await api.get('/days/next')).body.date;
  return breadDay;
}
