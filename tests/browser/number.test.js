/* Exact numbers and plain dates, without a browser. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import * as dates from '../../static/js/dates.js';
import * as number from '../../static/js/number.js';
import { codeFrom } from '../../static/js/codes.js';
import { changesBetween } from '../../static/js/print-changes.js';
import { differences } from '../../static/js/differences.js';

const plain = (text) => text.replace(/[\u202f\u00a0]/g, ' ');

test('understands comma and point', () => {
  const cases = [
    ['1.5', '1.5'],
    ['1,5', '1.5'],
    [' 12 345,25 ', '12345.25'],
    ['1.234,5', '1234.5'],
    ['1,234.5', '1234.5'],
    ['1.234.567', '1234567'],
    ['0,001', '0.001'],
    [',5', '0.5'],
    ['5,', '5'],
    ['007', '7'],
    ['1.250', '1.25'],
    ['12\u202f000', '12000'],
    ['-3', '-3'],
    ['2.500000', '2.5'],
  ];
  for (const [typed, wanted] of cases) assert.equal(number.plain(number.readDecimal(typed, 3), 3), wanted, typed);
  assert.equal(number.readDecimal('  ', 3), null);
});

test('refuses what is no number, and more decimals than are kept', () => {
  for (const typed of [
    'x',
    '1e3',
    '1..5',
    '1,2,3',
    '12,34.5',
    '1.23,456.7',
    '.',
    ',',
    '--1',
    '0x10',
    '1.0001',
    '1 g',
    '1234567890123',
  ])
    assert.throws(() => number.readDecimal(typed, 3), number.NumberFault, typed);
});

test('sums where floating point would not', () => {
  const sum = ['0.1', '0.2'].reduce((total, text) => total + number.fromWire(text, 3), 0n);
  assert.equal(number.plain(sum, 3), '0.3');
  let many = 0n;
  for (let n = 0; n < 100000; n += 1) many += number.fromWire(0.001, 3);
  assert.equal(number.plain(many, 3), '100');
  assert.throws(() => number.fromWire(1e-7, 3), number.NumberFault);
});

test('rounds half to even', () => {
  const rounded = (text) => number.show(number.fromWire(text, 3), 3, { max: 2 });
  assert.deepEqual(['0.005', '0.015', '0.025', '0.0251'.slice(0, 5), '2.675'].map(rounded), [
    '0',
    '0.02',
    '0.02',
    '0.02',
    '2.68',
  ]);
  assert.equal(number.divideHalfEven(-5n, 2n), -2n);
  assert.equal(number.divideHalfEven(-7n, 2n), -4n);
});

test('shows weights and money', () => {
  assert.equal(plain(number.grams(12345500n)), '12 345.5');
  assert.equal(number.kilos(34000000n), '34.000');
  assert.equal(plain(number.kilos(1234567891n)), '1 234.568');
  assert.equal(plain(number.money('12345678901234.565', 'EUR')), '€12,345,678,901,234.57');
  assert.equal(plain(number.money('0.357573', 'GBP', 2)), '£0.3576');
  assert.equal(plain(number.money('1250.5', 'JPY')), 'JP¥1,251');
});

test('dates in plain words, whatever the zone of the machine', () => {
  assert.equal(dates.dayWords('2026-11-26', '2026-11-25'), 'Thursday 26 November');
  assert.equal(dates.dayWords('2027-01-02', '2026-11-25'), 'Saturday 2 January 2027');
  assert.equal(dates.addDays('2028-02-28', 1), '2028-02-29');
  assert.equal(dates.addDays('2026-03-29', 1), '2026-03-30');
  assert.equal(dates.clockOn('2026-11-26T00:35:00+05:45', '2026-11-25'), '00:35 Thu');
  assert.equal(dates.relativeDay('2026-11-26', '2026-11-25'), 'tomorrow');
  assert.equal(plain(dates.duration(750)), '12 h 30 min');
});

test('clock times as they are typed', () => {
  for (const [typed, wanted] of [
    ['6', '06:00'],
    ['6:30', '06:30'],
    ['6.30', '06:30'],
    ['630', '06:30'],
    ['1745', '17:45'],
    ['00:00', '00:00'],
  ])
    assert.equal(dates.readClock(typed), wanted, typed);
  for (const typed of ['24', '6:60', '6:3', 'six', '12345']) assert.equal(dates.readClock(typed), null, typed);
});

test('codes from names', () => {
  assert.equal(codeFrom('Ferryman’s Café'), 'ferrymans-cafe');
  assert.equal(codeFrom('Öl & Salz — Größe 2'), 'ol-salz-grosse-2');
  assert.match(codeFrom('x'.repeat(200)), /^x{50}$/);
  assert.equal(codeFrom('咖啡'), '');
});

test('what changed between two prints', () => {
  const mix = (formula, g) => ({ formula, name: formula, dough_g: g });
  const piece = (product, pieces) => ({ date: '2026-11-26', product, name: product, pieces });
  const found = changesBetween(
    { number: 1, mixes: [mix('a', 1000), mix('b', 500)], pieces: [piece('x', 3), piece('y', 1)] },
    { number: 2, mixes: [mix('a', 1000), mix('c', 70.5)], pieces: [piece('x', 4), piece('y', 1)] },
  );
  assert.deepEqual(found.mixes, [
    { name: 'b', before_g: 500, now_g: 0 },
    { name: 'c', before_g: 0, now_g: 70.5 },
  ]);
  assert.deepEqual(found.products, [{ date: '2026-11-26', name: 'x', before: 3, now: 4 }]);
});

test('differences in words', () => {
  const found = differences(
    {
      name: 'A',
      lines: [
        { ingredient: 'flour', pct: 100 },
        { ingredient: 'salt', pct: 2 },
      ],
      spare_pct: 0,
    },
    {
      name: 'A',
      lines: [
        { ingredient: 'flour', pct: 100 },
        { ingredient: 'salt', pct: '1.8' },
        { starter: 'wheat', flour_pct: 10 },
      ],
      spare_pct: 4,
    },
    (code) => code.toUpperCase(),
  );
  assert.deepEqual(found, [
    { label: 'Lines: SALT', before: '2 %', after: '1.8 %' },
    { label: 'Spare', before: '0 %', after: '4 %' },
    { label: 'Lines: WHEAT', before: 'nothing', after: '10 % of all flour' },
  ]);
});
