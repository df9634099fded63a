/* Reading what happened to the stock, summed: by day and kind, at the end of a past day, what is
 * usable now; and which batches and printed lists stand behind it. */
#ifndef MORROWLOAF_STORE_STOCK_USE_H
#define MORROWLOAF_STORE_STOCK_USE_H

#include "bakery/offer.h"
#include "bakery/stock_past.h"
#include "bakery/stock_plan.h"

struct tx;

/* Sums of the days first to last by ingredient and date, what was moved to another place left out.
 * ingredient NULL: all. */
bool moved_sums_load(struct tx *tx, const struct catalogue *catalogue, const char *ingredient,
                     date first, date last, struct moved_sum **items, size_t *count);

/* Per ingredient of the catalogue the day on which any was first mixed, fed or used. Only those
 * where any was; the others are left alone. ingredient NULL: all. */
bool first_uses_load(struct tx *tx, const struct catalogue *catalogue, const char *ingredient,
                     date *first);

/* What there was at the end of a past day. */
struct stock_balance {
    size_t ingredient;
    int64_t amount;
};

/* By ingredient code; only those that had a lot by then. */
bool stock_balances_load(struct tx *tx, const struct catalogue *catalogue, date day,
                         struct stock_balance **items, size_t *count);

/* What is usable on a day of every ingredient of which stock is kept, by code; and, where a supply
 * was entered, when more could come that is ordered on that day. */
bool offer_stock_load(struct tx *tx, const struct catalogue *catalogue, date day,
                      struct offer_stock **items, size_t *count);

/* Batches of mixing dates from then on, those left out that were reversed. */
bool posted_batches_load(struct tx *tx, const struct catalogue *catalogue, date from,
                         struct posted_batch **items, size_t *count);

/* The last print of each mixing date from then on. */
struct last_print {
    date mixing_date;
    const char *body; /* JSON as it was printed */
};

bool last_prints_load(struct tx *tx, date from, struct last_print **items, size_t *count);

#endif
