/* The feeding plan: what to do next in big figures, and all feeds and takings of the coming nights. */
import { h, button, link } from './dom.js';
import { clockOf, dateOf, dayWords, shortDay } from './dates.js';
import { sentence } from './messages.js';
import { today } from './session.js';
import {
  awayWords,
  dayOf,
  floursWords,
  gramsOf,
  rangeWords,
  ratioWords,
  timeWords,
  weightWords,
} from './starter-words.js';

/* Feeds and takings by time: [{ kind: 'feed' | 'take', at, ... }]. At the same time a taking comes first. */
function planEvents(plan) {
  const takes = plan.takes.map((take) => ({ kind: 'take', ...take }));
  const feeds = plan.feeds.map((feed) => ({ kind: 'feed', ...feed }));
  return [...takes, ...feeds].sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
}

const nextFeed = (plan) => plan.feeds[0] ?? null;

/* "feed at 15:00", "take 1 200 g at 13:25": what comes first; null: nothing is planned. */
export function nextWords(plan) {
  const event = planEvents(plan)[0];
  if (!event) return null;
  const when = timeWords(event.at, plan.now.at);
  return event.kind === 'feed' ? `Feed at ${when}` : `Take ${weightWords(event.g)} at ${when}, ${event.name}`;
}

/* --- what to do next --- */

/* The parts to weigh, big: [name, grams]. */
export function weighing(parts, shown = gramsOf) {
  return h(
    'ul',
    { class: 'weighing' },
    parts.map(([name, json]) =>
      h(
        'li',
        {},
        h('strong', {}, shown(json), h('span', { class: 'unit' }, ' g')),
        ' ',
        h('span', { class: 'of' }, name),
      ),
    ),
  );
}

const feedParts = (feed) => [
  ['seed, kept back', feed.seed_g],
  ...feed.flours.map((flour) => [flour.name, flour.g]),
  ['water', feed.water_g],
];

function firstTakes(plan, feed) {
  return planEvents(plan)
    .slice(0, feed ? undefined : 4)
    .filter((event) => event.kind === 'take' && (!feed || Date.parse(event.at) <= Date.parse(feed.at)));
}

function takeLine(take, now, onTake) {
  return h(
    'li',
    {},
    h(
      'p',
      {},
      h('strong', {}, `Take ${gramsOf(take.g)}\u00a0g`),
      ` for ${take.name} at ${timeWords(take.at, now)}`,
      h('span', { class: 'sub' }, awayWords(take.at, now)),
    ),
    button('Taken', () => onTake(take), {
      'aria-label': `Taken: ${gramsOf(take.g)} g for ${take.name}`,
      'data-focus': `take-${take.formula}-${take.at}`,
    }),
  );
}

function feedPanel(feed, plan, onFeed) {
  const { now } = plan;
  const asleep = now.state === 'asleep';
  return [
    h(
      'p',
      { class: 'next-when' },
      asleep ? 'Wake it and feed it at ' : 'Feed it at ',
      h('strong', {}, timeWords(feed.at, now.at)),
      h('span', { class: 'sub' }, `${awayWords(feed.at, now.at)} · ${ratioWords(feed.ratio)}, seed : flour : water`),
    ),
    Number(feed.discard_g) > 0
      ? h(
          'p',
          {},
          'First throw away ',
          h('strong', {}, `${gramsOf(feed.discard_g)}\u00a0g`),
          ` of the ${gramsOf(feed.before_g)}\u00a0g in the pot.`,
        )
      : null,
    weighing(feedParts(feed)),
    h(
      'p',
      {},
      `Makes ${gramsOf(feed.after_g)}\u00a0g, ripe from ${rangeWords(feed.ripe_from, feed.ripe_until, now.at)}.`,
    ),
    h(
      'p',
      { class: 'actions' },
      button(asleep ? 'Woken and fed as planned' : 'Fed as planned', () => onFeed(feed), {
        class: 'main huge',
        'data-focus': 'fed',
      }),
    ),
  ];
}

/* The next feed, and what is taken before it. on: { feed(feed), take(take) } log them. */
export function nextPanel(plan, on) {
  const feed = nextFeed(plan);
  const takes = firstTakes(plan, feed);
  if (!feed && takes.length === 0) return null;
  return h(
    'section',
    { class: 'next', 'aria-label': 'What to do next' },
    h('h2', {}, 'Next'),
    takes.length
      ? h(
          'ul',
          { class: 'next-takes' },
          takes.map((take) => takeLine(take, plan.now.at, on.take)),
        )
      : null,
    feed ? feedPanel(feed, plan, on.feed) : h('p', {}, 'No feed is due before that.'),
  );
}

/* --- the whole plan --- */

