/* Pack prices and which of them is in force. */
#include "store/price.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"
#include "store/selection.h"

STATEMENTS(
    price_statements,
    {"price_select",
     "SELECT ingredient, from_date, pack_mg, pack_pieces, price_micros, supplier,"
     " revision FROM ingredient_price WHERE bakery_id = $1 AND ingredient = $2"
     " AND ($3::date IS NULL OR from_date = $3) ORDER BY from_date"},
    {"price_put",
     "INSERT INTO ingredient_price (bakery_id, ingredient, from_date, pack_mg,"
     " pack_pieces, price_micros, supplier) VALUES ($1, $2, $3, $4, $5, $6, $7)"
     " ON CONFLICT (bakery_id, ingredient, from_date) DO UPDATE SET"
     " pack_mg = excluded.pack_mg, pack_pieces = excluded.pack_pieces,"
     " price_micros = excluded.price_micros, supplier = excluded.supplier,"
     " revision = excluded.revision RETURNING revision"},
    {"price_delete",
     "DELETE FROM ingredient_price"
     " WHERE bakery_id = $1 AND ingredient = $2 AND from_date = $3"},
    {"price_of_other_unit",
     "SELECT count(*) FROM ingredient_price WHERE bakery_id = $1"
     " AND ingredient = $2 AND (pack_mg IS NULL) <> $3"},
    {"price_load",
     "SELECT DISTINCT ON (ingredient) ingredient, from_date, price_micros, pack_mg, pack_pieces"
     " FROM ingredient_price WHERE bakery_id = $1 AND from_date <= $2"
     " ORDER BY ingredient, from_date DESC"},
    {"price_changes",
     "SELECT from_date, 0 AS kind, ingredient AS code FROM ingredient_price"
     " WHERE bakery_id = $1 AND from_date BETWEEN $4 AND $5"
     " UNION ALL SELECT from_date, 1, NULL FROM rates"
     " WHERE bakery_id = $1 AND from_date BETWEEN $4 AND $5"
     " UNION ALL SELECT from_date, 2, price_list FROM product_price"
     " WHERE bakery_id = $1 AND product = $2 AND price_list = $3"
     " AND from_date BETWEEN $4 AND $5 ORDER BY 1, 2, 3"});

bool price_select(struct tx *tx, const char *ingredient, const date *only,
                  struct pack_price **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, ingredient);
    if (only != NULL)
        args_date(&args, *only);
    else
        args_text(&args, NULL);
    if (!tx_query(tx, "price_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct pack_price *price = *items; price != NULL && rows_next(&rows); price++) {
        price->ingredient = row_text(&rows);
        price->from = row_date(&rows);
        price->pack_mg = row_whole(&rows);
        price->pack_pieces = row_whole(&rows);
        price->micros = row_whole(&rows);
        price->supplier = row_text(&rows);
        price->revision = row_whole(&rows);
    }
    return *items != NULL;
}

bool price_put(struct tx *tx, struct pack_price *price)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, price->ingredient);
    args_date(&args, price->from);
    args_whole_or_null(&args, price->pack_mg, price->pack_mg > 0);
    args_whole_or_null(&args, price->pack_pieces, price->pack_pieces > 0);
    args_whole(&args, price->micros);
    args_text(&args, price->supplier);
    return tx_query_whole(tx, "price_put", &args, &price->revision);
}

bool price_delete(struct tx *tx, const char *ingredient, date from)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, ingredient);
    args_date(&args, from);
    return tx_execute(tx, "price_delete", &args, NULL);
}

bool price_of_other_unit(struct tx *tx, const char *ingredient, enum ingredient_unit unit,
                         bool *found)
{
    struct args args;
    int64_t count = 0;
    args_init(&args, tx);
    args_text(&args, ingredient);
    args_bool(&args, unit == UNIT_PIECE);
    bool ok = tx_query_whole(tx, "price_of_other_unit", &args, &count);
    *found = count > 0;
    return ok;
}

bool price_load(struct tx *tx, struct catalogue *catalogue, date day)
{
    struct args args;
    struct rows rows;
    catalogue->prices = arena_array(tx->arena, catalogue->ingredient_count,
                                    sizeof *catalogue->prices);
    if (catalogue->prices == NULL) return fail_memory(tx->fails);
    args_init(&args, tx);
    args_date(&args, day);
    if (!tx_query(tx, "price_load", &args, &rows)) return false;
    for (size_t at = 0; rows_next(&rows);) {
        if (!selection_ingredient(catalogue, &at, row_text(&rows))) continue;
        struct price *price = &catalogue->prices[at];
        price->known = true;
        price->from = row_date(&rows);
        price->micros = row_whole(&rows);
        price->pack_mg = row_whole(&rows);
        price->pack_pieces = row_whole(&rows);
    }
    return true;
}

bool price_changes(struct tx *tx, const char *product, const char *price_list, date first,
                   date last, struct price_change **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, product);
    args_text(&args, price_list);
    args_date(&args, first);
    args_date(&args, last);
    if (!tx_query(tx, "price_changes", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct price_change *change = *items; change != NULL && rows_next(&rows); change++) {
        change->from = row_date(&rows);
        change->kind = (enum price_change_kind)row_whole(&rows);
        change->code = row_text(&rows);
    }
    return *items != NULL;
}
