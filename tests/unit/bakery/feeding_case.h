/* Feeding problems at random, and a pot that is fed and taken from as a plan says. */
#ifndef MORROWLOAF_TESTS_BAKERY_FEEDING_CASE_H
#define MORROWLOAF_TESTS_BAKERY_FEEDING_CASE_H

#include "bakery/feeding.h"
#include "base/arena.h"
#include "base/fail.h"
#include "random_world.h"

enum { CASE_SLOTS = 300, CASE_RATIOS = 6, CASE_DEMANDS = 40, CASE_MINUTE = 60, CASE_HOUR = 3600 };

/* A problem with room for what it points to, and the reckoning that plans it. */
struct feeding_case {
    struct feeding_problem problem;
    instant slots[CASE_SLOTS];
    struct feed_ratio ratios[CASE_RATIOS];
    struct feeding_demand demands[CASE_DEMANDS];
    struct arena *arena;
    struct fails fails;
    struct reckoning reckoning;
};

/* An empty problem: a pot of nothing, to be fed at once. Caller frees with case_free(). */
struct feeding_case *case_new(void);
void case_free(struct feeding_case *c);

/* A day or three in a bakery; small: few enough slots, ratios and demands for a general solver. */
struct feeding_case *case_random(uint64_t seed, bool small);

/* Plans, which must go well. */
struct feeding_plan plan_of(struct feeding_case *c);

/* Does what the plan says for the first n demands and looks at everything: NULL when all is well,
 * else what is wrong. Knows nothing of how plans are made. */
const char *simulate(const struct feeding_problem *problem, const struct feeding_plan *plan,
                     size_t n);

#endif
