/* What ingredients cost on a day, by the bakery's setting: the pack price in force, the moving
 * average of its stock, or what was received first of what is left. The last two hold for whatever
 * the bakery had a lot of; everything else has its pack price.
 */
#ifndef MORROWLOAF_STORE_PRICE_BOOK_H
#define MORROWLOAF_STORE_PRICE_BOOK_H

#include "store/price.h"

struct ledger;
struct ledger_walk;
struct tx;

/* Prices of any days; the histories of the stock are loaded once. */
struct price_book {
    struct tx *tx;
    struct catalogue *catalogue; /* whose prices are filled */
    struct ledger *ledgers;      /* per ingredient; NULL: everything by pack */
    struct ledger_walk *walks;   /* to the beginning of the day */
    date day;
};

/* The catalogue is borrowed. */
bool price_book_open(struct tx *tx, struct catalogue *catalogue, struct price_book *book);
/* Fills catalogue->prices as of the beginning of a day. Days are best asked for in their order:
 * going back walks through the histories anew. */
bool price_book_turn(struct price_book *book, date day);
/* price_changes() by what ingredients really cost: of those that have stock the days on which their
 * cost changes, and pack prices only up to their first lot. */
bool price_book_changes(const struct price_book *book, const char *product, const char *price_list,
                        date first, date last, struct price_change **items, size_t *count);

/* Fills catalogue->prices for one day. */
bool price_book_load(struct tx *tx, struct catalogue *catalogue, date day);

#endif
