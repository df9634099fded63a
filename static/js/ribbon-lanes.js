/* Which lane of the ribbon a task lies in, and in which row of it: tasks whose words would cover each
 * other lie under each other. Nothing here draws. */
import { capital } from './messages.js';
import { momentOf } from './ribbon-clock.js';
import { shortLabel } from './ribbon-words.js';

/* [{ name, tasks }] in the order of the work: mixers, what stands, the cold, decks, cooling. */
export function lanesOf(tasks, bakery, places) {
  const lanes = new Map();
  const lane = (key, name) => {
    if (!lanes.has(key)) lanes.set(key, { name, tasks: [] });
    return lanes.get(key);
  };
  for (const { code } of bakery?.mixers ?? []) lane(`mixer/${code}`, code);
  for (const task of tasks.filter((one) => one.mixer)) lane(`mixer/${task.mixer}`, task.mixer).tasks.push(task);
  for (const task of tasks.filter((one) => !one.mixer && !one.oven && ['mix', 'stage'].includes(one.kind)))
    lane(task.uses === 'cold' ? 'x/cold' : 'w/stand', task.uses === 'cold' ? 'Cold' : 'Bench and room').tasks.push(task);
  for (const task of [...tasks.filter((one) => one.oven)].sort(byDeck(places)))
    lane(`deck/${task.oven}/${task.deck}`, capital(places.deck(task))).tasks.push(task);
  for (const task of tasks.filter((one) => !one.oven && one.kind === 'load')) lane('y/oven', 'Oven').tasks.push(task);
  for (const task of tasks.filter((one) => !one.oven && one.kind === 'cool')) lane('z/cool', 'Cooling').tasks.push(task);
  return [...lanes.values()].filter((one) => one.tasks.length > 0);
}

const byDeck = (places) => (a, b) =>
  places.ovens.indexOf(a.oven) - places.ovens.indexOf(b.oven) ||
  a.deck - b.deck ||
  momentOf(a.begins_at) - momentOf(b.begins_at);

/* How many hands are at work when: [{ from, to, needed, there }], there being null where they suffice. */
export function handsOf(tasks, short) {
  const changes = tasks
    .filter((task) => task.hands > 0)
    .flatMap((task) => [
      [momentOf(task.begins_at), task.hands],
      [momentOf(task.ends_at), -task.hands],
    ])
    .sort((a, b) => a[0] - b[0]);
  const found = [];
  let needed = 0;
  changes.forEach(([moment, by], index) => {
    needed += by;
    const to = changes[index + 1]?.[0];
    if (needed === 0 || to === undefined || to === moment) return;
    const lack = short.find((one) => momentOf(one.from) < to && momentOf(one.to) > moment);
    const there = lack ? lack.there : null;
    const last = found.at(-1);
    if (last?.to === moment && last.needed === needed && last.there === there) last.to = to;
    else found.push({ from: moment, to, needed, there });
  });
  return found;
}

/* Places blocks in rows: [{ task, label, left, width, inside, row }] in pixels, and the count of rows.
 * widthOf(label): of its words. */
export function layOut(tasks, { from, perMinute, widthOf }) {
  const ends = []; // of each row, in pixels
  const blocks = [...tasks]
    .sort((a, b) => momentOf(a.begins_at) - momentOf(b.begins_at))
    .map((task) => {
      const label = shortLabel(task);
      const left = ((momentOf(task.begins_at) - from) / 60000) * perMinute;
      const width = Math.max(3, ((momentOf(task.ends_at) - momentOf(task.begins_at)) / 60000) * perMinute);
      const words = widthOf(label);
      const inside = words <= width;
      const end = left + (inside ? width : width + words);
      let row = ends.findIndex((taken) => taken <= left + 0.5);
      if (row < 0) row = ends.length;
      ends[row] = end;
      return { task, label, left, width, inside, row };
    });
  return { blocks, rows: ends.length };
}
