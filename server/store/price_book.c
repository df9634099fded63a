/* Pack prices, and over them what the stock cost. */
#include "store/price_book.h"

#include "bakery/catalogue.h"
#include "bakery/ledger_walk.h"
#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "store/ledger.h"

#include <stdlib.h>
#include <string.h>

/* Begins the walks through the histories. */
static bool begin(struct price_book *book)
{
    for (size_t i = 0; i < book->catalogue->ingredient_count; i++)
        if (!ledger_walk_init(&book->walks[i], &book->ledgers[i], book->tx->arena, book->tx->fails))
            return false;
    book->day = DATE_FIRST;
    return true;
}

bool price_book_open(struct tx *tx, struct catalogue *catalogue, struct price_book *book)
{
    *book = (struct price_book){.tx = tx, .catalogue = catalogue};
    if (catalogue->bakery.cost_by == COST_BY_PACK) return true;
    book->ledgers = ledgers_load(tx, catalogue, NULL, DATE_LAST);
    if (book->ledgers == NULL) return false;
    book->walks = arena_array(tx->arena, catalogue->ingredient_count, sizeof *book->walks);
    return book->walks != NULL ? begin(book) : fail_memory(tx->fails);
}

bool price_book_turn(struct price_book *book, date day)
{
    struct catalogue *catalogue = book->catalogue;
    if (!price_load(book->tx, catalogue, day)) return false;
    if (book->ledgers != NULL && day < book->day && !begin(book)) return false;
    book->day = day;
    for (size_t i = 0; book->ledgers != NULL && i < catalogue->ingredient_count; i++) {
        if (!ledger_walk_to(&book->walks[i], day - 1)) return false;
        ledger_walk_price(&book->walks[i], catalogue->bakery.cost_by,
                          catalogue->ingredients[i].unit, &catalogue->prices[i]);
    }
    return true;
}

bool price_book_load(struct tx *tx, struct catalogue *catalogue, date day)
{
    struct price_book book;
    return price_book_open(tx, catalogue, &book) && price_book_turn(&book, day);
}

/* --- changes --- */

/* Whether a change still counts: a pack price does from the first lot on no more. */
static bool counts(const struct price_book *book, const struct price_change *change)
{
    date begins;
    size_t i = change->kind == PRICE_OF_INGREDIENT
                   ? catalogue_ingredient(book->catalogue, change->code)
                   : NOT_FOUND;
    if (i == NOT_FOUND) return true;
    struct ledger_walk beginning = {.ledger = &book->ledgers[i]};
    return !ledger_walk_next(&beginning, &begins) || change->from <= begins;
}

static int by_date_kind_and_code(const void *left, const void *right)
{
    const struct price_change *a = left, *b = right;
    if (a->from != b->from) return a->from < b->from ? -1 : 1;
    if (a->kind != b->kind) return a->kind < b->kind ? -1 : 1;
    return a->code != NULL && b->code != NULL ? strcmp(a->code, b->code) : 0;
}

/* The days on which the cost of each ingredient changes; *total is how many in all. */
static bool stock_days(const struct price_book *book, date first, date last, date **days,
                       size_t *counts_of, size_t *total)
{
    *total = 0;
    for (size_t i = 0; i < book->catalogue->ingredient_count; i++) {
        if (!ledger_price_days(&book->ledgers[i], book->tx->arena, book->tx->fails,
                               book->catalogue->bakery.cost_by, first, last, &days[i],
                               &counts_of[i]))
            return false;
        *total += counts_of[i];
    }
    return true;
}

static bool merge(const struct price_book *book, date first, date last, struct price_change **items,
                  size_t *count)
{
    const struct catalogue *catalogue = book->catalogue;
    struct arena *arena = book->tx->arena;
    date **days = arena_array(arena, catalogue->ingredient_count, sizeof *days);
    size_t *counts_of = arena_array(arena, catalogue->ingredient_count, sizeof *counts_of);
    size_t total, kept = 0;
    if (days == NULL || counts_of == NULL) return fail_memory(book->tx->fails);
    if (!stock_days(book, first, last, days, counts_of, &total)) return false;
    struct price_change *all = arena_array(arena, *count + total, sizeof *all);
    if (all == NULL) return fail_memory(book->tx->fails);
    for (size_t n = 0; n < *count; n++)
        if (counts(book, &(*items)[n])) all[kept++] = (*items)[n];
    for (size_t i = 0; i < catalogue->ingredient_count; i++)
        for (size_t n = 0; n < counts_of[i]; n++)
            all[kept++] = (struct price_change){days[i][n], PRICE_OF_INGREDIENT,
                                                catalogue->ingredients[i].code};
    qsort(all, kept, sizeof *all, by_date_kind_and_code);
    *items = all;
    *count = kept;
    return true;
}

bool price_book_changes(const struct price_book *book, const char *product, const char *price_list,
                        date first, date last, struct price_change **items, size_t *count)
{
    return price_changes(book->tx, product, price_list, first, last, items, count) &&
           (book->ledgers == NULL || merge(book, first, last, items, count));
}
