/* Batches that were mixed. */
#include "store/batch.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

#define NOT_REVERSED                                                                               \
    " NOT EXISTS (SELECT FROM posting r WHERE r.bakery_id = $1 AND r.reverses = b.posting)"

STATEMENTS(
    batch_statements,
    {"batch_claim",
     "INSERT INTO mixed_batch (bakery_id, posting, mixing_date, formula, batch, attempt, mixed_at,"
     " dough_mg) SELECT $1, $2, $3::date, $4::text, $5::integer, count(*) + 1,"
     " to_timestamp($6::bigint), $7"
     " FROM mixed_batch b WHERE b.bakery_id = $1 AND b.mixing_date = $3::date AND b.formula = "
     "$4::text"
     " AND b.batch = $5::integer HAVING bool_and(NOT" NOT_REVERSED
     ") IS NOT FALSE RETURNING attempt"},
    {"batch_add_lines",
     "INSERT INTO mixed_batch_line (bakery_id, posting, position, ingredient, starter, part, mg,"
     " log_entry, part_mixing_date) SELECT $1, $2, n, ingredient, starter, part, mg, log_entry,"
     " part_date FROM unnest($3::text[], $4::text[], $5::text[], $6::bigint[],"
     " $7::bigint[], $8::date[]) WITH ORDINALITY"
     " AS line (ingredient, starter, part, mg, log_entry, part_date, n)"},
    {"batch_add_purposes",
     "INSERT INTO mixed_batch_for (bakery_id, posting, bread_day, product)"
     " SELECT DISTINCT $1::bigint, $2::bigint, day, product"
     " FROM unnest($3::date[], $4::text[]) AS purpose (day, product)"},
    {"batch_select",
     "SELECT b.posting, b.mixing_date, b.formula, b.batch, b.attempt,"
     " extract(epoch FROM b.mixed_at)::bigint, extract(epoch FROM p.at)::bigint, p.by, b.dough_mg"
     " FROM mixed_batch b JOIN posting p ON p.bakery_id = $1 AND p.number = b.posting"
     " WHERE b.bakery_id = $1 AND b.mixing_date = $2 AND ($3::text IS NULL OR b.formula = $3)"
     " AND ($4 = 0 OR b.batch = $4) AND" NOT_REVERSED " ORDER BY b.formula, b.batch"},
    {"batch_lines",
     "SELECT posting, ingredient, starter, part, mg, coalesce(log_entry, 0), part_mixing_date"
     " FROM mixed_batch_line WHERE bakery_id = $1 AND posting = ANY ($2::bigint[])"
     " ORDER BY array_position($2::bigint[], posting), position"},
    {"batch_purposes",
     "SELECT posting, bread_day, product FROM mixed_batch_for WHERE bakery_id = $1"
     " AND posting = ANY ($2::bigint[])"
     " ORDER BY array_position($2::bigint[], posting), bread_day, product"},
    {"batch_takings",
     "SELECT DISTINCT starter, log_entry FROM mixed_batch_line WHERE bakery_id = $1"
     " AND posting = $2 AND log_entry IS NOT NULL ORDER BY starter, log_entry"});

/* --- posting --- */

bool batch_claim(struct tx *tx, struct mixed_batch *batch, bool *claimed)
{
    struct args args;
    args_init(&args, tx);
    args_whole(&args, batch->posting);
    args_date(&args, batch->mixing_date);
    args_text(&args, batch->formula);
    args_whole(&args, batch->batch);
    args_whole(&args, batch->mixed_at);
    args_whole(&args, batch->dough_mg);
    batch->attempt = 0;
    if (!tx_query_whole(tx, "batch_claim", &args, &batch->attempt)) return false;
    *claimed = batch->attempt > 0;
    return true;
}

struct line_columns {
    const char **codes[3]; /* by enum line_kind */
    int64_t *mg;
    int64_t *log_entries;
    date *part_dates;
};

static bool line_columns_of(struct tx *tx, const struct mixed_batch *batch,
                            struct line_columns *out)
{
    size_t count = batch->line_count;
    for (size_t kind = 0; kind < 3; kind++)
        out->codes[kind] = arena_array(tx->arena, count, sizeof *out->codes[kind]);
    out->mg = arena_array(tx->arena, count, sizeof *out->mg);
    out->log_entries = arena_array(tx->arena, count, sizeof *out->log_entries);
    out->part_dates = arena_array(tx->arena, count, sizeof *out->part_dates);
    if (arena_failed(tx->arena)) return fail_memory(tx->fails);
    for (size_t i = 0; i < count; i++) {
        const struct batch_line *line = &batch->lines[i];
        out->codes[line->kind][i] = line->code;
        out->mg[i] = line->mg;
        out->log_entries[i] = line->log_entry > 0 ? line->log_entry : INT64_MIN;
        out->part_dates[i] = line->has_part_date ? line->part_date : NO_DATE;
    }
    return true;
}

