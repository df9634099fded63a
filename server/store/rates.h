/* What labour, energy, overhead and delivery cost, each state from a date on. */
#ifndef MORROWLOAF_STORE_RATES_H
#define MORROWLOAF_STORE_RATES_H

#include "bakery/model.h"
#include "store/selection.h"

/* A dated entry; its code is its date as YYYY-MM-DD. */
struct rates_entry {
    const char *code;
    struct rates rates;
    int64_t revision;
};

/* The words for enum overhead_by, in its order; ends with NULL. */
extern const char *const overhead_bys[];

bool rates_select(struct tx *tx, const struct selection *selection, struct rates_entry **items,
                  size_t *count);
/* Creates or replaces it; sets its new revision. */
bool rates_put(struct tx *tx, struct rates_entry *entry);
bool rates_delete(struct tx *tx, const char *code);

/* The rates in force on a day; not known when there are none yet. */
bool rates_on(struct tx *tx, date day, struct rates *rates);

#endif
