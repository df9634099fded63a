/* Why a price is what it is: what the piece costs, what is earned with it, and the tax. */
#ifndef MORROWLOAF_BAKERY_PRICE_WHY_H
#define MORROWLOAF_BAKERY_PRICE_WHY_H

#include "bakery/costing.h"
#include "bakery/pricing.h"

/* A tree of the price in micros: the costing's own tree, what the net price leaves over it (less
 * than nothing when it earns nothing), and the tax when the list's prices hold it. price_source:
 * where the price is entered; pricing_source: where tax and target are; both borrowed. The
 * costing's root becomes part of the tree. NULL when memory is short. */
struct why *price_why(const struct reckoning *reckoning, const struct product_costing *costing,
                      const struct price_figures *figures, const char *price_source,
                      const char *pricing_source);

#endif
