/* What was typed into an order and not saved yet, kept in this browser: a dead battery or a reload
 * loses nothing, and a save of unknown fate is repeated with its own key. */

const PREFIX = 'morrowloaf-order:';

export function readDraft(name) {
  try {
    return JSON.parse(localStorage.getItem(PREFIX + name));
  } catch {
    return null; // no storage, or something that is not ours
  }
}

export function keepDraft(name, draft) {
  try {
    localStorage.setItem(PREFIX + name, JSON.stringify(draft));
  } catch {
    // A browser without storage: the draft lives as long as the page.
  }
}

export function dropDraft(name) {
  try {
    localStorage.removeItem(PREFIX + name);
  } catch {
    // as above
  }
}

export function forgetDrafts() {
  try {
    for (const name of Object.keys(localStorage)) if (name.startsWith(PREFIX)) localStorage.removeItem(name);
  } catch {
    // as above
  }
}
