/* History of catalogue things and of changed or deleted orders. */
#include "store/history.h"

#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

STATEMENTS(history_statements,
           {"history_add",
            "INSERT INTO history (bakery_id, kind, code, revision, actor, body)"
            " VALUES ($1, $2, $3, coalesce($4, nextval('revision_number')), $5, $6)"},
           {"history_list",
            "SELECT revision, extract(epoch FROM at)::bigint, actor,"
            " (SELECT coalesce(json_agg(key ORDER BY key), '[]')::text FROM"
            "  json_each(coalesce(before, '{}')::json) AS a (key, was)"
            "  FULL JOIN json_each(coalesce(body, '{}')::json) AS b (key, now) USING (key)"
            "  WHERE was::text IS DISTINCT FROM now::text), body"
            " FROM (SELECT *, lag(body) OVER (ORDER BY revision) AS before FROM history"
            "  WHERE bakery_id = $1 AND kind = $2 AND code = $3) AS states"
            " ORDER BY revision DESC LIMIT $4"});

bool history_add(struct tx *tx, const char *kind, const char *code, int64_t revision,
                 const char *body)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, kind);
    args_text(&args, code);
    args_whole_or_null(&args, revision, revision > 0);
    args_text(&args, tx->actor);
    args_text(&args, body);
    return tx_execute(tx, "history_add", &args, NULL);
}

bool history_select(struct tx *tx, const char *kind, const char *code, int64_t limit,
                    struct history_entry **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, kind);
    args_text(&args, code);
    args_whole(&args, limit);
    if (!tx_query(tx, "history_list", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct history_entry *entry = *items; entry != NULL && rows_next(&rows); entry++) {
        entry->revision = row_whole(&rows);
        entry->at = row_instant(&rows);
        entry->actor = row_text(&rows);
        entry->changed = row_text(&rows);
        entry->body = row_text(&rows);
    }
    return *items != NULL;
}
