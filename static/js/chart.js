/* A chart of steps: what holds from a date on, until it changes. A time with a hole stays empty and says so. */
import { ChartFrame, marksFrom, roundStep, svg } from './chart-frame.js';
import { addDays, daysBetween } from './dates.js';

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
const HIGH = 250;
const TOP = 34;
const BOTTOM = 30;

/* The values' range with air above and below, on round figures. */
function scaleOf(values) {
  const low = Math.min(...values);
  const high = Math.max(...values);
  const air = Math.max((high - low) * 0.15, high * 0.02, 1e-6);
  const step = roundStep((high - low + 2 * air) / 5);
  return { marks: marksFrom(Math.max(0, Math.floor((low - air) / step) * step), high + air, step), step };
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

class Steps extends ChartFrame {
  constructor({ points, to, name, width }) {
    const known = points.filter((point) => point.value !== null);
    super({
      from: points[0].date,
      to: to > points.at(-1).date ? to : addDays(points.at(-1).date, 1),
      ...scaleOf(known.map((point) => point.value)),
      name,
      width,
      high: HIGH,
      top: TOP,
      base: HIGH - BOTTOM,
      gap: 14,
    });
    this.points = points;
    this.known = known;
  }

  end(index) {
    return this.points[index + 1]?.date ?? this.to;
  }

  path() {
    return this.points
      .map(({ date, value }, index) => {
        if (value === null) return '';
        const goesOn = index > 0 && this.points[index - 1].value !== null;
        return this.step({ from: date, until: this.end(index), value, goesOn });
      })
      .join('');
  }

  months() {
    return monthMarks(this.from, this.to, this.width / 95).flatMap(({ date, text, year }) =>
      this.tick(date, year ? `${text} ${year}` : text, { below: 19, className: year ? 'year' : null }),
    );
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
        height: this.base - TOP,
      });
      if (to - from < 75) return [box];
      return [
        box,
        svg('text', { x: (from + to) / 2, y: (TOP + this.base) / 2, 'text-anchor': 'middle' }, 'not known'),
      ];
    });
  }

  dots() {
    return this.known.map((point) =>
      svg('circle', { class: 'dot', cx: this.x(point.date), cy: this.y(point.value), r: 3.5 }),
    );
  }

  whole({ title, desc }) {
    return this.drawing({
      title,
      desc,
      nameY: 16,
      behind: this.holes(),
      before: [this.months(), svg('path', { class: 'steps', d: this.path() }), this.dots()].flat(),
    });
  }
}

/* points: [{ date, value: a number for drawing, or null: not known }], the first at the beginning, in order; at
 * least one is known. to: the date up to which the last one holds; name: of the upright axis. */
export const stepChart = (options) => new Steps(options).whole(options);
