/* The trace's stock: what became of a lot, what it fed, and the logs of the starters that it fed.
 */
#include "bakery/stock.h"
#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"
#include "store/trace.h"
#include "store/words.h"

#include <string.h>

/* Reversals have the kind of what they reverse, so that each kind's sum is what it came to. What
 * was moved to another place did not go out. */
STATEMENTS(
    trace_stock_statements,
    {"trace_balance",
     "SELECT kind, sum(delta)::bigint, max(date) FILTER (WHERE kind NOT IN ('received', 'moved'))"
     " FROM movement WHERE bakery_id = $1 AND lot = $2 GROUP BY kind"},
    {"trace_left",
     "SELECT coalesce(sum(amount), 0)::bigint FROM lot_place WHERE bakery_id = $1 AND lot = $2"},
    {"trace_feeds",
     "SELECT p.starter, p.log_entry, extract(epoch FROM l.at)::bigint, -sum(m.delta)::bigint,"
     " p.number FROM movement m"
     " JOIN posting p ON p.bakery_id = $1 AND p.number = m.posting AND p.kind = 'fed'"
     " JOIN starter_log l ON l.bakery_id = $1 AND l.starter = p.starter AND l.number = p.log_entry"
     " WHERE m.bakery_id = $1 AND m.lot = $2 AND m.kind = 'fed'"
     " AND NOT EXISTS (SELECT FROM posting r WHERE r.bakery_id = $1 AND r.reverses = p.number)"
     " GROUP BY p.starter, p.log_entry, l.at, p.number ORDER BY p.starter, p.log_entry"},
    {"trace_stretches",
     "SELECT l.starter, base.mg, l.number, l.kind, l.delta_mg, l.on_hand_mg, l.flour_mg,"
     " l.water_mg, r.number"
     " FROM unnest($2::text[], $3::bigint[], $4::bigint[]) AS w (starter, first, last)"
     " CROSS JOIN LATERAL (SELECT coalesce(sum(x.delta_mg), 0)::bigint AS mg FROM starter_log x"
     " WHERE x.bakery_id = $1 AND x.starter = w.starter AND x.reverses < w.first"
     " AND x.number >= w.first) AS base"
     " JOIN starter_log l ON l.bakery_id = $1 AND l.starter = w.starter"
     " AND l.number BETWEEN w.first AND w.last"
     " LEFT JOIN starter_log r ON r.bakery_id = $1 AND r.starter = l.starter"
     " AND r.reverses = l.number ORDER BY l.starter, l.number"},
    {"trace_pot_feeds",
     "SELECT p.starter, p.log_entry, m.lot, -sum(m.delta)::bigint"
     " FROM unnest($2::text[], $3::bigint[], $4::bigint[]) AS w (starter, first, last)"
     " JOIN posting p ON p.bakery_id = $1 AND p.starter = w.starter AND p.kind = 'fed'"
     " AND p.log_entry BETWEEN w.first AND w.last"
     " JOIN movement m ON m.bakery_id = $1 AND m.posting = p.number"
     " WHERE NOT EXISTS (SELECT FROM posting r WHERE r.bakery_id = $1 AND r.reverses = p.number)"
     " GROUP BY p.starter, p.log_entry, m.lot ORDER BY p.starter, p.log_entry, m.lot"});

/* --- the balance --- */

static void take_sum(struct rows *rows, struct trace_balance *balance)
{
    enum stock_kind kind = (enum stock_kind)word_index(stock_kinds, row_text(rows));
    int64_t sum = row_whole(rows);
    bool dated = !row_is_null(rows);
    date last = row_date(rows);
    int64_t *const places[STOCK_KINDS] = {
        [STOCK_RECEIVED] = &balance->received, [STOCK_MIXED] = &balance->mixed,
        [STOCK_FED] = &balance->fed,           [STOCK_USED] = &balance->used,
        [STOCK_WASTED] = &balance->wasted,     [STOCK_RETURNED] = &balance->returned,
        [STOCK_COUNTED] = &balance->counted,   [STOCK_MOVED] = &balance->moved};
    bool comes_in = kind == STOCK_RECEIVED || kind == STOCK_COUNTED || kind == STOCK_MOVED;
    if (places[kind] != NULL) *places[kind] = comes_in ? sum : -sum;
    if (dated && (!balance->has_last || last > balance->last)) balance->last = last;
    balance->has_last = balance->has_last || dated;
}

