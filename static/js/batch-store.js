/* Ticks of mixed batches that are on their way to the server, kept in this browser.
 *
 * There is one entry for a batch, under a name of its own, so that tabs of one browser never write over
 * each other's: what one of them keeps, all of them have. An entry is
 *
 *   date, formula, name, batch, batches   which batch of which list
 *   seq                                   in this order they are sent
 *   by, at                                who ticked it, when
 *   key, text, names                      what is posted, byte for byte, under which Idempotency-Key; names of its lines
 *   state     'waiting'  not sent yet, or of unknown fate: sent again under the same key
 *             'asked'    refused, so nothing of it was stored; somebody has to decide
 *             'told'     settled without it, and not seen by anybody yet
 *   tried     it was sent once or more
 *   said, errors                          the server's words about it, and its faults with their pointers
 *   back, movement                        it was taken back while its fate was unknown: the key of the
 *                                         reversal, and what is to be reversed once that is known
 */
const PREFIX = 'morrowloaf-batch:';
const loose = new Map(); // in a browser without storage, or whose storage is full: as long as the page lives

export const nameOf = ({ date, formula, batch }) => `${date}/${formula}/${batch}`;

function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null; // nothing of ours
  }
}

/* All of them in the order of their ticks. */
export function readEntries() {
  const found = new Map();
  try {
    for (const name of Object.keys(localStorage))
      if (name.startsWith(PREFIX)) found.set(name.slice(PREFIX.length), parsed(localStorage.getItem(name)));
  } catch {
    // no storage: what is loose is all there is
  }
  for (const [name, entry] of loose) found.set(name, entry);
  return [...found.values()].filter(Boolean).sort((a, b) => a.seq - b.seq);
}

export function readEntry(name) {
  try {
    return loose.get(name) ?? parsed(localStorage.getItem(PREFIX + name));
  } catch {
    return null; // no storage, and not loose either
  }
}

export function keepEntry(entry) {
  const name = nameOf(entry);
  try {
    localStorage.setItem(PREFIX + name, JSON.stringify(entry));
    loose.delete(name);
  } catch {
    loose.set(name, entry);
  }
}

export function dropEntry(name) {
  loose.delete(name);
  try {
    localStorage.removeItem(PREFIX + name);
  } catch {
    // no storage: it was loose
  }
}

/* Would closing this page lose any? */
export const isLoose = () => loose.size > 0;

/* work() is called when another tab of this browser has changed one. */
export function whenOtherTabsChange(work) {
  window.addEventListener('storage', (event) => {
    if (event.key === null || event.key.startsWith(PREFIX)) work();
  });
}
