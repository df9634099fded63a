/* A starter as a living thing: what is on hand, what to do next, what was done, and the plan. It stands
 * open on a tablet beside the pot: it looks again every minute, and when it comes into sight. */
import { h, button, link } from '../dom.js';
import * as api from '../api.js';
import { clockOf } from '../dates.js';
import { confirm } from '../dialog.js';
import { lookAgain } from '../look-again.js';
import { clearMessages, tell, tellError } from '../messages.js';
import { Onces } from '../once.js';
import { Entries } from '../starter-entries.js';
import { StarterLog, askWhy } from '../starter-log.js';
import { nextPanel, planSection, trouble } from '../starter-plan.js';
import { statusBlock } from '../starter-status.js';
import { entryWords, minutesFrom, spanWords, timeWords, weightWords } from '../starter-words.js';

const EVERY = 60000; // milliseconds
const EARLY = 45; // minutes before its time a feed is still as planned

export async function show(view, code) {
  const path = `/starters/${code}`;
  const [{ body: starter }, { body: plan }] = await Promise.all([api.get(path, view), api.get(`${path}/plan`, view)]);
  const page = new StarterPage(view, starter);
  await page.log.load(view);
  page.draw(plan);
  page.watch();
  view.guard(() => page.entries.dirty);
  return view.frame(
    starter.name,
    [h('span', { class: 'over' }, 'Starter'), ' ', starter.name],
    starter.note ? h('p', { class: 'lead' }, starter.note) : null,
    page.stale,
    h('div', { class: 'starter-top' }, page.status, page.next),
    page.trouble,
    page.entries.element,
    page.plan,
    page.log.element,
    h(
      'p',
      { class: 'actions screen-only' },
      link(`#/starters/${code}/raising`, 'Raise it from nothing', { class: 'button quiet' }),
      link(`#/starters/${code}/settings`, 'Settings of this starter', { class: 'button quiet' }),
    ),
  );
}

class StarterPage {
  constructor(view, starter) {
    this.view = view;
    this.starter = starter;
    this.path = `/starters/${starter.code}`;
    this.status = h('div', {});
    this.next = h('div', {});
    this.trouble = h('div', { class: 'plan-trouble' });
    this.plan = h('div', {});
    this.stale = h('div', { class: 'stale-note', role: 'status' });
    this.entries = new Entries(starter, { logged: (entry) => this.#logged(entry) });
    this.log = new StarterLog(starter.code, { undo: (entry) => this.undo(entry) });
    this.logging = new Onces(`${this.path}/log`);
  }

  draw(plan) {
    const focus = document.activeElement?.dataset?.focus;
    this.shown = plan;
    this.status.replaceChildren(statusBlock(plan.now));
    const panel = nextPanel(plan, { feed: (feed) => this.feed(feed), take: (take) => this.take(take) });
    this.next.replaceChildren(panel ?? this.#nothingNext(plan));
    this.entries.update(plan);
    this.trouble.replaceChildren((plan.now.state === 'none' ? null : trouble(plan)) ?? '');
    this.plan.replaceChildren(planSection(plan));
    this.stale.replaceChildren();
    if (focus) document.querySelector(`[data-focus="${focus}"]`)?.focus();
  }

  #nothingNext(plan) {
    if (plan.now.state === 'none') {
      return h(
        'section',
        { class: 'next' },
        h('h2', {}, 'Begin'),
        h('p', {}, 'Raise it from flour and water, day by day, or log what another baker gave you as begun.'),
        h(
          'p',
          { class: 'actions' },
          link(`${location.hash}/raising`, 'Raise it from nothing', { class: 'button main' }),
        ),
      );
    }
    return trouble(plan) ? '' : h('section', { class: 'next' }, h('h2', {}, 'Next'), h('p', {}, 'Nothing is due.'));
  }

  /* --- looking again --- */

  watch() {
    lookAgain(this.view, EVERY, () => this.refresh());
  }

  async refresh() {
    try {
      const [{ body }] = await Promise.all([api.get(`${this.path}/plan`, this.view), this.log.load(this.view)]);
      if (!this.view.signal.aborted) this.draw(body);
    } catch (error) {
      if (!this.view.signal.aborted) this.#tellStale(error);
    }
  }

  #tellStale(error) {
    const since = clockOf(this.shown.now.at);
    this.stale.replaceChildren(
      h(
        'div',
        { class: 'message warn' },
        h('p', {}, h('strong', {}, `What you see is of ${since}. `), error.detail ?? error.message),
        h(
          'p',
          { class: 'actions' },
          button('Look again', () => this.refresh()),
        ),
      ),
    );
  }

  /* --- logging --- */

  /* Posts one entry for one intention (key), once, however often it is pressed. */
  async post(key, body) {
    return (await this.logging.post(key, body)).body;
  }

  /* work is not begun again while it runs. */
  async #busily(work) {
    if (this.busy) return;
    this.busy = true;
    clearMessages();
    try {
      await work();
    } catch (error) {
      tellError(error, () => this.#busily(work));
    }
    this.busy = false;
  }

  async feed(feed) {
    if (!(await this.#soonEnough(feed))) return;
    await this.#busily(async () => {
      if (this.shown.now.state === 'asleep') {
        await this.post(`wake-${feed.at}`, { kind: 'woken' });
        this.shown.now.state = 'work';
      }
      const { seed_g: seed, flour_g: flour, water_g: water } = feed;
      const body = { kind: 'fed', seed_g: seed, flour_g: flour, water_g: water };
      await this.#logged(await this.post(`feed-${feed.at}`, body));
    });
  }

  /* Fed long before its time it ripens before its time: that is asked about. */
  #soonEnough(feed) {
    const early = minutesFrom(this.shown.now.at, feed.at);
    if (early <= EARLY) return Promise.resolve(true);
    return confirm('Was it fed already?', {
      detail: `The plan has this feed at ${timeWords(feed.at, this.shown.now.at)}, in ${spanWords(early)}. What is logged now ripens from now.`,
      yes: 'Yes, it was fed now',
      no: 'No, not yet',
    });
  }

  take(take) {
    return this.#busily(async () => {
      await this.#logged(
        await this.post(`take-${take.at}-${take.formula}`, { kind: 'taken', g: take.g, note: `For ${take.name}` }),
      );
    });
  }

  async undo(entry) {
    const why = await askWhy(entry);
    if (why === null) return;
    await this.#busily(async () => {
      const body = { kind: 'reversed', reverses: entry.number, note: why };
      const undone = await this.post(`undo-${entry.number}`, body);
      await this.refresh();
      tell('good', `Undone: ${entryWords(entry)}. ${weightWords(undone.on_hand_g)} on hand.`);
    });
  }

  async #logged(entry) {
    await this.refresh();
    tell('good', `Logged. ${entryWords(entry)}. ${weightWords(entry.on_hand_g)} on hand.`, [
      button('Undo', () => this.undo(entry), { class: 'quiet', 'aria-label': 'Undo what was just logged' }),
    ]);
  }
}
