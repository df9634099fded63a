/* What a task of the timetable is, in words: the same words on the ribbon, in the list beside it and on
 * the run sheet. */
import { clockOf, clockOn, dateOf, daysBetween, duration, joinWords, shortDay } from './dates.js';
import { degrees } from './degrees.js';
import { capital } from './messages.js';
import { GRAM_PLACES, fromWire, kilos, whole } from './number.js';

const MINUTE = '\u00a0min';

/* Decks are numbered only where an oven has more than one. */
export class Places {
  constructor(bakery, tasks) {
    this.decks = new Map((bakery?.ovens ?? []).map((oven) => [oven.code, oven.decks]));
    for (const { oven, deck } of tasks)
      if (oven) this.decks.set(oven, Math.max(this.decks.get(oven) ?? 1, deck ?? 1));
    this.ovens = [...this.decks.keys()];
  }

  /* "deck 2 of hearth", "hearth", "deck 2" where there is one oven only */
  deck({ oven, deck }) {
    if (this.decks.get(oven) === 1) return oven;
    return this.ovens.length === 1 ? `deck ${deck}` : `deck ${deck} of ${oven}`;
  }

  of(task) {
    if (task.mixer) return task.mixer;
    return task.oven ? this.deck(task) : (task.at ?? '');
  }
}

const batchWords = (task) => (task.batches > 1 && task.batch ? `, batch ${task.batch} of ${task.batches}` : '');
const batchShort = (task) => (task.batches > 1 && task.batch ? ` ${task.batch}/${task.batches}` : '');

export const itemWords = (items) => joinWords(items.map((item) => `${whole(item.pieces)} ${item.name}`));

const kilosOf = (json) => `${kilos(fromWire(json, GRAM_PLACES))} kg`;

/* For the narrow room of the ribbon. */
export function shortLabel(task) {
  if (task.kind === 'mix') return `${task.name}${batchShort(task)}`;
  if (task.kind === 'preheat') return 'Preheat';
  const what = task.items.length ? itemWords(task.items) : `${task.name}${batchShort(task)}`;
  return task.kind === 'load' ? what : `${task.stage} · ${what}`;
}

/* tasks: all of the timetable by id, to see what a cooling comes out of */
export function taskTitle(task, places, tasks) {
  const what = task.items.length ? itemWords(task.items) : `${task.name}${batchWords(task)}`;
  if (task.kind === 'mix') return `${task.stage}: ${task.name}${batchWords(task)}`;
  if (task.kind === 'preheat') return `Preheat ${places.deck(task)}`;
  if (task.kind === 'load') return task.oven ? `${capital(places.deck(task))}: ${what}` : `${task.stage}: ${what}`;
  const load = task.after.map((id) => tasks.get(id)).find((one) => one?.kind === 'load');
  if (task.kind === 'cool' && load?.oven) return `Out of ${places.deck(load)}, ${lower(task.stage)}: ${what}`;
  return `${task.stage}: ${what}`;
}

const lower = (text) => text.charAt(0).toLowerCase() + text.slice(1);

/* "250 °C falling to 225 °C after 10 minutes, steam at loading, 38 minutes" */
function bakeWords(steps) {
  const words = [];
  const steam = [];
  let minutes = 0;
  let before = null;
  for (const step of steps) {
    const c = Number(step.c); // compared only
    if (before === null) words.push(degrees(step.c));
    else if (c !== before.c) words.push(`${c < before.c ? 'falling' : 'rising'} to ${degrees(step.c)} after ${minutes}${MINUTE}`);
    if (step.steam && !before?.steam) steam.push(before === null ? 'steam at loading' : `steam after ${minutes}${MINUTE}`);
    before = { c, steam: step.steam };
    minutes += step.minutes;
  }
  return [words.join(' '), ...steam, `${minutes}${MINUTE}`].join(', ');
}

/* How hot a deck must be: for its first load after the preheating. */
function preheatWords(task, tasks) {
  const next = [...tasks.values()].find(
    (one) => one.kind === 'load' && one.oven === task.oven && one.deck === task.deck && one.begins_at >= task.ends_at,
  );
  return next?.steps.length ? `to ${degrees(next.steps[0].c)}` : null;
}

/* The words below a task's title: how, for whom, what waits. only: the bread day that needs no mention. */
export function taskDetails(task, tasks, only = null) {
  return [
    task.kind === 'mix' ? kilosOf(task.dough_g) : null,
    task.kind === 'load' && task.steps.length ? bakeWords(task.steps) : null,
    task.kind === 'preheat' ? preheatWords(task, tasks) : null,
    task.kind !== 'load' || !task.steps.length ? task.at : null,
    isLastOfItsBread(task, tasks) ? `may be packed from ${untilWords(task)}` : null,
    task.waits_minutes > 0 ? `of it ${duration(task.waits_minutes)} of waiting` : null,
    forWords(task, only),
  ].filter(Boolean);
}

/* When a cooling ends, its bread may be packed, unless another follows. What hands do after the oven
 * (glazing, packing itself) is no cooling. */
export function isLastOfItsBread(task, tasks) {
  const cools = (one) => one.kind === 'cool' && one.hands === 0;
  return cools(task) && ![...tasks.values()].some((one) => cools(one) && one.after.includes(task.id));
}

function forWords(task, only) {
  if (task.for.length === 1 && task.for[0] === only) return null;
  const near = (day) => only !== null && Math.abs(daysBetween(only, day)) < 4; // a weekday says enough
  return task.for.length ? `for ${joinWords(task.for.map((day) => (near(day) ? shortDay(day).slice(0, 3) : shortDay(day))))}` : null;
}

export const handsWords = (hands) => (hands === 1 ? 'one pair of hands' : `${hands} pairs of hands`);

const NIGHT = 12 * 60; // minutes within which a clock time is not taken for another day's

/* Until when; with the weekday where the clock alone might be misread. */
export const untilWords = (task) =>
  task.minutes < NIGHT ? clockOf(task.ends_at) : clockOn(task.ends_at, dateOf(task.begins_at));

/* "02:10 to 02:40: 3 pairs of hands are needed, 2 are there" */
export function shortHandsWords(one, date) {
  const there = one.there === 0 ? 'nobody is there' : `${one.there === 1 ? '1 is' : `${one.there} are`} there`;
  return `${clockOn(one.from, date)} to ${clockOn(one.to, dateOf(one.from))}: ${handsWords(one.needed)} needed, ${there}`;
}

/* What a break says, with the task that it is about: the API's own sentence has no subject. */
export function breakWords(one, tasks, places, { subject = true } = {}) {
  const task = tasks.get(one.task);
  const other = tasks.get(one.other);
  const title = task ? taskTitle(task, places, tasks) : 'A task';
  const minutes = one.minutes > 0 ? ` (${duration(one.minutes)})` : '';
  const beside = other ? ` – ${taskTitle(other, places, tasks)}` : '';
  const when = task && subject ? ` (${clockOf(task.begins_at)})` : '';
  return `${subject ? `${title}${when} ` : ''}${one.text}${minutes}${beside}`;
}
