/* Mixers, ovens and shifts. */
#include "store/equipment.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

STATEMENTS(equipment_statements,
           {"mixer_list",
            "SELECT code, min_mg, max_mg, friction_c, power_w FROM mixer WHERE bakery_id = $1"
            " ORDER BY position"},
           {"mixer_put",
            "INSERT INTO mixer (bakery_id, code, position, min_mg, max_mg, friction_c, power_w)"
            " SELECT $1, code, n, min_mg, max_mg, friction_c, power_w"
            " FROM unnest($2::text[], $3::bigint[], $4::bigint[], $5::bigint[], $6::bigint[])"
            " WITH ORDINALITY AS line (code, min_mg, max_mg, friction_c, power_w, n)"
            " ON CONFLICT (bakery_id, code) DO UPDATE SET position = excluded.position,"
            " min_mg = excluded.min_mg, max_mg = excluded.max_mg,"
            " friction_c = excluded.friction_c, power_w = excluded.power_w"},
           {"mixer_trim", "DELETE FROM mixer WHERE bakery_id = $1 AND NOT code = ANY ($2::text[])"},
           {"oven_list",
            "SELECT code, decks, places, preheat_minutes, recovery_minutes, power_w FROM oven"
            " WHERE bakery_id = $1 ORDER BY position"},
           {"oven_clear", "DELETE FROM oven WHERE bakery_id = $1"},
           {"oven_add",
            "INSERT INTO oven (bakery_id, code, position, decks, places, preheat_minutes,"
            " recovery_minutes, power_w)"
            " SELECT $1, code, n, decks, places, preheat, recovery, power"
            " FROM unnest($2::text[], $3::integer[], $4::integer[], $5::bigint[], $6::bigint[],"
            " $7::bigint[])"
            " WITH ORDINALITY AS line (code, decks, places, preheat, recovery, power, n)"},
           {"shift_list",
            "SELECT name, days, begins, ends, hands FROM shift WHERE bakery_id = $1"
            " ORDER BY position"},
           {"shift_clear", "DELETE FROM shift WHERE bakery_id = $1"},
           {"shift_add",
            "INSERT INTO shift (bakery_id, position, name, days, begins, ends, hands)"
            " SELECT $1, n, name, days, begins, ends, hands"
            " FROM unnest($2::text[], $3::integer[], $4::integer[], $5::integer[], $6::integer[])"
            " WITH ORDINALITY AS line (name, days, begins, ends, hands, n)"});

static bool get_mixers(struct tx *tx, struct bakery *bakery)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    if (!tx_query(tx, "mixer_list", &args, &rows)) return false;
    bakery->mixers = rows_room(tx, &rows, sizeof *bakery->mixers, &bakery->mixer_count);
    for (struct mixer *mixer = bakery->mixers; mixer != NULL && rows_next(&rows); mixer++) {
        mixer->code = row_text(&rows);
        mixer->min_mg = row_whole(&rows);
        mixer->max_mg = row_whole(&rows);
        mixer->has_friction = !row_is_null(&rows);
        mixer->friction_c = row_whole(&rows);
        mixer->power_w = row_whole(&rows);
    }
    return bakery->mixers != NULL;
}

static bool get_ovens(struct tx *tx, struct bakery *bakery)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    if (!tx_query(tx, "oven_list", &args, &rows)) return false;
    bakery->ovens = rows_room(tx, &rows, sizeof *bakery->ovens, &bakery->oven_count);
    for (struct oven *oven = bakery->ovens; oven != NULL && rows_next(&rows); oven++) {
        oven->code = row_text(&rows);
        oven->decks = row_whole(&rows);
        oven->places = row_whole(&rows);
        oven->preheat_minutes = row_whole(&rows);
        oven->recovery_minutes = row_whole(&rows);
        oven->power_w = row_whole(&rows);
    }
    return bakery->ovens != NULL;
}

static bool get_shifts(struct tx *tx, struct bakery *bakery)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    if (!tx_query(tx, "shift_list", &args, &rows)) return false;
    bakery->shifts = rows_room(tx, &rows, sizeof *bakery->shifts, &bakery->shift_count);
    for (struct shift *shift = bakery->shifts; shift != NULL && rows_next(&rows); shift++) {
        shift->name = row_text(&rows);
        shift->days = (unsigned)row_whole(&rows);
        shift->from = row_clock(&rows);
        shift->to = row_clock(&rows);
        shift->hands = row_whole(&rows);
    }
    return bakery->shifts != NULL;
}

