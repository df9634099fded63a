/* Walking through the history of an ingredient, day by day. */
#ifndef MORROWLOAF_BAKERY_LEDGER_WALK_H
#define MORROWLOAF_BAKERY_LEDGER_WALK_H

#include "bakery/ledger_layers.h"

/* What so much of it cost, from a day on. */
struct ledger_cost {
    struct money price; /* of the amount */
    int64_t amount;
    date from;
};

struct ledger_walk {
    const struct ledger *ledger;
    struct fails *fails;
    size_t next; /* move, whole days before it */
    struct ledger_layers layers;
    int64_t amount;
    struct money average;
    struct ledger_cost average_cost; /* the last that was known */
    struct ledger_flow *flow;        /* to which moves are added; NULL: none */
    struct ledger_value *worths;     /* what each move was worth, to be filled, with the sign of its
                                        delta; NULL: not asked for */
};

/* *sum += more, or -=; not known when either is not. False when it does not fit. */
bool ledger_money_add(struct money *sum, struct money more, bool minus);

/* False with a fault when memory is short. The ledger is borrowed. */
bool ledger_walk_init(struct ledger_walk *walk, const struct ledger *ledger, struct arena *arena,
                      struct fails *fails);
/* Walks to the end of a day, which is never before the one walked to last. */
bool ledger_walk_to(struct ledger_walk *walk, date day);
/* What is on hand there, and its worth. */
struct ledger_value ledger_walk_value(const struct ledger_walk *walk);
/* What the ingredient costs after that day: the moving average as it was worked out when something
 * last came in, or the price of the oldest lot of which a layer is left (FIFO). With nothing on
 * hand the last cost that was known; before the first lot the price is left as it is (pack price).
 * While what is on hand has no known cost: not known. Fills pack_mg or pack_pieces with the amount
 * that micros is for, from with the day on which it came in, and of_stock. */
void ledger_walk_price(const struct ledger_walk *walk, enum cost_by method,
                       enum ingredient_unit unit, struct price *price);
/* The day of the next move that is not passed over; false when there is none. */
bool ledger_walk_next(const struct ledger_walk *walk, date *day);

#endif
