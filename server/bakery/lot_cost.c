/* What an amount of a lot cost when it came in. */
#include "bakery/lot_cost.h"

#include "base/fixed.h"

struct money lot_cost_of(struct money price, int64_t received, int64_t amount)
{
    struct money cost = {.known = false};
    fixed micros;
    if (!price.known || received <= 0 ||
        !fixed_muldiv(price.micros, amount, received, ROUND_HALF_EVEN, &micros) ||
        micros > INT64_MAX || micros < INT64_MIN)
        return cost;
    cost.known = true;
    cost.micros = (int64_t)micros;
    return cost;
}

struct money money_sum(struct money a, struct money b)
{
    struct money sum = {.known = a.known && b.known};
    if (sum.known) sum.known = !__builtin_add_overflow(a.micros, b.micros, &sum.micros);
    return sum;
}