bool equipment_get(struct tx *tx, struct bakery *bakery)
{
    return get_mixers(tx, bakery) && get_ovens(tx, bakery) && get_shifts(tx, bakery);
}

/* Columns of numbers for unnest(), as many as there are, each of count values. False when memory is
 * short. */
static bool number_columns(struct tx *tx, int64_t **columns, size_t column_count, size_t count)
{
    for (size_t i = 0; i < column_count; i++)
        columns[i] = arena_array(tx->arena, count, sizeof *columns[i]);
    return !arena_failed(tx->arena) || fail_memory(tx->fails);
}

/* Mixers are put one over the other, since formulas refer to them. */
static bool put_mixers(struct tx *tx, const struct bakery *bakery)
{
    enum { LEAST, MOST, FRICTION, POWER, COLUMNS };
    size_t count = bakery->mixer_count;
    const char **codes = arena_array(tx->arena, count, sizeof *codes);
    int64_t *columns[COLUMNS];
    if (!number_columns(tx, columns, COLUMNS, count)) return false;
    for (size_t i = 0; i < count; i++) {
        const struct mixer *mixer = &bakery->mixers[i];
        codes[i] = mixer->code;
        columns[LEAST][i] = mixer->min_mg;
        columns[MOST][i] = mixer->max_mg;
        columns[FRICTION][i] = mixer->has_friction ? mixer->friction_c : INT64_MIN;
        columns[POWER][i] = mixer->power_w;
    }
    struct args trim, put;
    args_init(&trim, tx);
    args_texts(&trim, codes, count);
    args_init(&put, tx);
    args_texts(&put, codes, count);
    for (size_t i = 0; i < COLUMNS; i++)
        args_wholes(&put, columns[i], count);
    return tx_execute(tx, "mixer_trim", &trim, NULL) && tx_execute(tx, "mixer_put", &put, NULL);
}

/* Empties a list and fills it again. */
static bool replace(struct tx *tx, const char *clear, const char *add, const char *const *texts,
                    int64_t *const *columns, size_t column_count, size_t count)
{
    struct args all, lines;
    args_init(&all, tx);
    args_init(&lines, tx);
    args_texts(&lines, texts, count);
    for (size_t i = 0; i < column_count; i++)
        args_wholes(&lines, columns[i], count);
    return tx_execute(tx, clear, &all, NULL) && tx_execute(tx, add, &lines, NULL);
}

static bool put_ovens(struct tx *tx, const struct bakery *bakery)
{
    enum { DECKS, PLACES, PREHEAT, RECOVERY, POWER, COLUMNS };
    size_t count = bakery->oven_count;
    const char **codes = arena_array(tx->arena, count, sizeof *codes);
    int64_t *columns[COLUMNS];
    if (!number_columns(tx, columns, COLUMNS, count)) return false;
    for (size_t i = 0; i < count; i++) {
        const struct oven *oven = &bakery->ovens[i];
        codes[i] = oven->code;
        columns[DECKS][i] = oven->decks;
        columns[PLACES][i] = oven->places;
        columns[PREHEAT][i] = oven->preheat_minutes;
        columns[RECOVERY][i] = oven->recovery_minutes;
        columns[POWER][i] = oven->power_w;
    }
    return replace(tx, "oven_clear", "oven_add", codes, columns, COLUMNS, count);
}

static bool put_shifts(struct tx *tx, const struct bakery *bakery)
{
    enum { DAYS, FROM, TO, HANDS, COLUMNS };
    size_t count = bakery->shift_count;
    const char **names = arena_array(tx->arena, count, sizeof *names);
    int64_t *columns[COLUMNS];
    if (!number_columns(tx, columns, COLUMNS, count)) return false;
    for (size_t i = 0; i < count; i++) {
        const struct shift *shift = &bakery->shifts[i];
        names[i] = shift->name;
        columns[DAYS][i] = (int64_t)shift->days;
        columns[FROM][i] = shift->from;
        columns[TO][i] = shift->to;
        columns[HANDS][i] = shift->hands;
    }
    return replace(tx, "shift_clear", "shift_add", names, columns, COLUMNS, count);
}

bool equipment_put(struct tx *tx, const struct bakery *bakery)
{
    return put_mixers(tx, bakery) && put_ovens(tx, bakery) && put_shifts(tx, bakery);
}