function shortWords(short, now) {
  const least = Number(short.most_g) > 0;
  const at = timeWords(short.at, now);
  const nearest = [
    least
      ? h(
          'li',
          {},
          h('strong', {}, `${weightWords(short.most_g)} instead of ${weightWords(short.wanted_g)}`),
          ` at ${at}`,
        )
      : null,
    short.later
      ? h('li', {}, h('strong', {}, `Mix at ${timeWords(short.later, now)} instead`), ', with all of it')
      : null,
  ].filter(Boolean);
  return h(
    'div',
    { class: 'message warn' },
    h(
      'p',
      {},
      h('strong', {}, 'This cannot be done. '),
      `${short.name} wants ${weightWords(short.wanted_g)} at ${at}, and no feeds can make ${least ? 'so much' : 'any'} ripe by then.`,
    ),
    nearest.length
      ? [h('p', {}, nearest.length === 1 ? 'The nearest that can:' : 'What can be done:'), h('ul', {}, nearest)]
      : h('p', {}, 'Nothing can be ripe within a day after it either: feed it as soon as you can, and look again.'),
    h('p', {}, 'The plan below goes up to then.'),
  );
}

/* Why there is no plan, or not a whole one; null when there is. */
export function trouble(plan) {
  if (plan.impossible) {
    return h(
      'div',
      { class: 'message warn' },
      h(
        'p',
        {},
        h('strong', {}, 'No plan can be made. '),
        sentence(plan.impossible),
      ),
    );
  }
  if (plan.short) return shortWords(plan.short, plan.now.at);
  if (!plan.possible)
    return h(
      'div',
      { class: 'message warn' },
      h(
        'p',
        {},
        h('strong', {}, 'No feeds can keep it alive until then.'),
        ' Feed it as soon as you can, and look again.',
      ),
    );
  return null;
}

function feedRow(feed) {
  return [
    'Feed',
    [
      h('strong', {}, `${gramsOf(feed.seed_g)}\u00a0g of seed`),
      `, ${floursWords(feed.flours)}, ${gramsOf(feed.water_g)}\u00a0g of water`,
      h(
        'span',
        { class: 'sub' },
        [
          ratioWords(feed.ratio),
          Number(feed.discard_g) > 0 ? `${gramsOf(feed.discard_g)}\u00a0g thrown away first` : null,
          `ripe ${clockOf(feed.ripe_from)} to ${clockOf(feed.ripe_until)}`,
        ]
          .filter(Boolean)
          .join(' · '),
      ),
    ],
    feed.after_g,
  ];
}

function takeRow(take) {
  return [
    'Take',
    [
      h('strong', {}, `${gramsOf(take.g)}\u00a0g`),
      ' for ',
      link(`#/mixing/${take.mixing_date}`, take.name, { title: `Mixing list of ${shortDay(take.mixing_date)}` }),
      take.left_g === null ? h('span', { class: 'missing' }, ': not to be had in time') : null,
    ],
    take.left_g,
  ];
}

function eventRow(event) {
  const [what, words, after] = event.kind === 'feed' ? feedRow(event) : takeRow(event);
  return h(
    'tr',
    { class: event.kind },
    h('td', { class: 'figures time' }, clockOf(event.at)),
    h('th', { scope: 'row' }, h('span', { class: 'what-kind' }, what), ' ', words),
    h(
      'td',
      { class: 'figures after' },
      after === null ? '' : gramsOf(after),
      after === null ? null : h('span', { class: 'unit' }, ' g'),
    ),
  );
}

/* The rows of each day under a head of its own. */
function dayBodies(events, now) {
  const byDay = new Map();
  for (const event of events) {
    const day = dateOf(event.at);
    byDay.set(day, [...(byDay.get(day) ?? []), event]);
  }
  return [...byDay].map(([day, own]) => {
    const said = dayOf(own[0].at, now);
    return h(
      'tbody',
      {},
      h(
        'tr',
        { class: 'day-head' },
        h(
          'th',
          { scope: 'rowgroup', colspan: 3 },
          dayWords(day, today()),
          /\d/.test(said) ? '' : h('span', { class: 'unit' }, ` ${said}`),
        ),
      ),
      own.map(eventRow),
    );
  });
}

function totals(plan) {
  const parts = [
    ['Thrown away', plan.waste_g],
    ['Left at the end', plan.left_g],
  ].filter(([, json]) => json !== null);
  return h(
    'dl',
    { class: 'key-figures' },
    parts.map(([name, json]) =>
      h('div', {}, h('dt', {}, name), h('dd', {}, gramsOf(json), h('span', { class: 'unit' }, ' g'))),
    ),
  );
}

export function planSection(plan) {
  const events = planEvents(plan);
  const until = plan.until && !plan.impossible ? ` until ${timeWords(plan.until, plan.now.at)}` : '';
  return h(
    'section',
    { class: 'plan' },
    h('h2', {}, 'The plan'),
    events.length === 0
      ? h('p', { class: 'empty' }, plan.impossible ? 'No feeds are planned.' : `Nothing is to be done${until}.`)
      : [
          h('p', { class: 'lead' }, `Feeds and takings${until}, with the least thrown away.`),
          h(
            'table',
            { class: 'list plan' },
            h(
              'thead',
              {},
              h(
                'tr',
                {},
                h('th', { scope: 'col', class: 'figures time' }, 'At'),
                h('th', { scope: 'col' }, 'What'),
                h('th', { scope: 'col', class: 'figures' }, 'In the pot then'),
              ),
            ),
            dayBodies(events, plan.now.at),
          ),
          totals(plan),
        ],
  );
}
