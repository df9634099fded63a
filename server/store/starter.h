/* Starters: living cultures of flour and water. */
#ifndef MORROWLOAF_STORE_STARTER_H
#define MORROWLOAF_STORE_STARTER_H

#include "bakery/model.h"
#include "store/selection.h"

bool starter_select(struct tx *tx, const struct selection *selection, struct starter **items,
                    size_t *count);
/* Creates or replaces it with its blend; sets its new revision. */
bool starter_put(struct tx *tx, struct starter *starter);
bool starter_delete(struct tx *tx, const char *code);

#endif
