/* A slider that also takes a typed number: both are the same exact figure. The slider goes by round steps
 * around what is now; what is typed may lie anywhere that the figure itself may.
 */
import { h, button, uniqueId } from './dom.js';
import { sentence } from './messages.js';
import { NumberFault, padded, plain, readDecimal, show } from './number.js';

const absolute = (value) => (value < 0n ? -value : value);

/* A round step of about a hundredth of the figure: 1, 2 or 5 times a power of ten. */
function stepFor(now, places) {
  const least = absolute(now) / 100n;
  for (let power = 1n; ; power *= 10n)
    for (const times of [1n, 2n, 5n])
      if (times * power >= least) return places === 0 ? times * power || 1n : times * power;
}

const TENTHS = 1000n;

/* "20 % more", "as now" */
function changeWords(now, value) {
  if (value === now) return 'as now';
  if (now === 0n) return 'more';
  const change = ((value - now) * 100n * TENTHS) / now;
  const size = show(absolute(change) / 100n, 1, { max: 1 });
  return `${size === '0' ? 'under 0.1' : size}\u00a0% ${change < 0n ? 'less' : 'more'}`;
}

export class Slider {
  /* now: the figure as it is, a count of 10^-places; unit beside the number; least, most: where the slider ends
   * (unset: nothing, and twice as much); decimals: shown at least;
   * difference: the change is told in units, not in percent; onchange() */
  constructor({ name, label, unit, places, now, least, most, step, decimals = 0, difference = false, onchange }) {
    Object.assign(this, { name, label, places, now, unit, decimals, difference, onchange, value: now });
    this.step = step ?? stepFor(now, places);
    this.least = (least ?? 0n) + ((now - (least ?? 0n)) % this.step); // so that the figure of now is one of its steps
    this.most = most ?? (now > 0n ? now * 2n : this.step * 100n);
    this.#build();
    this.#draw();
  }

  #build() {
    const id = uniqueId(this.name);
    this.input = h('input', {
      id,
      type: 'text',
      inputmode: 'decimal',
      autocomplete: 'off',
      class: 'figure',
      'aria-describedby': `${id}-out ${id}-fault`,
    });
    this.range = h('input', {
      type: 'range',
      min: 0,
      max: String((this.most - this.least) / this.step),
      step: 1,
      'aria-label': `${this.label}, slider`,
    });
    this.out = h('output', { id: `${id}-out`, for: id });
    this.fault = h('p', { class: 'fault', id: `${id}-fault`, hidden: true });
    this.back = button('As now', () => this.reset(), { class: 'quiet as-now', 'aria-label': `${this.label} as now` });
    this.element = h(
      'div',
      { class: 'slider' },
      h('p', { class: 'slider-head' }, h('label', { for: id }, this.label), ' ', this.out),
      this.range,
      h(
        'p',
        { class: 'slider-figure' },
        this.input,
        h('span', { class: 'unit', 'aria-hidden': 'true' }, this.unit),
        this.back,
      ),
      this.fault,
    );
    this.range.addEventListener('input', () => this.#slid());
    this.input.addEventListener('input', () => this.#typed());
    this.input.addEventListener('blur', () => this.#left());
  }

  get changed() {
    return this.value !== this.now;
  }

  /* As the API takes it. */
  get text() {
    return plain(this.value, this.places);
  }

  #slid() {
    this.value = this.least + BigInt(this.range.value) * this.step;
    this.#say('');
    this.#draw();
    this.onchange();
  }

  #typed() {
    try {
      const value = readDecimal(this.input.value, this.places);
      if (value === null) return; // being typed anew
      if (value < 0n) throw new NumberFault('this cannot be under nothing');
      this.value = value;
      this.#say('');
      this.#draw({ typing: true });
      this.onchange();
    } catch (error) {
      if (!(error instanceof NumberFault)) throw error;
      this.#say(sentence(error.message));
    }
  }

  #left() {
    if (this.input.value.trim() === '') this.reset();
    else if (!this.input.hasAttribute('aria-invalid')) this.#draw();
  }

  #say(fault) {
    this.fault.textContent = fault;
    this.fault.hidden = fault === '';
    if (fault) this.input.setAttribute('aria-invalid', 'true');
    else this.input.removeAttribute('aria-invalid');
  }

  reset() {
    const moved = this.changed;
    this.value = this.now;
    this.#say('');
    this.#draw();
    if (moved) this.onchange();
  }

  #words() {
    if (!this.difference || this.value === this.now) return changeWords(this.now, this.value);
    const by = plain(absolute(this.value - this.now), this.places);
    return `${by}\u00a0points ${this.value < this.now ? 'less' : 'more'}`;
  }

  #draw({ typing = false } = {}) {
    if (!typing) this.input.value = padded(this.text, this.decimals);
    const within = this.value < this.least ? this.least : this.value > this.most ? this.most : this.value;
    this.range.value = String((within - this.least + this.step / 2n) / this.step);
    const words = this.#words();
    this.range.setAttribute('aria-valuetext', `${this.text} ${this.unit}, ${words}`);
    this.out.textContent = words;
    this.back.hidden = !this.changed;
    this.element.classList.toggle('moved', this.changed);
  }
}
