/* Products: what is sold. */
#ifndef MORROWLOAF_STORE_PRODUCT_H
#define MORROWLOAF_STORE_PRODUCT_H

#include "bakery/model.h"
#include "store/selection.h"

/* Products with their parts and packaging, by code. */
bool product_select(struct tx *tx, const struct selection *selection, struct product **items,
                    size_t *count);
/* Creates or replaces it with its parts and packaging; sets its new revision. piece_mg is the sum
 * of its parts. */
bool product_put(struct tx *tx, struct product *product, int64_t piece_mg);
bool product_delete(struct tx *tx, const char *code);

#endif
