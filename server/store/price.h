/* Pack prices of ingredients, each from a date on. */
#ifndef MORROWLOAF_STORE_PRICE_H
#define MORROWLOAF_STORE_PRICE_H

#include "bakery/model.h"

struct tx;

struct pack_price {
    const char *ingredient;
    date from;
    int64_t pack_mg;      /* 0: counted */
    int64_t pack_pieces;  /* 0: weighed */
    int64_t micros;       /* of one pack */
    const char *supplier; /* or NULL */
    int64_t revision;
};

/* The prices of an ingredient by date, or only that of one date. */
bool price_select(struct tx *tx, const char *ingredient, const date *only,
                  struct pack_price **items, size_t *count);
bool price_put(struct tx *tx, struct pack_price *price);
bool price_delete(struct tx *tx, const char *ingredient, date from);

/* Whether the ingredient has a price by the other unit than this. */
bool price_of_other_unit(struct tx *tx, const char *ingredient, enum ingredient_unit unit,
                         bool *found);

/* Fills catalogue->prices with the pack price in force on that day for every ingredient. What an
 * ingredient costs may be another thing: store/price_book.h. */
bool price_load(struct tx *tx, struct catalogue *catalogue, date day);

/* A date from which something costs another amount. */
enum price_change_kind { PRICE_OF_INGREDIENT, PRICE_OF_RATES, PRICE_OF_PRODUCT };
struct price_change {
    date from;
    enum price_change_kind kind;
    const char *code; /* of the ingredient or the price list; NULL for rates */
};

/* The changes of the pack prices of all ingredients, of the rates, and of a product in a list, from
 * first to last, by date. price_list may be NULL. */
bool price_changes(struct tx *tx, const char *product, const char *price_list, date first,
                   date last, struct price_change **items, size_t *count);

#endif
