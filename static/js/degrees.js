/* Temperatures in the scale that this browser's user thinks in. The API keeps degrees Celsius; what is
 * shown and typed here may be Fahrenheit. A difference of temperatures (friction) converts without the
 * 32 degrees. Exact: 1/10,000 of a degree, as the API has it.
 */
import { celsius } from './fields.js';
import { h, uniqueId } from './dom.js';
import { PERCENT_PLACES as PLACES, NumberFault, divideHalfEven, fromWire, plain, readDecimal, rescale, show } from './number.js';

const STORE = 'morrowloaf-degrees';
const CHANGED = 'degrees-changed';
const FREEZING = 32n * 10n ** BigInt(PLACES);

let scale = null; // 'c' or 'f'

function chosen() {
  if (scale !== null) return scale;
  try {
    scale = localStorage.getItem(STORE) === 'f' ? 'f' : 'c';
  } catch {
    scale = 'c'; // a browser without storage
  }
  return scale;
}

const isFahrenheit = () => chosen() === 'f';
export const degreeUnit = () => (isFahrenheit() ? '°F' : '°C');

/* "dough" -> "dough_c" or "dough_f": the API's member of a temperature in the scale that is shown. */
export const degreeMember = (name) => `${name}_${chosen()}`;

const toFahrenheit = (c) => divideHalfEven(c * 9n, 5n) + FREEZING;
const toCelsius = (f) => divideHalfEven((f - FREEZING) * 5n, 9n);
const differenceToFahrenheit = (c) => divideHalfEven(c * 9n, 5n);
const differenceToCelsius = (f) => divideHalfEven(f * 5n, 9n);

const outward = (value, difference) => {
  if (!isFahrenheit()) return value;
  return difference ? differenceToFahrenheit(value) : toFahrenheit(value);
};

const written = (value) => `${show(value, PLACES, { max: 1 }).replace('-', '−')}\u00a0${degreeUnit()}`;

/* "23.5 °C" or "74.3 °F" from degrees Celsius of the API; a thermometer shows no more than tenths. */
export const degrees = (json) => written(outward(fromWire(json, PLACES), false));

/* The same for a difference. */
export const degreesApart = (json) => written(outward(fromWire(json, PLACES), true));

/* The same for what the API answered in the scale that was asked for: already there. */
export const degreesAsShown = (json) => written(fromWire(json, PLACES));

/* A field for a temperature. It shows degrees of the chosen scale; write() takes the API's Celsius.
 * read() gives exact text: in Celsius, or as shown when options.asShown is set. options.difference: it
 * is one. rescale(): the user chose another scale, and what was typed means the same as before. */
export function degreeField(options) {
  const field = celsius({ ...options, unit: degreeUnit() });
  const unit = field.element.querySelector('.unit');
  const readShown = field.read;
  let shownIn = chosen();
  // As many decimals as there are in Celsius, which is what is kept; two in Fahrenheit, the rest being
  // the rounding of what was typed there.
  const put = (value) => {
    const places = isFahrenheit() ? 2 : PLACES;
    field.input.value = plain(rescale(value, PLACES, places), places);
  };
  field.write = (json) => {
    if (json === null || json === undefined) field.input.value = '';
    else put(outward(fromWire(json, PLACES), options.difference));
  };
  field.read = (report) => {
    const text = readShown(report);
    if (text === undefined || options.asShown || !isFahrenheit()) return text;
    const value = fromWire(text, PLACES);
    return plain(options.difference ? differenceToCelsius(value) : toCelsius(value), PLACES);
  };
  field.rescale = () => {
    if (shownIn === chosen()) return;
    shownIn = chosen();
    unit.textContent = degreeUnit();
    const value = readable(field.input.value);
    if (value === null) return;
    if (isFahrenheit()) put(outward(value, options.difference));
    else put(options.difference ? differenceToCelsius(value) : toCelsius(value));
  };
  return field;
}

function readable(typed) {
  try {
    return readDecimal(typed, PLACES);
  } catch (error) {
    if (!(error instanceof NumberFault)) throw error;
    return null; // it stays as it was typed, and is complained of when it is sent
  }
}

function choose(next) {
  scale = next;
  try {
    localStorage.setItem(STORE, next);
  } catch {
    // A browser without storage: the choice lives as long as the page.
  }
  document.dispatchEvent(new Event(CHANGED));
}

/* Calls work whenever another scale is chosen, until the page ends. */
export function whenDegreesChange(view, work) {
  document.addEventListener(CHANGED, work, { signal: view.signal });
}

/* The choice itself. */
export function degreesChooser() {
  const name = uniqueId('degrees');
  const one = (value, text, words) => {
    const input = h('input', { type: 'radio', name, value, 'aria-label': words });
    input.checked = chosen() === value;
    input.addEventListener('change', () => choose(value));
    return h('label', { class: 'tick' }, input, text);
  };
  return h(
    'fieldset',
    { class: 'degrees screen-only' },
    h('legend', { class: 'unseen' }, 'Show temperatures in'),
    one('c', '°C', 'degrees Celsius'),
    one('f', '°F', 'degrees Fahrenheit'),
  );
}
