/* Postings: what happened to the stock, each all at once. */
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"
#include "store/stock.h"
#include "store/words.h"

STATEMENTS(posting_statements,
           {"posting_add",
            "INSERT INTO posting (bakery_id, kind, date, by, reason, supplier, delivery_note,"
            " purchase_order, starter, log_entry, reverses)"
            " VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)"
            " RETURNING number, extract(epoch FROM at)::bigint"},
           {"posting_of_feed",
            "SELECT number FROM posting WHERE bakery_id = $1 AND starter = $2 AND log_entry = $3"},
           {"posting_told",
            "SELECT p.number FROM movement m JOIN posting p ON p.bakery_id = $1"
            " AND p.number = m.posting WHERE m.bakery_id = $1 AND m.ingredient = $2"
            " AND m.date = $3 AND ($4 = 0 OR m.lot = $4)"
            " AND p.kind IN ('used', 'wasted', 'returned') AND NOT EXISTS (SELECT FROM posting r"
            " WHERE r.bakery_id = $1 AND r.reverses = p.number) AND NOT EXISTS (SELECT"
            " FROM movement other WHERE other.bakery_id = $1 AND other.posting = p.number"
            " AND other.ingredient <> $2) GROUP BY p.number HAVING sum(m.delta) = -$5::bigint"
            " ORDER BY p.number DESC LIMIT 1"},
           {"posting_select",
            "SELECT p.number, p.kind, p.date, extract(epoch FROM p.at)::bigint, p.by, p.reason,"
            " p.supplier, p.delivery_note, p.purchase_order, p.starter, p.log_entry, p.reverses,"
            " r.number, b.formula, b.mixing_date, b.batch FROM posting p"
            " LEFT JOIN posting r ON r.bakery_id = $1 AND r.reverses = p.number"
            " LEFT JOIN mixed_batch b ON b.bakery_id = $1 AND b.posting = p.number"
            " WHERE p.bakery_id = $1 AND ($2 = 0 OR p.number = $2) AND ($3 = 0 OR p.number < $3)"
            " AND ($4::text IS NULL OR p.kind = $4) AND ($5::text IS NULL OR p.supplier = $5)"
            " AND (($6::text IS NULL AND $7 = 0) OR EXISTS (SELECT FROM movement m"
            " WHERE m.bakery_id = $1 AND m.posting = p.number"
            " AND ($6::text IS NULL OR m.ingredient = $6) AND ($7 = 0 OR m.lot = $7)))"
            " AND p.date BETWEEN $8 AND $9 ORDER BY p.number DESC LIMIT nullif($10::bigint, 0)"});

bool posting_add(struct tx *tx, struct posting *posting)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, stock_kinds[posting->kind]);
    args_date(&args, posting->date);
    args_text(&args, tx->actor);
    args_text(&args, posting->reason);
    args_text(&args, posting->supplier);
    args_text(&args, posting->delivery_note);
    args_whole_or_null(&args, posting->purchase_order, posting->purchase_order > 0);
    args_text(&args, posting->starter);
    args_whole_or_null(&args, posting->log_entry, posting->log_entry > 0);
    args_whole_or_null(&args, posting->reverses, posting->reverses > 0);
    if (!tx_query(tx, "posting_add", &args, &rows)) return false;
    if (rows_next(&rows)) {
        posting->number = row_whole(&rows);
        posting->at = row_instant(&rows);
    }
    posting->by = tx->actor;
    return true;
}

static void take_posting(struct rows *rows, struct posting *posting)
{
    posting->number = row_whole(rows);
    posting->kind = (enum stock_kind)word_index(stock_kinds, row_text(rows));
    posting->date = row_date(rows);
    posting->at = row_instant(rows);
    posting->by = row_text(rows);
    posting->reason = row_text(rows);
    posting->supplier = row_text(rows);
    posting->delivery_note = row_text(rows);
    posting->purchase_order = row_whole(rows);
    posting->starter = row_text(rows);
    posting->log_entry = row_whole(rows);
    posting->reverses = row_whole(rows);
    posting->reversed_by = row_whole(rows);
    posting->formula = row_text(rows);
    posting->mixing_date = row_date(rows);
    posting->batch = row_whole(rows);
}

bool posting_select(struct tx *tx, const struct posting_filter *filter, struct posting **items,
                    size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_whole(&args, filter->number);
    args_whole(&args, filter->before);
    args_text(&args, filter->kind);
    args_text(&args, filter->supplier);
    args_text(&args, filter->ingredient);
    args_whole(&args, filter->lot);
    args_date(&args, filter->from);
    args_date(&args, filter->to);
    args_whole(&args, filter->limit);
    if (!tx_query(tx, "posting_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct posting *posting = *items; posting != NULL && rows_next(&rows); posting++)
        take_posting(&rows, posting);
    return *items != NULL;
}

bool posting_of_feed(struct tx *tx, const char *starter, int64_t log_entry, int64_t *number)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, starter);
    args_whole(&args, log_entry);
    *number = 0;
    return tx_query_whole(tx, "posting_of_feed", &args, number);
}

bool posting_told(struct tx *tx, const struct told *told, int64_t *number)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, told->ingredient);
    args_date(&args, told->date);
    args_whole(&args, told->lot);
    args_whole(&args, told->amount);
    *number = 0;
    return tx_query_whole(tx, "posting_told", &args, number);
}
