/* Which lines have been weighed: kept in this browser alone, for a tablet at the bench. A tick belongs
 * to an amount, so that a line whose amount changes is not ticked any more.
 */
const MIXING = 'morrowloaf-ticks:';
export const RUNNING = 'morrowloaf-run-ticks:';

export class Ticks {
  /* prefix: of which sheet; each keeps its own, so that two that stand open do not overwrite each other */
  constructor(date, prefix = MIXING) {
    this.name = prefix + date;
    this.set = new Set();
    try {
      this.set = new Set(JSON.parse(localStorage.getItem(this.name)) ?? []);
      for (const name of Object.keys(localStorage))
        if (name.startsWith(prefix) && name < this.name) localStorage.removeItem(name);
    } catch {
      // A browser without storage: ticks live as long as the page.
    }
  }

  has(key) {
    return this.set.has(key);
  }

  put(key, ticked) {
    if (ticked) this.set.add(key);
    else this.set.delete(key);
    try {
      localStorage.setItem(this.name, JSON.stringify([...this.set]));
    } catch {
      // as above
    }
  }
}
