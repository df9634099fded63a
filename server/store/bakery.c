/* Settings and the loading of the catalogue. */
#include "store/bakery.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/equipment.h"
#include "store/formula.h"
#include "store/ingredient.h"
#include "store/product.h"
#include "store/rows.h"
#include "store/starter.h"
#include "store/words.h"

const char *const cost_bys[] = {"pack", "average", "fifo", NULL};

STATEMENTS(
    bakery_statements,
    {"bakery_get",
     "SELECT name, currency, time_zone, ready_at, day_starts_at, scale_mg,"
     " small_scale_mg, small_below_mg, cold_mg, feed_from, feed_to, room_c, flour_c, tap_c,"
     " preferment_c, cost_by, revision FROM bakery WHERE bakery_id = $1"},
    {"bakery_time_zone", "SELECT time_zone FROM bakery WHERE bakery_id = $1"},
    {"bakery_catalogue_revision", "SELECT catalogue_revision FROM bakery WHERE bakery_id = $1"},
    {"bakery_put",
     "UPDATE bakery SET name = $2, currency = $3, time_zone = $4, ready_at = $5,"
     " day_starts_at = $6, scale_mg = $7, small_scale_mg = $8, small_below_mg = $9,"
     " cold_mg = $10, feed_from = $11, feed_to = $12, room_c = $13, flour_c = $14, tap_c = $15,"
     " preferment_c = $16, cost_by = $17,"
     " revision = nextval('revision_number') WHERE bakery_id = $1 RETURNING revision"},
    {"bakery_lock", "SELECT 1 FROM bakery WHERE bakery_id = $1 FOR NO KEY UPDATE"});

/* NULL reads as unknown. */
static struct temperature take_temperature(struct rows *rows)
{
    struct temperature temperature = {.known = !row_is_null(rows)};
    temperature.c = row_whole(rows);
    return temperature;
}

static void take_settings(struct rows *rows, struct bakery *bakery)
{
    bakery->name = row_text(rows);
    bakery->currency = row_text(rows);
    bakery->time_zone = row_text(rows);
    bakery->ready_at = row_clock(rows);
    bakery->day_starts_at = row_clock(rows);
    bakery->scale_mg = row_whole(rows);
    bakery->small_scale_mg = row_whole(rows);
    bakery->small_below_mg = row_whole(rows);
    bakery->cold_mg = row_whole(rows);
    bakery->feed_from = row_clock(rows);
    bakery->feed_to = row_clock(rows);
    bakery->usual.room = take_temperature(rows);
    bakery->usual.flour = take_temperature(rows);
    bakery->usual.tap = take_temperature(rows);
    bakery->usual.preferment = take_temperature(rows);
    bakery->cost_by = (enum cost_by)word_index(cost_bys, row_text(rows));
    bakery->revision = row_whole(rows);
}

bool bakery_get(struct tx *tx, struct bakery *bakery)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    if (!tx_query(tx, "bakery_get", &args, &rows)) return false;
    *bakery = (struct bakery){.feed_from = NO_CLOCK, .feed_to = NO_CLOCK};
    if (rows_next(&rows)) take_settings(&rows, bakery);
    return equipment_get(tx, bakery);
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

static void add_temperature(struct args *args, struct temperature temperature)
{
    args_whole_or_null(args, temperature.c, temperature.known);
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
    args_whole(&args, bakery->cold_mg);
    args_clock(&args, bakery->feed_from);
    args_clock(&args, bakery->feed_to);
    add_temperature(&args, bakery->usual.room);
    add_temperature(&args, bakery->usual.flour);
    add_temperature(&args, bakery->usual.tap);
    add_temperature(&args, bakery->usual.preferment);
    args_text(&args, cost_bys[bakery->cost_by]);
    return tx_query_whole(tx, "bakery_put", &args, &bakery->revision) && equipment_put(tx, bakery);
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
