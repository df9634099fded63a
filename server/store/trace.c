/* The trace's lots and batches, and what is in them.
 *
 * Lists of codes and numbers go in as arrays, so that the number of statements does not grow with
 * what is found. The walk through preferments is one recursive statement; it ends in any case,
 * since a batch that was reached once is not reached again. Dates go in as dates: a cast in a
 * condition could tell of rows of other bakeries, and would keep it from the index.
 */
#include "store/trace.h"

#include "bakery/catalogue.h"
#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

#include <string.h>

/* The posting of b or l was not reversed. */
#define REVERSED  " FROM posting r WHERE r.bakery_id = $1 AND r.reverses = "
#define B_STANDS  " NOT EXISTS (SELECT" REVERSED "b.posting)"
#define L_STANDS  " NOT EXISTS (SELECT" REVERSED "l.posting)"
#define ITS_LINES " JOIN mixed_batch_line l ON l.bakery_id = $1 AND l."
#define ITS_BATCH " JOIN mixed_batch b ON b.bakery_id = $1 AND b.posting = "
/* Walks from batch to batch by index alone, however long the history is: OFFSET 0 keeps the
 * planner, which takes what is walked over for much more than it is, from reading all of it. */
#define WALK                                                                                       \
    "WITH RECURSIVE reached (posting, mixing_date, formula, batch, mixed_at, dough_mg) AS"         \
    " (SELECT b.* FROM "
#define TO_LINES                                                                                   \
    " CROSS JOIN LATERAL (SELECT * FROM mixed_batch_line l WHERE l.bakery_id = $1 AND l."
#define TO_BATCH                                                                                   \
    " CROSS JOIN LATERAL (SELECT posting, mixing_date, formula, batch,"                            \
    " extract(epoch FROM mixed_at)::bigint, dough_mg FROM mixed_batch b WHERE b.bakery_id = $1"    \
    " AND b."
#define BATCH_END " AND" B_STANDS " OFFSET 0) b"
#define WALK_END  ") SELECT * FROM reached ORDER BY posting"

STATEMENTS(
    trace_statements,
    {"trace_lots",
     "SELECT l.number, l.ingredient, l.supplier, s.name, s.phone, l.lot_mark, l.best_before,"
     " l.received_on, p.delivery_note, l.held FROM lot l"
     " JOIN posting p ON p.bakery_id = $1 AND p.number = l.posting"
     " LEFT JOIN supplier s ON s.bakery_id = $1 AND s.code = l.supplier"
     " WHERE l.bakery_id = $1 AND l.number = ANY ($2::bigint[]) ORDER BY l.number"},
    {"trace_batches_forward",
     WALK "(SELECT m.posting FROM movement m WHERE m.bakery_id = $1 AND m.lot = $2"
          " AND m.kind = 'mixed' UNION SELECT l.posting"
          " FROM unnest($3::text[], $4::bigint[]) AS t (starter, entry)" TO_LINES
          "starter = t.starter AND l.log_entry = t.entry OFFSET 0) l) s" TO_BATCH
          "posting = s.posting" BATCH_END " UNION SELECT b.* FROM reached r" TO_LINES
          "part = r.formula AND l.part_mixing_date = r.mixing_date OFFSET 0) l" TO_BATCH
          "posting = l.posting" BATCH_END WALK_END},
    {"trace_batches_backward",
     WALK "unnest($2::bigint[]) AS s (posting)" TO_BATCH "posting = s.posting" BATCH_END
          " UNION SELECT b.* FROM reached r" TO_LINES "posting = r.posting AND l.part IS NOT NULL"
          " OFFSET 0) l" TO_BATCH
          "formula = l.part AND b.mixing_date = l.part_mixing_date" BATCH_END WALK_END},
    {"trace_lines",
     "SELECT posting, ingredient, starter, part, mg, coalesce(log_entry, 0), part_mixing_date"
     " FROM mixed_batch_line WHERE bakery_id = $1 AND posting = ANY ($2::bigint[])"
     " AND ($3 OR ingredient IS NULL) ORDER BY posting, position"},
    {"trace_moves",
     "SELECT posting, lot, -sum(delta)::bigint FROM movement WHERE bakery_id = $1"
     " AND posting = ANY ($2::bigint[]) AND ($3::bigint = 0 OR lot = $3) AND kind = 'mixed'"
     " GROUP BY posting, lot ORDER BY posting, lot"},
    {"trace_pools",
     "SELECT w.part, w.day, (SELECT coalesce(sum(b.dough_mg), 0)::bigint FROM mixed_batch b"
     " WHERE b.bakery_id = $1 AND b.formula = w.part AND b.mixing_date = w.day AND" B_STANDS "),"
     " (SELECT coalesce(sum(l.mg), 0)::bigint FROM mixed_batch_line l"
     " WHERE l.bakery_id = $1 AND l.part = w.part AND l.part_mixing_date = w.day AND" L_STANDS ")"
     " FROM (SELECT DISTINCT part, day FROM unnest($2::text[], $3::date[]) AS w (part, day)) w"
     " ORDER BY w.part COLLATE \"C\", w.day"},
    {"trace_unposted",
     "WITH named AS (SELECT DISTINCT part, part_mixing_date AS day FROM mixed_batch_line"
     " WHERE bakery_id = $1 AND part = ANY ($2::text[]) AND part_mixing_date BETWEEN $3 AND $4),"
     " missing AS MATERIALIZED (SELECT part, day FROM named n WHERE NOT EXISTS ("
     "SELECT FROM mixed_batch b WHERE b.bakery_id = $1 AND b.formula = n.part"
     " AND b.mixing_date = n.day AND" B_STANDS "))"
     " SELECT l.part, l.part_mixing_date, sum(l.mg)::bigint FROM missing n" ITS_LINES
     "part = n.part AND l.part_mixing_date = n.day WHERE" L_STANDS
     " GROUP BY l.part, l.part_mixing_date ORDER BY l.part, l.part_mixing_date"},
    {"trace_unlogged",
     "WITH l AS MATERIALIZED (SELECT posting, starter, mg FROM mixed_batch_line"
     " WHERE bakery_id = $1 AND starter = ANY ($2::text[]) AND log_entry IS NULL)"
     " SELECT l.starter, NULL, sum(l.mg)::bigint FROM l" ITS_BATCH "l.posting"
     " WHERE b.mixing_date BETWEEN $3 AND $4 AND" L_STANDS
     " GROUP BY l.starter ORDER BY l.starter"});

