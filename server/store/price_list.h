/* Price lists and the prices in them. */
#ifndef MORROWLOAF_STORE_PRICE_LIST_H
#define MORROWLOAF_STORE_PRICE_LIST_H

#include "bakery/pricing.h"
#include "store/selection.h"

bool price_list_select(struct tx *tx, const struct selection *selection, struct price_list **items,
                       size_t *count);
/* Creates or replaces it; sets its new revision. */
bool price_list_put(struct tx *tx, struct price_list *list);
bool price_list_delete(struct tx *tx, const char *code);

/* --- prices in a list --- */

struct product_price_filter {
    const char *price_list; /* NULL: all lists */
    const char *product;    /* NULL: all */
    const date *from;       /* only of that date; NULL: any */
    const date *on;         /* only those in force on that day; NULL: any */
};

/* By list, product and date, with their breaks. */
bool product_price_select(struct tx *tx, const struct product_price_filter *filter,
                          struct product_price **items, size_t *count);
/* Creates or replaces it with its breaks; sets its new revision. */
bool product_price_put(struct tx *tx, struct product_price *price);
bool product_price_delete(struct tx *tx, const char *price_list, const char *product, date from);

#endif
