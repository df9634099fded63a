/* What an ingredient costs on the bread day: the pack price in force, or what the stock cost. */
#ifndef MORROWLOAF_BAKERY_PRICES_H
#define MORROWLOAF_BAKERY_PRICES_H

#include "bakery/amount.h"

/* The price of an ingredient, or NULL when none is known for how it is counted. */
const struct price *price_of(const struct reckoning *reckoning, size_t ingredient);

/* *cost += what so many grams or pieces cost, in fixed units of the currency. The price is of that
 * unit. */
bool price_add_grams(const struct reckoning *reckoning, const struct price *price, fixed grams,
                     fixed *cost);
bool price_add_pieces(const struct reckoning *reckoning, const struct price *price, int64_t pieces,
                      fixed *cost);

/* What a whole amount of an ingredient (milligrams or pieces, as it is counted) costs at a price,
 * rounded half to even at a millionth. */
bool price_of_amount(const struct reckoning *reckoning, const struct price *price, int64_t amount,
                     int64_t *micros);

#endif
