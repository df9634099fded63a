/* The log of a starter: a record, numbered in the order of entering. */
#ifndef MORROWLOAF_STORE_STARTER_LOG_H
#define MORROWLOAF_STORE_STARTER_LOG_H

#include "bakery/pot.h"

struct tx;

enum {
    /* So many of the last entries tell the state of a pot: nobody feeds, chills or wakes it less
     * often. */
    POT_STATE_ENTRIES = 300
};

/* Holds the log of a starter until the end of the transaction, so that its entries come one after
 * the other; *found: whether there is such a starter. */
bool starter_log_lock(struct tx *tx, const char *starter, bool *found);

struct starter_log_filter {
    int64_t number; /* only this entry; 0: any */
    int64_t before; /* only smaller numbers; 0: from the last */
    int64_t limit;  /* at most so many; 0: all */
};

/* Entries, the newest first. */
bool starter_log_select(struct tx *tx, const char *starter, const struct starter_log_filter *filter,
                        struct pot_entry **items, size_t *count);
/* The last POT_STATE_ENTRIES, the oldest first: what pot_state_of() takes. */
bool starter_log_recent(struct tx *tx, const char *starter, struct pot_entry **items,
                        size_t *count);

/* Appends an entry to a log that is held; entered_by is the actor. Sets entered_at. */
bool starter_log_add(struct tx *tx, const char *starter, struct pot_entry *entry);

/* What was taken and thrown away of every starter of the catalogue between two instants; entries
 * that were reversed do not count. waste: one per starter, zeroed. */
bool starter_waste_load(struct tx *tx, const struct catalogue *catalogue, instant from, instant to,
                        struct starter_waste *waste);

#endif
