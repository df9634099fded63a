/* Which bread days can have a part in the mixing list of a date.
 *
 * Let the list be of working day A. Orders that are not loaded must not be able to change it, and
 * as few as possible should be loaded.
 *
 * Latest. For each formula f let late(f) be the latest working day on which a mix of f can begin
 * that is itself, or contains somewhere below it, a mix of day A. A mix of part p on a working day
 * up to late(p) begins before the end of that day, so what takes it begins, which is when p is
 * ready, less than p's minutes after that end:
 *     late(f) = max(A, working day of (last second of late(p) + minutes of p) over the parts p).
 * Joined doughs need no allowance: a mix that joins several begins within their common working day,
 * and the bound takes only the day. A product's part f is ready no later than the last second of
 * late(f) + minutes of f; the last bread day is the latest that has begun by then. A bread day
 * after it only adds to mixes of f after late(f), and moves their begin within the same working
 * day: they still contain nothing of day A.
 *
 * Earliest. A mix on day A or later is ready no earlier than the begin of A + the minutes of the
 * quickest formula. A bread day whose every clock time lies before that only adds to mixes before
 * A, and their parts begin earlier still.
 */
#include "bakery/production.h"

#include "bakery/amount.h"

static instant last_second(const struct reckoning *reckoning, date day)
{
    return zone_instant(reckoning->zone, day + 1, reckoning->catalogue->bakery.day_starts_at) - 1;
}

/* The instant at which a mix is ready that begins then. */
static instant ready_after(const struct reckoning *reckoning, size_t formula, instant begins)
{
    return begins + 60 * formula_minutes(&reckoning->catalogue->formulas[formula]);
}

/* late(f) of one formula, its parts being known. */
static date latest_mix(const struct reckoning *reckoning, date mixing_date, const date *late,
                       size_t formula)
{
    const struct formula *f = &reckoning->catalogue->formulas[formula];
    date latest = mixing_date;
    for (size_t n = 0; n < f->line_count; n++) {
        size_t part = f->lines[n].index;
        if (f->lines[n].kind != LINE_FORMULA || part == NOT_FOUND) continue;
        instant ready = ready_after(reckoning, part, last_second(reckoning, late[part]));
        date day = working_day(reckoning, ready);
        if (day > latest) latest = day;
    }
    return latest;
}

/* late(f) of all formulas. NULL when memory is short. */
static date *latest_mixes(const struct reckoning *reckoning, date mixing_date)
{
    size_t count = reckoning->catalogue->formula_count;
    date *late = amount_memory(reckoning, count, sizeof *late);
    for (size_t i = 0; late && i < count; i++) {
        size_t formula = reckoning->breakdowns->order[i];
        late[formula] = latest_mix(reckoning, mixing_date, late, formula);
    }
    return late;
}

/* Widens the span of ready instants by those of a product's doughs. */
static void widen(const struct reckoning *reckoning, const struct product *product, instant begin,
                  const date *late, instant *earliest, instant *latest)
{
    for (size_t k = 0; k < product->part_count; k++) {
        size_t formula = product->parts[k].index;
        if (product->parts[k].kind != LINE_FORMULA || formula == NOT_FOUND) continue;
        instant soonest = ready_after(reckoning, formula, begin);
        instant last = ready_after(reckoning, formula, last_second(reckoning, late[formula]));
        if (soonest < *earliest) *earliest = soonest;
        if (last > *latest) *latest = last;
    }
}

/* The earliest date that has a clock time at or after the instant. A time that the clock skips on
 * the date before shows as a later one, perhaps of the next date. */
static date earliest_date(const struct zone *zone, instant at)
{
    date day;
    int minutes;
    zone_wall(zone, at, &day, &minutes);
    int32_t before = zone_offset(zone, zone_instant(zone, day - 1, 0) - 1);
    int32_t after = zone_offset(zone, zone_instant(zone, day - 1, MINUTES_PER_DAY - 1));
    return after > before ? day - 1 : day;
}

/* The latest date that has begun by the instant. */
static date latest_date(const struct zone *zone, instant at)
{
    date day;
    int minutes;
    zone_wall(zone, at, &day, &minutes);
    while (zone_instant(zone, day + 1, 0) <= at)
        day++;
    return day;
}

/* There are no orders for days that cannot be written. */
static date within_calendar(date day)
{
    return day < DATE_FIRST ? DATE_FIRST : day > DATE_LAST ? DATE_LAST : day;
}

void mixing_horizon(const struct reckoning *reckoning, date mixing_date, date *first, date *last)
{
    *first = *last = mixing_date;
    const date *late = latest_mixes(reckoning, mixing_date);
    if (!late) return; /* on the list of faults */
    instant begin = last_second(reckoning, mixing_date - 1) + 1;
    instant earliest = INT64_MAX;
    instant latest = INT64_MIN;
    for (size_t i = 0; i < reckoning->catalogue->product_count; i++)
        widen(reckoning, &reckoning->catalogue->products[i], begin, late, &earliest, &latest);
    if (latest < earliest) return; /* no product has any dough */
    *first = within_calendar(earliest_date(reckoning->zone, earliest));
    *last = within_calendar(latest_date(reckoning->zone, latest));
}
