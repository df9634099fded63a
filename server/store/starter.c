/* Starters, their blends of flour and how their feeds ripen. */
#include "store/starter.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

STATEMENTS(starter_statements,
           {"starter_select",
            "SELECT code, name, hydration_pct, water, keep_mg, stays_ripe_minutes, stands_c,"
            " pot_mg, feed_within_minutes, rest_feed_days, wake_feeds, note, revision,"
            " (SELECT count(*) FROM starter_ripening r WHERE r.bakery_id = s.bakery_id"
            " AND r.starter = s.code),"
            " (SELECT count(*) FROM starter_flour f WHERE f.bakery_id = s.bakery_id"
            " AND f.starter = s.code) FROM starter s"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR code = $2)"
            " AND ($3::text IS NULL OR code > $3) ORDER BY code LIMIT $4"},
           {"starter_flours",
            "SELECT starter, ingredient, pct FROM starter_flour"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR starter = $2)"
            " AND ($3::text IS NULL OR starter > $3) ORDER BY starter, position"},
           {"starter_put",
            "INSERT INTO starter (bakery_id, code, name, hydration_pct, water, keep_mg,"
            " stays_ripe_minutes, stands_c, pot_mg, feed_within_minutes, rest_feed_days,"
            " wake_feeds, note) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)"
            " ON CONFLICT (bakery_id, code) DO UPDATE SET name = excluded.name,"
            " hydration_pct = excluded.hydration_pct, water = excluded.water,"
            " keep_mg = excluded.keep_mg, stays_ripe_minutes = excluded.stays_ripe_minutes,"
            " stands_c = excluded.stands_c, pot_mg = excluded.pot_mg,"
            " feed_within_minutes = excluded.feed_within_minutes,"
            " rest_feed_days = excluded.rest_feed_days, wake_feeds = excluded.wake_feeds,"
            " note = excluded.note, revision = excluded.revision RETURNING revision"},
           {"starter_flours_clear",
            "DELETE FROM starter_flour WHERE bakery_id = $1 AND starter = $2"},
           {"starter_flours_add",
            "INSERT INTO starter_flour (bakery_id, starter, position, ingredient, pct)"
            " SELECT $1, $2, n, ingredient, pct FROM unnest($3::text[], $4::bigint[])"
            " WITH ORDINALITY AS line (ingredient, pct, n)"},
           {"starter_ripenings",
            "SELECT starter, seed, flour, water, c, minutes FROM starter_ripening"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR starter = $2)"
            " AND ($3::text IS NULL OR starter > $3) ORDER BY starter, position"},
           {"starter_ripenings_clear",
            "DELETE FROM starter_ripening WHERE bakery_id = $1 AND starter = $2"},
           {"starter_ripenings_add",
            "INSERT INTO starter_ripening (bakery_id, starter, position, seed, flour, water, c,"
            " minutes) SELECT $1, $2, n, seed, flour, water, c, minutes"
            " FROM unnest($3::bigint[], $4::bigint[], $5::bigint[], $6::bigint[], $7::bigint[])"
            " WITH ORDINALITY AS line (seed, flour, water, c, minutes, n)"},
           {"starter_delete", "DELETE FROM starter WHERE bakery_id = $1 AND code = $2"});

static bool take_starter(struct tx *tx, struct rows *rows, struct starter *starter)
{
    starter->code = row_text(rows);
    starter->name = row_text(rows);
    starter->hydration_pct = row_whole(rows);
    starter->water = row_text(rows);
    starter->keep_mg = row_whole(rows);
    starter->stays_ripe_minutes = row_whole(rows);
    starter->stands_c = row_whole(rows);
    starter->pot_mg = row_whole(rows);
    starter->feed_within_minutes = row_whole(rows);
    starter->rest_feed_days = row_whole(rows);
    starter->wake_feeds = row_whole(rows);
    starter->note = row_text(rows);
    starter->revision = row_whole(rows);
    starter->ripenings = arena_array(tx->arena, (size_t)row_whole(rows),
                                     sizeof *starter->ripenings);
    starter->flours = arena_array(tx->arena, (size_t)row_whole(rows), sizeof *starter->flours);
    return !arena_failed(tx->arena) || fail_memory(tx->fails);
}

