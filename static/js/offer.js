/* "Can we take it?" beside a line of an order: whether so many pieces can still be made and, when not,
 * the one thing that binds and what would be possible. It advises; whoever writes the order decides.
 */
import { h, button } from './dom.js';
import * as api from './api.js';
import { clockOf, dateOf, duration } from './dates.js';
import { sentence, speak } from './messages.js';
import { GRAM_PLACES, fromWire, grams, whole } from './number.js';
import { dayFrom } from './offer-clock.js';
import { today } from './session.js';

const HINT =
  'Typing a question mark at a line asks, too. Each line is asked by itself, on top of all orders that are saved.';

export class Offers {
  /* table: a PiecesTable; dateOf(): the bread day that is typed; ordered(code): pieces of the product
   * that are saved in this very order already, and so are no question */
  constructor(view, table, { breadDay, ordered }) {
    Object.assign(this, { table, breadDay, ordered, signal: view.signal });
    this.lines = new Map(table.codes().map((code) => [code, this.#line(code)]));
    table.element.append(h('p', { class: 'hint' }, HINT));
  }

  #line(code) {
    const line = { code };
    line.ask = button('Can we take it?', () => this.ask(code), { class: 'quiet ask', hidden: true });
    line.answer = h('span', { class: 'offer', 'aria-live': 'polite' });
    line.take = button('', () => this.#take(line), { class: 'take', hidden: true });
    line.take.addEventListener('keydown', (event) => {
      if (event.key !== 'Escape') return;
      event.preventDefault();
      this.table.focusOn(code);
    });
    this.table.asideOf(code).append(line.ask, line.answer, line.take);
    return line;
  }

  /* What was typed changed: an answer that was about something else goes. */
  changed() {
    for (const line of this.lines.values()) {
      const pieces = this.table.piecesOf(line.code);
      line.ask.hidden = pieces === null;
      if (line.asked !== undefined && (line.asked !== pieces || line.askedFor !== this.breadDay())) this.#clear(line);
    }
  }

  #clear(line) {
    line.asking?.abort();
    line.asked = undefined;
    line.answer.className = 'offer';
    line.answer.replaceChildren();
    line.take.hidden = true;
  }

  async ask(code) {
    const line = this.lines.get(code);
    const pieces = this.table.piecesOf(code);
    if (pieces === null) return;
    this.#clear(line);
    Object.assign(line, { asked: pieces, askedFor: this.breadDay(), asking: new AbortController() });
    const { signal } = line.asking;
    const had = this.ordered(code);
    if (pieces <= had) {
      this.#say(line, 'yes', pieces === had ? 'Yes: it is ordered already.' : 'Yes: it is less than is ordered already.');
      return;
    }
    line.answer.textContent = 'Asking…';
    try {
      const { body } = await api.post(`/days/${line.askedFor}/offers`, { product: code, pieces: pieces - had }, { signal });
      if (!signal.aborted && !this.signal.aborted) this.#show(line, body, had);
    } catch (error) {
      if (signal.aborted || this.signal.aborted) return;
      if (!(error instanceof api.Problem)) throw error;
      line.asked = undefined;
      this.#say(line, 'unknown', `Not known: ${error.errors[0]?.detail ?? error.detail}`);
    }
  }

  #say(line, kind, text) {
    line.answer.className = `offer ${kind}`;
    line.answer.textContent = sentence(text);
  }

  #show(line, { answer, reason, possible, possible_from: from }, had) {
    if (answer === 'yes') {
      this.#say(line, 'yes', `Yes, ${whole(line.asked)} can be made.`);
      return;
    }
    const most = possible + had;
    const other = from === null ? null : from + had;
    this.#say(line, 'no', `No: ${reasonWords(reason)}. ${possibleWords(most, other)}`);
    line.possible = most > 0 ? most : other;
    line.take.hidden = line.possible === null;
    line.take.textContent = line.possible === null ? '' : `Take ${whole(line.possible)}`;
    // One key takes it, as long as the question is still what is being looked at.
    const here = document.activeElement;
    if (!line.take.hidden && (here === line.ask || this.table.isAt(line.code, here))) line.take.focus();
  }

  #take(line) {
    const { code, possible } = line;
    this.table.put(code, possible);
    this.table.focusOn(code);
    speak(`${whole(possible)} taken over.`);
  }
}

function possibleWords(most, other) {
  const words = most > 0 ? [`${whole(most)} ${most === 1 ? 'is' : 'are'} possible`] : [];
  if (other !== null) words.push(`${whole(other)} or more would be`);
  return words.length ? `${words.join('; ')}.` : 'None is possible.';
}

const FIGURES = {
  'mix-begun': ({ at }) => at && `at ${whenWords(at)}`,
  'batch-small': (reason) => reason.short_g && `${weight(reason)} less than it takes`,
  'flour-short': (reason) => reason.short_g && `${weight(reason)} short`,
  'starter-short': (reason) => reason.short_g && `${weight(reason)} short${reason.at ? ` at ${whenWords(reason.at)}` : ''}`,
  'cold-full': (reason) => reason.short_g && `${weight(reason)} too much`,
  'hands-short': (reason) => reason.short_minutes && `${duration(reason.short_minutes)} of hands missing`,
};
const late = (reason) => reason.short_minutes && `it would be ${duration(reason.short_minutes)} late`;
const weight = (reason) => `${grams(fromWire(reason.short_g, GRAM_PLACES))} g`;
const whenWords = (instant) => `${clockOf(instant)} ${dayFrom(today(), dateOf(instant))}`;

/* The API's words, with the figure that belongs to them. */
function reasonWords(reason) {
  const figure = (FIGURES[reason.code] ?? late)(reason);
  return figure ? `${reason.text}, ${figure}` : reason.text;
}
