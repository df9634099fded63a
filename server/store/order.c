/* Orders and their lines. Lines repeat the bread day and the customer, so that a day's sum reads
 * one index range and never visits the orders. */
#include "store/order.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

#include <string.h>

#define ORDER_COLUMNS                                                                              \
    "SELECT order_id, customer, bread_day, note, extract(epoch FROM placed_at)::bigint,"           \
    " placed_by, revision, (SELECT count(*) FROM order_line l WHERE l.bakery_id = o.bakery_id"     \
    " AND l.order_id = o.order_id) FROM customer_order o WHERE bakery_id = $1"
#define ORDER_LINE_COLUMNS "SELECT order_id, product, pieces FROM order_line WHERE bakery_id = $1"
#define ADD_LINES                                                                                  \
    "INSERT INTO order_line (bakery_id, order_id, position, bread_day, customer, product, pieces)" \
    " SELECT o.bakery_id, o.order_id, n, o.bread_day, o.customer, product, pieces"                 \
    " FROM o, unnest($5::text[], $6::integer[]) WITH ORDINALITY AS line (product, pieces, n)"

STATEMENTS(order_statements, {"order_get", ORDER_COLUMNS " AND order_id = $2"},
           {"order_get_locked", ORDER_COLUMNS " AND order_id = $2 FOR UPDATE"},
           {"order_lines", ORDER_LINE_COLUMNS " AND order_id = $2 ORDER BY position"},
           {"order_list", ORDER_COLUMNS " AND order_id > $2 ORDER BY order_id LIMIT $3"},
           {"order_list_lines",
            ORDER_LINE_COLUMNS " AND order_id BETWEEN $2 AND $3 ORDER BY order_id, position"},
           {"order_list_of_day",
            ORDER_COLUMNS " AND order_id > $2 AND bread_day = $4 ORDER BY order_id LIMIT $3"},
           {"order_list_of_day_lines",
            "SELECT l.order_id, product, pieces FROM customer_order o"
            " JOIN order_line l USING (bakery_id, order_id)"
            " WHERE o.bakery_id = $1 AND o.order_id BETWEEN $2 AND $3"
            " AND o.bread_day = $4 ORDER BY l.order_id, position"},
           {"order_list_of_customer",
            ORDER_COLUMNS " AND order_id > $2 AND customer = $4"
                          " AND ($5::date IS NULL OR bread_day = $5) ORDER BY order_id LIMIT $3"},
           {"order_list_of_customer_lines",
            "SELECT l.order_id, product, pieces FROM customer_order o"
            " JOIN order_line l USING (bakery_id, order_id)"
            " WHERE o.bakery_id = $1 AND o.order_id BETWEEN $2 AND $3"
            " AND o.customer = $4"
            " AND ($5::date IS NULL OR o.bread_day = $5)"
            " ORDER BY l.order_id, position"},
           {"order_look_up",
            "SELECT EXISTS (SELECT 1 FROM customer WHERE bakery_id = $1 AND code = $2),"
            " coalesce(p.piece_mg, -1)"
            " FROM unnest($3::text[]) WITH ORDINALITY AS line (product, n)"
            " LEFT JOIN product p ON p.bakery_id = $1 AND p.code = line.product"
            " ORDER BY n"},
           {"order_add",
            "WITH o AS (INSERT INTO customer_order"
            " (bakery_id, customer, bread_day, note, placed_by)"
            " VALUES ($1, $2, $3, $4, $7) RETURNING *), l AS (" ADD_LINES ")"
            " SELECT order_id, extract(epoch FROM placed_at)::bigint, revision FROM o"},
           {"order_lines_clear", "DELETE FROM order_line WHERE bakery_id = $1 AND order_id = $2"},
           {"order_replace",
            "WITH o AS (UPDATE customer_order SET customer = $2, bread_day = $3,"
            " note = $4, revision = nextval('revision_number')"
            " WHERE bakery_id = $1 AND order_id = $7 RETURNING *), l AS (" ADD_LINES ")"
            " SELECT revision FROM o"},
           {"order_delete", "DELETE FROM customer_order WHERE bakery_id = $1 AND order_id = $2"});

static const char **products_of(struct tx *tx, const struct order *order)
{
    const char **products = arena_array(tx->arena, order->line_count, sizeof *products);
    for (size_t i = 0; products != NULL && i < order->line_count; i++)
        products[i] = order->lines[i].product;
    return products;
}

bool order_look_up(struct tx *tx, const struct order *order, struct order_lookup *found)
{
    const char **products = products_of(tx, order);
    found->piece_mg = arena_array(tx->arena, order->line_count, sizeof *found->piece_mg);
    if (products == NULL || found->piece_mg == NULL) return fail_memory(tx->fails);
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, order->customer);
    args_texts(&args, products, order->line_count);
    if (!tx_query(tx, "order_look_up", &args, &rows)) return false;
    for (size_t i = 0; i < order->line_count && rows_next(&rows); i++) {
        found->customer_exists = row_bool(&rows);
        found->piece_mg[i] = row_whole(&rows);
    }
    return true;
}

