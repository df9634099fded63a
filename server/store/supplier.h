/* Suppliers: who sells to the bakery. The smallest of the stores: copy it for a new one. */
#ifndef MORROWLOAF_STORE_SUPPLIER_H
#define MORROWLOAF_STORE_SUPPLIER_H

#include "store/selection.h"

struct supplier {
    const char *code;
    const char *name;
    const char *phone;            /* or NULL */
    const char *email;            /* or NULL */
    const char *address;          /* or NULL */
    int64_t lead_days;            /* from an order to its delivery */
    unsigned order_days;          /* bit 1 Monday ... bit 7 Sunday, on which it takes orders */
    int64_t minimum_order_micros; /* 0: none */
    const char *note;             /* or NULL */
    int64_t revision;
};

/* Suppliers by code. The items live in the transaction's arena. */
bool supplier_select(struct tx *tx, const struct selection *selection, struct supplier **items,
                     size_t *count);
/* Creates or replaces it; sets its new revision. */
bool supplier_put(struct tx *tx, struct supplier *supplier);
bool supplier_delete(struct tx *tx, const char *code);

#endif
