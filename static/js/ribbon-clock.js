/* The bakery's wall clock for moments that the API did not write itself: ticks of the ribbon, a begin
 * that was typed or nudged. Moments are milliseconds; instants are RFC 3339 with the bakery's offset.
 *
 * Elapsed time is what counts: on a night when clocks change an hour is missing or there twice, and
 * both have their own offset.
 */

const HOUR = 60 * 60 * 1000;
const DAY = 24 * HOUR;

export const momentOf = (instant) => Date.parse(instant);

const offsetOf = (instant) => instant.slice(19);

export class WallClock {
  /* zone: the bakery's; known: instants of the API, for a zone that this browser has never heard of */
  constructor(zone, known) {
    this.known = known.map((instant) => [momentOf(instant), offsetOf(instant)]);
    try {
      this.format = new Intl.DateTimeFormat('en-GB', {
        timeZone: zone,
        hourCycle: 'h23',
        year: 'numeric',
        month: '2-digit',
        day: '2-digit',
        hour: '2-digit',
        minute: '2-digit',
        second: '2-digit',
        timeZoneName: 'longOffset',
      });
    } catch {
      this.format = null; // RangeError: the offsets that are known must do
    }
  }

  /* The instant as the API would write it. */
  instant(moment) {
    if (this.format === null) return withOffset(moment, this.#nearestOffset(moment));
    const part = Object.fromEntries(this.format.formatToParts(moment).map(({ type, value }) => [type, value]));
    const offset = part.timeZoneName.slice(3) || '+00:00';
    return `${part.year}-${part.month}-${part.day}T${part.hour}:${part.minute}:${part.second}${offset}`;
  }

  #nearestOffset(moment) {
    const far = (one) => Math.abs(one[0] - moment);
    return this.known.reduce((best, one) => (far(one) < far(best) ? one : best), this.known[0] ?? [0, '+00:00'])[1];
  }

  /* The instant closest to a moment at which the wall clock shows "HH:MM"; null: there is none, the
   * clocks are put forward over it. */
  closest(moment, clock) {
    const [hours, minutes] = clock.split(':').map(Number);
    const found = [];
    for (const days of [-1, 0, 1]) {
      const midnight = `${this.instant(moment + days * DAY).slice(0, 10)}T00:00:00Z`;
      const asUtc = Date.parse(midnight) + hours * HOUR + minutes * 60000;
      for (const offset of this.#offsetsAround(asUtc)) {
        const instant = this.instant(asUtc - offset);
        if (instant.slice(11, 16) === clock) found.push(instant);
      }
    }
    const far = (instant) => Math.abs(momentOf(instant) - moment);
    const best = found.sort((a, b) => far(a) - far(b))[0] ?? null;
    return best !== null && far(best) <= DAY / 2 + HOUR ? best : null;
  }

  /* The offsets, in milliseconds, that hold within a day before and after. */
  #offsetsAround(asUtc) {
    return new Set([-DAY, 0, DAY].map((away) => milliseconds(offsetOf(this.instant(asUtc + away)))));
  }

  /* Every full hour of the wall clock from one moment to another: [{ moment, instant, shift }], shift
   * being by how many minutes the clocks were put forward (or back, below 0) since the tick before. */
  hours(from, to) {
    const ticks = [];
    const quarter = HOUR / 4;
    for (let moment = Math.ceil(from / quarter) * quarter; moment <= to; moment += quarter) {
      const instant = this.instant(moment);
      if (instant.slice(14, 16) !== '00') continue;
      const before = ticks.at(-1)?.instant ?? instant;
      const shift = (milliseconds(offsetOf(instant)) - milliseconds(offsetOf(before))) / 60000;
      ticks.push({ moment, instant, shift });
    }
    return ticks;
  }
}

/* "+01:00" or "Z" in milliseconds */
function milliseconds(offset) {
  if (offset === 'Z') return 0;
  const [hours, minutes] = offset.slice(1).split(':').map(Number);
  return (offset.startsWith('-') ? -1 : 1) * (hours * HOUR + minutes * 60000);
}

function withOffset(moment, offset) {
  return `${new Date(moment + milliseconds(offset)).toISOString().slice(0, 19)}${offset}`;
}
