/* What the orders of some bread days ask for, summed by the database over one index range. */
#ifndef MORROWLOAF_STORE_DEMAND_H
#define MORROWLOAF_STORE_DEMAND_H

#include "bakery/model.h"

struct tx;

/* Pieces by bread day, product and the customer's own ready time, for the days first to last.
 * Products are those of the catalogue. */
bool demand_load(struct tx *tx, const struct catalogue *catalogue, date first, date last,
                 struct demand **items, size_t *count);

#endif
