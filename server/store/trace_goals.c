/* The trace's ends: what batches were mixed for, what was ordered of it, and who got it. */
#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"
#include "store/trace.h"

#include <string.h>

STATEMENTS(trace_goal_statements,
           {"trace_purposes",
            "SELECT posting, bread_day, product FROM mixed_batch_for WHERE bakery_id = $1"
            " AND posting = ANY ($2::bigint[])"},
           {"trace_purposes_of_day",
            "SELECT f.posting, f.bread_day, f.product FROM mixed_batch_for f WHERE f.bakery_id = $1"
            " AND f.bread_day = $2 AND ($3::text IS NULL OR f.product = $3) AND NOT EXISTS (SELECT"
            " FROM posting r WHERE r.bakery_id = $1 AND r.reverses = f.posting)"
            " ORDER BY f.product, f.posting"},
           {"trace_ordered",
            "SELECT DISTINCT product FROM order_line WHERE bakery_id = $1 AND bread_day = $2"
            " AND ($3::text IS NULL OR product = $3) ORDER BY product"},
           {"trace_sales",
            "SELECT w.n, l.customer, l.pieces"
            " FROM unnest($2::date[], $3::text[]) WITH ORDINALITY AS w (day, product, n)"
            " JOIN order_line l ON l.bakery_id = $1 AND l.bread_day = w.day"
            " AND l.product = w.product"},
           {"trace_customers",
            "SELECT code, name, phone, address FROM customer WHERE bakery_id = $1"
            " AND code = ANY ($2::text[]) ORDER BY code"});

/* --- what batches were mixed for --- */

static bool take_purposes(struct tx *tx, const char *statement, const struct args *args,
                          struct trace_purpose **items, size_t *count)
{
    struct rows rows;
    if (!tx_query(tx, statement, args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct trace_purpose *purpose = *items; purpose != NULL && rows_next(&rows); purpose++) {
        purpose->posting = row_whole(&rows);
        purpose->bread_day = row_date(&rows);
        purpose->product = row_text(&rows);
    }
    return *items != NULL;
}

bool trace_purposes_load(struct tx *tx, const int64_t *postings, size_t posting_count,
                         struct trace_purpose **items, size_t *count)
{
    struct args args;
    args_init(&args, tx);
    args_wholes(&args, postings, posting_count);
    return take_purposes(tx, "trace_purposes", &args, items, count);
}

bool trace_purposes_of_day(struct tx *tx, date bread_day, const char *product,
                           struct trace_purpose **items, size_t *count)
{
    struct args args;
    args_init(&args, tx);
    args_date(&args, bread_day);
    args_text(&args, product);
    return take_purposes(tx, "trace_purposes_of_day", &args, items, count);
}

bool trace_ordered_load(struct tx *tx, date bread_day, const char *product, const char ***items,
                        size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_date(&args, bread_day);
    args_text(&args, product);
    if (!tx_query(tx, "trace_ordered", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (const char **item = *items; item != NULL && rows_next(&rows); item++)
        *item = row_text(&rows);
    return *items != NULL;
}

/* --- who got it --- */

bool trace_sales_load(struct tx *tx, const struct trace_goals *goals, struct trace_sale **items,
                      size_t *count)
{
    struct args args;
    struct rows rows;
    date *days = arena_array(tx->arena, goals->pair_count, sizeof *days);
    const char **products = arena_array(tx->arena, goals->pair_count, sizeof *products);
    if (days == NULL || products == NULL) return fail_memory(tx->fails);
    for (size_t i = 0; i < goals->pair_count; i++) {
        days[i] = goals->pairs[i].bread_day;
        products[i] = goals->pairs[i].product;
    }
    args_init(&args, tx);
    args_dates(&args, days, goals->pair_count);
    args_texts(&args, products, goals->pair_count);
    if (!tx_query(tx, "trace_sales", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct trace_sale *sale = *items; sale != NULL && rows_next(&rows); sale++) {
        sale->pair = (size_t)row_whole(&rows) - 1;
        sale->customer = row_text(&rows);
        sale->pieces = row_whole(&rows);
        sale->bread_day = goals->pairs[sale->pair].bread_day;
        sale->product = goals->pairs[sale->pair].product;
    }
    return *items != NULL;
}

bool trace_customers_load(struct tx *tx, const struct trace_sale *sales, size_t sale_count,
                          struct trace_customer **items, size_t *count)
{
    struct args args;
    struct rows rows;
    const char **codes = arena_array(tx->arena, sale_count, sizeof *codes);
    size_t code_count = 0;
    if (codes == NULL) return fail_memory(tx->fails);
    for (size_t i = 0; i < sale_count; i++)
        if (i == 0 || strcmp(sales[i - 1].customer, sales[i].customer) != 0)
            codes[code_count++] = sales[i].customer;
    args_init(&args, tx);
    args_texts(&args, codes, code_count);
    if (!tx_query(tx, "trace_customers", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct trace_customer *customer = *items; customer != NULL && rows_next(&rows);
         customer++) {
        customer->customer = row_text(&rows);
        customer->name = row_text(&rows);
        customer->phone = row_text(&rows);
        customer->address = row_text(&rows);
    }
    return *items != NULL;
}
