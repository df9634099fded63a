/* Until when each product can still be ordered for a bread day, beside its line of the order. Time goes
 * on while the page stands open, by the server's clock.
 */
import * as api from './api.js';
import { addDays, clockOf, dateOf, shortDay } from './dates.js';
import { h } from './dom.js';
import { speak } from './messages.js';

const TURN = 10 * 1000; // milliseconds from one look at the clock to the next
const ASK_ANEW = 5 * 60 * 1000; // orders of others move the last moments

const BECAUSE = { mix: ', when its dough is mixed', feed: ', when the starter for it is fed' };

/* "today", "tomorrow", "yesterday" or "on Thu 26 Nov" */
export function dayFrom(today, date) {
  if (date === today) return 'today';
  if (date === addDays(today, 1)) return 'tomorrow';
  if (date === addDays(today, -1)) return 'yesterday';
  return `on ${shortDay(date)}`;
}

export class LastOrders {
  /* table: a PiecesTable; each of its lines has a place for what is said beside it */
  constructor(view, table) {
    this.signal = view.signal;
    this.table = table;
    this.names = new Map();
    this.places = new Map(
      table.codes().map((code) => {
        const place = h('span', { class: 'sub last-order' });
        table.asideOf(code).append(place);
        return [code, place];
      }),
    );
    this.items = [];
    this.note = h('p', { class: 'hint' });
    table.element.prepend(this.note);
    const timers = [setInterval(() => this.#turn(), TURN), setInterval(() => this.#ask(), ASK_ANEW)];
    this.signal.addEventListener('abort', () => timers.forEach(clearInterval), { once: true });
  }

  /* Shows the last moments of another bread day. */
  async show(date) {
    this.date = date;
    this.items = [];
    this.places.forEach((place) => place.replaceChildren());
    await this.#ask();
  }

  async #ask() {
    const date = this.date;
    try {
      const { body } = await api.get(`/days/${date}/last-orders`, { signal: this.signal });
      if (this.signal.aborted || date !== this.date) return;
      this.ahead = Date.parse(body.now) - Date.now();
      this.today = dateOf(body.now);
      this.items = body.items;
      this.said = new Set(this.items.filter((one) => this.#isOver(one)).map((one) => one.product));
      this.note.textContent = '';
      this.#turn();
    } catch (error) {
      if (this.signal.aborted) return;
      if (!(error instanceof api.Problem)) throw error;
      // The order can be written all the same.
      this.note.textContent = `Until when each product can be ordered is not known: ${error.detail}`;
      this.places.forEach((place) => place.replaceChildren());
      this.items = [];
    }
  }

  #isOver(one) {
    return one.over || (one.at !== null && Date.parse(one.at) <= Date.now() + this.ahead);
  }

  #turn() {
    for (const one of this.items) {
      const place = this.places.get(one.product);
      if (!place || (one.at === null && !one.over)) continue;
      const over = this.#isOver(one);
      const words = this.#words(one, over);
      if (place.textContent !== words.join('')) {
        place.classList.toggle('over', over);
        place.replaceChildren(words[0], h('span', { class: 'wide-only' }, words[1]));
      }
      if (over && !this.said.has(one.product)) this.#sayClosed(one);
    }
  }

  #words(one, over) {
    if (one.at === null) return ['closed', ''];
    const day = dayFrom(this.today, dateOf(one.at));
    if (!over) return [`until ${clockOf(one.at)} ${day}`, BECAUSE[one.because] ?? ''];
    return [`closed since ${clockOf(one.at)}${day === 'today' ? '' : ` ${day}`}`, ''];
  }

  #sayClosed(one) {
    this.said.add(one.product);
    if (this.table.piecesOf(one.product) !== null) speak(`The last moment to order ${one.name} has passed.`);
  }
}
