/* Pack price over pack, times the amount, in one rounding. */
#include "bakery/prices.h"

#include "base/decimal.h"

const struct price *price_of(const struct reckoning *reckoning, size_t ingredient)
{
    const struct catalogue *catalogue = reckoning->catalogue;
    if (!catalogue->prices) return NULL;
    const struct price *price = &catalogue->prices[ingredient];
    bool by_gram = catalogue->ingredients[ingredient].unit == UNIT_GRAM;
    int64_t pack = by_gram ? price->pack_mg : price->pack_pieces;
    return price->known && pack > 0 ? price : NULL;
}

/* grams x millionths / milligrams is a thousandth of the currency unit a gram. */
bool price_add_grams(const struct reckoning *reckoning, const struct price *price, fixed grams,
                     fixed *cost)
{
    return amount_add_scaled(reckoning, cost, grams, price->micros, (fixed)1000 * price->pack_mg);
}

bool price_add_pieces(const struct reckoning *reckoning, const struct price *price, int64_t pieces,
                      fixed *cost)
{
    return amount_add_scaled(reckoning, cost, fixed_from(price->micros, MONEY_PLACES), pieces,
                             price->pack_pieces);
}

bool price_of_amount(const struct reckoning *reckoning, const struct price *price, int64_t amount,
                     int64_t *micros)
{
    int64_t pack = price->pack_mg > 0 ? price->pack_mg : price->pack_pieces;
    fixed cost;
    if (!fixed_muldiv(price->micros, amount, pack, ROUND_HALF_EVEN, &cost) || cost > INT64_MAX)
        return amount_too_large(reckoning);
    *micros = (int64_t)cost;
    return true;
}
