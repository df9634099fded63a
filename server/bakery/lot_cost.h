/* What an amount of a lot cost when it came in. */
#ifndef MORROWLOAF_BAKERY_LOT_COST_H
#define MORROWLOAF_BAKERY_LOT_COST_H

#include "bakery/model.h"

/* price x amount / received, rounded half to even at a millionth; amount may be less than nothing.
 * Not known when the price is not, or when it does not fit. */
struct money lot_cost_of(struct money price, int64_t received, int64_t amount);

/* The sum; not known when either is not. */
struct money money_sum(struct money a, struct money b);

#endif
