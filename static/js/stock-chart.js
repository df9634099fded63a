/* A stock against days: what there was at the end of each, and what is expected; deliveries, today, and the
 * day on which it runs out. Drawn in the ink of the page: what is past is a whole line, what is expected a
 * broken one, and every mark has a shape of its own. */
import { roundStep, svg } from './chart.js';
import { addDays, daysBetween, shortDay } from './dates.js';
import { uniqueId } from './dom.js';

const HIGH = 280;
const TOP = 54;
const BOTTOM = 44;
const LABEL = 96; // room that the words at a mark need

/* Mondays, not more than fit. */
function weekMarks(from, to, most) {
  const weekday = new Date(`${from}T00:00:00Z`).getUTCDay();
  const first = addDays(from, (8 - weekday) % 7);
  const weeks = daysBetween(first, to) / 7;
  const every = Math.max(1, Math.ceil(weeks / most));
  const marks = [];
  for (let date = first; date <= to; date = addDays(date, 7 * every)) marks.push(date);
  return marks;
}

class StockChart {
  /* days: [{ date, left, arrived, expected }], left and arrived numbers for drawing */
  constructor({ days, today, runsOut, name, width }) {
    Object.assign(this, { days, today, runsOut, name, width });
    this.from = days[0].date;
    this.to = addDays(days.at(-1).date, 1);
    const most = Math.max(...days.map((day) => day.left), 1e-6);
    const step = roundStep(most / 4);
    this.marks = [];
    for (let mark = 0; mark < most + step * 0.999; mark += step) this.marks.push(mark);
    const digits = Math.max(0, Math.min(6, -Math.floor(Math.log10(step) + 1e-9)));
    this.text = (value) => value.toFixed(digits);
    this.left = 14 + 8 * Math.max(...this.marks.map((mark) => this.text(mark).length));
    this.right = width - 10;
    this.base = HIGH - BOTTOM;
  }

  x(date) {
    return this.left + ((this.right - this.left) * daysBetween(this.from, date)) / daysBetween(this.from, this.to);
  }

  y(value) {
    return this.base - ((this.base - TOP) * value) / this.marks.at(-1);
  }

  /* The level at the end of a day holds until the end of the next. */
  path(expected) {
    const own = this.days.filter((day) => day.expected === expected);
    if (own.length === 0) return '';
    const before = expected ? this.days.findLast((day) => !day.expected) : null;
    let drawn = before ? `M${this.x(own[0].date).toFixed(1)} ${this.y(before.left).toFixed(1)}` : '';
    own.forEach((day, index) => {
      const y = this.y(day.left).toFixed(1);
      drawn += `${index === 0 && !before ? `M${this.x(day.date).toFixed(1)} ${y}` : `V${y}`}`;
      drawn += `H${this.x(addDays(day.date, 1)).toFixed(1)}`;
    });
    return drawn;
  }

  grid() {
    return this.marks.flatMap((mark) => [
      svg('line', { class: 'grid', x1: this.left, x2: this.right, y1: this.y(mark), y2: this.y(mark) }),
      svg('text', { x: this.left - 6, y: this.y(mark) + 4, 'text-anchor': 'end' }, this.text(mark)),
    ]);
  }

  weeks() {
    return weekMarks(this.from, this.to, this.width / 75).flatMap((date) => {
      const x = this.x(date);
      const anchor = x > this.right - 24 ? 'end' : 'middle';
      return [
        svg('line', { class: 'tick', x1: x, x2: x, y1: this.base, y2: this.base + 5 }),
        svg('text', { x, y: this.base + 34, 'text-anchor': anchor }, shortDay(date).slice(4)),
      ];
    });
  }

  /* Triangles under the axis: filled when it came, hollow when it is awaited. */
  deliveries() {
    return this.days
      .filter((day) => day.arrived > 0)
      .map((day) => {
        const x = this.x(day.date) + (this.right - this.left) / daysBetween(this.from, this.to) / 2;
        const y = this.base + 7;
        return svg('path', {
          class: day.expected ? 'delivery awaited' : 'delivery',
          d: `M${x.toFixed(1)} ${y}l5.5 10h-11z`,
        });
      });
  }

  /* An upright line with words at its top. */
  upright(date, className, words, y) {
    const x = this.x(date);
    const anchor = x > this.right - LABEL ? 'end' : x < this.left + LABEL / 2 ? 'start' : 'middle';
    return [
      svg('line', { class: className, x1: x, x2: x, y1: y + 4, y2: this.base }),
      svg('text', { class: `${className}-words`, x, y, 'text-anchor': anchor }, words),
    ];
  }

  end() {
    if (!this.runsOut || this.runsOut >= this.to) return [];
    const [x, y] = [this.x(this.runsOut), this.base];
    return [
      ...this.upright(this.runsOut, 'run-out', `runs out ${shortDay(this.runsOut)}`, TOP - 8),
      svg('path', { class: 'run-out-cross', d: `M${x - 6} ${y - 6}l12 12m0 -12l-12 12` }),
    ];
  }

  drawing({ title, desc }) {
    const [titleId, descId] = [uniqueId('chart-title'), uniqueId('chart-desc')];
    return svg(
      'svg',
      {
        class: 'chart stock-chart',
        viewBox: `0 0 ${this.width} ${HIGH}`,
        role: 'img',
        'aria-labelledby': titleId,
        'aria-describedby': descId,
      },
      svg('title', { id: titleId }, title),
      svg('desc', { id: descId }, desc),
      svg('text', { x: 2, y: 14, class: 'axis-name' }, this.name),
      this.grid(),
      svg('line', { class: 'axis', x1: this.left, x2: this.right, y1: this.base, y2: this.base }),
      this.weeks(),
      this.upright(this.today, 'today', 'now', this.runsOut && daysBetween(this.today, this.runsOut) < 16 ? TOP - 23 : TOP - 8),
      svg('path', { class: 'steps', d: this.path(false) }),
      svg('path', { class: 'steps expected', d: this.path(true) }),
      this.deliveries(),
      this.end(),
    );
  }
}

/* days in order, at least one; today and runsOut are dates (runsOut may be null); name: of the upright axis. */
export const stockChart = (options) => new StockChart(options).drawing(options);
