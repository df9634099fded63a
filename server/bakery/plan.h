/* Which dough is wanted when, and what is mixed together: the mixing list before it is written out.
 */
#ifndef MORROWLOAF_BAKERY_PLAN_H
#define MORROWLOAF_BAKERY_PLAN_H

#include "bakery/production.h"

/* Dough of a formula that must come out of a mix: for a product, or for the mix that takes it. */
struct wanted {
    struct wanted *next;    /* of the same formula */
    struct wanted *sibling; /* asked for by the same mix, or by products */
    instant begins;         /* of mixing, when it stood alone */
    fixed grams;            /* before handling loss */
    const date *bread_days;
    size_t bread_day_count;
    size_t baking;                 /* that asks for it; NOT_FOUND for a preferment */
    const struct planned_mix *mix; /* NULL: mixed before the date of the plan */
};

struct planned_mix {
    struct planned_mix *previous; /* planned before this one */
    size_t number;                /* of those planned before it */
    size_t formula;
    date mixing_date;
    instant begins;
    fixed dough; /* handling loss included */
    date *bread_days;
    size_t bread_day_count;
    struct wanted *parts; /* what it asks for itself, linked by sibling */
    bool in_list;         /* is mixed on the date of the plan, or contains what is */
};

struct mixing_plan {
    const struct reckoning *reckoning;
    date mixing_date;
    struct baking *bakings;
    size_t baking_count;
    bool *baking_in_list;       /* per baking */
    struct wanted **by_formula; /* per formula */
    size_t *wanted_count;       /* per formula */
    struct wanted *of_products; /* linked by sibling */
    struct planned_mix *mixes;  /* of the date and later, the last planned first: every mix
                                   before what takes of it */
    size_t mix_count;
};

/* Plans every mix of the date and after it. False with faults on the list. */
bool mixing_plan_of(const struct reckoning *reckoning, date mixing_date,
                    const struct demand *demands, size_t demand_count, struct mixing_plan *plan);

#endif
