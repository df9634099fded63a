/* Moving stock: holding an ingredient, its shelves, postings and their movements.
 *
 * Whoever moves stock first holds the rows of the ingredients (stock_hold), reads the shelves, and
 * adds one posting with its movements, all in one transaction. Rows are held in the order of their
 * codes, after the batch's or reversal's own row and after the logs of starters, so that nobody
 * waits in a circle.
 */
#ifndef MORROWLOAF_STORE_STOCK_H
#define MORROWLOAF_STORE_STOCK_H

#include "bakery/model.h"
#include "bakery/stock.h"

struct tx;

/* A set of ingredients of the catalogue, one bool each. */
struct stock_set {
    const struct catalogue *catalogue;
    bool *in;
};

/* Holds the ingredients of the set until the end of the transaction, and leaves only those of which
 * stock is kept in it. */
bool stock_hold(struct tx *tx, struct stock_set *set);
/* Begins to keep stock of the ingredients of the set where it is not kept yet. */
bool stock_begin(struct tx *tx, const struct stock_set *set);
/* The ingredients of which stock is kept; the set is filled. */
bool stock_kept(struct tx *tx, struct stock_set *set);

/* Whether amounts of the ingredient are stored: in stock, in its supply, in purchase orders. */
bool unit_is_in_use(struct tx *tx, const char *ingredient, bool *in_use);

/* The shelves of the set that have anything left, or had on that day or later. available: on the
 * day, after the movement of that number (0: after all of the day's). */
bool shelves_load(struct tx *tx, const struct stock_set *set, date day, int64_t after,
                  struct shelf **items, size_t *count);

struct posting {
    int64_t number;
    enum stock_kind kind;
    date date;
    instant at;
    const char *by;
    const char *reason;        /* or NULL */
    const char *supplier;      /* or NULL */
    const char *delivery_note; /* or NULL */
    int64_t purchase_order;    /* 0: none */
    const char *starter;       /* of what was fed, or NULL */
    int64_t log_entry;
    int64_t reverses;    /* 0: none */
    int64_t reversed_by; /* 0: not */
    const char *formula; /* of a batch that was mixed, or NULL; read only */
    date mixing_date;
    int64_t batch;
};

/* Sets number, at and by. */
bool posting_add(struct tx *tx, struct posting *posting);

/* The posting of a feed; *number 0: it took nothing from the stock. */
bool posting_of_feed(struct tx *tx, const char *starter, int64_t log_entry, int64_t *number);

/* Appends the movements of a posting and brings shelves and stock up to date. The kind is the
 * posting's, or of what it reverses. */
bool moves_add(struct tx *tx, const struct posting *posting, enum stock_kind kind,
               const struct catalogue *catalogue, const struct stock_move *moves, size_t count);

/* What was told of an ingredient, to find it again. */
struct told {
    const char *ingredient;
    int64_t amount; /* > 0 */
    date date;
    int64_t lot; /* 0: any */
};

/* The last posting of that ingredient alone that was used, wasted or returned in that amount on
 * that day and is not reversed; *number 0: there is none. */
bool posting_told(struct tx *tx, const struct told *told, int64_t *number);

struct posting_filter {
    int64_t number;         /* only this one; 0: any */
    int64_t before;         /* only smaller numbers; 0: from the last */
    const char *kind;       /* NULL: any */
    const char *ingredient; /* NULL: any */
    const char *supplier;   /* NULL: any */
    int64_t lot;            /* 0: any */
    date from, to;          /* both ends included */
    int64_t limit;          /* 0: all */
};

/* Postings, the newest first. */
bool posting_select(struct tx *tx, const struct posting_filter *filter, struct posting **items,
                    size_t *count);

/* A movement with what a reader wants to know of its lot. */
struct moved {
    int64_t number;
    int64_t posting;
    enum stock_kind kind;
    const char *ingredient;
    int64_t lot;
    const char *lot_mark; /* or NULL */
    const char *place;
    int64_t delta;
    bool has_best_before;
    date best_before;
    int64_t received;   /* of the lot, when it came in */
    struct money price; /* of all of that */
};

/* The movements of these postings, by posting (ascending), then number. */
bool moved_select(struct tx *tx, const int64_t *postings, size_t posting_count,
                  struct moved **items, size_t *count);

#endif
