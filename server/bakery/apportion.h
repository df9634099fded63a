/* Dividing a whole number into whole parts that sum to it exactly. */
#ifndef MORROWLOAF_BAKERY_APPORTION_H
#define MORROWLOAF_BAKERY_APPORTION_H

#include "base/fixed.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct arena;

/* parts[i] = total x weights[i] / sum of weights by the largest remainder (Hamilton's method; of
 * equal remainders the first), so that they sum to total. Weights are not negative and not all 0.
 * False when memory is short or the weights are too large. */
bool apportion(struct arena *arena, int64_t total, const fixed *weights, size_t count,
               int64_t *parts);

#endif