/* $1 to $6 as ADD_LINES and the statements around it have them. */
static bool order_args(struct args *args, struct tx *tx, const struct order *order)
{
    const char **products = products_of(tx, order);
    int64_t *pieces = arena_array(tx->arena, order->line_count, sizeof *pieces);
    if (products == NULL || pieces == NULL) return fail_memory(tx->fails);
    for (size_t i = 0; i < order->line_count; i++)
        pieces[i] = order->lines[i].pieces;
    args_init(args, tx);
    args_text(args, order->customer);
    args_date(args, order->bread_day);
    args_text(args, order->note);
    args_texts(args, products, order->line_count);
    args_wholes(args, pieces, order->line_count);
    return true;
}

bool order_add(struct tx *tx, struct order *order)
{
    struct args args;
    struct rows rows;
    if (!order_args(&args, tx, order)) return false;
    args_text(&args, tx->actor);
    if (!tx_query(tx, "order_add", &args, &rows)) return false;
    if (rows_next(&rows)) {
        order->id = row_whole(&rows);
        order->placed_at = row_instant(&rows);
        order->revision = row_whole(&rows);
    }
    order->placed_by = tx->actor;
    return true;
}

bool order_replace(struct tx *tx, struct order *order)
{
    struct args clear, args;
    args_init(&clear, tx);
    args_whole(&clear, order->id);
    if (!tx_execute(tx, "order_lines_clear", &clear, NULL)) return false;
    if (!order_args(&args, tx, order)) return false;
    args_whole(&args, order->id);
    return tx_query_whole(tx, "order_replace", &args, &order->revision);
}

bool order_delete(struct tx *tx, int64_t id)
{
    struct args args;
    args_init(&args, tx);
    args_whole(&args, id);
    return tx_execute(tx, "order_delete", &args, NULL);
}

static bool take_orders(struct tx *tx, struct rows *rows, struct order **items, size_t *count)
{
    *items = rows_room(tx, rows, sizeof **items, count);
    for (struct order *order = *items; order != NULL && rows_next(rows); order++) {
        order->id = row_whole(rows);
        order->customer = row_text(rows);
        order->bread_day = row_date(rows);
        order->note = row_text(rows);
        order->placed_at = row_instant(rows);
        order->placed_by = row_text(rows);
        order->revision = row_whole(rows);
        order->lines = arena_array(tx->arena, (size_t)row_whole(rows), sizeof *order->lines);
        if (order->lines == NULL) return fail_memory(tx->fails);
    }
    return *items != NULL;
}

/* Orders and lines both come by id. */
static void take_lines(struct rows *rows, struct order *items, size_t count)
{
    for (size_t at = 0; rows_next(rows);) {
        int64_t id = row_whole(rows);
        while (at < count && items[at].id < id)
            at++;
        if (at == count) return;
        if (items[at].id != id) continue;
        struct order_line *line = &items[at].lines[items[at].line_count++];
        line->product = row_text(rows);
        line->pieces = row_whole(rows);
    }
}

bool order_get(struct tx *tx, int64_t id, bool lock, struct order *order, bool *found)
{
    struct args args;
    struct rows rows;
    struct order *items;
    size_t count;
    *found = false;
    args_init(&args, tx);
    args_whole(&args, id);
    if (!tx_query(tx, lock ? "order_get_locked" : "order_get", &args, &rows)) return false;
    if (!take_orders(tx, &rows, &items, &count)) return false;
    if (count == 0) return true;
    if (!tx_query(tx, "order_lines", &args, &rows)) return false;
    take_lines(&rows, items, count);
    *order = items[0];
    *found = true;
    return true;
}

/* The arguments of a list and those of its lines differ only in what stands at $2 and $3. */
static void filter_args(struct args *args, struct tx *tx, const struct order_filter *filter,
                        int64_t second, int64_t third)
{
    args_init(args, tx);
    args_whole(args, second);
    args_whole(args, third);
    if (filter->customer != NULL) args_text(args, filter->customer);
    if (filter->bread_day != NULL)
        args_date(args, *filter->bread_day);
    else if (filter->customer != NULL)
        args_text(args, NULL);
}

bool order_select(struct tx *tx, const struct order_filter *filter, struct order **items,
                  size_t *count)
{
    const char *list = "order_list", *lines = "order_list_lines";
    if (filter->customer != NULL) {
        list = "order_list_of_customer";
        lines = "order_list_of_customer_lines";
    } else if (filter->bread_day != NULL) {
        list = "order_list_of_day";
        lines = "order_list_of_day_lines";
    }
    struct args args;
    struct rows rows;
    filter_args(&args, tx, filter, filter->after, filter->limit);
    if (!tx_query(tx, list, &args, &rows)) return false;
    if (!take_orders(tx, &rows, items, count)) return false;
    if (*count == 0) return true;
    filter_args(&args, tx, filter, (*items)[0].id, (*items)[*count - 1].id);
    if (!tx_query(tx, lines, &args, &rows)) return false;
    take_lines(&rows, *items, *count);
    return true;
}
