/* A long list of the server, the newest first: a page of it, and older ones when they are asked for. */
import * as api from './api.js';
import { h, button } from './dom.js';
import { tellError } from './messages.js';

const MOST = 1000; // that the server gives at once

export class Paged {
  /* atOnce: how many at first; older: what the button says; draw(): something else is in items; lineAt(index):
   * the element that is gone to when older ones have come */
  constructor({ atOnce, older, draw, lineAt, view = {} }) {
    Object.assign(this, { atOnce, older, draw, lineAt, view });
    this.items = [];
    this.next = null;
  }

  #take(items, next) {
    this.items = items;
    this.next = next;
    this.draw();
  }

  /* Begins anew at the newest of path; resolves with the answer. */
  begin(path, options = this.view) {
    return this.#read(path, this.atOnce, options);
  }

  /* Reads the newest anew; older ones that were asked for stay. */
  load(path, options = this.view) {
    return this.#read(path, Math.min(MOST, Math.max(this.atOnce, this.items.length)), options);
  }

  async #read(path, limit, options) {
    const { body } = await api.get(`${path}${path.includes('?') ? '&' : '?'}limit=${limit}`, options);
    this.#take(body.items, body.next);
    return body;
  }

  async #more() {
    try {
      const from = this.items.length;
      const { body } = await api.get(this.next.slice(api.BASE.length), this.view);
      this.#take([...this.items, ...body.items], body.next);
      this.lineAt(from)?.focus();
    } catch (error) {
      tellError(error, () => this.#more());
    }
  }

  /* The button for older ones; '' when there are none. */
  moreButton() {
    return this.next ? h('p', { class: 'actions' }, button(this.older, () => this.#more(), { class: 'add' })) : '';
  }
}
