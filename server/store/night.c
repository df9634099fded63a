/* Temperatures of a night. */
#include "store/night.h"

#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

STATEMENTS(night_statements,
           {"night_get",
            "SELECT room_c, flour_c, tap_c, preferment_c, revision FROM night_temperatures"
            " WHERE bakery_id = $1 AND mixing_date = $2"},
           {"night_put",
            "INSERT INTO night_temperatures (bakery_id, mixing_date, room_c, flour_c, tap_c,"
            " preferment_c) VALUES ($1, $2, $3, $4, $5, $6)"
            " ON CONFLICT (bakery_id, mixing_date) DO UPDATE SET room_c = excluded.room_c,"
            " flour_c = excluded.flour_c, tap_c = excluded.tap_c,"
            " preferment_c = excluded.preferment_c, revision = excluded.revision"
            " RETURNING revision"});

bool night_get(struct tx *tx, date mixing_date, struct night *night)
{
    struct temperatures *t = &night->temperatures;
    struct temperature *columns[] = {&t->room, &t->flour, &t->tap, &t->preferment};
    struct args args;
    struct rows rows;
    *night = (struct night){.mixing_date = mixing_date};
    args_init(&args, tx);
    args_date(&args, mixing_date);
    if (!tx_query(tx, "night_get", &args, &rows)) return false;
    night->measured = rows_next(&rows);
    if (!night->measured) return true;
    for (size_t i = 0; i < sizeof columns / sizeof *columns; i++) {
        columns[i]->known = !row_is_null(&rows);
        columns[i]->c = row_whole(&rows);
    }
    night->revision = row_whole(&rows);
    return true;
}

bool night_put(struct tx *tx, struct night *night)
{
    const struct temperatures *t = &night->temperatures;
    const struct temperature columns[] = {t->room, t->flour, t->tap, t->preferment};
    struct args args;
    args_init(&args, tx);
    args_date(&args, night->mixing_date);
    for (size_t i = 0; i < sizeof columns / sizeof *columns; i++)
        args_whole_or_null(&args, columns[i].c, columns[i].known);
    night->measured = true;
    return tx_query_whole(tx, "night_put", &args, &night->revision);
}
