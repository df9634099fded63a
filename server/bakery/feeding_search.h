/* How feeds of a starter may follow each other: the graph on which a feeding plan is the cheapest
 * path.
 *
 * Only feeding*.c use this. A node is a feed: a slot, a ratio and a level, which counts the feeds
 * from the first on up to that from which takings are allowed (waking after the cold). All weights
 * are worked out backwards: "need" is what must be in the pot before a feed, "want" what must be in
 * it after. Demands are numbered by time; those at or before a slot are taken before its feed.
 */
#ifndef MORROWLOAF_BAKERY_FEEDING_SEARCH_H
#define MORROWLOAF_BAKERY_FEEDING_SEARCH_H

#include "bakery/feeding.h"

/* What the clock alone says of a feed at a slot with a ratio. */
struct feed_times {
    instant ripe_from, ripe_until;
    instant starves;
    size_t first, end; /* slots at which the next feed may be */
};

/* A ratio in its lowest terms. */
struct feed_parts {
    bool usable;
    int64_t seed, flour, water, whole;
};

struct feed_amounts {
    int64_t seed, flour, water, after;
};

struct feeding_search {
    const struct reckoning *reckoning;
    const struct feeding_problem *problem;
    struct feed_parts *parts; /* per ratio */
    struct feed_times *times; /* per slot, then ratio */
    size_t levels;            /* at least one; takings are allowed on the last */
    int64_t floor_mg;         /* no need is told below that: keep_mg, or what is there */
    const struct feeding_demand *demands; /* those planned for */
    size_t demand_count;
    int64_t *taken;   /* taken[n]: the first n demands together */
    size_t *taken_by; /* per slot: demands at or before it */
    size_t *slot_of;  /* slot_of[n]: the first slot with at least n demands at or before it */
    bool too_large;   /* some weight went beyond counting */
};

/* Slots of next feeds before which the same demands are taken. */
struct feed_stretch {
    size_t first, end;
    int64_t taken_mg;
};

/* What may come after a feed. */
struct feed_reach {
    size_t level;        /* of the next feed */
    size_t from, to;     /* demands already taken at its slot; the most that it can serve */
    bool may_end;        /* it can be the last */
    int64_t end_want_mg; /* after it, when it is */
    const struct feed_times *times;
};

/* False when memory is short. */
bool feeding_search_begin(struct feeding_search *search, const struct reckoning *reckoning,
                          const struct feeding_problem *problem);
/* Plans for these demands, borrowed, from now on: no more than the problem has. */
void feeding_search_for(struct feeding_search *search, const struct feeding_demand *demands,
                        size_t count);

/* False when the feed leads nowhere: a demand before it is ripe, a ratio that cannot be used. */
bool feed_reach_of(const struct feeding_search *search, size_t level, size_t slot, size_t ratio,
                   struct feed_reach *out);
/* The n-th stretch, n from 0 to to - from; empty when there is no slot in it. */
struct feed_stretch feed_stretch_of(const struct feeding_search *search,
                                    const struct feed_reach *reach, size_t n);
/* What must be in the pot after a feed when the next needs that much before it. */
int64_t feed_want(struct feeding_search *search, int64_t need_mg, int64_t taken_mg);
/* The feed that gives want; false when the pot does not hold it. */
bool feed_amounts_of(struct feeding_search *search, size_t ratio, int64_t want_mg,
                     struct feed_amounts *out);
/* What a feed of that seed needs before it. */
int64_t feed_need(const struct feeding_search *search, int64_t seed_mg);

/* Whether the first feed may be at a slot, and how much can be used as its seed then. */
bool feed_may_begin(const struct feeding_search *search, size_t slot, int64_t *most_mg);
/* Whether what is in the pot now can give the first n demands. */
bool feed_pot_serves(const struct feeding_search *search, size_t n);
/* Whether all goes well without any feed. */
bool feeding_needs_none(const struct feeding_search *search);

#endif
