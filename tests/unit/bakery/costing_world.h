/* What a costing needs beside the tests' bakery: rates, waste, stages with hands, and reading
 * trees. */
#ifndef MORROWLOAF_TESTS_BAKERY_COSTING_WORLD_H
#define MORROWLOAF_TESTS_BAKERY_COSTING_WORLD_H

#include "world.h"

#include "bakery/costing.h"

struct costs {
    struct world *w;
    struct rates rates;
    struct starter_waste *waste; /* per starter; NULL: none */
};

/* Rates from 2027-01-01; "" leaves a sum unknown. */
void rate_labour(struct costs *c, const char *hand_hour);
void rate_energy(struct costs *c, const char *kwh);
void rate_delivery(struct costs *c, const char *round, int64_t pieces);
void rate_overhead(struct costs *c, enum overhead_by by, const char *month, int64_t base);
/* The n-th stage of a formula: hands and use. */
void works(struct world *w, const char *code, size_t stage, int64_t hands, enum stage_use uses);
void labour(struct world *w, const char *code, size_t stage, enum labour_per per,
            const char *minutes);
void powered_oven(struct world *w, const char *code, int64_t decks, int64_t places, int64_t preheat,
                  int64_t power_w);

struct costing_day costing_day_of(const struct costs *c, const char *day);
/* A costing that must go well; product NULL: all. */
struct product_costing *costings(const struct costs *c, const char *day, const char *product,
                                 size_t *count);
struct product_costing costing(const struct costs *c, const char *day, const char *product);

/* The value of a kind; 0 when there is nothing of it. */
int64_t kind_value(const struct product_costing *costing, enum cost_kind kind);
/* The n-th child. */
const struct why *child(const struct why *node, size_t n);
/* Fails the test unless every parent is the sum of its children, and has a hole when one of them
 * has. Counts leaves, and sums them. */
int64_t check_tree(const struct why *node, size_t *leaves);

#endif
