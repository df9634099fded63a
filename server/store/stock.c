/* Moving stock. */
#include "store/stock.h"

#include "bakery/catalogue.h"
#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"
#include "store/selection.h"
#include "store/words.h"

/* Of each shelf what was moved later than a day (and, on it, after a movement): all of it, and the
 * most that any later moment lacks of what is there now. What was undone, and what undid it, are as
 * if neither had been. */
#define LATER                                                                                      \
    "WITH later AS (SELECT lot, place, sum(delta)::bigint AS moved, max(running)::bigint AS most"  \
    " FROM (SELECT lot, place, delta, sum(delta) OVER (PARTITION BY lot, place"                    \
    " ORDER BY date DESC, number DESC) AS running FROM movement later WHERE bakery_id = $1"        \
    " AND ingredient = ANY ($2::text[]) AND (date > $3 OR (date = $3 AND $4 > 0"                   \
    " AND number > $4)) AND reverses IS NULL AND NOT EXISTS (SELECT FROM movement r"               \
    " WHERE r.bakery_id = $1 AND r.reverses = later.number)) AS m GROUP BY lot, place)"
#define SHELF_COLUMNS                                                                              \
    " SELECT p.ingredient, p.lot, p.place, l.received_on, l.best_before, l.held, p.amount,"        \
    " p.amount - coalesce(later.moved, 0), p.amount - greatest(coalesce(later.most, 0), 0)"        \
    " FROM lot_place p JOIN lot l ON l.bakery_id = $1 AND l.number = p.lot"

STATEMENTS(
    stock_statements,
    {"stock_hold",
     "SELECT ingredient FROM stock WHERE bakery_id = $1 AND ingredient = ANY ($2::text[])"
     " ORDER BY ingredient FOR NO KEY UPDATE"},
    {"stock_begin",
     "INSERT INTO stock (bakery_id, ingredient) SELECT $1, code"
     " FROM unnest($2::text[]) AS code ORDER BY code ON CONFLICT DO NOTHING"},
    {"stock_kept", "SELECT ingredient FROM stock WHERE bakery_id = $1 ORDER BY ingredient"},
    {"unit_is_in_use",
     "SELECT (EXISTS (SELECT FROM stock WHERE bakery_id = $1 AND ingredient = $2)"
     " OR EXISTS (SELECT FROM supply WHERE bakery_id = $1 AND ingredient = $2 AND pack IS NOT NULL)"
     " OR EXISTS (SELECT FROM purchase_order_line WHERE bakery_id = $1 AND ingredient = $2))::int"},
    {"shelves_load", LATER SHELF_COLUMNS
     " LEFT JOIN later USING (lot, place) WHERE p.bakery_id = $1"
     " AND p.ingredient = ANY ($2::text[]) AND p.amount > 0 UNION ALL" SHELF_COLUMNS
     " JOIN later USING (lot, place) WHERE p.bakery_id = $1 AND p.amount = 0"
     " ORDER BY 1, 2, 3"},
    {"shelf_open",
     "INSERT INTO lot_place (bakery_id, lot, place, ingredient, amount)"
     " SELECT DISTINCT $1::bigint, lot, place, ingredient, 0"
     " FROM unnest($2::text[], $3::bigint[], $4::text[], $5::bigint[])"
     " AS m (ingredient, lot, place, delta) WHERE delta > 0"
     " ORDER BY lot, place ON CONFLICT DO NOTHING"},
    {"movements_add",
     "WITH m AS MATERIALIZED (SELECT * FROM unnest($2::text[], $3::bigint[], $4::text[],"
     " $5::bigint[], $6::bigint[]) WITH ORDINALITY AS m (ingredient, lot, place, delta, reverses,"
     " n)), added AS (INSERT INTO movement (bakery_id, posting, kind, date, ingredient, lot, place,"
     " delta, reverses) SELECT $1, $7, $8, $9, ingredient, lot, place, delta, reverses FROM m"
     " ORDER BY n), shelved AS (UPDATE lot_place p SET amount = p.amount + d.delta"
     " FROM (SELECT lot, place, sum(delta)::bigint AS delta FROM m GROUP BY lot, place) AS d"
     " WHERE p.bakery_id = $1 AND p.lot = d.lot AND p.place = d.place)"
     " UPDATE stock s SET amount = s.amount + d.delta"
     " FROM (SELECT ingredient, sum(delta)::bigint AS delta FROM m GROUP BY ingredient) AS d"
     " WHERE s.bakery_id = $1 AND s.ingredient = d.ingredient"},
    {"moved_select",
     "SELECT m.number, m.posting, m.kind, m.ingredient, m.lot, l.lot_mark, m.place, m.delta,"
     " l.best_before, l.received, l.price_micros FROM movement m JOIN lot l ON l.bakery_id = $1 "
     "AND l.number = m.lot"
     " WHERE m.bakery_id = $1 AND m.posting = ANY ($2::bigint[]) ORDER BY m.posting, m.number"});

/* --- sets of ingredients --- */

/* Adds the codes of the set as the next argument. */
static bool args_set(struct args *args, struct tx *tx, const struct stock_set *set)
{
    const struct catalogue *catalogue = set->catalogue;
    const char **codes = arena_array(tx->arena, catalogue->ingredient_count, sizeof *codes);
    size_t count = 0;
    if (codes == NULL) return fail_memory(tx->fails);
    for (size_t i = 0; i < catalogue->ingredient_count; i++)
        if (set->in[i]) codes[count++] = catalogue->ingredients[i].code;
    args_texts(args, codes, count);
    return true;
}

