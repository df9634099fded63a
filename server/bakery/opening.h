/* The next bread day that is still open for orders. */
#ifndef MORROWLOAF_BAKERY_OPENING_H
#define MORROWLOAF_BAKERY_OPENING_H

#include "bakery/production.h"

struct opening {
    date bread_day;
    bool has_mixing;       /* whether anything is mixed for it at all */
    instant mixing_begins; /* when the middle one of its doughs begins to be mixed */
};

/* The first bread day, from today on, for which at least half of all doughs have not begun to be
 * mixed at that moment. One dough with days of lead closes no day for all the others, and one that
 * is quickly made keeps none open. */
bool opening_of(const struct reckoning *reckoning, instant now, struct opening *out);

#endif
