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
struct feeding_plan case_plan(struct feeding_case *c);

/* Does what the plan says for the first n demands and looks at everything: NULL when all is well,
 * else what is wrong. Knows nothing of how plans are made. */
const char *case_simulate(const struct feeding_problem *problem, const struct feeding_plan *plan,
                          size_t n);

/* --- told by hand --- */

/* "34:00" is ten in the morning after the noon of case_new(); and back: static, overwritten by the
 * fourth call after. */
instant case_at(const struct feeding_case *c, const char *clock);
const char *case_clock(const struct feeding_case *c, instant when);
/* Somebody can feed every so many minutes between two times. */
void case_slots(struct feeding_case *c, const char *from, const char *to, int64_t minutes);
void case_ratio(struct feeding_case *c, int64_t seed, int64_t flour, int64_t water, int64_t hours);
void case_mix(struct feeding_case *c, const char *clock, int64_t grams);
/* Half a kilo at work, of which 200 g are always kept; it is used to 1 : 2 : 2, ripe in six hours,
 * and stays ripe for two. */
struct feeding_case *case_usual(void);
/* Plans that the simulation finds sound: whatever comes, a possible one, and one that is short of
 * that demand. */
struct feeding_plan case_sound(struct feeding_case *c);
struct feeding_plan case_possible(struct feeding_case *c);
struct feeding_short case_short(struct feeding_case *c, size_t demand);

/* At that hour with so many grams. */
void case_expect_feed(const struct feeding_case *c, const struct feed *feed, const char *clock,
                      int64_t seed, int64_t flour, int64_t water);

#endif
