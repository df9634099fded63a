/* What charts against days share: the scale, its lines, and the words for those who do not see them. Drawn in
 * the ink of the page, so that it prints black on white; nothing is told by colour.
 */
import { daysBetween } from './dates.js';
import { uniqueId } from './dom.js';

export function svg(name, attributes = {}, ...children) {
  const element = document.createElementNS('http://www.w3.org/2000/svg', name);
  for (const [attribute, value] of Object.entries(attributes))
    if (value !== null) element.setAttribute(attribute, value);
  element.append(...children.flat().filter((child) => child !== null));
  return element;
}

/* 1, 2 or 5 times a power of ten, at least `least`. */
export function roundStep(least) {
  const power = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 5, 10].map((times) => times * power).find((step) => step >= least * 0.999);
}

/* Round figures from low on, the last of them at least high. */
export function marksFrom(low, high, step) {
  const marks = [];
  for (let mark = low; mark < high + step * 0.999; mark += step) marks.push(mark);
  return marks;
}

export class ChartFrame {
  /* from, to: the first day and the one after the last; marks: figures of the upright axis; step: between them;
   * name: of that axis; width, high: of the drawing; top, base: where the highest and the lowest mark are; gap: on
   * the right */
  constructor({ from, to, marks, step, name, width, high, top, base, gap }) {
    Object.assign(this, { from, to, marks, name, width, high, top, base });
    const digits = Math.max(0, Math.min(6, -Math.floor(Math.log10(step) + 1e-9)));
    this.text = (value) => value.toFixed(digits);
    this.left = 14 + 8 * Math.max(...marks.map((mark) => this.text(mark).length));
    this.right = width - gap;
  }

  x(date) {
    return this.left + ((this.right - this.left) * daysBetween(this.from, date)) / daysBetween(this.from, this.to);
  }

  y(value) {
    const [low, high] = [this.marks[0], this.marks.at(-1)];
    return this.base - ((this.base - this.top) * (value - low)) / (high - low);
  }

  /* What holds from a day on until the day after: a line to it, beginning anew or going on. */
  step({ from, until, value, goesOn }) {
    const y = this.y(value).toFixed(1);
    return `${goesOn ? `V${y}` : `M${this.x(from).toFixed(1)} ${y}`}H${this.x(until).toFixed(1)}`;
  }

  #grid() {
    return this.marks.flatMap((mark) => [
      svg('line', { class: 'grid', x1: this.left, x2: this.right, y1: this.y(mark), y2: this.y(mark) }),
      svg('text', { x: this.left - 6, y: this.y(mark) + 4, 'text-anchor': 'end' }, this.text(mark)),
    ]);
  }

  /* A mark below the axis, with words so far under it. */
  tick(date, words, { below, anchor = 'middle', className = null }) {
    const x = this.x(date);
    return [
      svg('line', { class: 'tick', x1: x, x2: x, y1: this.base, y2: this.base + 5 }),
      svg('text', { x, y: this.base + below, 'text-anchor': anchor, class: className }, words),
    ];
  }

  /* The whole; behind the axis and before it. */
  drawing({ title, desc, className = '', nameY, behind, before }) {
    const [titleId, descId] = [uniqueId('chart-title'), uniqueId('chart-desc')];
    return svg(
      'svg',
      {
        class: `chart ${className}`,
        viewBox: `0 0 ${this.width} ${this.high}`,
        role: 'img',
        'aria-labelledby': titleId,
        'aria-describedby': descId,
      },
      svg('title', { id: titleId }, title),
      svg('desc', { id: descId }, desc),
      svg('text', { x: 2, y: nameY, class: 'axis-name' }, this.name),
      this.#grid(),
      behind,
      svg('line', { class: 'axis', x1: this.left, x2: this.right, y1: this.base, y2: this.base }),
      before,
    );
  }
}
