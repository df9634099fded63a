/* Moves of timetables. */
#include "store/moves.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

STATEMENTS(moves_statements,
           {"moves_select",
            "SELECT bread_day, task, extract(epoch FROM begins_at)::bigint FROM timetable_move"
            " WHERE bakery_id = $1 AND bread_day BETWEEN $2 AND $3 ORDER BY bread_day, task"},
           {"moves_revision",
            "SELECT revision FROM timetable_moves WHERE bakery_id = $1 AND bread_day = $2"},
           {"moves_put",
            "INSERT INTO timetable_moves (bakery_id, bread_day) VALUES ($1, $2)"
            " ON CONFLICT (bakery_id, bread_day) DO UPDATE SET revision = excluded.revision"
            " RETURNING revision"},
           {"moves_clear", "DELETE FROM timetable_move WHERE bakery_id = $1 AND bread_day = $2"},
           {"moves_add",
            "INSERT INTO timetable_move (bakery_id, bread_day, task, begins_at)"
            " SELECT $1, $2, task, to_timestamp(begins) FROM unnest($3::text[], $4::bigint[])"
            " AS line (task, begins)"});

bool moves_select(struct tx *tx, date first, date last, struct timetable_move **items,
                  size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_date(&args, first);
    args_date(&args, last);
    if (!tx_query(tx, "moves_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct timetable_move *move = *items; move != NULL && rows_next(&rows); move++) {
        move->bread_day = row_date(&rows);
        move->task = row_text(&rows);
        move->begins = row_instant(&rows);
    }
    return *items != NULL;
}

bool moves_revision(struct tx *tx, date bread_day, int64_t *revision)
{
    struct args args;
    args_init(&args, tx);
    args_date(&args, bread_day);
    *revision = 0;
    return tx_query_whole(tx, "moves_revision", &args, revision);
}

static bool add_moves(struct tx *tx, date bread_day, const struct timetable_move *items,
                      size_t count)
{
    const char **tasks = arena_array(tx->arena, count, sizeof *tasks);
    int64_t *begins = arena_array(tx->arena, count, sizeof *begins);
    if (arena_failed(tx->arena)) return fail_memory(tx->fails);
    for (size_t i = 0; i < count; i++) {
        tasks[i] = items[i].task;
        begins[i] = items[i].begins;
    }
    struct args args;
    args_init(&args, tx);
    args_date(&args, bread_day);
    args_texts(&args, tasks, count);
    args_wholes(&args, begins, count);
    return tx_execute(tx, "moves_add", &args, NULL);
}

bool moves_put(struct tx *tx, date bread_day, const struct timetable_move *items, size_t count,
               int64_t *revision)
{
    struct args put, clear;
    args_init(&put, tx);
    args_date(&put, bread_day);
    args_init(&clear, tx);
    args_date(&clear, bread_day);
    return tx_query_whole(tx, "moves_put", &put, revision) &&
           tx_execute(tx, "moves_clear", &clear, NULL) && add_moves(tx, bread_day, items, count);
}
