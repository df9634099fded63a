/* A stock against days: what there was at the end of each, and what is expected; deliveries, today, and the
 * day on which it runs out. What is past is a whole line, what is expected a broken one, and every mark has a
 * shape of its own. */
import { ChartFrame, marksFrom, roundStep, svg } from './chart-frame.js';
import { addDays, daysBetween, shortDay } from './dates.js';

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

class StockChart extends ChartFrame {
  /* days: [{ date, left, arrived, expected }], left and arrived numbers for drawing */
  constructor({ days, today, runsOut, name, width }) {
    const most = Math.max(...days.map((day) => day.left), 1e-6);
    const step = roundStep(most / 4);
    super({
      from: days[0].date,
      to: addDays(days.at(-1).date, 1),
      marks: marksFrom(0, most, step),
      step,
      name,
      width,
      high: HIGH,
      top: TOP,
      base: HIGH - BOTTOM,
      gap: 10,
    });
    Object.assign(this, { days, today, runsOut });
  }

  /* The level at the end of a day holds until the end of the next. */
  path(expected) {
    const own = this.days.filter((day) => day.expected === expected);
    if (own.length === 0) return '';
    const before = expected ? this.days.findLast((day) => !day.expected) : null;
    const start = before ? `M${this.x(own[0].date).toFixed(1)} ${this.y(before.left).toFixed(1)}` : '';
    const steps = own.map(({ date, left }, index) =>
      this.step({ from: date, until: addDays(date, 1), value: left, goesOn: index > 0 || before !== null }),
    );
    return start + steps.join('');
  }

  weeks() {
    return weekMarks(this.from, this.to, this.width / 75).flatMap((date) => {
      const anchor = this.x(date) > this.right - 24 ? 'end' : 'middle';
      return this.tick(date, shortDay(date).slice(4), { below: 34, anchor });
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

  whole({ title, desc }) {
    const soon = this.runsOut && daysBetween(this.today, this.runsOut) < 16;
    return this.drawing({
      title,
      desc,
      className: 'stock-chart',
      nameY: 14,
      behind: [],
      before: [
        this.weeks(),
        this.upright(this.today, 'today', 'now', soon ? TOP - 23 : TOP - 8),
        svg('path', { class: 'steps', d: this.path(false) }),
        svg('path', { class: 'steps expected', d: this.path(true) }),
        this.deliveries(),
        this.end(),
      ].flat(),
    });
  }
}

/* days in order, at least one; today and runsOut are dates (runsOut may be null); name: of the upright axis. */
export const stockChart = (options) => new StockChart(options).whole(options);
