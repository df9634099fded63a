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
/* Tax and what the price is worked out from; revision 0: nothing entered. */
struct product_pricing {
    int64_t tax_pct;
    enum target_kind target;
    int64_t target_pct;
    int64_t revision;
};

/* The words for enum target_kind from TARGET_MARGIN on; ends with NULL. */
extern const char *const price_targets[];

bool product_pricing_get(struct tx *tx, const char *product, struct product_pricing *pricing);
/* Creates or replaces it; sets its new revision. */
bool product_pricing_put(struct tx *tx, const char *product, struct product_pricing *pricing);

bool product_delete(struct tx *tx, const char *code);

#endif
