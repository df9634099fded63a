/* The order in which formulas can be worked out: every part before what takes it. */
#ifndef MORROWLOAF_BAKERY_ORDER_H
#define MORROWLOAF_BAKERY_ORDER_H

#include "bakery/model.h"

struct arena;

struct formula_order {
    size_t *formulas; /* all formulas; whatever one takes stands before it, circles apart */
    size_t *circle;   /* per formula: two of the same number contain each other */
};

/* Owned by the arena. Lines that are NOT_FOUND are passed over. False when memory is short. */
bool formula_order_of(struct arena *arena, const struct catalogue *catalogue,
                      struct formula_order *out);

#endif