bool trace_balance_load(struct tx *tx, int64_t lot, struct trace_balance *balance)
{
    struct args args;
    struct rows rows;
    *balance = (struct trace_balance){0};
    args_init(&args, tx);
    args_whole(&args, lot);
    if (!tx_query(tx, "trace_balance", &args, &rows)) return false;
    while (rows_next(&rows))
        take_sum(&rows, balance);
    return tx_query_whole(tx, "trace_left", &args, &balance->left);
}

bool trace_feeds_load(struct tx *tx, int64_t lot, struct trace_feed **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_whole(&args, lot);
    if (!tx_query(tx, "trace_feeds", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct trace_feed *feed = *items; feed != NULL && rows_next(&rows); feed++) {
        feed->starter = row_text(&rows);
        feed->entry = row_whole(&rows);
        feed->at = row_instant(&rows);
        feed->mg = row_whole(&rows);
        feed->posting = row_whole(&rows);
    }
    return *items != NULL;
}

/* --- logs --- */

static void reach_args(struct args *args, struct tx *tx, const struct trace_reach *reaches,
                       size_t count, const char **starters, int64_t *bounds)
{
    for (size_t i = 0; i < count; i++) {
        starters[i] = reaches[i].starter;
        bounds[i] = reaches[i].first;
        bounds[count + i] = reaches[i].last;
    }
    args_init(args, tx);
    args_texts(args, starters, count);
    args_wholes(args, bounds, count);
    args_wholes(args, bounds + count, count);
}

/* Rows come by starter, as the reaches do; one of each reach after the other. */
static bool query_reaches(struct tx *tx, const char *statement, const struct trace_reach *reaches,
                          size_t count, struct rows *rows)
{
    struct args args;
    const char **starters = arena_array(tx->arena, count, sizeof *starters);
    int64_t *bounds = arena_array(tx->arena, 2 * count, sizeof *bounds);
    if (starters == NULL || bounds == NULL) return fail_memory(tx->fails);
    reach_args(&args, tx, reaches, count, starters, bounds);
    return tx_query(tx, statement, &args, rows);
}

static void take_entry(struct rows *rows, struct pot_entry *entry)
{
    entry->number = row_whole(rows);
    entry->kind = (enum pot_kind)word_index(pot_kinds, row_text(rows));
    entry->delta_mg = row_whole(rows);
    entry->on_hand_mg = row_whole(rows);
    entry->flour_mg = row_whole(rows);
    entry->water_mg = row_whole(rows);
    entry->reversed_by = row_whole(rows);
}

bool trace_stretches_load(struct tx *tx, const struct trace_reach *reaches, size_t count,
                          struct pot_stretch *stretches)
{
    struct rows rows;
    size_t entry_count, at = 0;
    if (!query_reaches(tx, "trace_stretches", reaches, count, &rows)) return false;
    struct pot_entry *entry = rows_room(tx, &rows, sizeof *entry, &entry_count);
    for (size_t i = 0; i < count; i++)
        stretches[i] = (struct pot_stretch){.entries = entry};
    for (; entry != NULL && rows_next(&rows); entry++) {
        const char *starter = row_text(&rows);
        int64_t base_mg = row_whole(&rows);
        take_entry(&rows, entry);
        while (at + 1 < count && strcmp(reaches[at].starter, starter) != 0)
            at++;
        struct pot_stretch *stretch = &stretches[at];
        if (stretch->count++ > 0) continue;
        stretch->entries = entry;
        stretch->before_mg = entry->on_hand_mg - entry->delta_mg + base_mg;
    }
    return entry != NULL;
}

bool trace_pot_feeds_load(struct tx *tx, const struct trace_reach *reaches, size_t count,
                          struct pot_stretch *stretches)
{
    struct rows rows;
    size_t feed_count, at = 0;
    if (!query_reaches(tx, "trace_pot_feeds", reaches, count, &rows)) return false;
    struct pot_feed_lot *feed = rows_room(tx, &rows, sizeof *feed, &feed_count);
    for (; feed != NULL && rows_next(&rows); feed++) {
        const char *starter = row_text(&rows);
        feed->entry = row_whole(&rows);
        feed->lot = row_whole(&rows);
        feed->mg = row_whole(&rows);
        while (at + 1 < count && strcmp(reaches[at].starter, starter) != 0)
            at++;
        if (stretches[at].feed_count++ == 0) stretches[at].feeds = feed;
    }
    return feed != NULL;
}
