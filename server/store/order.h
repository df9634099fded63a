/* Orders: a customer's pieces for a bread day. */
#ifndef MORROWLOAF_STORE_ORDER_H
#define MORROWLOAF_STORE_ORDER_H

#include "base/date.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct tx;

struct order_line {
    const char *product;
    int64_t pieces;
};

struct order {
    int64_t id;
    const char *customer;
    date bread_day;
    struct order_line *lines;
    size_t line_count;
    const char *note; /* or NULL */
    instant placed_at;
    const char *placed_by;
    int64_t revision;
};

/* What an order names, looked up before it is stored so that a fault has its line's place. */
struct order_lookup {
    bool customer_exists;
    int64_t *piece_mg; /* per line: raw weight of one piece; -1: no such product */
};

bool order_look_up(struct tx *tx, const struct order *order, struct order_lookup *found);

/* Stores a new order in one statement; sets id, revision, placed_at. placed_by is the actor. */
bool order_add(struct tx *tx, struct order *order);
/* Replaces customer, day, lines and note of an order locked by order_get(); sets the new revision.
 */
bool order_replace(struct tx *tx, struct order *order);
bool order_delete(struct tx *tx, int64_t id);

/* One order; *found tells whether it is there. lock: keep it from others until the transaction
 * ends. */
bool order_get(struct tx *tx, int64_t id, bool lock, struct order *order, bool *found);

struct order_filter {
    const date *bread_day; /* NULL: all */
    const char *customer;  /* NULL: all */
    int64_t after;         /* only greater ids */
    int64_t limit;
};

/* Orders by id. */
bool order_select(struct tx *tx, const struct order_filter *filter, struct order **items,
                  size_t *count);

#endif
