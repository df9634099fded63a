/* Lots: one delivery of one ingredient each. */
#ifndef MORROWLOAF_STORE_LOT_H
#define MORROWLOAF_STORE_LOT_H

#include "bakery/model.h"

struct tx;

struct lot_place {
    const char *place;
    int64_t amount;
};

struct lot {
    int64_t number;
    const char *ingredient;
    int64_t posting;           /* of the delivery or the count that brought it */
    const char *supplier;      /* NULL: it was there when its book was begun */
    const char *supplier_name; /* read only, and what follows */
    const char *delivery_note;
    date received_on;
    int64_t received;
    int64_t left;
    int64_t pack; /* 0: none */
    struct money price;
    const char *lot_mark; /* or NULL */
    bool has_best_before;
    date best_before;
    struct temperature temperature; /* at which it came in */
    const char *damage;             /* or NULL */
    bool held;
    const char *note; /* or NULL */
    struct lot_place *places;
    size_t place_count;
    int64_t revision;
};

/* Sets its number and revision. Nothing is moved by it. */
bool lot_add(struct tx *tx, struct lot *lot);

struct lot_filter {
    int64_t number;          /* only this one; 0: any */
    const int64_t *postings; /* only of these; NULL: any */
    size_t posting_count;
    int64_t before;         /* only smaller numbers; 0: from the last */
    const char *ingredient; /* NULL: any */
    const char *supplier;   /* NULL: any */
    const char *lot_mark;   /* NULL: any */
    bool left;              /* only those of which anything is left */
    bool standing;          /* only those that came in by a day, by what was not taken back */
    date by;
    int64_t limit; /* 0: all */
};

/* The order in which lots are taken on a day, as shelf_order(): < 0 when a goes before b. */
int lot_order(const struct lot *a, const struct lot *b, date day);

/* Lots with the places where something is left, the newest first. */
bool lot_select(struct tx *tx, const struct lot_filter *filter, struct lot **items, size_t *count);

/* Replaces lot_mark, best_before, held, note and price; sets the revision. */
bool lot_change(struct tx *tx, struct lot *lot);

#endif