static bool attach_flours(struct tx *tx, const struct selection *selection, struct starter *items,
                          size_t count)
{
    struct args args;
    struct rows rows;
    selection_child_args(&args, tx, selection);
    if (!tx_query(tx, "starter_flours", &args, &rows)) return false;
    for (size_t at = 0; rows_next(&rows);) {
        if (!selection_owner(items, sizeof *items, count, &at, row_text(&rows))) continue;
        struct starter *starter = &items[at];
        struct flour_share *flour = &starter->flours[starter->flour_count++];
        flour->ingredient = row_text(&rows);
        flour->pct = row_whole(&rows);
    }
    return true;
}

static bool attach_ripenings(struct tx *tx, const struct selection *selection,
                             struct starter *items, size_t count)
{
    struct args args;
    struct rows rows;
    selection_child_args(&args, tx, selection);
    if (!tx_query(tx, "starter_ripenings", &args, &rows)) return false;
    for (size_t at = 0; rows_next(&rows);) {
        if (!selection_owner(items, sizeof *items, count, &at, row_text(&rows))) continue;
        struct ripening *ripening = &items[at].ripenings[items[at].ripening_count++];
        ripening->seed = row_whole(&rows);
        ripening->flour = row_whole(&rows);
        ripening->water = row_whole(&rows);
        ripening->c = row_whole(&rows);
        ripening->minutes = row_whole(&rows);
    }
    return true;
}

bool starter_select(struct tx *tx, const struct selection *selection, struct starter **items,
                    size_t *count)
{
    struct args args;
    struct rows rows;
    selection_args(&args, tx, selection);
    if (!tx_query(tx, "starter_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct starter *item = *items; item != NULL && rows_next(&rows); item++)
        if (!take_starter(tx, &rows, item)) return false;
    return *items != NULL && attach_flours(tx, selection, *items, *count) &&
           attach_ripenings(tx, selection, *items, *count);
}

static bool put_flours(struct tx *tx, const struct starter *starter)
{
    const char **ingredients = arena_array(tx->arena, starter->flour_count, sizeof *ingredients);
    int64_t *pcts = arena_array(tx->arena, starter->flour_count, sizeof *pcts);
    if (ingredients == NULL || pcts == NULL) return fail_memory(tx->fails);
    for (size_t i = 0; i < starter->flour_count; i++) {
        ingredients[i] = starter->flours[i].ingredient;
        pcts[i] = starter->flours[i].pct;
    }
    struct args args;
    args_init(&args, tx);
    args_text(&args, starter->code);
    args_texts(&args, ingredients, starter->flour_count);
    args_wholes(&args, pcts, starter->flour_count);
    return tx_execute(tx, "starter_flours_add", &args, NULL);
}

static bool put_ripenings(struct tx *tx, const struct starter *starter)
{
    enum { SEED, FLOUR, WATER, DEGREES, MINUTES, COLUMNS };
    size_t count = starter->ripening_count;
    int64_t *columns[COLUMNS];
    struct args args;
    args_init(&args, tx);
    args_text(&args, starter->code);
    for (int i = 0; i < COLUMNS; i++) {
        columns[i] = arena_array(tx->arena, count, sizeof *columns[i]);
        if (columns[i] == NULL) return fail_memory(tx->fails);
    }
    for (size_t i = 0; i < count; i++) {
        columns[SEED][i] = starter->ripenings[i].seed;
        columns[FLOUR][i] = starter->ripenings[i].flour;
        columns[WATER][i] = starter->ripenings[i].water;
        columns[DEGREES][i] = starter->ripenings[i].c;
        columns[MINUTES][i] = starter->ripenings[i].minutes;
    }
    for (int i = 0; i < COLUMNS; i++)
        args_wholes(&args, columns[i], count);
    return tx_execute(tx, "starter_ripenings_add", &args, NULL);
}

bool starter_put(struct tx *tx, struct starter *starter)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, starter->code);
    args_text(&args, starter->name);
    args_whole(&args, starter->hydration_pct);
    args_text(&args, starter->water);
    args_whole(&args, starter->keep_mg);
    args_whole(&args, starter->stays_ripe_minutes);
    args_whole(&args, starter->stands_c);
    args_whole(&args, starter->pot_mg);
    args_whole(&args, starter->feed_within_minutes);
    args_whole(&args, starter->rest_feed_days);
    args_whole(&args, starter->wake_feeds);
    args_text(&args, starter->note);
    return tx_query_whole(tx, "starter_put", &args, &starter->revision) &&
           tx_delete(tx, "starter_flours_clear", starter->code) && put_flours(tx, starter) &&
           tx_delete(tx, "starter_ripenings_clear", starter->code) && put_ripenings(tx, starter);
}

bool starter_delete(struct tx *tx, const char *code)
{
    return tx_delete(tx, "starter_delete", code);
}
