/* Quick entries of a starter's log: a row of big buttons, each of which opens its own short form. */
import { h } from './dom.js';
import { area, celsius, grams } from './fields.js';
import { tell } from './messages.js';
import { GRAM_PLACES, PERCENT_PLACES, divideHalfEven, fromWire, plain } from './number.js';
import { Once } from './once.js';
import { QuickForms } from './quick-forms.js';
import { entryWords } from './starter-words.js';
import { moment } from './time-fields.js';

const weight = (label, hint) => grams({ name: 'g', label, hint, required: true });
const feedFields = () => [
  grams({ name: 'seed_g', label: 'Seed', hint: 'What was kept of the old. Empty: all that was there' }),
  grams({ name: 'flour_g', label: 'Flour', required: true }),
  grams({ name: 'water_g', label: 'Water', required: true }),
  celsius({ name: 'c', label: 'Stands at', hint: 'Empty: as usual' }),
];

/* In the order of the buttons. when: the states of the pot in which it makes sense. */
const KINDS = [
  { kind: 'begun', text: 'Begun', send: 'Begun', when: ['none', 'empty'], fields: () => [weight('How much there is')] },
  { kind: 'fed', text: 'Fed', send: 'Fed', when: ['work', 'asleep'], fields: feedFields },
  {
    kind: 'taken',
    text: 'Taken',
    send: 'Taken',
    when: ['work', 'asleep'],
    fields: () => [weight('How much was taken')],
  },
  {
    kind: 'discarded',
    text: 'Thrown away',
    send: 'Thrown away',
    when: ['work', 'asleep'],
    fields: () => [weight('How much was thrown away')],
  },
  {
    kind: 'weighed',
    text: 'Weighed',
    send: 'Weighed',
    when: ['work', 'asleep', 'empty'],
    fields: () => [weight('How much there is', 'Without the pot')],
  },
  {
    kind: 'chilled',
    text: 'In the cold',
    send: 'Put in the cold',
    when: ['work'],
    fields: () => [celsius({ name: 'c', label: 'How cold', hint: 'May stay empty' })],
  },
  { kind: 'woken', text: 'Woken', send: 'Woken', when: ['asleep'], fields: () => [] },
  { kind: 'ripe', text: 'Ripe now', send: 'It is ripe', when: ['work'], fields: () => [] },
];

const late = () => [
  moment({ name: 'at', label: 'When', hint: 'Empty: now' }),
  area({ name: 'note', label: 'Note', rows: 1 }),
];

export class Entries {
  /* starter: its settings; logged(entry): called when something has been logged. */
  constructor(starter, { logged }) {
    this.starter = starter;
    this.logged = logged;
    this.plan = null;
    this.forms = new QuickForms({ name: 'Log something', title: 'Log what was done', make: (one) => this.#make(one) });
    this.element = this.forms.element;
  }

  get dirty() {
    return this.forms.dirty;
  }

  /* Which entries make sense now. What is being filled in stays. */
  update(plan) {
    this.plan = plan;
    const empty = plan.now.state !== 'none' && Number(plan.now.on_hand_g) === 0;
    const state = empty ? 'empty' : plan.now.state;
    this.forms.offer(KINDS.filter((one) => one.when.includes(state) && (one.kind !== 'ripe' || plan.now.fed_at)));
  }

  #make(one) {
    const fields = one.fields();
    const extra = late();
    const once = new Once(`/starters/${this.starter.code}/log`);
    return {
      fields: [...fields, ...extra],
      first: fields[0],
      submit: one.send,
      send: (body) => this.#send(once, { kind: one.kind, ...body }),
      dress: (form) => {
        const more = h('details', { class: 'panel' }, h('summary', {}, 'At another time, or with a note'));
        more.append(...extra.map((field) => field.element));
        form.submit.parentElement.before(more);
        if (one.kind === 'fed') this.#help(form, fields);
      },
    };
  }

  /* A feed begins with the figures of the plan; water follows the flour until it is typed. */
  #help(form, [, flour, water]) {
    const planned = this.plan?.feeds[0];
    if (planned) form.write({ seed_g: planned.seed_g, flour_g: planned.flour_g, water_g: planned.water_g });
    let own = false;
    water.input.addEventListener('input', () => {
      own = water.input.value !== '';
    });
    flour.input.addEventListener('input', () => {
      if (own) return;
      const typed = flour.read(() => {});
      water.write(typed === undefined ? undefined : waterFor(typed, this.starter.hydration_pct));
    });
  }

  /* An earlier attempt of unknown fate is found out about first: what it logged is not logged twice. */
  async #send(once, body) {
    const earlier = await once.settle(body);
    const { body: entry } = earlier ?? (await once.send(body));
    this.forms.close({ focus: true });
    await this.logged(entry);
    if (earlier) tell('warn', `What you typed before was logged after all. ${entryWords(entry)}. Nothing else was logged.`);
  }
}

/* The water of a feed at the starter's hydration, to the gram. */
function waterFor(flour, hydration) {
  const whole = 100n * 10n ** BigInt(PERCENT_PLACES) * 1000n;
  const grammes = divideHalfEven(fromWire(flour, GRAM_PLACES) * fromWire(hydration, PERCENT_PLACES), whole);
  return plain(grammes, 0);
}
