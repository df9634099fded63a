/* Settings, mixers and the loading of the catalogue. */
#include "store/bakery.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/formula.h"
#include "store/ingredient.h"
#include "store/product.h"
#include "store/rows.h"
#include "store/starter.h"

STATEMENTS(
    bakery_statements,
    {"bakery_get",
     "SELECT name, currency, time_zone, ready_at, day_starts_at, scale_mg,"
     " small_scale_mg, small_below_mg, revision FROM bakery WHERE bakery_id = $1"},
    {"bakery_time_zone", "SELECT time_zone FROM bakery WHERE bakery_id = $1"},
    {"bakery_catalogue_revision", "SELECT catalogue_revision FROM bakery WHERE bakery_id = $1"},
    {"bakery_put",
     "UPDATE bakery SET name = $2, currency = $3, time_zone = $4, ready_at = $5,"
     " day_starts_at = $6, scale_mg = $7, small_scale_mg = $8, small_below_mg = $9,"
     " revision = nextval('revision_number') WHERE bakery_id = $1 RETURNING revision"},
    {"bakery_lock", "SELECT 1 FROM bakery WHERE bakery_id = $1 FOR NO KEY UPDATE"},
    {"mixer_list", "SELECT code, min_mg, max_mg FROM mixer WHERE bakery_id = $1 ORDER BY position"},
    {"mixer_put",
     "INSERT INTO mixer (bakery_id, code, position, min_mg, max_mg)"
     " SELECT $1, code, n, min_mg, max_mg"
     " FROM unnest($2::text[], $3::bigint[], $4::bigint[]) WITH ORDINALITY"
     " AS line (code, min_mg, max_mg, n)"
     " ON CONFLICT (bakery_id, code) DO UPDATE SET position = excluded.position,"
     " min_mg = excluded.min_mg, max_mg = excluded.max_mg"},
    {"mixer_trim", "DELETE FROM mixer WHERE bakery_id = $1 AND NOT code = ANY ($2::text[])"});

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
    }
    return bakery->mixers != NULL;
}

bool bakery_get(struct tx *tx, struct bakery *bakery)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    if (!tx_query(tx, "bakery_get", &args, &rows)) return false;
    *bakery = (struct bakery){0};
    if (rows_next(&rows)) {
        bakery->name = row_text(&rows);
        bakery->currency = row_text(&rows);
        bakery->time_zone = row_text(&rows);
        bakery->ready_at = row_clock(&rows);
        bakery->day_starts_at = row_clock(&rows);
        bakery->scale_mg = row_whole(&rows);
        bakery->small_scale_mg = row_whole(&rows);
        bakery->small_below_mg = row_whole(&rows);
        bakery->revision = row_whole(&rows);
    }
    return get_mixers(tx, bakery);
}

bool bakery_time_zone(struct tx *tx, const char **name)
{
    struct args args;
    struct rows rows;
    *name = NULL;
    args_init(&args, tx);
    if (!tx_query(tx, "bakery_time_zone", &args, &rows)) return false;
    if (rows_next(&rows)) *name = row_text(&rows);
    return true;
}

static bool put_mixers(struct tx *tx, const struct bakery *bakery)
{
    size_t count = bakery->mixer_count;
    const char **codes = arena_array(tx->arena, count, sizeof *codes);
    int64_t *least = arena_array(tx->arena, count, sizeof *least);
    int64_t *most = arena_array(tx->arena, count, sizeof *most);
    if (arena_failed(tx->arena)) return fail_memory(tx->fails);
    for (size_t i = 0; i < count; i++) {
        codes[i] = bakery->mixers[i].code;
        least[i] = bakery->mixers[i].min_mg;
        most[i] = bakery->mixers[i].max_mg;
    }
    struct args trim, put;
    args_init(&trim, tx);
    args_texts(&trim, codes, count);
    args_init(&put, tx);
    args_texts(&put, codes, count);
    args_wholes(&put, least, count);
    args_wholes(&put, most, count);
    return tx_execute(tx, "mixer_trim", &trim, NULL) && tx_execute(tx, "mixer_put", &put, NULL);
}

bool bakery_put(struct tx *tx, struct bakery *bakery)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, bakery->name);
    args_text(&args, bakery->currency);
    args_text(&args, bakery->time_zone);
    args_clock(&args, bakery->ready_at);
    args_clock(&args, bakery->day_starts_at);
    args_whole(&args, bakery->scale_mg);
    args_whole(&args, bakery->small_scale_mg);
    args_whole(&args, bakery->small_below_mg);
    return tx_query_whole(tx, "bakery_put", &args, &bakery->revision) && put_mixers(tx, bakery);
}

bool bakery_lock(struct tx *tx)
{
    struct args args;
    args_init(&args, tx);
    return tx_execute(tx, "bakery_lock", &args, NULL);
}

bool catalogue_load(struct tx *tx, struct catalogue *catalogue)
{
    static const struct selection all;
    *catalogue = (struct catalogue){0};
    return bakery_get(tx, &catalogue->bakery) &&
           ingredient_select(tx, &all, &catalogue->ingredients, &catalogue->ingredient_count) &&
           starter_select(tx, &all, &catalogue->starters, &catalogue->starter_count) &&
           formula_select(tx, &all, &catalogue->formulas, &catalogue->formula_count) &&
           product_select(tx, &all, &catalogue->products, &catalogue->product_count);
}

bool catalogue_revision(struct tx *tx, int64_t *revision)
{
    struct args args;
    args_init(&args, tx);
    return tx_query_whole(tx, "bakery_catalogue_revision", &args, revision);
}
