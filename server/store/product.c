/* Products, their parts, their packaging and how they are baked. */
#include "store/product.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"
#include "store/words.h"

STATEMENTS(product_statements,
           {"product_select",
            "SELECT code, name, spare_pct, bake_loss_pct, declared_mg, ready_at, note,"
            " revision, per_place, labour_minutes, unsold_pct, coalesce(tax_pct, 0), target,"
            " target_pct,"
            " (SELECT count(*) FROM product_bake_step b WHERE b.bakery_id = p.bakery_id"
            " AND b.product = p.code),"
            " (SELECT count(*) FROM product_part a WHERE a.bakery_id = p.bakery_id"
            " AND a.product = p.code),"
            " (SELECT count(*) FROM product_packaging k WHERE k.bakery_id = p.bakery_id"
            " AND k.product = p.code) FROM product p"
            " LEFT JOIN (SELECT product, tax_pct, target, target_pct FROM product_pricing"
            " WHERE bakery_id = $1) AS pricing ON pricing.product = p.code"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR code = $2)"
            " AND ($3::text IS NULL OR code > $3) ORDER BY code LIMIT $4"},
           {"product_parts",
            "SELECT product, formula, ingredient, mg FROM product_part"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR product = $2)"
            " AND ($3::text IS NULL OR product > $3) ORDER BY product, position"},
           {"product_packagings",
            "SELECT product, ingredient, pieces FROM product_packaging"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR product = $2)"
            " AND ($3::text IS NULL OR product > $3) ORDER BY product, position"},
           {"product_put",
            "INSERT INTO product (bakery_id, code, name, spare_pct, bake_loss_pct,"
            " declared_mg, ready_at, note, piece_mg, per_place,"
            " labour_minutes, unsold_pct)"
            " VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)"
            " ON CONFLICT (bakery_id, code) DO UPDATE SET name = excluded.name,"
            " spare_pct = excluded.spare_pct, bake_loss_pct = excluded.bake_loss_pct,"
            " declared_mg = excluded.declared_mg, ready_at = excluded.ready_at,"
            " note = excluded.note, piece_mg = excluded.piece_mg,"
            " per_place = excluded.per_place, labour_minutes = excluded.labour_minutes,"
            " unsold_pct = excluded.unsold_pct,"
            " revision = excluded.revision RETURNING revision"},
           {"product_parts_clear",
            "DELETE FROM product_part WHERE bakery_id = $1 AND product = $2"},
           {"product_parts_add",
            "INSERT INTO product_part (bakery_id, product, position, formula,"
            " ingredient, mg) SELECT $1, $2, n, formula, ingredient, mg"
            " FROM unnest($3::text[], $4::text[], $5::bigint[])"
            " WITH ORDINALITY AS line (formula, ingredient, mg, n)"},
           {"product_packaging_clear",
            "DELETE FROM product_packaging WHERE bakery_id = $1 AND product = $2"},
           {"product_packaging_add",
            "INSERT INTO product_packaging (bakery_id, product, position,"
            " ingredient, pieces) SELECT $1, $2, n, ingredient, pieces"
            " FROM unnest($3::text[], $4::bigint[])"
            " WITH ORDINALITY AS line (ingredient, pieces, n)"},
           {"product_bake_steps",
            "SELECT product, c, minutes, steam FROM product_bake_step"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR product = $2)"
            " AND ($3::text IS NULL OR product > $3) ORDER BY product, position"},
           {"product_bake_steps_clear",
            "DELETE FROM product_bake_step WHERE bakery_id = $1 AND product = $2"},
           {"product_bake_steps_add",
            "INSERT INTO product_bake_step (bakery_id, product, position, c, minutes, steam)"
            " SELECT $1, $2, n, c, minutes, steam = 1"
            " FROM unnest($3::bigint[], $4::bigint[], $5::bigint[])"
            " WITH ORDINALITY AS line (c, minutes, steam, n)"},
           {"product_pricing_get",
            "SELECT tax_pct, target, target_pct, revision FROM product_pricing"
            " WHERE bakery_id = $1 AND product = $2"},
           {"product_pricing_put",
            "INSERT INTO product_pricing (bakery_id, product, tax_pct, target, target_pct)"
            " VALUES ($1, $2, $3, $4, $5) ON CONFLICT (bakery_id, product) DO UPDATE SET"
            " tax_pct = excluded.tax_pct, target = excluded.target,"
            " target_pct = excluded.target_pct, revision = excluded.revision"
            " RETURNING revision"},
           {"product_delete", "DELETE FROM product WHERE bakery_id = $1 AND code = $2"});

