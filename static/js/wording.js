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
  pct: '',
  flour_pct: 'of all flour',
  g: '',
  pieces: '',
  minutes: '',
  at: '',
  hands: 'hands',
  min_g: 'least',
  max_g: 'most',
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

const UNITS = { _pct: ' %', _g: ' g', _c: ' °C' };

export const labelOf = (member) => LABELS[member] ?? member;

function unitOf(member) {
  if (member === 'pct') return ' %';
  if (member === 'g') return ' g';
  if (member === 'minutes') return ' min';
  return UNITS[member.slice(member.lastIndexOf('_'))] ?? '';
}

/* One value as text. */
export function valueText(member, value, nameOf = (code) => code) {
  if (value === null || value === undefined || value === '') return 'nothing';
  if (value === true) return 'yes';
  if (value === false) return 'no';
  if (member === 'basis') return BASES.find(([code]) => code === value)?.[1] ?? value;
  const unit = unitOf(member);
  if (typeof value === 'string' && unit === '') return nameOf(value);
  return `${value}${unit}`;
}
