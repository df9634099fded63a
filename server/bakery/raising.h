/* Raising a new starter from flour and water: a programme over days, with running weights.
 *
 * Common practice of the trade: flour and water by equal feeds, most of it thrown away before each,
 * once a day at first and twice a day when it is lively; five days at the warmest it likes, longer
 * when it is cool (days lengthen by growth_starter()). Ready when it rises between its marks three
 * feeds in a row; the date is an estimate.
 */
#ifndef MORROWLOAF_BAKERY_RAISING_H
#define MORROWLOAF_BAKERY_RAISING_H

#include "bakery/production.h"

enum raising_kind { RAISE_MIX, RAISE_STIR, RAISE_FEED, RAISE_READY };

struct raising_wanted {
    instant begins;
    int64_t hydration_pct;
    int64_t c;            /* where it stands */
    int64_t keep_mg;      /* what is kept for every feed */
    int64_t ready_mg;     /* what is to be there when it is ready */
    int64_t sweetener_mg; /* a spoon into the first mix; 0: none */
};

struct raising_step {
    enum raising_kind kind;
    int day; /* from 1 */
    instant at;
    int64_t before_mg;
    int64_t discard_mg;
    int64_t keep_mg;
    int64_t flour_mg, water_mg, sweetener_mg;
    int64_t after_mg; /* before - discard + flour + water + sweetener */
    const char *look; /* what it should look and smell like now, plain words; static */
};

struct raising {
    struct raising_step *steps; /* ascending */
    size_t step_count;
    instant ready;
    bool too_cold;                          /* nothing grows there: no steps */
    int64_t flour_mg, water_mg, discard_mg; /* of the whole programme */
};

/* What must always be said with it; static. */
extern const char *const raising_cautions[]; /* ends with NULL */
extern const char *const raising_caution_sweetener;

/* Only arena, fails and zone of the reckoning are used. Steps stand at the same clock time day
 * after day, also over a clock change. */
bool raising_of(const struct reckoning *reckoning, const struct raising_wanted *wanted,
                struct raising *out);

#endif
