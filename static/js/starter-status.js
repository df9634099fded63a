/* The pot now: what is on hand, in what state it is, when it is ripe, when it must be fed. */
import { h } from './dom.js';
import { dateOf, shortDay } from './dates.js';
import { GRAM_PLACES, fromWire, grams } from './number.js';
import { awayWords, estimateWords, minutesFrom, rangeWords, spanWords, timeWords } from './starter-words.js';

const feedsWords = (count) => (count === 1 ? 'one more feed' : `${count} more feeds`);

/* Its state in one short sentence. */
export function stateWords(now) {
  if (now.state === 'none') return 'Nothing is in its log yet';
  if (now.state === 'asleep') {
    return now.asleep_since ? `Asleep in the cold since ${shortDay(dateOf(now.asleep_since))}` : 'Asleep in the cold';
  }
  if (now.feeds_to_wake > 0) return `Waking up: ${feedsWords(now.feeds_to_wake)} before anything is taken`;
  return 'At work';
}

/* { text, detail } of when it is ripe; null: it does not ripen. */
export function ripeWords(now) {
  if (!now.ripe_from) return null;
  const text = rangeWords(now.ripe_from, now.ripe_until, now.at);
  const before = minutesFrom(now.at, now.ripe_from);
  const after = minutesFrom(now.at, now.ripe_until);
  if (before > 0) return { text, detail: `in ${spanWords(before)}`, ripe: false };
  if (after >= 0) return { text, detail: `ripe now, for another ${spanWords(after)}`, ripe: true };
  return { text, detail: `past its best for ${spanWords(-after)}`, ripe: false };
}

/* { text, detail, late } of when it must be fed; null: nothing is known. */
export function feedByWords(now) {
  if (!now.feed_by) return null;
  const left = minutesFrom(now.at, now.feed_by);
  return {
    text: timeWords(now.feed_by, now.at),
    detail: left < 0 ? `late by ${spanWords(-left)}` : awayWords(now.feed_by, now.at),
    late: left < 0,
  };
}

function fact(name, words, attributes = {}) {
  return h(
    'div',
    attributes,
    h('dt', {}, name),
    h('dd', {}, words.text, words.detail ? h('span', { class: 'sub' }, words.detail) : null),
  );
}

export function statusBlock(now) {
  const ripe = ripeWords(now);
  const by = feedByWords(now);
  const fed = now.fed_at ? { text: timeWords(now.fed_at, now.at), detail: awayWords(now.fed_at, now.at) } : null;
  const estimate = now.state === 'work' ? estimateWords(now.estimate) : null;
  return h(
    'section',
    { class: `pot ${now.state}`, 'aria-label': 'Now' },
    h('p', { class: 'pot-state' }, stateWords(now)),
    h(
      'p',
      { class: 'pot-weight' },
      h('strong', {}, grams(fromWire(now.on_hand_g, GRAM_PLACES))),
      h('span', { class: 'unit' }, ' g on hand'),
    ),
    by?.late
      ? h(
          'p',
          { class: 'late' },
          h('strong', {}, 'Late. '),
          `It had to be fed by ${by.text}, ${by.detail.replace('late by ', '')} ago.`,
        )
      : null,
    h(
      'dl',
      { class: 'pot-times' },
      fed ? fact('Last fed', fed) : null,
      ripe ? fact('Ripe', ripe, { class: ripe.ripe ? 'ripe' : null }) : null,
      by ? fact('Feed it by', by, { class: by.late ? 'over' : null }) : null,
    ),
    estimate ? h('p', { class: 'hint' }, estimate) : null,
  );
}