const char *const price_targets[] = {"margin", "markup", "ingredient_share", NULL};

/* NULL and the words to enum target_kind and back. */
static enum target_kind target_of(const char *word)
{
    return word == NULL ? TARGET_NONE
                        : (enum target_kind)(TARGET_MARGIN + word_index(price_targets, word));
}

static bool take_product(struct tx *tx, struct rows *rows, struct product *product)
{
    product->code = row_text(rows);
    product->name = row_text(rows);
    product->spare_pct = row_whole(rows);
    product->bake_loss_pct = row_whole(rows);
    product->declared_mg = row_whole(rows);
    product->ready_at = row_clock(rows);
    product->note = row_text(rows);
    product->revision = row_whole(rows);
    product->bake.per_place = row_whole(rows);
    product->labour_minutes = row_whole(rows);
    product->unsold_pct = row_whole(rows);
    product->tax_pct = row_whole(rows);
    product->target = target_of(row_text(rows));
    product->target_pct = row_whole(rows);
    product->bake.steps = arena_array(tx->arena, (size_t)row_whole(rows),
                                      sizeof *product->bake.steps);
    product->parts = arena_array(tx->arena, (size_t)row_whole(rows), sizeof *product->parts);
    product->packaging = arena_array(tx->arena, (size_t)row_whole(rows),
                                     sizeof *product->packaging);
    return !arena_failed(tx->arena) || fail_memory(tx->fails);
}

static bool attach_parts(struct tx *tx, const struct selection *selection, struct product *items,
                         size_t count)
{
    struct args args;
    struct rows rows;
    selection_child_args(&args, tx, selection);
    if (!tx_query(tx, "product_parts", &args, &rows)) return false;
    for (size_t at = 0; rows_next(&rows);) {
        if (!selection_owner(items, sizeof *items, count, &at, row_text(&rows))) continue;
        struct part *part = &items[at].parts[items[at].part_count++];
        const char *formula = row_text(&rows);
        const char *ingredient = row_text(&rows);
        part->kind = formula != NULL ? LINE_FORMULA : LINE_INGREDIENT;
        part->code = formula != NULL ? formula : ingredient;
        part->mg = row_whole(&rows);
    }
    return true;
}

static bool attach_packaging(struct tx *tx, const struct selection *selection,
                             struct product *items, size_t count)
{
    struct args args;
    struct rows rows;
    selection_child_args(&args, tx, selection);
    if (!tx_query(tx, "product_packagings", &args, &rows)) return false;
    for (size_t at = 0; rows_next(&rows);) {
        if (!selection_owner(items, sizeof *items, count, &at, row_text(&rows))) continue;
        struct packaging *packaging = &items[at].packaging[items[at].packaging_count++];
        packaging->ingredient = row_text(&rows);
        packaging->pieces = row_whole(&rows);
    }
    return true;
}

static bool attach_bake_steps(struct tx *tx, const struct selection *selection,
                              struct product *items, size_t count)
{
    struct args args;
    struct rows rows;
    selection_child_args(&args, tx, selection);
    if (!tx_query(tx, "product_bake_steps", &args, &rows)) return false;
    for (size_t at = 0; rows_next(&rows);) {
        if (!selection_owner(items, sizeof *items, count, &at, row_text(&rows))) continue;
        struct bake *bake = &items[at].bake;
        struct bake_step *step = &bake->steps[bake->step_count++];
        step->c = row_whole(&rows);
        step->minutes = row_whole(&rows);
        step->steam = row_bool(&rows);
    }
    return true;
}

