/* Purchase orders: what was ordered from suppliers, and what of it has not come yet. */
#ifndef MORROWLOAF_STORE_PURCHASE_ORDER_H
#define MORROWLOAF_STORE_PURCHASE_ORDER_H

#include "bakery/purchase.h"

struct tx;

struct purchase_filter {
    int64_t number;       /* only this one; 0: any */
    int64_t before;       /* only smaller numbers; 0: from the last */
    const char *supplier; /* only of this one; NULL: any */
    bool open;            /* only those that are not closed and of which something is missing */
    int64_t limit;        /* 0: all */
};

/* The newest first, with what of each line was received by deliveries that name the order and were
 * not reversed. */
bool purchase_order_select(struct tx *tx, const struct purchase_filter *filter,
                           struct purchase_order **items, size_t *count);
/* Sets number, entered_by and revision. */
bool purchase_order_add(struct tx *tx, struct purchase_order *order);
/* Replaces due_on, closed and note; sets the revision. */
bool purchase_order_change(struct tx *tx, struct purchase_order *order);

/* What is still to come of open orders, by ingredient, then due day. */
bool awaited_load(struct tx *tx, const struct catalogue *catalogue, struct awaited **items,
                  size_t *count);

#endif
