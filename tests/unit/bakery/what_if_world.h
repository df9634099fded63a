/* Bakeries that changes are tried on, and what of their facts a change could write to. */
#ifndef MORROWLOAF_TESTS_BAKERY_WHAT_IF_WORLD_H
#define MORROWLOAF_TESTS_BAKERY_WHAT_IF_WORLD_H

#include "costing_world.h"

#include "bakery/what_if.h"

extern const char changed_on[]; /* the bread day that is asked about */

/* A bakery at random with all of its rates and prices, and orders of a week. */
struct costs random_bakery(uint64_t seed);
/* A small one: doughs of basis final (country with a levain, white, poolish, soaker without flour,
 * twice with the tin in it) and total (tin, with the poolish), a loaf in a bag, a tin loaf with
 * seeds on it, and seeds. No rates, no orders, no price of yeast. */
struct costs lane_bakery(void);
/* Of everything of a day that a change could write to, byte for byte. */
uint64_t facts_digest(const struct costs *c);
/* A change of a formula's hydration, at "/changes/5". */
struct change wet_change(const struct costs *c, const char *code, const char *percent);

#endif
