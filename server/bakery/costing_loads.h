/* How a product's pieces of a day go into the oven: what costing knows without a timetable. */
#ifndef MORROWLOAF_BAKERY_COSTING_LOADS_H
#define MORROWLOAF_BAKERY_COSTING_LOADS_H

#include "bakery/production.h"

struct costing_loads {
    const struct oven *oven; /* whose decks take most; NULL: the bakery has none */
    size_t formula;          /* the dough that is baked: the heaviest part with an oven stage;
                                NOT_FOUND: none */
    int64_t capacity;        /* of one deck; 0: not known */
    int64_t loads;           /* of the pieces; 0: not known */
    int64_t minutes; /* that a load is in the deck: of the bake's steps, else of the formula's
                        oven stages; 0: it is not baked */
};

void costing_loads_of(const struct reckoning *reckoning, size_t product, int64_t pieces,
                      struct costing_loads *out);

/* One load of a product, or one piece when no load is known. */
int64_t costing_one_load(const struct reckoning *reckoning, size_t product);

/* The first stage of a formula in an oven, or as many as it has stages. */
size_t costing_oven_stage(const struct formula *formula);

#endif
