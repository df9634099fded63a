/* Purchase orders, and what has come of them. */
#include "store/purchase_order.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"
#include "store/selection.h"

/* What has come of orders: the lots of the deliveries that name them, but for those that were
 * reversed. It is summed up for all the orders at once: asked line by line it takes seconds after
 * some years. */
#define CAME                                                                                       \
    " FROM purchase_order o"                                                                       \
    " JOIN posting p ON p.bakery_id = o.bakery_id AND p.purchase_order = o.number"                 \
    " JOIN lot t ON t.bakery_id = p.bakery_id AND t.posting = p.number"                            \
    " WHERE o.bakery_id = $1 AND p.kind = 'received' AND NOT EXISTS (SELECT FROM posting r"        \
    " WHERE r.bakery_id = p.bakery_id AND r.reverses = p.number)"

/* What is missing of every line of the orders that are not closed. */
#define MISSING                                                                                    \
    "SELECT number, ingredient, due_on, sum(amount) AS missing FROM ("                             \
    "SELECT number, ingredient, due_on, amount FROM purchase_order o"                              \
    " JOIN purchase_order_line l USING (bakery_id, number) WHERE o.bakery_id = $1"                 \
    " AND NOT closed UNION ALL"                                                                    \
    " SELECT o.number, t.ingredient, o.due_on, -t.received" CAME                                   \
    " AND NOT o.closed) AS moved"                                                                  \
    " GROUP BY number, ingredient, due_on HAVING sum(amount) > 0"

STATEMENTS(
    purchase_order_statements,
    {"purchase_order_select",
     "SELECT number, supplier, ordered_on, due_on, closed, entered_by, note, revision"
     " FROM purchase_order WHERE bakery_id = $1 AND ($2::bigint = 0 OR number = $2)"
     " AND ($3::bigint = 0 OR number < $3) AND ($4::text IS NULL OR supplier = $4)"
     " AND (NOT $5 OR number IN (SELECT number FROM (" MISSING ") AS open))"
     " ORDER BY number DESC LIMIT nullif($6::bigint, 0)"},
    {"purchase_order_lines",
     "WITH came AS MATERIALIZED (SELECT o.number, t.ingredient, sum(t.received) AS received" CAME
     " AND o.number = ANY ($2::bigint[]) GROUP BY 1, 2)"
     " SELECT l.number, l.ingredient, l.amount, coalesce(l.pack, 0),"
     " coalesce(c.received, 0)::bigint, price.price_micros, price.from_date, price.pack_mg,"
     " price.pack_pieces FROM purchase_order_line l"
     " JOIN purchase_order o ON o.bakery_id = l.bakery_id AND o.number = l.number"
     " LEFT JOIN came c ON c.number = l.number AND c.ingredient = l.ingredient"
     " LEFT JOIN LATERAL (SELECT * FROM ingredient_price i WHERE i.bakery_id = l.bakery_id"
     " AND i.ingredient = l.ingredient AND i.from_date <= o.ordered_on"
     " ORDER BY i.from_date DESC LIMIT 1) AS price ON true"
     " WHERE l.bakery_id = $1 AND l.number = ANY ($2::bigint[])"
     " ORDER BY l.number DESC, l.position"},
    {"purchase_order_add",
     "INSERT INTO purchase_order (bakery_id, supplier, ordered_on, due_on, entered_by, note)"
     " VALUES ($1, $2, $3, $4, $5, $6) RETURNING number, revision"},
    {"purchase_order_add_lines",
     "INSERT INTO purchase_order_line (bakery_id, number, position, ingredient, amount, pack)"
     " SELECT $1, $2, position, ingredient, amount, nullif(pack, 0)"
     " FROM unnest($3::text[], $4::bigint[], $5::bigint[]) WITH ORDINALITY"
     " AS line (ingredient, amount, pack, position)"},
    {"purchase_order_change",
     "UPDATE purchase_order SET due_on = $3, closed = $4, note = $5,"
     " revision = nextval('revision_number') WHERE bakery_id = $1 AND number = $2"
     " RETURNING revision"},
    {"awaited_load", "SELECT ingredient, due_on, missing::bigint FROM (" MISSING ") AS line"
                     " ORDER BY ingredient, due_on, number"});

static void take_order(struct rows *rows, struct purchase_order *order)
{
    order->number = row_whole(rows);
    order->supplier = row_text(rows);
    order->ordered_on = row_date(rows);
    order->due_on = row_date(rows);
    order->closed = row_bool(rows);
    order->entered_by = row_text(rows);
    order->note = row_text(rows);
    order->revision = row_whole(rows);
}

