/* A POST that is never done twice.
 *
 * One Once belongs to one intention ("save this new order"). It keeps key and body from the first
 * attempt until the server's word is certain. When what is to be posted has changed after an attempt
 * of unknown fate, settle() first finds out what became of that attempt, by repeating it exactly.
 */
import * as api from './api.js';

export class Once {
  #path;

  #pending = null; // { key, text }

  #remember;

  /* remember(pending) is called when the pending attempt changes: for keeping it across a reload. */
  constructor(path, { pending = null, remember = () => {} } = {}) {
    this.#path = path;
    this.#pending = pending;
    this.#remember = remember;
  }

  #set(pending) {
    this.#pending = pending;
    this.#remember(pending);
  }

  async #attempt() {
    try {
      const answer = await api.post(this.#path, this.#pending.text, { key: this.#pending.key });
      this.#set(null);
      return answer;
    } catch (error) {
      if (!(error instanceof api.Problem) || !error.uncertain) this.#set(null);
      throw error;
    }
  }

  /* The answer to an earlier attempt with another body whose fate is unknown, or null. */
  async settle(body) {
    if (this.#pending === null || this.#pending.text === JSON.stringify(body)) return null;
    try {
      return await this.#attempt();
    } catch (error) {
      if (error instanceof api.Problem && error.uncertain) throw error;
      return null; // it was refused, so nothing of it was stored
    }
  }

  /* Posts body; call settle() first. */
  send(body) {
    if (this.#pending === null) this.#set({ key: api.newKey(), text: JSON.stringify(body) });
    return this.#attempt();
  }

  /* The answer to body, or to an earlier attempt with another one that was posted after all. */
  async post(body) {
    return (await this.settle(body)) ?? this.send(body);
  }
}

/* The Onces of a page on which many things can be posted, each under a key of its own until it is done. */
export class Onces {
  #path;

  #held = new Map();

  constructor(path) {
    this.#path = path;
  }

  async post(key, body) {
    const once = this.#held.get(key) ?? new Once(this.#path);
    this.#held.set(key, once);
    const answer = await once.post(body);
    this.#held.delete(key);
    return answer;
  }
}
