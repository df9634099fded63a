/* The ribbon of a night: time runs along it by what really elapses, one lane for each mixer, deck and
 * other place, one for the hands. It is a picture; the list beside it says the same and is what
 * keyboards and screen readers use. A press on a block chooses its task, a mouse can drag it.
 */
import { h, button, unseen } from './dom.js';
import { clockOf, dateOf, shortDay } from './dates.js';
import { momentOf } from './ribbon-clock.js';
import { handsOf, lanesOf, layOut } from './ribbon-lanes.js';

const SCALES = [0.9, 1.5, 2.5, 4, 7]; // pixels to a minute
const LABEL = '600 14px system-ui, "DejaVu Sans", sans-serif';
const LABEL_ROOM = 14; // pixels around a label
const ROW = 30; // pixels
const SNAP = 5 * 60000;

export class Ribbon {
  /* places, clock, bakery: of the page; onchoose(task), ondrag(task, moment): null where nothing moves */
  constructor(view, { places, clock, bakery, onchoose = null, ondrag = null }) {
    Object.assign(this, { places, clock, bakery, onchoose, ondrag });
    this.scale = window.innerWidth < 720 ? 2 : 1;
    const pen = document.createElement('canvas').getContext('2d');
    pen.font = LABEL;
    this.widthOf = (text) => pen.measureText(text).width + LABEL_ROOM;
    this.picture = h('div', { class: 'ribbon-picture', 'aria-hidden': 'true' });
    this.scroller = h(
      'div',
      { class: 'ribbon-scroller', tabindex: 0, role: 'region', 'aria-label': 'The night as a ribbon. The list says the same.' },
      this.picture,
    );
    this.element = h('section', { class: 'ribbon screen-only', 'aria-label': 'Ribbon' }, this.#tools(), this.scroller);
    const timer = setInterval(() => this.#placeNow(), 20000);
    view.signal.addEventListener('abort', () => clearInterval(timer), { once: true });
  }

  #tools() {
    const zoom = (by, sign, words) =>
      button([unseen(words), h('span', { 'aria-hidden': 'true' }, sign)], () => this.#zoom(by), { class: 'tool' });
    return h(
      'p',
      { class: 'ribbon-tools' },
      LEGEND.map(([kind, words]) => h('span', { class: `key ${kind}` }, words)),
      h('span', { class: 'ribbon-zoom' }, zoom(-1, '−', 'Show more of the night'), zoom(1, '+', 'Show it larger')),
    );
  }

  #zoom(by) {
    const middle = (this.scroller.scrollLeft + this.scroller.clientWidth / 2) / this.perMinute;
    this.scale = Math.min(SCALES.length - 1, Math.max(0, this.scale + by));
    this.#draw();
    this.scroller.scrollLeft = middle * this.perMinute - this.scroller.clientWidth / 2;
  }

  /* Brings it into sight and keyboard. */
  reach() {
    this.scroller.scrollIntoView({ block: 'center' });
    this.scroller.focus({ preventScroll: true });
  }

  get perMinute() {
    return SCALES[this.scale];
  }

  /* body: of the timetable; chosen: id of a task or null; broken: ids of tasks */
  show(body, { chosen = null, broken = new Set() } = {}) {
    const first = this.body === undefined;
    Object.assign(this, { body, chosen, broken });
    this.from = Math.min(...body.tasks.map((task) => momentOf(task.begins_at)), momentOf(body.begins_at ?? body.from));
    this.to = Math.max(...body.tasks.map((task) => momentOf(task.ends_at)), momentOf(body.ends_at ?? body.from));
    this.#draw();
    if (first) requestAnimationFrame(() => this.#scrollToNow());
  }

  #x(moment) {
    return ((moment - this.from) / 60000) * this.perMinute;
  }

  #draw() {
    const lanes = lanesOf(this.body.tasks, this.bakery, this.places);
    this.now = h('div', { class: 'ribbon-now' });
    this.picture.replaceChildren(
      ...this.#lines(),
      this.#ticks(),
      ...lanes.map((lane) => this.#lane(lane)),
      this.#handsLane(),
      this.now,
    );
    this.#size();
    this.#placeNow();
  }

  /* As wide as its blocks, and as the words that stand out of the last of them. */
  #size() {
    const ends = [...this.picture.querySelectorAll('[data-end]')].map((one) => Number(one.dataset.end));
    this.picture.style.width = `${Math.ceil(Math.max(this.#x(this.to) + 24, ...ends))}px`;
  }

  #ticks() {
    return h(
      'div',
      { class: 'ribbon-clock' },
      this.clock.hours(this.from, this.to).map((tick, index, all) => this.#tick(tick, all[index - 1])),
    );
  }

