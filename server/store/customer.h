/* Customers: a café, a shop, the counter. */
#ifndef MORROWLOAF_STORE_CUSTOMER_H
#define MORROWLOAF_STORE_CUSTOMER_H

#include "store/selection.h"

struct customer {
    const char *code;
    const char *name;
    int ready_at;           /* minutes; NO_CLOCK: the product's or the bakery's */
    const char *phone;      /* or NULL */
    const char *address;    /* or NULL */
    const char *note;       /* or NULL */
    const char *price_list; /* its code, or NULL */
    int64_t revision;
};

bool customer_select(struct tx *tx, const struct selection *selection, struct customer **items,
                     size_t *count);
/* Creates or replaces it; sets its new revision. */
bool customer_put(struct tx *tx, struct customer *customer);
bool customer_delete(struct tx *tx, const char *code);

#endif
