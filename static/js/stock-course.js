/* The course of a stock: four weeks back and six ahead as a plot, in a sentence, and as a table. */
import { h } from './dom.js';
import { addDays, dayWords } from './dates.js';
import { aligned, most, table } from './figures.js';
import { today } from './session.js';
import { stockChart } from './stock-chart.js';
import { amountOf, unitOf } from './amounts.js';
import { awayWords, figureOf, now, onDay, roundWords } from './stock-words.js';

const AFTER_DAYS = 7; // that are told of after it ran out

export class Course {
  constructor(view) {
    this.wide = window.matchMedia('(width >= 45rem)');
    this.wide.addEventListener('change', () => this.#draw(), { signal: view.signal });
    this.figure = h('figure', { class: 'chart-figure' });
    this.table = h('div', {});
    this.element = h(
      'section',
      { class: 'below stock-course' },
      h('h2', {}, 'Four weeks back, six ahead'),
      this.figure,
      h('details', { class: 'panel' }, h('summary', {}, 'The same as a table'), this.table),
    );
  }

  show(item) {
    this.item = item;
    this.table.replaceChildren(courseTable(item));
    this.#draw();
  }

  #draw() {
    if (!this.item) return;
    const unit = unitOf(this.item);
    const scale = unit === 'g' ? 1e6 : 1; // milligrams to kilos; for drawing only
    const words = summary(this.item);
    this.figure.replaceChildren(
      stockChart({
        days: this.item.course.map((day) => ({
          date: day.date,
          left: Number(amountOf(day, 'left')) / scale,
          arrived: Number(cameIn(day)) / scale,
          expected: day.expected,
        })),
        today: now(),
        runsOut: this.item.runs_out ?? null,
        name: unit === 'g' ? 'Left at the end of the day, kg' : 'Left at the end of the day, pieces',
        width: this.wide.matches ? 760 : 380,
        title: `Stock of ${this.item.name} against days`,
        desc: words,
      }),
      h('figcaption', { class: 'hint' }, words, ' ', legend()),
    );
  }
}

const legend = () => 'Whole line: what there was; broken: what is expected. ▲ came in; △ is awaited; ✕ runs out.';

/* What came in on a day of the past, or is awaited on one to come. */
const cameIn = (day) => (day.expected ? amountOf(day, 'delivered') : amountOf(day, 'in')) ?? 0n;

/* The whole in a sentence or two. */
function summary(item) {
  const unit = unitOf(item);
  const have = `${roundWords(amountOf(item), unit)} now`;
  const awaited = item.course.filter((day) => day.expected && cameIn(day) > 0n);
  const more = awaited.map((day) => `${roundWords(cameIn(day), unit)} ${onDay(day.date)}`);
  const coming = more.length ? `, ${more.slice(0, 3).join(', ')} awaited` : '';
  if (item.runs_out) return `${have}${coming}. Runs out ${onDay(item.runs_out)}.`;
  const last = item.course.at(-1)?.date ?? addDays(today(), 42);
  return `${have}${coming}. Not used up until ${dayWords(last, today())}, as far as is known.`;
}

const touched = (day) => ['in', 'out', 'delivered', 'lacking'].some((stem) => (amountOf(day, stem) ?? 0n) > 0n);

function courseTable(item) {
  const unit = unitOf(item);
  const end = item.runs_out ? addDays(item.runs_out, AFTER_DAYS) : item.course.at(-1).date;
  const days = item.course.filter((day) => day.date <= end && (touched(day) || day.date === now() || day.date === item.runs_out));
  const decimals = ['left', 'out', 'in'].map((stem) =>
    unit === 'g' ? most(days.map((day) => figureOf(stem === 'in' ? cameIn(day) : amountOf(day, stem), unit).text)) : 0,
  );
  const cell = (value, index) => {
    const shown = figureOf(value, unit);
    return h('td', { class: 'figures' }, index > 0 && value === 0n ? '' : aligned(shown.text, decimals[index], shown.unit));
  };
  return table({
    className: 'course by-line',
    heads: ['Day', ...['Came in', 'Went', 'Left'].map((text) => ({ text, figures: true }))],
    rows: days.map((day) => [
      h('th', { scope: 'row' }, dayWords(day.date, today()), h('span', { class: 'sub' }, dayNote(day, item, unit))),
      cell(cameIn(day), 2),
      cell(amountOf(day, 'out'), 1),
      cell(amountOf(day, 'left'), 0),
    ]),
  });
}

function dayNote(day, item, unit) {
  const lacking = amountOf(day, 'lacking') ?? 0n;
  const notes = [
    day.date === now() ? awayWords(now()) : null,
    day.expected ? 'expected' : null,
    lacking > 0n ? `${roundWords(lacking, unit)} lacking` : null,
    day.date === item.runs_out ? 'runs out' : null,
  ];
  return notes.filter(Boolean).join(' · ');
}
