/* The mixing list: everything whose mixing begins on one working day, batch by batch. */
#ifndef MORROWLOAF_BAKERY_MIXING_H
#define MORROWLOAF_BAKERY_MIXING_H

#include "bakery/production.h"

struct mix_line {
    const struct line *line;
    int64_t pct;      /* of the final mix's flour */
    int64_t exact_mg; /* of one batch */
    int64_t weigh_mg; /* of one batch, at the division of the scale that weighs it */
};

struct mix_step {
    const struct stage *stage;
    instant begins;
    instant ends;
};

struct mix {
    size_t formula;
    date mixing_date;
    instant begins;   /* the earliest that any of its breads asks for */
    date *bread_days; /* ascending */
    size_t bread_day_count;
    int64_t dough_mg;
    int64_t batches;
    int64_t batch_mg;
    const struct mixer *mixer; /* NULL: none configured, or by hand */
    bool under_minimum;        /* a batch is less than the mixer takes */
    struct mix_line *lines;    /* as many as the formula has, in its order */
    struct mix_step *steps;    /* as many as the formula has stages */
    const char *const *allergens;
    size_t allergen_count;
};

struct starter_ready {
    size_t starter;
    int64_t mg; /* what the mixes take: the sum of batches x weigh */
    int64_t keep_mg;
    int64_t total_mg;
};

/* Pieces that the list was reckoned for: what to compare when orders change. */
struct mixing_pieces {
    date bread_day;
    size_t product;
    int64_t pieces;
};

struct mixing_list {
    date mixing_date;
    struct mix *mixes; /* by begin, then code */
    size_t mix_count;
    struct starter_ready *starters; /* by code; only those that are taken from */
    size_t starter_count;
    struct mixing_pieces
        *pieces; /* by bread day, then product code: products with a part in this list */
    size_t pieces_count;
};

/* A batch that was posted as mixed, and not taken back. */
struct posted_batch {
    date mixing_date;
    size_t formula;
    int64_t batch; /* of its mix, from 1 */
    int64_t dough_mg;
};

/* demands must cover mixing_horizon(). Doughs of one formula with the same mixing date are one mix,
 * also for different bread days, and also when one of them is a preferment of another dough. A
 * preferment is ready when the mix that takes it begins. */
bool mixing_list_of(const struct reckoning *reckoning, date mixing_date,
                    const struct demand *demands, size_t demand_count, struct mixing_list *out);

/* What is weighed of a line in all batches: batches x weigh. */
static inline int64_t mix_line_total_mg(const struct mix *mix, const struct mix_line *line)
{
    return mix->batches * line->weigh_mg;
}

/* The mixer that a formula names, else the largest; NULL by hand or when there is none. */
const struct mixer *mixer_for(const struct bakery *bakery, const struct formula *formula);

/* Divides so much dough of mix->formula into batches of its mixer: fills mixer, dough, batches,
 * batch and under_minimum. */
bool mix_divide(const struct reckoning *reckoning, struct mix *mix, fixed dough);

/* Batches that a mixer of that capacity needs, and whether each is below its minimum. mixer NULL:
 * one. */
int64_t batch_count(fixed dough, const struct mixer *mixer);

/* The nearest division of the scale that weighs it, halves up: the ingredient's own scale when it
 * has one (own_scale_mg 0: none), else small_scale for amounts under small_below, else the bakery's
 * scale. */
int64_t weigh(const struct bakery *bakery, int64_t own_scale_mg, fixed grams);

#endif
