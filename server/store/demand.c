/* Sums of order lines. */
#include "store/demand.h"

#include "bakery/catalogue.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

STATEMENTS(demand_statements,
           {"demand_load",
            "SELECT l.bread_day, l.product, c.ready_at, sum(l.pieces)::bigint FROM order_line l"
            " LEFT JOIN customer c ON c.bakery_id = $1 AND c.code = l.customer"
            " AND c.ready_at IS NOT NULL"
            " WHERE l.bakery_id = $1 AND l.bread_day BETWEEN $2 AND $3"
            " GROUP BY l.bread_day, l.product, c.ready_at"
            " ORDER BY l.bread_day, l.product, c.ready_at"},
           {"order_pieces",
            "SELECT l.order_id, l.product, c.name, sum(l.pieces)::bigint FROM order_line l"
            " JOIN customer c ON c.bakery_id = $1 AND c.code = l.customer"
            " WHERE l.bakery_id = $1 AND l.bread_day = $2"
            " GROUP BY l.order_id, l.product, c.name ORDER BY l.order_id, l.product"});

bool demand_load(struct tx *tx, const struct catalogue *catalogue, date first, date last,
                 struct demand **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_date(&args, first);
    args_date(&args, last);
    if (!tx_query(tx, "demand_load", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct demand *demand = *items; demand != NULL && rows_next(&rows); demand++) {
        demand->bread_day = row_date(&rows);
        demand->product = catalogue_product(catalogue, row_text(&rows));
        demand->ready_at = row_clock(&rows);
        demand->pieces = row_whole(&rows);
        if (demand->product == NOT_FOUND)
            return fail_add(tx->fails, FAIL_INTERNAL, "", "an order names an unknown product");
    }
    return *items != NULL;
}

bool order_pieces_load(struct tx *tx, const struct catalogue *catalogue, date bread_day,
                       struct order_pieces **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_date(&args, bread_day);
    if (!tx_query(tx, "order_pieces", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct order_pieces *line = *items; line != NULL && rows_next(&rows); line++) {
        line->order_id = row_whole(&rows);
        line->product = catalogue_product(catalogue, row_text(&rows));
        line->customer = row_text(&rows);
        line->pieces = row_whole(&rows);
        if (line->product == NOT_FOUND)
            return fail_add(tx->fails, FAIL_INTERNAL, "", "an order names an unknown product");
    }
    return *items != NULL;
}
