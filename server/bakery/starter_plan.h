/* The feeding plan of a starter from the book: what the coming mixes take, what is in the pot, and
 * the hours in which somebody can feed. */
#ifndef MORROWLOAF_BAKERY_STARTER_PLAN_H
#define MORROWLOAF_BAKERY_STARTER_PLAN_H

#include "bakery/feeding.h"
#include "bakery/mixing.h"
#include "bakery/pot.h"
#include "bakery/timetable.h"

enum { STARTER_PLAN_NIGHTS = 3, FEED_SLOT_MINUTES = 15 };

/* What one mix takes of a starter: batches x weigh. */
struct starter_taking {
    instant at; /* when the mix begins */
    size_t formula;
    date mixing_date;
    int64_t mg;
};

/* The mixing dates that a plan looks at, and the bread days whose orders can matter for them. */
void starter_plan_span(const struct reckoning *reckoning, instant now, date *first_night,
                       date *last_night);
void starter_plan_horizon(const struct reckoning *reckoning, instant now, date *first, date *last);

/* What takings are worked out from. */
struct starter_nights {
    instant now;
    const struct demand *demands;
    size_t demand_count;
    const struct posted_batch *posted; /* these have taken their part already */
    size_t posted_count;
    const struct timetable *sheets; /* NULL, or one run sheet a night of starter_plan_span() */
};

/* Takings of all starters from now on, per starter of the catalogue (out[starter],
 * counts[starter]), by time. demands must cover starter_plan_horizon(). Without run sheets a mix
 * takes all at once, when its formula asks for it. By run sheets each batch takes its part when it
 * begins, which may be earlier than its formula alone asks for, and by a move of the baker's at any
 * time; then demands must cover starter_clock_horizon(). */
bool starter_takings_of(const struct reckoning *reckoning, const struct starter_nights *nights,
                        struct starter_taking **out, size_t *counts);

void starter_clock_horizon(const struct reckoning *reckoning, instant now, date *first, date *last);

struct starter_plan {
    struct pot_outlook outlook;
    const struct starter_taking *takings;
    size_t taking_count;
    struct feeding_problem problem;
    struct feeding_plan plan; /* of the problem; demands are the takings */
    const char *impossible;   /* why nothing can be planned, in words: nothing logged yet, no
                                 ripening seen, too cold; NULL otherwise */
};

/* Feeds may be every FEED_SLOT_MINUTES of the clock within the hours of the settings. Ratios are
 * those of the starter's ripenings, their times by ripening_of() where it usually stands. An empty
 * list of takings gives the feeds that keep it alive until the end of the last night. */
bool starter_plan_of(const struct reckoning *reckoning, size_t starter,
                     const struct pot_state *state, const struct starter_taking *takings,
                     size_t taking_count, instant now, struct starter_plan *out);

#endif
