/* The log of a starter. */
#include "store/starter_log.h"

#include "base/arena.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"
#include "store/selection.h"
#include "store/words.h"

STATEMENTS(starter_log_statements,
           {"starter_log_lock",
            "SELECT 1 FROM starter WHERE bakery_id = $1 AND code = $2 FOR NO KEY UPDATE"},
           {"starter_log_select",
            "SELECT number, kind, extract(epoch FROM at)::bigint,"
            " extract(epoch FROM entered_at)::bigint, entered_by, delta_mg, on_hand_mg,"
            " seed_mg, flour_mg, water_mg, c, coalesce(reverses, 0),"
            " coalesce((SELECT r.number FROM starter_log r WHERE r.bakery_id = l.bakery_id"
            " AND r.starter = l.starter AND r.reverses = l.number), 0), note,"
            " coalesce((SELECT p.number FROM posting p WHERE p.bakery_id = l.bakery_id"
            " AND p.starter = l.starter AND p.log_entry = l.number), 0),"
            " b.formula, b.mixing_date, coalesce(b.batch, 0) FROM starter_log l"
            " LEFT JOIN LATERAL (SELECT formula, mixing_date, batch FROM mixed_batch_line t"
            " JOIN mixed_batch USING (bakery_id, posting) WHERE t.bakery_id = l.bakery_id"
            " AND t.starter = l.starter AND t.log_entry = l.number LIMIT 1) AS b ON true"
            " WHERE bakery_id = $1 AND starter = $2"
            " AND ($3 = 0 OR number = $3) AND ($4 = 0 OR number < $4)"
            " ORDER BY number DESC LIMIT nullif($5::bigint, 0)"},
           {"starter_log_add",
            "INSERT INTO starter_log (bakery_id, starter, number, kind, at, entered_by, delta_mg,"
            " on_hand_mg, seed_mg, flour_mg, water_mg, c, reverses, note)"
            " VALUES ($1, $2, $3, $4, to_timestamp($5::bigint), $6, $7, $8, $9, $10, $11, $12,"
            " $13, $14) RETURNING extract(epoch FROM entered_at)::bigint"},
           {"starter_waste",
            "SELECT starter, coalesce(sum(-delta_mg) FILTER (WHERE kind = 'taken'), 0)::bigint,"
            " coalesce(sum(CASE kind WHEN 'discarded' THEN -delta_mg"
            " ELSE flour_mg + water_mg - delta_mg END)"
            " FILTER (WHERE kind IN ('discarded', 'fed')), 0)::bigint"
            " FROM starter_log l WHERE bakery_id = $1"
            " AND at >= to_timestamp($2::bigint) AND at < to_timestamp($3::bigint)"
            " AND NOT EXISTS (SELECT FROM starter_log r WHERE r.bakery_id = l.bakery_id"
            " AND r.starter = l.starter AND r.reverses = l.number)"
            " GROUP BY starter ORDER BY starter"});

bool starter_log_lock(struct tx *tx, const char *starter, bool *found)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, starter);
    if (!tx_query(tx, "starter_log_lock", &args, &rows)) return false;
    *found = rows_next(&rows);
    return true;
}

static void take_entry(struct rows *rows, struct pot_entry *entry)
{
    entry->number = row_whole(rows);
    entry->kind = (enum pot_kind)word_index(pot_kinds, row_text(rows));
    entry->at = row_instant(rows);
    entry->entered_at = row_instant(rows);
    entry->entered_by = row_text(rows);
    entry->delta_mg = row_whole(rows);
    entry->on_hand_mg = row_whole(rows);
    entry->seed_mg = row_whole(rows);
    entry->flour_mg = row_whole(rows);
    entry->water_mg = row_whole(rows);
    entry->has_c = !row_is_null(rows);
    entry->c = row_whole(rows);
    entry->reverses = row_whole(rows);
    entry->reversed_by = row_whole(rows);
    entry->note = row_text(rows);
    entry->movement = row_whole(rows);
    entry->formula = row_text(rows);
    entry->mixing_date = row_date(rows);
    entry->batch = row_whole(rows);
}

bool starter_log_select(struct tx *tx, const char *starter, const struct starter_log_filter *filter,
                        struct pot_entry **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, starter);
    args_whole(&args, filter->number);
    args_whole(&args, filter->before);
    args_whole(&args, filter->limit);
    if (!tx_query(tx, "starter_log_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct pot_entry *entry = *items; entry != NULL && rows_next(&rows); entry++)
        take_entry(&rows, entry);
    return *items != NULL;
}

bool starter_log_recent(struct tx *tx, const char *starter, struct pot_entry **items, size_t *count)
{
    static const struct starter_log_filter recent = {.limit = POT_STATE_ENTRIES};
    if (!starter_log_select(tx, starter, &recent, items, count)) return false;
    for (size_t i = 0; i < *count / 2; i++) {
        struct pot_entry newer = (*items)[i];
        (*items)[i] = (*items)[*count - 1 - i];
        (*items)[*count - 1 - i] = newer;
    }
    return true;
}

bool starter_log_add(struct tx *tx, const char *starter, struct pot_entry *entry)
{
    struct args args;
    bool fed = entry->kind == POT_FED;
    args_init(&args, tx);
    args_text(&args, starter);
    args_whole(&args, entry->number);
    args_text(&args, pot_kinds[entry->kind]);
    args_whole(&args, entry->at);
    args_text(&args, tx->actor);
    args_whole(&args, entry->delta_mg);
    args_whole(&args, entry->on_hand_mg);
    args_whole_or_null(&args, entry->seed_mg, fed);
    args_whole_or_null(&args, entry->flour_mg, fed);
    args_whole_or_null(&args, entry->water_mg, fed);
    args_whole_or_null(&args, entry->c, entry->has_c);
    args_whole_or_null(&args, entry->reverses, entry->reverses > 0);
    args_text(&args, entry->note);
    entry->entered_by = tx->actor;
    return tx_query_whole(tx, "starter_log_add", &args, &entry->entered_at);
}

bool starter_waste_load(struct tx *tx, const struct catalogue *catalogue, instant from, instant to,
                        struct starter_waste *waste)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_whole(&args, from);
    args_whole(&args, to);
    if (!tx_query(tx, "starter_waste", &args, &rows)) return false;
    for (size_t at = 0; rows_next(&rows);) {
        if (!selection_owner(catalogue->starters, sizeof *catalogue->starters,
                             catalogue->starter_count, &at, row_text(&rows)))
            continue;
        waste[at].taken_mg = row_whole(&rows);
        waste[at].discarded_mg = row_whole(&rows);
    }
    return true;
}
