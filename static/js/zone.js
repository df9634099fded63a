/* From the wall clock to an instant, in the bakery's zone and never in the browser's. */

/* The zone's offset from UTC at a moment, in minutes. */
function offsetAt(milliseconds, zone) {
  const parts = new Intl.DateTimeFormat('en-GB', { timeZone: zone, timeZoneName: 'longOffset' }).formatToParts(
    milliseconds,
  );
  const text = parts.find((part) => part.type === 'timeZoneName').value; // "GMT", "GMT+01:00", "GMT-03:30"
  const match = /([+-])(\d{2}):(\d{2})/.exec(text);
  if (!match) return 0;
  return (match[1] === '-' ? -1 : 1) * (Number(match[2]) * 60 + Number(match[3]));
}

function offsetText(minutes) {
  const size = Math.abs(minutes);
  const two = (number) => String(number).padStart(2, '0');
  return `${minutes < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

/* "2026-11-25", "14:30" -> "2026-11-25T14:30:00+00:00". A time that the clock shows twice is its first;
 * one that it leaves out is as long after the last midnight as it says. */
export function instantOf(date, clock, zone) {
  const wall = Date.parse(`${date}T${clock}:00Z`);
  const before = offsetAt(wall - 86400000, zone);
  const near = offsetAt(wall - before * 60000, zone);
  const fits = offsetAt(wall - near * 60000, zone) === near;
  const offset = fits && offsetAt(wall - before * 60000, zone) !== before ? near : before;
  return `${date}T${clock}:00${offsetText(offset)}`;
}