  #tick({ moment, instant, shift }, before) {
    const newDay = before === undefined || dateOf(before.instant) !== dateOf(instant);
    const turned = shift === 0 ? '' : shift > 0 ? 'clocks forward' : 'clocks back';
    const every = this.perMinute < 1.2 ? 2 : 1; // hours that have room for their words
    const worded = newDay || turned !== '' || Number(instant.slice(11, 13)) % every === 0;
    const tick = h(
      'div',
      { class: turned ? 'ribbon-tick turned' : 'ribbon-tick' },
      worded ? h('span', {}, clockOf(instant)) : null,
      newDay ? h('span', { class: 'ribbon-day' }, shortDay(dateOf(instant))) : null,
      turned ? h('span', { class: 'ribbon-day' }, turned) : null,
    );
    tick.style.left = `${this.#x(moment)}px`;
    return tick;
  }

  /* The hours' lines, down through all lanes. */
  #lines() {
    return this.clock.hours(this.from, this.to).map(({ moment, shift }) => {
      const line = h('div', { class: shift === 0 ? 'ribbon-line' : 'ribbon-line turned' });
      line.style.left = `${this.#x(moment)}px`;
      return line;
    });
  }

  #lane({ name, tasks }) {
    const { blocks, rows } = layOut(tasks, { from: this.from, perMinute: this.perMinute, widthOf: this.widthOf });
    return this.#track(
      name,
      rows,
      blocks.map((block) => this.#block(block)),
    );
  }

  #track(name, rows, blocks) {
    const track = h('div', { class: 'ribbon-track' }, blocks);
    track.style.height = `${rows * ROW + 4}px`;
    return h('div', { class: 'ribbon-lane' }, h('div', { class: 'ribbon-name' }, h('span', {}, name)), track);
  }

  #block({ task, label, left, width, inside, row }) {
    const classes = ['ribbon-task', task.kind];
    if (task.uses === 'cold') classes.push('cold');
    if (!inside) classes.push('narrow');
    if (task.moved) classes.push('moved');
    if (task.id === this.chosen) classes.push('chosen');
    if (this.broken.has(task.id)) classes.push('broken');
    const block = h('div', { class: classes.join(' '), title: label }, h('span', { class: 'words' }, label));
    block.dataset.end = left + width + (inside ? 0 : this.widthOf(label));
    block.style.left = `${left}px`;
    block.style.width = `${width}px`;
    block.style.top = `${row * ROW + 2}px`;
    if (this.onchoose) this.#movable(block, task);
    return block;
  }

  #movable(block, task) {
    let from = null;
    const shift = (event) => Math.round(((event.clientX - from) / this.perMinute) * 60000 / SNAP) * SNAP;
    block.classList.add('movable');
    block.addEventListener('pointerdown', (event) => {
      if (event.button !== 0 || event.pointerType === 'touch') return;
      from = event.clientX;
      block.setPointerCapture(event.pointerId);
    });
    block.addEventListener('pointermove', (event) => {
      if (from !== null) block.style.translate = `${(shift(event) / 60000) * this.perMinute}px`;
    });
    block.addEventListener('pointerup', (event) => {
      if (from === null) return;
      const by = shift(event);
      from = null;
      if (by !== 0) {
        block.dataset.dragged = 'yes'; // the click that follows is not meant
        this.ondrag(task, momentOf(task.begins_at) + by);
      }
    });
    block.addEventListener('pointercancel', () => {
      from = null;
      block.style.translate = '';
    });
    block.addEventListener('click', () => {
      if (!block.dataset.dragged) this.onchoose(task);
    });
  }

  #handsLane() {
    const parts = handsOf(this.body.tasks, this.body.hands);
    if (parts.length === 0) return '';
    return this.#track(
      'Hands',
      1,
      parts.map(({ from, to, needed, there }) => {
        const words = there === null ? String(needed) : `${needed} of ${there}`;
        const width = this.#x(to) - this.#x(from);
        const room = width >= this.widthOf(words) - LABEL_ROOM;
        const block = h('div', { class: `ribbon-hands${there === null ? '' : ' short'}` }, room ? words : '');
        block.style.left = `${this.#x(from)}px`;
        block.style.width = `${width}px`;
        return block;
      }),
    );
  }

  #placeNow() {
    if (!this.now) return;
    const moment = Date.now();
    this.now.hidden = moment < this.from || moment > this.to;
    this.now.style.left = `${this.#x(moment)}px`;
    this.now.dataset.clock = clockOf(this.clock.instant(moment));
  }

  #scrollToNow() {
    if (this.now.hidden) return;
    this.scroller.scrollLeft = this.#x(Date.now()) - this.scroller.clientWidth / 3;
  }
}

const LEGEND = [
  ['mix', 'mixing'],
  ['stage', 'stages'],
  ['cold', 'cold'],
  ['load', 'baking'],
  ['cool', 'cooling'],
];
