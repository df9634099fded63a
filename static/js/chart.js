/* A chart of steps: what holds from a date on, until it changes. Drawn in the ink of the page, so that it
 * prints black on white; a time with a hole stays empty and says so. Nothing is told by colour.
 */
import { uniqueId } from './dom.js';
import { addDays, daysBetween } from './dates.js';

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
const HIGH = 250;
const TOP = 34;
const BOTTOM = 30;

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

/* The values' range with air above and below, on round figures. */
function scaleOf(values) {
  const low = Math.min(...values);
  const high = Math.max(...values);
  const air = Math.max((high - low) * 0.15, high * 0.02, 1e-6);
  const step = roundStep((high - low + 2 * air) / 5);
  const from = Math.max(0, Math.floor((low - air) / step) * step);
  const marks = [];
  for (let mark = from; mark < high + air + step * 0.999; mark += step) marks.push(mark);
  return { from, to: marks.at(-1), marks, step };
}

/* First days of months, not more than fit; { date, text }. */
function monthMarks(from, to, most) {
  const months = daysBetween(from, to) / 30.4;
  const every = [1, 2, 3, 6, 12, 24].find((count) => months / count <= most) ?? 24;
  const marks = [];
  let year = Number(from.slice(0, 4));
  let month = Number(from.slice(5, 7));
  for (;;) {
    month += 1;
    if (month > 12) {
      month = 1;
      year += 1;
    }
    const date = `${year}-${String(month).padStart(2, '0')}-01`;
    if (date > to) return marks;
    if ((month - 1) % every === 0 && (every < 24 || year % 2 === 0))
      marks.push({ date, text: MONTHS[month - 1], year: month === 1 ? year : null });
  }
}

class Steps {
  constructor({ points, to, name, width }) {
    this.points = points;
    this.from = points[0].date;
    this.to = to > points.at(-1).date ? to : addDays(points.at(-1).date, 1);
    this.name = name;
    this.width = width;
    this.known = points.filter((point) => point.value !== null);
    this.scale = scaleOf(this.known.map((point) => point.value));
    const digits = Math.max(0, Math.min(6, -Math.floor(Math.log10(this.scale.step) + 1e-9)));
    this.text = (value) => value.toFixed(digits);
    this.left = 14 + 8 * Math.max(...this.scale.marks.map((mark) => this.text(mark).length));
    this.right = width - 14;
  }

  x(date) {
    return this.left + ((this.right - this.left) * daysBetween(this.from, date)) / daysBetween(this.from, this.to);
  }

  y(value) {
    const { from, to } = this.scale;
    return HIGH - BOTTOM - ((HIGH - BOTTOM - TOP) * (value - from)) / (to - from);
  }

  end(index) {
    return this.points[index + 1]?.date ?? this.to;
  }

  path() {
    let drawn = '';
    let pen = false;
    this.points.forEach((point, index) => {
      if (point.value === null) {
        pen = false;
        return;
      }
      const [x, y] = [this.x(point.date).toFixed(1), this.y(point.value).toFixed(1)];
      drawn += `${pen ? `V${y}` : `M${x} ${y}`}H${this.x(this.end(index)).toFixed(1)}`;
      pen = true;
    });
    return drawn;
  }

  grid() {
    return this.scale.marks.flatMap((mark) => [
      svg('line', { class: 'grid', x1: this.left, x2: this.right, y1: this.y(mark), y2: this.y(mark) }),
      svg('text', { x: this.left - 6, y: this.y(mark) + 4, 'text-anchor': 'end' }, this.text(mark)),
    ]);
  }

  months() {
    const base = HIGH - BOTTOM;
    return monthMarks(this.from, this.to, this.width / 95).flatMap(({ date, text, year }) => [
      svg('line', { class: 'tick', x1: this.x(date), x2: this.x(date), y1: base, y2: base + 5 }),
      svg(
        'text',
        { x: this.x(date), y: base + 19, 'text-anchor': 'middle', class: year ? 'year' : null },
        year ? `${text} ${year}` : text,
      ),
    ]);
  }

  holes() {
    return this.points.flatMap((point, index) => {
      if (point.value !== null) return [];
      const [from, to] = [this.x(point.date), this.x(this.end(index))];
      const box = svg('rect', {
        class: 'hole',
        x: from,
        y: TOP,
        width: Math.max(1, to - from),
        height: HIGH - BOTTOM - TOP,
      });
      if (to - from < 75) return [box];
      return [
        box,
        svg('text', { x: (from + to) / 2, y: (TOP + HIGH - BOTTOM) / 2, 'text-anchor': 'middle' }, 'not known'),
      ];
    });
  }

  dots() {
    return this.known.map((point) =>
      svg('circle', { class: 'dot', cx: this.x(point.date), cy: this.y(point.value), r: 3.5 }),
    );
  }

  drawing({ title, desc }) {
    const [titleId, descId] = [uniqueId('chart-title'), uniqueId('chart-desc')];
    const base = HIGH - BOTTOM;
    return svg(
      'svg',
      {
        class: 'chart',
        viewBox: `0 0 ${this.width} ${HIGH}`,
        role: 'img',
        'aria-labelledby': titleId,
        'aria-describedby': descId,
      },
      svg('title', { id: titleId }, title),
      svg('desc', { id: descId }, desc),
      svg('text', { x: 2, y: 16, class: 'axis-name' }, this.name),
      this.grid(),
      this.holes(),
      svg('line', { class: 'axis', x1: this.left, x2: this.right, y1: base, y2: base }),
      this.months(),
      svg('path', { class: 'steps', d: this.path() }),
      this.dots(),
    );
  }
}

/* points: [{ date, value: a number for drawing, or null: not known }], the first at the beginning, in order; at
 * least one is known. to: the date up to which the last one holds; name: of the upright axis. */
export const stepChart = (options) => new Steps(options).drawing(options);
