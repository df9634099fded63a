/* Bakeries at random, the same for the same seed: three levels of preferment, both bases, starters
 * with blends, losses, mixers, two clocks. */
#ifndef MORROWLOAF_TESTS_BAKERY_RANDOM_WORLD_H
#define MORROWLOAF_TESTS_BAKERY_RANDOM_WORLD_H

#include "world.h"

struct dice {
    uint64_t state;
};

/* From low to high, both included. */
int64_t roll(struct dice *dice, int64_t low, int64_t high);
/* A sound bakery without orders. */
struct world *random_world(uint64_t seed);
/* So many orders between two days. */
void random_orders(struct world *w, struct dice *dice, const char *first, int days, int orders);

#endif