/* --- lots --- */

static bool take_lot(struct rows *rows, const struct catalogue *catalogue, struct trace_lot *lot)
{
    lot->lot = row_whole(rows);
    lot->ingredient = catalogue_ingredient(catalogue, row_text(rows));
    lot->supplier = row_text(rows);
    lot->supplier_name = row_text(rows);
    lot->supplier_phone = row_text(rows);
    lot->lot_mark = row_text(rows);
    lot->has_best_before = !row_is_null(rows);
    lot->best_before = row_date(rows);
    lot->received_on = row_date(rows);
    lot->delivery_note = row_text(rows);
    lot->held = row_bool(rows);
    return lot->ingredient != NOT_FOUND;
}

bool trace_lots_load(struct tx *tx, const struct catalogue *catalogue, const int64_t *numbers,
                     size_t number_count, struct trace_lot **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_wholes(&args, numbers, number_count);
    if (!tx_query(tx, "trace_lots", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct trace_lot *lot = *items; lot != NULL && rows_next(&rows); lot++)
        if (!take_lot(&rows, catalogue, lot))
            return fail_add(tx->fails, FAIL_INTERNAL, "", "a lot is of an unknown ingredient");
    return *items != NULL;
}

/* --- batches --- */

static bool take_batches(struct tx *tx, const char *statement, const struct args *args,
                         struct flow *flow)
{
    struct rows rows;
    if (!tx_query(tx, statement, args, &rows)) return false;
    struct flow_batch *batch = rows_room(tx, &rows, sizeof *batch, &flow->batch_count);
    flow->batches = batch;
    for (; batch != NULL && rows_next(&rows); batch++) {
        batch->posting = row_whole(&rows);
        batch->mixing_date = row_date(&rows);
        batch->formula = row_text(&rows);
        batch->batch = row_whole(&rows);
        batch->mixed_at = row_instant(&rows);
        batch->dough_mg = row_whole(&rows);
    }
    return batch != NULL;
}

bool trace_batches_forward(struct tx *tx, int64_t lot, struct flow *flow)
{
    struct args args;
    const char **starters = arena_array(tx->arena, flow->taking_count, sizeof *starters);
    int64_t *entries = arena_array(tx->arena, flow->taking_count, sizeof *entries);
    if (starters == NULL || entries == NULL) return fail_memory(tx->fails);
    for (size_t i = 0; i < flow->taking_count; i++) {
        starters[i] = flow->takings[i].starter;
        entries[i] = flow->takings[i].taken.entry;
    }
    args_init(&args, tx);
    args_whole(&args, lot);
    args_texts(&args, starters, flow->taking_count);
    args_wholes(&args, entries, flow->taking_count);
    return take_batches(tx, "trace_batches_forward", &args, flow);
}

bool trace_batches_backward(struct tx *tx, const int64_t *postings, size_t posting_count,
                            struct flow *flow)
{
    struct args args;
    args_init(&args, tx);
    args_wholes(&args, postings, posting_count);
    return take_batches(tx, "trace_batches_backward", &args, flow);
}

/* --- what is in them --- */

static void take_line(struct rows *rows, struct flow_line *line)
{
    line->posting = row_whole(rows);
    line->code = row_thing(rows, &line->kind);
    line->mg = row_whole(rows);
    line->log_entry = row_whole(rows);
    line->has_part_date = !row_is_null(rows);
    line->part_date = row_date(rows);
}

static bool load_lines(struct tx *tx, bool all_lines, const int64_t *postings, struct flow *flow)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_wholes(&args, postings, flow->batch_count);
    args_bool(&args, all_lines);
    if (!tx_query(tx, "trace_lines", &args, &rows)) return false;
    struct flow_line *line = rows_room(tx, &rows, sizeof *line, &flow->line_count);
    flow->lines = line;
    for (; line != NULL && rows_next(&rows); line++)
        take_line(&rows, line);
    return line != NULL;
}

