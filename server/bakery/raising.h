/* Raising a new starter from flour and water: a programme over days, with running weights.
 *
 * Common practice of the trade: flour and water by equal feeds, most of it thrown away before each,
 * once a day at first and twice a day when it is lively; five days at the warmest it likes, longer
 * when it is cool (days lengthen by growth_starter(); stirred once a day meanwhile). Ready when it
 * rises between its marks three feeds in a row; the date is an estimate.
 */
#ifndef MORROWLOAF_BAKERY_RAISING_H
#define MORROWLOAF_BAKERY_RAISING_H

#include "bakery/production.h"

enum raising_kind { RAISE_MIX, RAISE_STIR, RAISE_FEED, RAISE_READY };

struct raising_wanted {
    instant begins;
    int64_t hydration_pct;
    int64_t c;        /* where it stands */
    int64_t keep_mg;  /* over 0: what is kept for every feed, but for the last ones that build up
                         to ready_mg */
    int64_t ready_mg; /* over 0: what is to be there when it is ready: exactly that, or up to
                         2 mg and the hydration more when the last feed keeps just keep_mg */
    int64_t sweetener_mg; /* a spoon into the first mix; 0: none */
};

struct raising_step {
    enum raising_kind kind;
    int day; /* of the calendar, from 1 */
    instant at;
    int64_t before_mg;
    int64_t discard_mg;
    int64_t keep_mg; /* before - discard */
    int64_t flour_mg, water_mg, sweetener_mg;
    int64_t after_mg; /* before - discard + flour + water + sweetener */
    const char *look; /* what it should look and smell like now, plain words; static */
};

struct raising {
    struct raising_step *steps; /* ascending */
    size_t step_count;
    instant ready;
    bool too_cold; /* nothing grows there (also of heat), or it would take longer than four weeks:
                      no steps */
    int64_t flour_mg, water_mg, discard_mg; /* of the whole programme */
};

/* What must always be said with it; static. */
extern const char *const raising_cautions[]; /* ends with NULL */
extern const char *const raising_caution_sweetener;

/* Only arena, fails and zone of the reckoning are used. Steps stand at the clock time at which it
 * began or half a day from it, day after day, also over a clock change. False with a fault at ""
 * for weights that cannot be (see above) or are too large, and for days out of the calendar. */
bool raising_of(const struct reckoning *reckoning, const struct raising_wanted *wanted,
                struct raising *out);

#endif
