/* When to order from a supplier, and how much.
 *
 * Reorder point: mean use a day x days + z x spread x sqrt(days) (common in the literature of
 * inventory; checked against tests/sources/08_*). These are estimates, and the only floating ones
 * of the stock; what is ordered is whole packs.
 */
#ifndef MORROWLOAF_BAKERY_REORDER_H
#define MORROWLOAF_BAKERY_REORDER_H

#include "base/date.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* The z of a one-sided service level: inverse of the standard normal distribution, for 0.5 <= level
 * < 1 in 1/10,000 of a percent. */
double service_z(int64_t service_pct);
/* z x spread x sqrt(days), rounded up. */
int64_t safety_stock(int64_t service_pct, int64_t spread, int64_t days);

/* The days on which an order can be given and comes in. */
struct delivery_days {
    date order_on; /* the next order day, today or later */
    date due_on;   /* when that order comes */
    date next_due; /* when the order after it comes: until then this one must last */
};

/* order_days: bit 1 Monday ... bit 7 Sunday. */
struct delivery_days delivery_days_of(unsigned order_days, int64_t lead_days, date today);

struct reorder {
    int64_t expected;      /* use from today until the end of the day before next_due */
    int64_t safety;        /* safety stock over that time */
    int64_t reorder_point; /* use until due_on plus the safety stock of that time */
    int64_t position;      /* on hand and free, plus on order */
    int64_t lacking;       /* expected + safety - position; 0: enough */
    int64_t packs;         /* rounded up; of an ingredient without a pack 0 */
    int64_t amount;        /* packs x pack, or lacking */
};

/* expected and until_due: sums of the course's use. pack 0: any amount. */
struct reorder reorder_of(int64_t expected, int64_t until_due, int64_t days, int64_t days_until_due,
                          int64_t service_pct, int64_t spread, int64_t position, int64_t pack);

#endif
