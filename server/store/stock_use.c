/* Sums over the stock. */
#include "store/stock_use.h"

#include "bakery/catalogue.h"
#include "bakery/reorder.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"
#include "store/selection.h"
#include "store/words.h"

#define ONE_OR_ALL " AND ($2::text IS NULL OR ingredient = $2)"

STATEMENTS(
    stock_use_statements,
    {"moved_sums",
     "SELECT ingredient, date, kind, sum(delta)::bigint FROM movement WHERE bakery_id = "
     "$1" ONE_OR_ALL " AND date BETWEEN $3 AND $4 AND kind <> 'moved'"
     " GROUP BY ingredient, date, kind ORDER BY ingredient, date, kind"},
    {"first_uses",
     "SELECT s.ingredient, m.date FROM stock s CROSS JOIN LATERAL (SELECT date FROM movement m"
     " WHERE m.bakery_id = $1 AND m.ingredient = s.ingredient AND m.kind IN ('mixed', 'fed',"
     " 'used') ORDER BY m.date LIMIT 1) AS m WHERE s.bakery_id = $1"
     " AND ($2::text IS NULL OR s.ingredient = $2) ORDER BY s.ingredient"},
    {"stock_balances",
     "SELECT s.ingredient, s.amount - coalesce(later.moved, 0) FROM stock s LEFT JOIN (SELECT"
     " ingredient, sum(delta)::bigint AS moved FROM movement WHERE bakery_id = $1 AND date > $2"
     " GROUP BY ingredient) AS later USING (ingredient) WHERE s.bakery_id = $1"
     " AND EXISTS (SELECT FROM movement m WHERE m.bakery_id = $1 AND m.ingredient = s.ingredient"
     " AND m.date <= $2) ORDER BY s.ingredient"},
    {"offer_stock",
     "SELECT s.ingredient, coalesce((SELECT sum(p.amount) FROM lot_place p JOIN lot l"
     " ON l.bakery_id = $1 AND l.number = p.lot WHERE p.bakery_id = $1"
     " AND p.ingredient = s.ingredient AND p.amount > 0 AND NOT l.held"
     " AND (l.best_before IS NULL OR l.best_before >= $2)), 0)::bigint, v.lead_days, v.order_days"
     " FROM stock s LEFT JOIN supply y ON y.bakery_id = $1 AND y.ingredient = s.ingredient"
     " LEFT JOIN LATERAL (SELECT supplier FROM ingredient_price WHERE bakery_id = $1"
     " AND ingredient = s.ingredient AND from_date <= $2 ORDER BY from_date DESC LIMIT 1) AS p"
     " ON true LEFT JOIN supplier v ON v.bakery_id = $1 AND y.ingredient IS NOT NULL"
     " AND v.code = coalesce(y.supplier, p.supplier) WHERE s.bakery_id = $1 ORDER BY s.ingredient"},
    {"posted_batches",
     "SELECT b.mixing_date, b.formula, b.batch, b.dough_mg FROM mixed_batch b"
     " WHERE b.bakery_id = $1 AND b.mixing_date >= $2 AND NOT EXISTS (SELECT FROM posting r"
     " WHERE r.bakery_id = $1 AND r.reverses = b.posting)"
     " ORDER BY b.mixing_date, b.formula, b.batch"},
    {"last_prints",
     "SELECT DISTINCT ON (mixing_date) mixing_date, body FROM mixing_print WHERE bakery_id = $1"
     " AND mixing_date >= $2 ORDER BY mixing_date, number DESC"});

/* --- movements --- */

bool moved_sums_load(struct tx *tx, const struct catalogue *catalogue, const char *ingredient,
                     date first, date last, struct moved_sum **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, ingredient);
    args_date(&args, first);
    args_date(&args, last);
    if (!tx_query(tx, "moved_sums", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    *count = 0;
    for (size_t at = 0; *items != NULL && rows_next(&rows);) {
        struct moved_sum *sum = &(*items)[*count];
        if (!selection_ingredient(catalogue, &at, row_text(&rows))) continue;
        sum->ingredient = at;
        sum->date = row_date(&rows);
        sum->kind = (enum stock_kind)word_index(stock_kinds, row_text(&rows));
        sum->delta = row_whole(&rows);
        ++*count;
    }
    return *items != NULL;
}

bool first_uses_load(struct tx *tx, const struct catalogue *catalogue, const char *ingredient,
                     date *first)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, ingredient);
    if (!tx_query(tx, "first_uses", &args, &rows)) return false;
    for (size_t at = 0; rows_next(&rows);)
        if (selection_ingredient(catalogue, &at, row_text(&rows))) first[at] = row_date(&rows);
    return true;
}

bool stock_balances_load(struct tx *tx, const struct catalogue *catalogue, date day,
                         struct stock_balance **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_date(&args, day);
    if (!tx_query(tx, "stock_balances", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    *count = 0;
    for (size_t at = 0; *items != NULL && rows_next(&rows);)
        if (selection_ingredient(catalogue, &at, row_text(&rows)))
            (*items)[(*count)++] = (struct stock_balance){at, row_whole(&rows)};
    return *items != NULL;
}

/* --- what an offer asks --- */

static void take_offer_stock(struct rows *rows, date day, struct offer_stock *stock)
{
    stock->usable = row_whole(rows);
    stock->orderable = !row_is_null(rows);
    int64_t lead_days = row_whole(rows);
    unsigned order_days = (unsigned)row_whole(rows);
    if (stock->orderable) stock->more_on = delivery_days_of(order_days, lead_days, day).due_on;
}

bool offer_stock_load(struct tx *tx, const struct catalogue *catalogue, date day,
                      struct offer_stock **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_date(&args, day);
    if (!tx_query(tx, "offer_stock", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    *count = 0;
    for (size_t at = 0; *items != NULL && rows_next(&rows);) {
        struct offer_stock *stock = &(*items)[*count];
        if (!selection_ingredient(catalogue, &at, row_text(&rows))) continue;
        stock->ingredient = at;
        take_offer_stock(&rows, day, stock);
        ++*count;
    }
    return *items != NULL;
}

/* --- batches and prints --- */

bool posted_batches_load(struct tx *tx, const struct catalogue *catalogue, date from,
                         struct posted_batch **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_date(&args, from);
    if (!tx_query(tx, "posted_batches", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct posted_batch *batch = *items; batch != NULL && rows_next(&rows); batch++) {
        batch->mixing_date = row_date(&rows);
        batch->formula = catalogue_formula(catalogue, row_text(&rows));
        batch->batch = row_whole(&rows);
        batch->dough_mg = row_whole(&rows);
    }
    return *items != NULL;
}

bool last_prints_load(struct tx *tx, date from, struct last_print **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_date(&args, from);
    if (!tx_query(tx, "last_prints", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct last_print *print = *items; print != NULL && rows_next(&rows); print++) {
        print->mixing_date = row_date(&rows);
        print->body = row_text(&rows);
    }
    return *items != NULL;
}
