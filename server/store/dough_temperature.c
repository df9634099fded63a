/* Logged dough temperatures. */
#include "store/dough_temperature.h"

#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

STATEMENTS(dough_temperature_statements,
           {"dough_temperature_add",
            "INSERT INTO dough_temperature (bakery_id, at, entered_by, formula, mixer, dough_c,"
            " water_c, flour_c, room_c, preferment_c, friction_c)"
            " VALUES ($1, to_timestamp($2::bigint), $3, $4, $5, $6, $7, $8, $9, $10, $11)"
            " RETURNING number"},
           {"dough_temperature_select",
            "SELECT number, extract(epoch FROM at)::bigint, entered_by, formula, mixer, dough_c,"
            " water_c, flour_c, room_c, preferment_c, friction_c FROM dough_temperature"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR mixer = $2)"
            " AND ($3::text IS NULL OR formula = $3) AND ($4 = 0 OR number < $4)"
            " ORDER BY number DESC LIMIT $5"},
           {"friction_seen",
            "SELECT formula, mixer, friction_c FROM (SELECT number, formula, mixer, friction_c,"
            " row_number() OVER (PARTITION BY mixer, formula ORDER BY number DESC) AS n"
            " FROM dough_temperature WHERE bakery_id = $1) AS entry"
            " WHERE n <= 5 ORDER BY number DESC"});

bool dough_temperature_add(struct tx *tx, struct dough_temperature *entry)
{
    struct args args;
    args_init(&args, tx);
    args_whole(&args, entry->at);
    args_text(&args, tx->actor);
    args_text(&args, entry->formula);
    args_text(&args, entry->mixer);
    args_whole(&args, entry->dough_c);
    args_whole(&args, entry->water_c);
    args_whole(&args, entry->flour_c);
    args_whole(&args, entry->room_c);
    args_whole_or_null(&args, entry->preferment.c, entry->preferment.known);
    args_whole(&args, entry->friction_c);
    entry->entered_by = tx->actor;
    return tx_query_whole(tx, "dough_temperature_add", &args, &entry->number);
}

static void take_entry(struct rows *rows, struct dough_temperature *entry)
{
    entry->number = row_whole(rows);
    entry->at = row_instant(rows);
    entry->entered_by = row_text(rows);
    entry->formula = row_text(rows);
    entry->mixer = row_text(rows);
    entry->dough_c = row_whole(rows);
    entry->water_c = row_whole(rows);
    entry->flour_c = row_whole(rows);
    entry->room_c = row_whole(rows);
    entry->preferment.known = !row_is_null(rows);
    entry->preferment.c = row_whole(rows);
    entry->friction_c = row_whole(rows);
}

bool dough_temperature_select(struct tx *tx, const struct dough_temperature_filter *filter,
                              struct dough_temperature **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, filter->mixer);
    args_text(&args, filter->formula);
    args_whole(&args, filter->before);
    args_whole(&args, filter->limit);
    if (!tx_query(tx, "dough_temperature_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct dough_temperature *entry = *items; entry != NULL && rows_next(&rows); entry++)
        take_entry(&rows, entry);
    return *items != NULL;
}

bool friction_seen_load(struct tx *tx, struct friction_seen **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    if (!tx_query(tx, "friction_seen", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct friction_seen *seen = *items; seen != NULL && rows_next(&rows); seen++) {
        seen->formula = row_text(&rows);
        seen->mixer = row_text(&rows);
        seen->friction_c = row_whole(&rows);
    }
    return *items != NULL;
}
