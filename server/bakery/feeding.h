/* Feeding a starter so that every mix finds it ripe and enough, the mother is kept and the least is
 * thrown away.
 *
 * One pot. A feed keeps some of what is there as seed, throws the rest away, and adds flour and
 * water by one of the ratios that the starter is used to. It may be taken from while it is ripe; it
 * may be fed again from when it is ripe until it starves. At every moment at least keep_mg stays in
 * the pot (before a feed too: the mother is not spent on a mix).
 *
 * A pot that holds less than keep_mg now may be fed, but nothing is taken from it before. What does
 * not ripen as it is may be fed at once, for there is nothing to wait for. A taking and a feed at
 * the same instant: the taking comes first.
 *
 * Waste is what is thrown away at feeds, and what is left at the end over keep_mg. For a given
 * sequence of feeds every weight is least when it is worked out backwards from the last demand, so
 * the plan is the best over sequences alone: labels (weight needed before a feed, flour and water
 * used after it), each better in one of the two, kept per feed time and ratio from the last to the
 * first (a shortest path with two criteria). Rounding to the scale keeps this true, since more that
 * is needed never rounds to less.
 *
 * The plan is the best there is as long as no more than a thousand labels of a feed are worth
 * keeping, which only steps far below a gram can lead to; beyond that the labels are thinned, and
 * each feed may waste a thousandth more. Whether there is a plan is always told exactly.
 */
#ifndef MORROWLOAF_BAKERY_FEEDING_H
#define MORROWLOAF_BAKERY_FEEDING_H

#include "bakery/production.h"

struct feed_ratio {
    int64_t seed, flour, water; /* parts; all over 0 but water */
    int64_t ripe_minutes;       /* RIPENING_NEVER: not to be used */
};

struct feeding_demand {
    instant at;
    int64_t mg;
};

struct feeding_problem {
    instant now;
    const instant *slots; /* when a feed may be: ascending, none before now */
    size_t slot_count;
    int64_t on_hand_mg;
    bool ripens;                   /* what is in the pot now */
    instant ripe_from, ripe_until; /* set when it does */
    bool may_feed_at_once; /* it is asleep, or starving already: the first feed need not wait for
                              ripe_from */
    bool has_feed_by;
    instant feed_by;       /* the first feed must be no later */
    int64_t feeds_to_wake; /* feeds before anything may be taken */
    int64_t keep_mg;
    int64_t pot_mg;  /* 0: any amount */
    int64_t step_mg; /* seed, flour and water are whole multiples, rounded up; 1: exact to a
                        milligram */
    int64_t stays_ripe_minutes;
    int64_t
        feed_within_minutes; /* after a feed, when longer than it is ripe; it starves after that */
    const struct feed_ratio *ratios;
    size_t ratio_count;
    const struct feeding_demand *demands; /* by time */
    size_t demand_count;
    instant until; /* it must not starve before; the last demand's time or later */
};

struct feed {
    instant at;
    size_t ratio;
    int64_t before_mg;
    int64_t discard_mg;
    int64_t seed_mg, flour_mg, water_mg;
    int64_t after_mg;
    instant ripe_from, ripe_until;
};

struct feeding_take {
    size_t demand;
    size_t feed;     /* that it comes from; NOT_FOUND: what is in the pot now */
    int64_t left_mg; /* in the pot after it; -1: not planned, being short or later than what is */
};

/* What can be done about the first demand that cannot be met. */
struct feeding_short {
    size_t demand;
    int64_t
        most_mg; /* that could be had at its time, a multiple of step_mg; 0: nothing ripe then */
    bool has_later;
    instant later; /* the earliest time at which all of it could be had, within a day, at a whole
                      five minutes; what is to be taken before stays as it is */
};

struct feeding_plan {
    bool possible;
    struct feed *feeds;
    size_t feed_count;
    struct feeding_take *takes; /* one per demand, in their order */
    int64_t waste_mg;
    int64_t left_mg;                /* at the end */
    struct feeding_short shortfall; /* when not possible */
};

/* The plan of least waste; among equals the one with fewer feeds, then later ones
 * (by the sum of their times). When it is not
 * possible the plan is that of the demands before the first that cannot be met (when not even an
 * empty list can be planned: no feeds, and shortfall.demand is NOT_FOUND). False with faults on the
 * list: overflow, or short memory. Only arena and fails of the reckoning are used. */
bool feeding_plan_of(const struct reckoning *reckoning, const struct feeding_problem *problem,
                     struct feeding_plan *out);

#endif
