/* A flow of lots through batches that is told line by line; postings count up from 1. */
#ifndef MORROWLOAF_TESTS_TOLD_H
#define MORROWLOAF_TESTS_TOLD_H

#include "bakery/lot_flow.h"
#include "random_world.h"

enum { TOLD_ROOM = 64 };

struct told {
    struct world *w;
    struct flow flow;
    struct flow_batch batches[TOLD_ROOM];
    struct flow_line lines[4 * TOLD_ROOM];
    struct flow_move moves[4 * TOLD_ROOM];
    struct flow_pool pools[TOLD_ROOM];
    struct flow_taking takings[TOLD_ROOM];
    struct pot_lot taken[TOLD_ROOM];
    struct flow_part **parts;
};

/* A bakery of which nothing was mixed yet. Caller frees. */
struct told *told_new(void);
void told_free(struct told *told);

/* A batch of so many grams; its posting. What is weighed next goes into it. */
int64_t told_mixed(struct told *told, const char *code, const char *day, int64_t grams);
struct flow_line *told_weighed(struct told *told, enum line_kind kind, const char *code,
                               int64_t grams);
void told_lot(struct told *told, const char *code, int64_t lot, int64_t grams);
void told_part(struct told *told, const char *code, const char *day, int64_t grams);
/* Taken of the levain, with so much of a lot; entries ascend. */
void told_levain(struct told *told, int64_t entry, int64_t grams, int64_t lot, fixed carried);

/* The pools that lines name, as the store tells them. */
void told_pools(struct told *told);
/* Works the parts of all batches out. */
void told_flows(struct told *told);
fixed told_grams(const struct told *told, int64_t posting, int64_t lot);

/* Poolish: 500 g of lot 1, 500 g water, 50 g levain with 20 g of lot 2; a second batch of 500 g of
 * lot 3 and 550 g water: 2100 g in all. Sponge: 1000 g of lot 4, 800 g water, 210 g poolish (a
 * tenth): 2010 g. Country: 1000 g of lot 1, 600 g water, 402 g sponge (a fifth). */
void told_three_levels(struct told *told);

#endif