bool product_select(struct tx *tx, const struct selection *selection, struct product **items,
                    size_t *count)
{
    struct args args;
    struct rows rows;
    selection_args(&args, tx, selection);
    if (!tx_query(tx, "product_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct product *item = *items; item != NULL && rows_next(&rows); item++)
        if (!take_product(tx, &rows, item)) return false;
    return *items != NULL && attach_parts(tx, selection, *items, *count) &&
           attach_packaging(tx, selection, *items, *count) &&
           attach_bake_steps(tx, selection, *items, *count);
}

static bool put_parts(struct tx *tx, const struct product *product)
{
    size_t count = product->part_count;
    const char **formulas = arena_array(tx->arena, count, sizeof *formulas);
    const char **ingredients = arena_array(tx->arena, count, sizeof *ingredients);
    int64_t *weights = arena_array(tx->arena, count, sizeof *weights);
    if (arena_failed(tx->arena)) return fail_memory(tx->fails);
    for (size_t i = 0; i < count; i++) {
        const struct part *part = &product->parts[i];
        if (part->kind == LINE_FORMULA)
            formulas[i] = part->code;
        else
            ingredients[i] = part->code;
        weights[i] = part->mg;
    }
    struct args args;
    args_init(&args, tx);
    args_text(&args, product->code);
    args_texts(&args, formulas, count);
    args_texts(&args, ingredients, count);
    args_wholes(&args, weights, count);
    return tx_execute(tx, "product_parts_add", &args, NULL);
}

static bool put_packaging(struct tx *tx, const struct product *product)
{
    size_t count = product->packaging_count;
    const char **ingredients = arena_array(tx->arena, count, sizeof *ingredients);
    int64_t *pieces = arena_array(tx->arena, count, sizeof *pieces);
    if (arena_failed(tx->arena)) return fail_memory(tx->fails);
    for (size_t i = 0; i < count; i++) {
        ingredients[i] = product->packaging[i].ingredient;
        pieces[i] = product->packaging[i].pieces;
    }
    struct args args;
    args_init(&args, tx);
    args_text(&args, product->code);
    args_texts(&args, ingredients, count);
    args_wholes(&args, pieces, count);
    return tx_execute(tx, "product_packaging_add", &args, NULL);
}

static bool put_bake_steps(struct tx *tx, const struct product *product)
{
    enum { DEGREES, MINUTES, STEAM, COLUMNS };
    size_t count = product->bake.step_count;
    int64_t *columns[COLUMNS];
    struct args args;
    args_init(&args, tx);
    args_text(&args, product->code);
    for (int i = 0; i < COLUMNS; i++) {
        columns[i] = arena_array(tx->arena, count, sizeof *columns[i]);
        if (columns[i] == NULL) return fail_memory(tx->fails);
    }
    for (size_t i = 0; i < count; i++) {
        columns[DEGREES][i] = product->bake.steps[i].c;
        columns[MINUTES][i] = product->bake.steps[i].minutes;
        columns[STEAM][i] = product->bake.steps[i].steam;
    }
    for (int i = 0; i < COLUMNS; i++)
        args_wholes(&args, columns[i], count);
    return tx_execute(tx, "product_bake_steps_add", &args, NULL);
}

bool product_put(struct tx *tx, struct product *product, int64_t piece_mg)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, product->code);
    args_text(&args, product->name);
    args_whole(&args, product->spare_pct);
    args_whole(&args, product->bake_loss_pct);
    args_whole(&args, product->declared_mg);
    args_clock(&args, product->ready_at);
    args_text(&args, product->note);
    args_whole(&args, piece_mg);
    args_whole_or_null(&args, product->bake.per_place, product->bake.per_place > 0);
    args_whole(&args, product->labour_minutes);
    args_whole(&args, product->unsold_pct);
    return tx_query_whole(tx, "product_put", &args, &product->revision) &&
           tx_delete(tx, "product_parts_clear", product->code) && put_parts(tx, product) &&
           tx_delete(tx, "product_packaging_clear", product->code) && put_packaging(tx, product) &&
           tx_delete(tx, "product_bake_steps_clear", product->code) && put_bake_steps(tx, product);
}

bool product_pricing_get(struct tx *tx, const char *product, struct product_pricing *pricing)
{
    struct args args;
    struct rows rows;
    *pricing = (struct product_pricing){0};
    args_init(&args, tx);
    args_text(&args, product);
    if (!tx_query(tx, "product_pricing_get", &args, &rows)) return false;
    if (!rows_next(&rows)) return true;
    pricing->tax_pct = row_whole(&rows);
    pricing->target = target_of(row_text(&rows));
    pricing->target_pct = row_whole(&rows);
    pricing->revision = row_whole(&rows);
    return true;
}

bool product_pricing_put(struct tx *tx, const char *product, struct product_pricing *pricing)
{
    bool aims = pricing->target != TARGET_NONE;
    struct args args;
    args_init(&args, tx);
    args_text(&args, product);
    args_whole(&args, pricing->tax_pct);
    args_text(&args, aims ? price_targets[pricing->target - TARGET_MARGIN] : NULL);
    args_whole_or_null(&args, pricing->target_pct, aims);
    return tx_query_whole(tx, "product_pricing_put", &args, &pricing->revision);
}

bool product_delete(struct tx *tx, const char *code)
{
    return tx_delete(tx, "product_delete", code);
}