static void take_line(struct rows *rows, struct purchase_line *line)
{
    line->ingredient = row_text(rows);
    line->amount = row_whole(rows);
    line->pack = row_whole(rows);
    line->received = row_whole(rows);
    line->price.known = !row_is_null(rows);
    line->price.micros = row_whole(rows);
    line->price.from = row_date(rows);
    line->price.pack_mg = row_whole(rows);
    line->price.pack_pieces = row_whole(rows);
}

/* Lines come in the order of their orders. */
static bool take_lines(struct tx *tx, struct rows *rows, struct purchase_order *items, size_t count)
{
    size_t line_count, at = 0;
    struct purchase_line *lines = rows_room(tx, rows, sizeof *lines, &line_count);
    for (size_t i = 0; lines != NULL && rows_next(rows); i++) {
        int64_t number = row_whole(rows);
        take_line(rows, &lines[i]);
        while (at < count && items[at].number != number)
            at++;
        if (at == count) break;
        if (items[at].line_count++ == 0) items[at].lines = &lines[i];
    }
    return lines != NULL;
}

static bool load_lines(struct tx *tx, struct purchase_order *items, size_t count)
{
    struct args args;
    struct rows rows;
    int64_t *numbers = arena_array(tx->arena, count, sizeof *numbers);
    if (numbers == NULL) return fail_memory(tx->fails);
    for (size_t i = 0; i < count; i++)
        numbers[i] = items[i].number;
    args_init(&args, tx);
    args_wholes(&args, numbers, count);
    return tx_query(tx, "purchase_order_lines", &args, &rows) &&
           take_lines(tx, &rows, items, count);
}

bool purchase_order_select(struct tx *tx, const struct purchase_filter *filter,
                           struct purchase_order **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_whole(&args, filter->number);
    args_whole(&args, filter->before);
    args_text(&args, filter->supplier);
    args_bool(&args, filter->open);
    args_whole(&args, filter->limit);
    if (!tx_query(tx, "purchase_order_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct purchase_order *order = *items; order != NULL && rows_next(&rows); order++)
        take_order(&rows, order);
    return *items != NULL && load_lines(tx, *items, *count);
}

static bool add_lines(struct tx *tx, const struct purchase_order *order)
{
    size_t count = order->line_count;
    const char **ingredients = arena_array(tx->arena, count, sizeof *ingredients);
    int64_t *amounts = arena_array(tx->arena, count, sizeof *amounts);
    int64_t *packs = arena_array(tx->arena, count, sizeof *packs);
    if (arena_failed(tx->arena)) return fail_memory(tx->fails);
    for (size_t i = 0; i < count; i++) {
        ingredients[i] = order->lines[i].ingredient;
        amounts[i] = order->lines[i].amount;
        packs[i] = order->lines[i].pack;
    }
    struct args args;
    args_init(&args, tx);
    args_whole(&args, order->number);
    args_texts(&args, ingredients, count);
    args_wholes(&args, amounts, count);
    args_wholes(&args, packs, count);
    return tx_execute(tx, "purchase_order_add_lines", &args, NULL);
}

bool purchase_order_add(struct tx *tx, struct purchase_order *order)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, order->supplier);
    args_date(&args, order->ordered_on);
    args_date(&args, order->due_on);
    args_text(&args, tx->actor);
    args_text(&args, order->note);
    order->entered_by = tx->actor;
    if (!tx_query(tx, "purchase_order_add", &args, &rows)) return false;
    rows_next(&rows);
    order->number = row_whole(&rows);
    order->revision = row_whole(&rows);
    return add_lines(tx, order);
}

bool purchase_order_change(struct tx *tx, struct purchase_order *order)
{
    struct args args;
    args_init(&args, tx);
    args_whole(&args, order->number);
    args_date(&args, order->due_on);
    args_bool(&args, order->closed);
    args_text(&args, order->note);
    return tx_query_whole(tx, "purchase_order_change", &args, &order->revision);
}

bool awaited_load(struct tx *tx, const struct catalogue *catalogue, struct awaited **items,
                  size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    if (!tx_query(tx, "awaited_load", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    if (*items == NULL) return false;
    *count = 0;
    for (size_t at = 0; rows_next(&rows);) {
        if (!selection_ingredient(catalogue, &at, row_text(&rows))) continue;
        struct awaited *awaited = &(*items)[(*count)++];
        awaited->ingredient = at;
        awaited->due = row_date(&rows);
        awaited->amount = row_whole(&rows);
    }
    return true;
}
