/* What counts found. */
#include "store/count.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

STATEMENTS(count_statements,
           {"count_lines_add",
            "INSERT INTO count_line (bakery_id, posting, position, ingredient, lot, place,"
            " expected, counted) SELECT $1, $2, n, ingredient, lot, place, expected, counted"
            " FROM unnest($3::text[], $4::bigint[], $5::text[], $6::bigint[], $7::bigint[])"
            " WITH ORDINALITY AS line (ingredient, lot, place, expected, counted, n)"},
           {"count_lines_select",
            "SELECT c.ingredient, coalesce(c.lot, 0), l.lot_mark, c.place, c.expected, c.counted"
            " FROM count_line c LEFT JOIN lot l ON l.bakery_id = $1 AND l.number = c.lot"
            " WHERE c.bakery_id = $1 AND c.posting = $2 ORDER BY c.position"});

bool count_lines_add(struct tx *tx, int64_t posting, const struct count_line *lines, size_t count)
{
    struct args args;
    const char **ingredients = arena_array(tx->arena, count, sizeof *ingredients);
    const char **places = arena_array(tx->arena, count, sizeof *places);
    int64_t *lots = arena_array(tx->arena, count, sizeof *lots);
    int64_t *expected = arena_array(tx->arena, count, sizeof *expected);
    int64_t *counted = arena_array(tx->arena, count, sizeof *counted);
    if (!ingredients || !places || !lots || !expected || !counted) return fail_memory(tx->fails);
    for (size_t i = 0; i < count; i++) {
        ingredients[i] = lines[i].ingredient;
        places[i] = lines[i].place;
        lots[i] = lines[i].lot > 0 ? lines[i].lot : INT64_MIN;
        expected[i] = lines[i].expected;
        counted[i] = lines[i].counted;
    }
    args_init(&args, tx);
    args_whole(&args, posting);
    args_texts(&args, ingredients, count);
    args_wholes(&args, lots, count);
    args_texts(&args, places, count);
    args_wholes(&args, expected, count);
    args_wholes(&args, counted, count);
    return tx_execute(tx, "count_lines_add", &args, NULL);
}

bool count_lines_select(struct tx *tx, int64_t posting, struct count_line **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_whole(&args, posting);
    if (!tx_query(tx, "count_lines_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct count_line *line = *items; line != NULL && rows_next(&rows); line++) {
        line->ingredient = row_text(&rows);
        line->lot = row_whole(&rows);
        line->lot_mark = row_text(&rows);
        line->place = row_text(&rows);
        line->expected = row_whole(&rows);
        line->counted = row_whole(&rows);
    }
    return *items != NULL;
}
