/* Ingredients: anything bought. */
#ifndef MORROWLOAF_STORE_INGREDIENT_H
#define MORROWLOAF_STORE_INGREDIENT_H

#include "bakery/model.h"
#include "store/selection.h"

/* The words for enum ingredient_kind and enum ingredient_unit, in their order; end with NULL. */
extern const char *const ingredient_kinds[];
extern const char *const ingredient_units[];

bool ingredient_select(struct tx *tx, const struct selection *selection, struct ingredient **items,
                       size_t *count);
/* Creates or replaces it; sets its new revision. */
bool ingredient_put(struct tx *tx, struct ingredient *ingredient);
bool ingredient_delete(struct tx *tx, const char *code);

#endif
