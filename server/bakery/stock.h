/* The flour store: what there is of each lot, and from which lots an amount is taken.
 *
 * An amount is milligrams, or pieces of an ingredient that is counted. Invariants: what is taken is
 * the sum of its moves; no shelf gives more than is available on it on the day and on every later
 * day; the same shelves and takes always give the same moves.
 */
#ifndef MORROWLOAF_BAKERY_STOCK_H
#define MORROWLOAF_BAKERY_STOCK_H

#include "bakery/model.h"

struct arena;
struct fails;

/* What happened. A reversal has a posting of its own; its moves have the kind of what it reverses.
 */
enum stock_kind {
    STOCK_RECEIVED,
    STOCK_MIXED,    /* into a batch */
    STOCK_FED,      /* to a starter */
    STOCK_USED,     /* otherwise */
    STOCK_WASTED,   /* spilled, spoiled, eaten by mice */
    STOCK_RETURNED, /* to the supplier */
    STOCK_COUNTED,  /* the book is set right by a count */
    STOCK_MOVED,    /* to another place */
    STOCK_REVERSED,
    STOCK_KINDS
};

extern const char *const stock_kinds[]; /* their words, ends with NULL */

/* Whether a best-before has passed on a day; on the day itself it has not. */
bool best_before_passed(bool has_best_before, date best_before, date day);

/* An amount as it is said, exact: "3.2 kg", "850 g", "12 pieces". NULL when memory is short. */
const char *amount_words(struct arena *arena, enum ingredient_unit unit, int64_t amount);

/* What is left of a lot in one place. */
struct shelf {
    size_t ingredient; /* in the catalogue */
    int64_t lot;
    const char *place;
    date received_on;
    bool has_best_before;
    date best_before;
    bool held;         /* set apart: nothing may be used of it */
    int64_t amount;    /* now */
    int64_t on_day;    /* on the day asked for */
    int64_t available; /* of it, so that no later day falls below zero */
};

/* An amount to be taken of an ingredient. */
struct stock_take {
    size_t ingredient;
    int64_t amount;      /* > 0 */
    int64_t lot;         /* only of this lot; 0: oldest best-before first */
    const char *place;   /* only from there; NULL: anywhere */
    const char *pointer; /* of the amount in the body: for faults; the lot's is lot_pointer */
    const char *lot_pointer;
};

/* What a lot in a place gains or loses. */
struct stock_move {
    size_t ingredient;
    int64_t lot;
    const char *place;
    int64_t delta;
    int64_t reverses; /* number of the movement that is undone; 0: none */
};

/* Shelves to take from on a day. */
struct stock_shelves {
    struct arena *arena;
    struct fails *fails;
    const struct catalogue *catalogue;
    struct shelf *items; /* are sorted, and left with what is then available */
    size_t count;
    date day;
    bool allow_held; /* what goes back or is thrown away may be of a held lot */
};

/* Takes amounts, each take after the one before it. Without a lot: lots whose best-before has
 * passed by the day come last, then by best-before (those without one after those that have it),
 * then by lot number, then by place; held lots give nothing. Faults (all of them, FAIL_INVALID):
 * more than there is, at the take's pointer ("there are only 3.2 kg of Bread flour"); a chosen lot
 * that is held, came in later than the day, is of another ingredient or has nothing left, at its
 * lot_pointer. */
bool stock_take(struct stock_shelves *shelves, const struct stock_take *takes, size_t take_count,
                struct stock_move **moves, size_t *move_count);

/* The order in which lots are taken on a day: < 0 when a goes before b. */
int shelf_order(const struct shelf *a, const struct shelf *b, date day);

#endif