/* The rows name ingredients by code, ascending: the set becomes these. */
static void take_set(struct rows *rows, struct stock_set *set)
{
    const struct catalogue *catalogue = set->catalogue;
    for (size_t i = 0; i < catalogue->ingredient_count; i++)
        set->in[i] = false;
    for (size_t at = 0; rows_next(rows);)
        if (selection_ingredient(catalogue, &at, row_text(rows))) set->in[at] = true;
}

bool stock_hold(struct tx *tx, struct stock_set *set)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    if (!args_set(&args, tx, set) || !tx_query(tx, "stock_hold", &args, &rows)) return false;
    take_set(&rows, set);
    return true;
}

bool stock_begin(struct tx *tx, const struct stock_set *set)
{
    struct args args;
    args_init(&args, tx);
    return args_set(&args, tx, set) && tx_execute(tx, "stock_begin", &args, NULL);
}

bool stock_kept(struct tx *tx, struct stock_set *set)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    if (!tx_query(tx, "stock_kept", &args, &rows)) return false;
    take_set(&rows, set);
    return true;
}

bool unit_is_in_use(struct tx *tx, const char *ingredient, bool *in_use)
{
    struct args args;
    int64_t found = 0;
    args_init(&args, tx);
    args_text(&args, ingredient);
    bool asked = tx_query_whole(tx, "unit_is_in_use", &args, &found);
    *in_use = found != 0;
    return asked;
}

/* --- shelves --- */

static void take_shelf(struct rows *rows, struct shelf *shelf)
{
    shelf->lot = row_whole(rows);
    shelf->place = row_text(rows);
    shelf->received_on = row_date(rows);
    shelf->has_best_before = !row_is_null(rows);
    shelf->best_before = row_date(rows);
    shelf->held = row_bool(rows);
    shelf->amount = row_whole(rows);
    shelf->on_day = row_whole(rows);
    shelf->available = row_whole(rows);
}

bool shelves_load(struct tx *tx, const struct stock_set *set, date day, int64_t after,
                  struct shelf **items, size_t *count)
{
    const struct catalogue *catalogue = set->catalogue;
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    if (!args_set(&args, tx, set)) return false;
    args_date(&args, day);
    args_whole(&args, after);
    if (!tx_query(tx, "shelves_load", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    *count = 0;
    for (size_t at = 0; *items != NULL && rows_next(&rows);) {
        struct shelf *shelf = &(*items)[*count];
        if (!selection_ingredient(catalogue, &at, row_text(&rows))) continue;
        shelf->ingredient = at;
        take_shelf(&rows, shelf);
        ++*count;
    }
    return *items != NULL;
}

/* --- movements --- */

/* The columns of moves as arrays. */
struct move_columns {
    const char **ingredients;
    int64_t *lots;
    const char **places;
    int64_t *deltas;
    int64_t *reverses;
};

static bool columns_of(struct tx *tx, const struct catalogue *catalogue,
                       const struct stock_move *moves, size_t count, struct move_columns *out)
{
    out->ingredients = arena_array(tx->arena, count, sizeof *out->ingredients);
    out->lots = arena_array(tx->arena, count, sizeof *out->lots);
    out->places = arena_array(tx->arena, count, sizeof *out->places);
    out->deltas = arena_array(tx->arena, count, sizeof *out->deltas);
    out->reverses = arena_array(tx->arena, count, sizeof *out->reverses);
    if (!out->ingredients || !out->lots || !out->places || !out->deltas || !out->reverses)
        return fail_memory(tx->fails);
    for (size_t i = 0; i < count; i++) {
        out->ingredients[i] = catalogue->ingredients[moves[i].ingredient].code;
        out->lots[i] = moves[i].lot;
        out->places[i] = moves[i].place;
        out->deltas[i] = moves[i].delta;
        out->reverses[i] = moves[i].reverses > 0 ? moves[i].reverses : INT64_MIN;
    }
    return true;
}

static void args_columns(struct args *args, struct tx *tx, const struct move_columns *columns,
                         size_t count)
{
    args_init(args, tx);
    args_texts(args, columns->ingredients, count);
    args_wholes(args, columns->lots, count);
    args_texts(args, columns->places, count);
    args_wholes(args, columns->deltas, count);
}

bool moves_add(struct tx *tx, const struct posting *posting, enum stock_kind kind,
               const struct catalogue *catalogue, const struct stock_move *moves, size_t count)
{
    struct args args;
    struct move_columns columns;
    if (count == 0) return true;
    if (!columns_of(tx, catalogue, moves, count, &columns)) return false;
    args_columns(&args, tx, &columns, count);
    if (!tx_execute(tx, "shelf_open", &args, NULL)) return false;
    args_columns(&args, tx, &columns, count);
    args_wholes(&args, columns.reverses, count);
    args_whole(&args, posting->number);
    args_text(&args, stock_kinds[kind]);
    args_date(&args, posting->date);
    return tx_execute(tx, "movements_add", &args, NULL);
}

static void take_moved(struct rows *rows, struct moved *moved)
{
    moved->number = row_whole(rows);
    moved->posting = row_whole(rows);
    moved->kind = (enum stock_kind)word_index(stock_kinds, row_text(rows));
    moved->ingredient = row_text(rows);
    moved->lot = row_whole(rows);
    moved->lot_mark = row_text(rows);
    moved->place = row_text(rows);
    moved->delta = row_whole(rows);
    moved->has_best_before = !row_is_null(rows);
    moved->best_before = row_date(rows);
    moved->received = row_whole(rows);
    moved->price.known = !row_is_null(rows);
    moved->price.micros = row_whole(rows);
}

bool moved_select(struct tx *tx, const int64_t *postings, size_t posting_count,
                  struct moved **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_wholes(&args, postings, posting_count);
    if (!tx_query(tx, "moved_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct moved *moved = *items; moved != NULL && rows_next(&rows); moved++)
        take_moved(&rows, moved);
    return *items != NULL;
}