static bool add_lines(struct tx *tx, const struct mixed_batch *batch)
{
    struct args args;
    struct line_columns columns;
    if (!line_columns_of(tx, batch, &columns)) return false;
    args_init(&args, tx);
    args_whole(&args, batch->posting);
    for (size_t kind = 0; kind < 3; kind++)
        args_texts(&args, columns.codes[kind], batch->line_count);
    args_wholes(&args, columns.mg, batch->line_count);
    args_wholes(&args, columns.log_entries, batch->line_count);
    args_dates(&args, columns.part_dates, batch->line_count);
    return tx_execute(tx, "batch_add_lines", &args, NULL);
}

static bool add_purposes(struct tx *tx, const struct mixed_batch *batch)
{
    struct args args;
    size_t count = batch->purpose_count;
    date *days = arena_array(tx->arena, count, sizeof *days);
    const char **products = arena_array(tx->arena, count, sizeof *products);
    if (days == NULL || products == NULL) return fail_memory(tx->fails);
    for (size_t i = 0; i < count; i++) {
        days[i] = batch->purposes[i].bread_day;
        products[i] = batch->purposes[i].product;
    }
    args_init(&args, tx);
    args_whole(&args, batch->posting);
    args_dates(&args, days, count);
    args_texts(&args, products, count);
    return tx_execute(tx, "batch_add_purposes", &args, NULL);
}

bool batch_add_contents(struct tx *tx, const struct mixed_batch *batch)
{
    return add_lines(tx, batch) && add_purposes(tx, batch);
}

/* --- reading --- */

static void take_line(struct rows *rows, struct batch_line *line)
{
    line->code = row_thing(rows, &line->kind);
    line->mg = row_whole(rows);
    line->log_entry = row_whole(rows);
    line->has_part_date = !row_is_null(rows);
    line->part_date = row_date(rows);
}

/* Runs a statement for the children of these batches. */
static bool query_children(struct tx *tx, const char *statement, const struct mixed_batch *batches,
                           size_t count, struct rows *rows)
{
    struct args args;
    int64_t *postings = arena_array(tx->arena, count, sizeof *postings);
    if (postings == NULL) return fail_memory(tx->fails);
    for (size_t i = 0; i < count; i++)
        postings[i] = batches[i].posting;
    args_init(&args, tx);
    args_wholes(&args, postings, count);
    return tx_query(tx, statement, &args, rows);
}

/* Children come in the order of their batches. */
static struct mixed_batch *owner(struct mixed_batch *at, int64_t posting)
{
    while (at->posting != posting)
        at++;
    return at;
}

static bool load_lines(struct tx *tx, struct mixed_batch *batches, size_t count)
{
    struct rows rows;
    size_t line_count;
    struct mixed_batch *at = batches;
    if (!query_children(tx, "batch_lines", batches, count, &rows)) return false;
    struct batch_line *lines = rows_room(tx, &rows, sizeof *lines, &line_count);
    for (; lines != NULL && rows_next(&rows); lines++) {
        at = owner(at, row_whole(&rows));
        if (at->line_count++ == 0) at->lines = lines;
        take_line(&rows, lines);
    }
    return lines != NULL;
}

static bool load_purposes(struct tx *tx, struct mixed_batch *batches, size_t count)
{
    struct rows rows;
    size_t purpose_count;
    struct mixed_batch *at = batches;
    if (!query_children(tx, "batch_purposes", batches, count, &rows)) return false;
    struct batch_purpose *purposes = rows_room(tx, &rows, sizeof *purposes, &purpose_count);
    for (; purposes != NULL && rows_next(&rows); purposes++) {
        at = owner(at, row_whole(&rows));
        if (at->purpose_count++ == 0) at->purposes = purposes;
        purposes->bread_day = row_date(&rows);
        purposes->product = row_text(&rows);
    }
    return purposes != NULL;
}

static void take_batch(struct rows *rows, struct mixed_batch *batch)
{
    batch->posting = row_whole(rows);
    batch->mixing_date = row_date(rows);
    batch->formula = row_text(rows);
    batch->batch = row_whole(rows);
    batch->attempt = row_whole(rows);
    batch->mixed_at = row_instant(rows);
    batch->posted_at = row_instant(rows);
    batch->posted_by = row_text(rows);
    batch->dough_mg = row_whole(rows);
}

bool batch_select(struct tx *tx, const struct batch_filter *filter, struct mixed_batch **items,
                  size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_date(&args, filter->mixing_date);
    args_text(&args, filter->formula);
    args_whole(&args, filter->batch);
    if (!tx_query(tx, "batch_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct mixed_batch *batch = *items; batch != NULL && rows_next(&rows); batch++)
        take_batch(&rows, batch);
    return *items != NULL && load_lines(tx, *items, *count) && load_purposes(tx, *items, *count);
}

/* --- takings --- */

bool batch_takings(struct tx *tx, int64_t posting, struct batch_taking **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_whole(&args, posting);
    if (!tx_query(tx, "batch_takings", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct batch_taking *taking = *items; taking != NULL && rows_next(&rows); taking++) {
        taking->starter = row_text(&rows);
        taking->log_entry = row_whole(&rows);
    }
    return *items != NULL;
}