static bool load_moves(struct tx *tx, int64_t lot, const int64_t *postings, struct flow *flow)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_wholes(&args, postings, flow->batch_count);
    args_whole(&args, lot);
    if (!tx_query(tx, "trace_moves", &args, &rows)) return false;
    struct flow_move *move = rows_room(tx, &rows, sizeof *move, &flow->move_count);
    flow->moves = move;
    for (; move != NULL && rows_next(&rows); move++) {
        move->posting = row_whole(&rows);
        move->lot = row_whole(&rows);
        move->mg = row_whole(&rows);
    }
    return move != NULL;
}

/* The preferments that lines name, with dates; neighbours that are the same only once. */
static bool named_pools(struct tx *tx, const struct flow *flow, struct args *args)
{
    const char **parts = arena_array(tx->arena, flow->line_count, sizeof *parts);
    date *days = arena_array(tx->arena, flow->line_count, sizeof *days);
    size_t count = 0;
    if (parts == NULL || days == NULL) return fail_memory(tx->fails);
    for (size_t i = 0; i < flow->line_count; i++) {
        const struct flow_line *line = &flow->lines[i];
        if (line->kind != LINE_FORMULA || !line->has_part_date) continue;
        parts[count] = line->code;
        days[count] = line->part_date;
        if (count == 0 || days[count - 1] != days[count] ||
            strcmp(parts[count - 1], parts[count]) != 0)
            count++;
    }
    args_texts(args, parts, count);
    args_dates(args, days, count);
    return true;
}

static bool load_pools(struct tx *tx, struct flow *flow)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    if (!named_pools(tx, flow, &args) || !tx_query(tx, "trace_pools", &args, &rows)) return false;
    struct flow_pool *pool = rows_room(tx, &rows, sizeof *pool, &flow->pool_count);
    flow->pools = pool;
    for (; pool != NULL && rows_next(&rows); pool++) {
        pool->part = row_text(&rows);
        pool->mixing_date = row_date(&rows);
        pool->posted_mg = row_whole(&rows);
        pool->taken_mg = row_whole(&rows);
    }
    return pool != NULL;
}

bool trace_contents_load(struct tx *tx, bool all_lines, int64_t lot, struct flow *flow)
{
    int64_t *postings = arena_array(tx->arena, flow->batch_count, sizeof *postings);
    if (postings == NULL) return fail_memory(tx->fails);
    for (size_t i = 0; i < flow->batch_count; i++)
        postings[i] = flow->batches[i].posting;
    return load_lines(tx, all_lines, postings, flow) && load_moves(tx, lot, postings, flow) &&
           load_pools(tx, flow);
}

/* --- what cannot be followed --- */

static bool load_blanks(struct tx *tx, const char *statement, const char *const *codes,
                        size_t code_count, date first, date last, struct trace_blank **items,
                        size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_texts(&args, codes, code_count);
    args_date(&args, first);
    args_date(&args, last);
    if (!tx_query(tx, statement, &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct trace_blank *blank = *items; blank != NULL && rows_next(&rows); blank++) {
        blank->code = row_text(&rows);
        blank->mixing_date = row_date(&rows);
        blank->mg = row_whole(&rows);
    }
    return *items != NULL;
}

bool trace_unposted_load(struct tx *tx, const char *const *parts, size_t part_count, date first,
                         date last, struct trace_blank **items, size_t *count)
{
    return load_blanks(tx, "trace_unposted", parts, part_count, first, last, items, count);
}

bool trace_unlogged_load(struct tx *tx, const char *const *starters, size_t starter_count,
                         date first, date last, struct trace_blank **items, size_t *count)
{
    return load_blanks(tx, "trace_unlogged", starters, starter_count, first, last, items, count);
}
