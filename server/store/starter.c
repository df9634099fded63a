/* Starters and their blends of flour. */
#include "store/starter.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

STATEMENTS(starter_statements,
           {"starter_select",
            "SELECT code, name, hydration_pct, water, keep_mg, note, revision,"
            " (SELECT count(*) FROM starter_flour f WHERE f.bakery_id = s.bakery_id"
            " AND f.starter = s.code) FROM starter s"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR code = $2)"
            " AND ($3::text IS NULL OR code > $3) ORDER BY code LIMIT $4"},
           {"starter_flours",
            "SELECT starter, ingredient, pct FROM starter_flour"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR starter = $2)"
            " AND ($3::text IS NULL OR starter > $3) ORDER BY starter, position"},
           {"starter_put",
            "INSERT INTO starter (bakery_id, code, name, hydration_pct, water, keep_mg, note)"
            " VALUES ($1, $2, $3, $4, $5, $6, $7)"
            " ON CONFLICT (bakery_id, code) DO UPDATE SET name = excluded.name,"
            " hydration_pct = excluded.hydration_pct, water = excluded.water,"
            " keep_mg = excluded.keep_mg, note = excluded.note, revision = excluded.revision"
            " RETURNING revision"},
           {"starter_flours_clear",
            "DELETE FROM starter_flour WHERE bakery_id = $1 AND starter = $2"},
           {"starter_flours_add",
            "INSERT INTO starter_flour (bakery_id, starter, position, ingredient, pct)"
            " SELECT $1, $2, n, ingredient, pct FROM unnest($3::text[], $4::bigint[])"
            " WITH ORDINALITY AS line (ingredient, pct, n)"},
           {"starter_delete", "DELETE FROM starter WHERE bakery_id = $1 AND code = $2"});

static bool take_starter(struct tx *tx, struct rows *rows, struct starter *starter)
{
    starter->code = row_text(rows);
    starter->name = row_text(rows);
    starter->hydration_pct = row_whole(rows);
    starter->water = row_text(rows);
    starter->keep_mg = row_whole(rows);
    starter->note = row_text(rows);
    starter->revision = row_whole(rows);
    starter->flours = arena_array(tx->arena, (size_t)row_whole(rows), sizeof *starter->flours);
    return starter->flours != NULL || fail_memory(tx->fails);
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
    return *items != NULL && attach_flours(tx, selection, *items, *count);
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

bool starter_put(struct tx *tx, struct starter *starter)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, starter->code);
    args_text(&args, starter->name);
    args_whole(&args, starter->hydration_pct);
    args_text(&args, starter->water);
    args_whole(&args, starter->keep_mg);
    args_text(&args, starter->note);
    return tx_query_whole(tx, "starter_put", &args, &starter->revision) &&
           tx_delete(tx, "starter_flours_clear", starter->code) && put_flours(tx, starter);
}

bool starter_delete(struct tx *tx, const char *code)
{
    return tx_delete(tx, "starter_delete", code);
}
