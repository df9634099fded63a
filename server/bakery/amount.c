/* Exact steps of a reckoning. Every function here is total: it gives the figure or says why not. */
#include "bakery/amount.h"

#include "base/arena.h"
#include "base/decimal.h"
#include "base/fail.h"

enum {
    GRAM_NOISE = 100000, /* the last five of fifteen decimals */
    MONEY_NOISE = 1000,  /* the last three: six remain beyond those printed */
};

static fixed settled(fixed value, fixed noise)
{
    fixed result;
    if (value > FIXED_MAX - noise || value < noise - FIXED_MAX) return value;
    if (!fixed_muldiv(value, 1, noise, ROUND_HALF_EVEN, &result)) return value;
    return result * noise;
}

fixed settled_grams(fixed grams)
{
    return settled(grams, GRAM_NOISE);
}

void *amount_memory(const struct reckoning *reckoning, size_t count, size_t size)
{
    void *memory = arena_array(reckoning->arena, count, size);
    if (!memory) fail_memory(reckoning->fails);
    return memory;
}

bool amount_too_large(const struct reckoning *reckoning)
{
    return amounts_too_large(reckoning->fails);
}

bool amounts_too_large(struct fails *fails)
{
    return fail_add(fails, FAIL_INVALID, "", "the amounts are too large to be worked out");
}

bool amount_scaled(const struct reckoning *reckoning, fixed a, fixed b, fixed c, fixed *out)
{
    return fixed_muldiv(a, b, c, ROUND_HALF_EVEN, out) || amount_too_large(reckoning);
}

bool amount_add(const struct reckoning *reckoning, fixed *sum, fixed more)
{
    return fixed_add(*sum, more, sum) || amount_too_large(reckoning);
}

bool amount_add_scaled(const struct reckoning *reckoning, fixed *sum, fixed a, fixed b, fixed c)
{
    fixed more;
    return amount_scaled(reckoning, a, b, c, &more) && amount_add(reckoning, sum, more);
}

bool amount_add_whole(const struct reckoning *reckoning, int64_t *sum, int64_t more)
{
    return !__builtin_add_overflow(*sum, more, sum) || amount_too_large(reckoning);
}

bool amount_multiply_whole(const struct reckoning *reckoning, int64_t a, int64_t b, int64_t *out)
{
    return !__builtin_mul_overflow(a, b, out) || amount_too_large(reckoning);
}

bool amount_milligrams(const struct reckoning *reckoning, fixed grams, int64_t *mg)
{
    return fixed_to(settled_grams(grams), WEIGHT_PLACES, mg) || amount_too_large(reckoning);
}

bool amount_micros(const struct reckoning *reckoning, fixed money, int64_t *micros)
{
    return fixed_to(settled(money, MONEY_NOISE), MONEY_PLACES, micros) ||
           amount_too_large(reckoning);
}

bool amount_add_pieces(const struct reckoning *reckoning, fixed *grams, int64_t pieces, int64_t mg)
{
    return amount_add_scaled(reckoning, grams, fixed_from(mg, WEIGHT_PLACES), pieces, 1);
}

bool amount_with_loss(const struct reckoning *reckoning, size_t formula, fixed grams, fixed *mixed)
{
    int64_t loss = reckoning->catalogue->formulas[formula].handling_loss_pct;
    return amount_scaled(reckoning, grams, PERCENT_WHOLE, PERCENT_WHOLE - loss, mixed);
}

const fixed *amount_lines(const struct reckoning *reckoning, size_t formula)
{
    const fixed *lines = reckoning->breakdowns->items[formula].lines;
    if (!lines)
        fail_add(reckoning->fails, FAIL_INTERNAL, "", "the formula %s cannot be worked out",
                 reckoning->catalogue->formulas[formula].code);
    return lines;
}
