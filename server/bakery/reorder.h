/* When to order from a supplier, and how much.
 *
 * Reorder point: mean use a day x days + z x spread x sqrt(days) (common in the literature of
 * inventory; checked against tests/sources/08_*). These are estimates, and the only floating ones
 * of the stock; what is ordered is whole packs.
 *
 * Nothing is counted twice. The course's use holds everything that will be weighed from today on,
 * what printed lists speak for included; so the position is all that is usable, of which nothing is
 * taken off for those lists. Of what is on order the position holds what comes before the delivery
 * after the next: what comes later does not help until then.
 *
 * Use that the stock runs out of before an order can come is owed: what is ordered makes up for it.
 * A lot whose best-before passes on the way is counted as usable until it does.
 */
#ifndef MORROWLOAF_BAKERY_REORDER_H
#define MORROWLOAF_BAKERY_REORDER_H

#include "bakery/stock_use.h"

/* The z of a one-sided service level: inverse of the standard normal distribution, for 0 < level <
 * 1 in 1/10,000 of a percent. Below one half it is negative. */
double service_z(int64_t service_pct);
/* z x spread x sqrt(days), rounded up; none at a level of one half or below. INT64_MAX when it does
 * not fit. */
int64_t safety_stock(int64_t service_pct, int64_t spread, int64_t days);

/* The days on which an order can be given and comes in. */
struct delivery_days {
    date order_on; /* the next order day, on the day asked for or later */
    date due_on;   /* when that order comes */
    date next_due; /* when the order after it comes: until then this one must last */
};

/* order_days: bit 1 Monday ... bit 7 Sunday, at least one of them. */
struct delivery_days delivery_days_of(unsigned order_days, int64_t lead_days, date on);

/* What is known of an ingredient when it is asked what to order. */
struct reorder_case {
    int64_t usable;                  /* neither held nor expired */
    int64_t on_order;                /* all of it */
    const struct course_day *course; /* from today on; what lies beyond goes by the usual week */
    size_t course_days;              /* at least one */
    const struct usual_week *usual;
    int64_t service_pct;
    int64_t pack; /* 0: any amount can be ordered */
};

struct reorder {
    int64_t expected;      /* use from today until the end of the day before next_due */
    int64_t safety;        /* safety stock over that time */
    int64_t reorder_point; /* use until due_on plus the safety stock of that time */
    int64_t position;      /* usable, plus on order */
    int64_t lacking;       /* expected + safety - position; 0: enough */
    int64_t packs;         /* rounded up; of an ingredient without a pack 0 */
    int64_t amount;        /* packs x pack, or lacking */
};

/* False when an amount does not fit. */
bool reorder_of(const struct reorder_case *of, const struct delivery_days *when,
                struct reorder *out);

#endif
