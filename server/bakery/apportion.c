/* Largest remainders, exact: every quotient is taken rounded up, and what that is too much is told
 * by arithmetic modulo 2^128, which is exact because it is less than the sum of the weights. */
#include "bakery/apportion.h"

#include "base/arena.h"

#include <stdlib.h>

struct claim {
    fixed remainder; /* of total x weight after division by the sum */
    size_t index;
};

static int by_remainder(const void *left, const void *right)
{
    const struct claim *a = left;
    const struct claim *b = right;
    if (a->remainder != b->remainder) return a->remainder > b->remainder ? -1 : 1;
    return (a->index > b->index) - (a->index < b->index);
}

static bool sum_of(const fixed *weights, size_t count, fixed *sum)
{
    *sum = 0;
    for (size_t i = 0; i < count; i++)
        if (!fixed_add(*sum, weights[i], sum)) return false;
    return *sum > 0;
}

/* floor(total x weight / sum) and what is left. */
static bool divide(fixed total, fixed weight, fixed sum, fixed *quotient, fixed *remainder)
{
    typedef unsigned __int128 u128;
    if (!fixed_muldiv(total, weight, sum, ROUND_UP, quotient)) return false;
    *remainder = 0;
    u128 over = (u128)*quotient * (u128)sum - (u128)total * (u128)weight;
    if (over == 0) return true;
    *quotient -= 1;
    *remainder = sum - (fixed)over;
    return true;
}

bool apportion(struct arena *arena, int64_t total, const fixed *weights, size_t count,
               int64_t *parts)
{
    fixed magnitude = total < 0 ? -(fixed)total : total;
    fixed left = magnitude;
    fixed sum;
    struct claim *claims = arena_array(arena, count, sizeof *claims);
    if (!claims || !sum_of(weights, count, &sum)) return false;
    for (size_t i = 0; i < count; i++) {
        fixed whole;
        claims[i].index = i;
        if (!divide(magnitude, weights[i], sum, &whole, &claims[i].remainder)) return false;
        left -= whole;
        parts[i] = (int64_t)(total < 0 ? -whole : whole);
    }
    qsort(claims, count, sizeof *claims, by_remainder);
    for (size_t i = 0; left > 0; i++, left--)
        parts[claims[i].index] += total < 0 ? -1 : 1;
    return true;
}
