/* Which of the plans that begin with a feed are worth keeping.
 *
 * Only feeding*.c use this. A label is the best that is known of one way to go on from a feed; a
 * front holds labels of which each needs less than all that cost less: ascending by what they need,
 * descending by cost. Cost is what is used (flour and water, of which waste is what remains when
 * the demands are taken off), then the number of feeds, then how early they are.
 */
#ifndef MORROWLOAF_BAKERY_FEEDING_FRONT_H
#define MORROWLOAF_BAKERY_FEEDING_FRONT_H

#include "bakery/feeding_bounds.h"

struct feed_label {
    int64_t need_mg; /* in the pot before the feed; while the feed is not chosen yet: after it */
    int64_t used_mg; /* flour and water of this feed and those after it */
    int64_t feeds;
    int64_t lateness; /* sum of the feeds' times */
    int64_t want_mg;  /* in the pot after the feed */
    size_t slot, ratio;
    const struct feed_label *next; /* the feed after it; NULL: it is the last */
};

struct feed_front {
    struct feed_label *labels;
    size_t count, room;
};

/* Longer fronts are thinned. Those on a baker's scale have some dozens, and on one of grams some
 * hundreds at most. */
enum { FEED_FRONT_MOST = 1000 };

bool feed_label_cheaper(const struct feed_label *a, const struct feed_label *b);

/* Adds a label that needs no less than the last. False when memory is short. */
bool feed_front_push(const struct reckoning *reckoning, struct feed_front *front,
                     const struct feed_label *label);
/* *into = what is worth keeping of two fronts; into is neither of them. */
bool feed_front_merge(const struct reckoning *reckoning, const struct feed_front *a,
                      const struct feed_front *b, struct feed_front *into);
/* Leaves FEED_FRONT_MOST of a longer front, evenly by cost, the one that needs least among them:
 * what can be planned can be planned still, at a cost that is higher by one part in FEED_FRONT_MOST
 * of the front's span at most. */
void feed_front_thin(struct feed_front *front);
/* The cheapest label that needs no more than that; NULL when there is none. */
const struct feed_label *feed_front_within(const struct feed_front *front, int64_t most_mg);

/* The cheapest plan that begins with a feed: its first label, NULL in *out when there is none.
 * What can be there must be filled in. False when memory is short. */
bool feeding_cheapest(const struct feeding_bounds *bounds, const struct feed_label **out);

#endif
