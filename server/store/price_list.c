/* Price lists, and prices with quantity breaks in them. */
#include "store/price_list.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

#include <string.h>

STATEMENTS(price_list_statements,
           {"price_list_select",
            "SELECT code, name, with_tax, coalesce(step_micros, 0), coalesce(ending_micros, 0),"
            " note, revision FROM price_list"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR code = $2)"
            " AND ($3::text IS NULL OR code > $3) ORDER BY code LIMIT $4"},
           {"price_list_put",
            "INSERT INTO price_list (bakery_id, code, name, with_tax, step_micros, ending_micros,"
            " note) VALUES ($1, $2, $3, $4, nullif($5::bigint, 0), $6, $7)"
            " ON CONFLICT (bakery_id, code) DO UPDATE SET name = excluded.name,"
            " with_tax = excluded.with_tax, step_micros = excluded.step_micros,"
            " ending_micros = excluded.ending_micros, note = excluded.note,"
            " revision = excluded.revision RETURNING revision"},
           {"price_list_delete", "DELETE FROM price_list WHERE bakery_id = $1 AND code = $2"},
           {"product_price_select",
            "SELECT price_list, product, from_date, revision,"
            " (SELECT count(*) FROM product_price_break b WHERE b.bakery_id = p.bakery_id"
            " AND b.price_list = p.price_list AND b.product = p.product"
            " AND b.from_date = p.from_date) FROM product_price p"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR price_list = $2)"
            " AND ($3::text IS NULL OR product = $3) AND ($4::date IS NULL OR from_date = $4)"
            " AND ($5::date IS NULL OR from_date = (SELECT max(q.from_date) FROM product_price q"
            " WHERE q.bakery_id = p.bakery_id AND q.price_list = p.price_list"
            " AND q.product = p.product AND q.from_date <= $5))"
            " ORDER BY price_list, product, from_date"},
           {"product_price_breaks",
            "SELECT price_list, product, from_date, from_pieces, price_micros"
            " FROM product_price_break"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR price_list = $2)"
            " AND ($3::text IS NULL OR product = $3)"
            " ORDER BY price_list, product, from_date, from_pieces"},
           {"product_price_put",
            "INSERT INTO product_price (bakery_id, price_list, product, from_date)"
            " VALUES ($1, $2, $3, $4) ON CONFLICT (bakery_id, price_list, product, from_date)"
            " DO UPDATE SET revision = excluded.revision RETURNING revision"},
           {"product_price_breaks_clear",
            "DELETE FROM product_price_break WHERE bakery_id = $1 AND price_list = $2"
            " AND product = $3 AND from_date = $4"},
           {"product_price_breaks_add",
            "INSERT INTO product_price_break (bakery_id, price_list, product, from_date,"
            " from_pieces, price_micros) SELECT $1, $2, $3, $4, pieces, micros"
            " FROM unnest($5::integer[], $6::bigint[]) AS line (pieces, micros)"},
           {"product_price_delete",
            "DELETE FROM product_price WHERE bakery_id = $1 AND price_list = $2"
            " AND product = $3 AND from_date = $4"});

bool price_list_select(struct tx *tx, const struct selection *selection, struct price_list **items,
                       size_t *count)
{
    struct args args;
    struct rows rows;
    selection_args(&args, tx, selection);
    if (!tx_query(tx, "price_list_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct price_list *list = *items; list != NULL && rows_next(&rows); list++) {
        list->code = row_text(&rows);
        list->name = row_text(&rows);
        list->with_tax = row_bool(&rows);
        list->step_micros = row_whole(&rows);
        list->ending_micros = row_whole(&rows);
        list->note = row_text(&rows);
        list->revision = row_whole(&rows);
    }
    return *items != NULL;
}

bool price_list_put(struct tx *tx, struct price_list *list)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, list->code);
    args_text(&args, list->name);
    args_bool(&args, list->with_tax);
    args_whole(&args, list->step_micros);
    args_whole_or_null(&args, list->ending_micros, list->step_micros > 0);
    args_text(&args, list->note);
    return tx_query_whole(tx, "price_list_put", &args, &list->revision);
}

bool price_list_delete(struct tx *tx, const char *code)
{
    return tx_delete(tx, "price_list_delete", code);
}

/* --- prices in a list --- */

/* How an item stands to a row: by list, product and date, as both are sorted. */
static int product_price_order(const struct product_price *item, const char *list,
                               const char *product, date from)
{
    int order = strcmp(item->price_list, list);
    if (order == 0) order = strcmp(item->product, product);
    return order != 0 ? order : (item->from > from) - (item->from < from);
}

static bool attach_breaks(struct tx *tx, const struct product_price_filter *filter,
                          struct product_price *items, size_t count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, filter->price_list);
    args_text(&args, filter->product);
    if (!tx_query(tx, "product_price_breaks", &args, &rows)) return false;
    for (size_t at = 0; rows_next(&rows);) {
        const char *list = row_text(&rows), *product = row_text(&rows);
        date from = row_date(&rows);
        while (at < count && product_price_order(&items[at], list, product, from) < 0)
            at++;
        if (at == count || product_price_order(&items[at], list, product, from) > 0) continue;
        struct price_break *line = &items[at].breaks[items[at].break_count++];
        line->from_pieces = row_whole(&rows);
        line->micros = row_whole(&rows);
    }
    return true;
}

bool product_price_select(struct tx *tx, const struct product_price_filter *filter,
                          struct product_price **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, filter->price_list);
    args_text(&args, filter->product);
    args_date_or_null(&args, filter->from != NULL ? *filter->from : 0, filter->from != NULL);
    args_date_or_null(&args, filter->on != NULL ? *filter->on : 0, filter->on != NULL);
    if (!tx_query(tx, "product_price_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct product_price *price = *items; price != NULL && rows_next(&rows); price++) {
        price->price_list = row_text(&rows);
        price->product = row_text(&rows);
        price->from = row_date(&rows);
        price->revision = row_whole(&rows);
        price->breaks = arena_array(tx->arena, (size_t)row_whole(&rows), sizeof *price->breaks);
        if (price->breaks == NULL) return fail_memory(tx->fails);
    }
    return *items != NULL && attach_breaks(tx, filter, *items, *count);
}

static void price_args(struct args *args, struct tx *tx, const struct product_price *price)
{
    args_init(args, tx);
    args_text(args, price->price_list);
    args_text(args, price->product);
    args_date(args, price->from);
}

bool product_price_put(struct tx *tx, struct product_price *price)
{
    int64_t *pieces = arena_array(tx->arena, price->break_count, sizeof *pieces);
    int64_t *micros = arena_array(tx->arena, price->break_count, sizeof *micros);
    if (pieces == NULL || micros == NULL) return fail_memory(tx->fails);
    for (size_t i = 0; i < price->break_count; i++) {
        pieces[i] = price->breaks[i].from_pieces;
        micros[i] = price->breaks[i].micros;
    }
    struct args put, add;
    price_args(&put, tx, price);
    price_args(&add, tx, price);
    args_wholes(&add, pieces, price->break_count);
    args_wholes(&add, micros, price->break_count);
    return tx_query_whole(tx, "product_price_put", &put, &price->revision) &&
           tx_execute(tx, "product_price_breaks_clear", &put, NULL) &&
           tx_execute(tx, "product_price_breaks_add", &add, NULL);
}

bool product_price_delete(struct tx *tx, const char *price_list, const char *product, date from)
{
    struct product_price price = {.price_list = price_list, .product = product, .from = from};
    struct args args;
    price_args(&args, tx, &price);
    return tx_execute(tx, "product_price_delete", &args, NULL);
}
