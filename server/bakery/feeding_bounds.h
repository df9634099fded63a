/* How little is needed before each feed and how much can be there: whether there is a plan, and how
 * near one can come when there is none.
 *
 * Only feeding*.c use this. Both are one number per level and slot, since less that is needed is
 * never worse, nor is more that is there: it can be thrown away at a feed.
 */
#ifndef MORROWLOAF_BAKERY_FEEDING_BOUNDS_H
#define MORROWLOAF_BAKERY_FEEDING_BOUNDS_H

#include "bakery/feeding_search.h"

struct feeding_bounds {
    struct feeding_search *search;
    int64_t *least; /* a tree of minima per level; INT64_MAX: no plan goes on from there */
    int64_t *most;  /* per level, then slot; below 0: no plan leads there */
    int64_t enough; /* more than that is not counted */
};

/* False when memory is short. */
bool feeding_bounds_begin(struct feeding_bounds *bounds, struct feeding_search *search);

/* Fills most. more_mg: what may be taken beyond the demands of the search. */
void feeding_fill_most(struct feeding_bounds *bounds, int64_t more_mg);
int64_t feeding_most_at(const struct feeding_bounds *bounds, size_t level, size_t slot);

/* Whether there is any plan for the demands of the search. */
bool feeding_feasible(struct feeding_bounds *bounds);
/* What can be done about one more demand after those of the search, for which there is a plan.
 * Leaves out->demand alone. */
void feeding_shortfall(struct feeding_bounds *bounds, const struct feeding_demand *wanted,
                       struct feeding_short *out);

#endif
