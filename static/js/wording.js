/* Members of the API's bodies in the shop's words. */

const LABELS = {
  name: 'Name',
  note: 'Note',
  ready_at: 'Ready at',
  phone: 'Telephone',
  address: 'Address',
  kind: 'Kind',
  unit: 'Measured in',
  water_pct: 'Water in it',
  allergens: 'Allergens',
  scale_g: 'Scale division',
  hydration_pct: 'Hydration',
  flours: 'Flours',
  water: 'Water',
  keep_g: 'Always kept back',
  basis: 'Percentages are of',
  lines: 'Lines',
  handling_loss_pct: 'Handling loss',
  dough_c: 'Dough temperature',
  mixer: 'Mixer',
  by_hand: 'Mixed by hand',
  stages: 'Stages',
  parts: 'Made of',
  packaging: 'Packaging',
  spare_pct: 'Spare',
  bake_loss_pct: 'Bake loss',
  declared_g: 'Declared weight',
  currency: 'Currency',
  time_zone: 'Time zone',
  day_starts_at: 'Working day starts at',
  mixers: 'Mixers',
  small_scale_g: 'Small scale division',
  small_below_g: 'Small scale weighs below',
  role: 'Role',
  customer: 'Customer',
  date: 'Bread day',
  pack_g: 'Pack',
  pack_pieces: 'Pack',
  price: 'Price',
  supplier: 'Supplier',
  email: 'E-mail',
  order_days: 'Takes orders on',
  lead_days: 'Days to the delivery',
  minimum_order: 'Minimum order',
  pct: '',
  flour_pct: 'of all flour',
  g: '',
  pieces: '',
  minutes: '',
  at: '',
  hands: 'hands',
  min_g: 'least',
  max_g: 'most',
  friction_c: 'warms dough by',
  ripens: 'Ripens',
  stays_ripe_minutes: 'Stays ripe for',
  stands_c: 'Usually stands at',
  pot_g: 'The pot holds',
  feed_within_minutes: 'At work: fed again within',
  rest_feed_days: 'Asleep: fed every',
  wake_feeds: 'Feeds to wake it',
  seed: 'seed',
  flour: 'flour',
  c: '',
  ovens: 'Ovens',
  decks: 'decks',
  places: 'places a deck',
  preheat_minutes: 'to heat up',
  recovery_minutes: 'between loads',
  shifts: 'Shifts',
  days: 'days',
  to: 'to',
  cold_g: 'The cold space holds',
  feed_from: 'Starters are fed from',
  feed_to: 'Starters are fed until',
  room_c: 'Room',
  flour_c: 'Flour',
  tap_c: 'Tap water',
  preferment_c: 'Preferments and starters',
  uses: 'takes up',
  most_minutes: 'at most',
  bake: 'Baking',
  per_place: 'in one place',
  steps: 'steps',
  steam: 'steam',
  power_w: 'power',
  labour: 'labour',
  per: 'for each',
  labour_minutes: 'Labour of a piece',
  unsold_pct: 'Comes back unsold',
  price_list: 'Price list',
  with_tax: 'Prices are with tax',
  step: 'Prices go by',
  ending: 'and end on',
};

export const KINDS = [
  ['flour', 'Flour'],
  ['water', 'Water'],
  ['salt', 'Salt'],
  ['other', 'Other food'],
  ['packaging', 'Packaging'],
];

export const ROLES = [
  ['counter', 'Counter: orders and customers'],
  ['baker', 'Baker: everything but costs and people'],
  ['owner', 'Owner: everything'],
];

export const BASES = [
  ['final', 'the flour weighed into the final mix'],
  ['total', 'all flour, prefermented flour included'],
];

const UNITS = { _pct: ' %', _g: ' g', _c: ' °C', _w: ' W' };

export const labelOf = (member) => LABELS[member] ?? member;

function unitOf(member) {
  if (member === 'pct') return ' %';
  if (member === 'g') return ' g';
  if (member === 'c') return ' °C';
  if (member === 'minutes' || member.endsWith('_minutes')) return ' min';
  return UNITS[member.slice(member.lastIndexOf('_'))] ?? '';
}

/* One value as text. */
export function valueText(member, value, nameOf = (code) => code) {
  if (value === null || value === undefined || value === '') return 'nothing';
  if (value === true) return 'yes';
  if (value === false) return 'no';
  if (member === 'labour') return `${value.minutes} min a ${value.per}`;
  if (member === 'basis') return BASES.find(([code]) => code === value)?.[1] ?? value;
  const unit = unitOf(member);
  if (typeof value === 'string' && unit === '') return nameOf(value);
  return `${value}${unit}`;
}
