/* What the orders of some bread days ask for, summed by the database over one index range. */
#ifndef MORROWLOAF_STORE_DEMAND_H
#define MORROWLOAF_STORE_DEMAND_H

#include "bakery/costing.h"
#include "bakery/model.h"

struct tx;

/* Pieces by bread day, product and the customer's own ready time, for the days first to last.
 * Products are those of the catalogue. */
bool demand_load(struct tx *tx, const struct catalogue *catalogue, date first, date last,
                 struct demand **items, size_t *count);

/* The order lines of a bread day, by order: who wants which pieces. */
bool order_pieces_load(struct tx *tx, const struct catalogue *catalogue, date bread_day,
                       struct order_pieces **items, size_t *count);

#endif
