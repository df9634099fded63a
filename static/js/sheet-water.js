/* The water of a mix, or of the calculator: its temperature, and how much of it is ice. */
import { h } from './dom.js';
import { degrees, degreesApart, degreesAsShown } from './degrees.js';
import { sentence } from './messages.js';
import { GRAM_PLACES, PERCENT_PLACES, fromWire, percent, rescale, show } from './number.js';

/* What the API answers in the scale that was asked for has "water_f" or "water_c". */
const temperatureOf = (water) => degreesAsShown(water.water_f ?? water.water_c);

/* Whole grams: no more is weighed of ice. Together they are the water still. */
function parts(water) {
  const ice = rescale(fromWire(water.ice_g, GRAM_PLACES), GRAM_PLACES, 0);
  const all = fromWire(water.ice_g, GRAM_PLACES) + fromWire(water.tap_g, GRAM_PLACES);
  return { ice: show(ice, 0), tap: show(all - ice * 1000n, GRAM_PLACES, { max: 1 }), none: ice === 0n };
}

function iceWords(water) {
  if (water.ice_pct === null) return null;
  if (water.ice_g === null) return Number(water.ice_pct) === 0 ? 'no ice' : `${share(water)} % of it ice`;
  const { ice, tap, none } = parts(water);
  return none ? `${tap} g, no ice` : `${ice} g ice and ${tap} g from the tap`;
}

const share = (water) => percent(rescale(fromWire(water.ice_pct, PERCENT_PLACES), PERCENT_PLACES, 1) * 1000n);

/* "Water at 12.4 °C, 340 g ice and 5 860 g from the tap." */
export const waterSentence = (water) =>
  [`Water at ${temperatureOf(water)}${iceWords(water) ? `, ${iceWords(water)}` : ''}.`, ...water.warnings.map((one) => sentence(one.text))].join(' ');

export function waterFigures(water) {
  const { ice, tap, none } = water.ice_g === null ? {} : parts(water);
  const icy = ice !== undefined && !none;
  return h(
    'div',
    { class: 'water-answer' },
    h(
      'dl',
      { class: 'key-figures' },
      figure('Water at', temperatureOf(water)),
      icy ? [figure('Ice', `${ice} g`), figure('From the tap', `${tap} g`)] : null,
      none ? figure('Weight', `${tap} g`) : null,
      ice === undefined && Number(water.ice_pct) > 0 ? figure('Of it ice', `${share(water)} %`) : null,
    ),
    water.ice_pct !== null && Number(water.ice_pct) === 0 ? h('p', {}, 'No ice is needed.') : null,
    h('p', { class: 'hint' }, water.factors === 4 ? 'By four factors, the preferment among them.' : 'By three factors.'),
    water.warnings.map((one) => h('p', { class: 'water-warning' }, sentence(one.text))),
  );
}

const figure = (name, text) => h('div', {}, h('dt', {}, name), h('dd', {}, text));

/* The line in a mix's head; null when the dough's temperature is left to chance. */
export function mixWater(mix) {
  const { water } = mix;
  if (!water) return null;
  if (water.missing)
    return h('span', { class: 'mix-water' }, 'Water not worked out. Not known: ', h('strong', {}, water.missing), '.');
  const each = mix.batches > 1 ? ' for each batch' : '';
  const ice = water.ice_g === null ? null : parts(water);
  return [
    h(
      'span',
      { class: 'mix-water' },
      'Water at ',
      h('strong', { class: 'water-degrees' }, degrees(water.water_c)),
      ice === null
        ? null
        : [
            ': ',
            ice.none ? null : [h('strong', {}, `${ice.ice} g ice`), ' and '],
            h('strong', {}, `${ice.tap} g`),
            ice.none ? null : ' from the tap',
            each,
          ],
      h('span', { class: 'bit' }, ` · friction ${degreesApart(water.friction_c)}`),
    ),
    water.warnings.map((one) => h('span', { class: 'mix-warning' }, sentence(one.text))),
  ];
}

const NAMES = [
  ['room_c', 'room'],
  ['flour_c', 'flour'],
  ['tap_c', 'tap'],
  ['preferment_c', 'preferment'],
];

/* "Reckoned with: room 24 °C, flour 22 °C, tap not known. Measured." */
export function reckonedWith(list) {
  if (!list.temperatures || !list.mixes.some((mix) => mix.water)) return null;
  const words = NAMES.filter(([member]) => member !== 'preferment_c' || list.temperatures[member] !== null).map(
    ([member, name]) => `${name} ${list.temperatures[member] === null ? 'not known' : degrees(list.temperatures[member])}`,
  );
  return h(
    'p',
    { class: 'reckoned-with' },
    `Water reckoned with: ${words.join(', ')}`,
    list.measured ? ', as measured tonight.' : '. Nothing measured tonight: these are the usual ones.',
  );
}
