/* Ingredients. Allergens travel as one text with line feeds between them: none can hold a line
 * feed. */
#include "store/ingredient.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"
#include "store/words.h"

#include <string.h>

STATEMENTS(ingredient_statements,
           {"ingredient_select",
            "SELECT code, name, kind, unit, water_pct,"
            " coalesce(cardinality(allergens), 0), array_to_string(allergens, chr(10)),"
            " scale_mg, revision FROM ingredient"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR code = $2)"
            " AND ($3::text IS NULL OR code > $3) ORDER BY code LIMIT $4"},
           {"ingredient_put",
            "INSERT INTO ingredient"
            " (bakery_id, code, name, kind, unit, water_pct, allergens, scale_mg)"
            " VALUES ($1, $2, $3, $4, $5, $6, $7, $8)"
            " ON CONFLICT (bakery_id, code) DO UPDATE SET name = excluded.name,"
            " kind = excluded.kind, unit = excluded.unit, water_pct = excluded.water_pct,"
            " allergens = excluded.allergens, scale_mg = excluded.scale_mg,"
            " revision = excluded.revision RETURNING revision"},
           {"ingredient_delete", "DELETE FROM ingredient WHERE bakery_id = $1 AND code = $2"});

const char *const ingredient_kinds[] = {"flour", "water", "salt", "other", "packaging", NULL};
const char *const ingredient_units[] = {"g", "piece", NULL};

static bool split_allergens(struct tx *tx, struct ingredient *ingredient, const char *joined)
{
    const char **words = arena_array(tx->arena, ingredient->allergen_count, sizeof *words);
    if (words == NULL) return fail_memory(tx->fails);
    for (size_t i = 0; i < ingredient->allergen_count; i++) {
        const char *end = strchrnul(joined, '\n');
        words[i] = arena_copy_n(tx->arena, joined, (size_t)(end - joined));
        if (words[i] == NULL) return fail_memory(tx->fails);
        joined = *end == '\0' ? end : end + 1;
    }
    ingredient->allergens = words;
    return true;
}

static bool take_ingredient(struct tx *tx, struct rows *rows, struct ingredient *ingredient)
{
    ingredient->code = row_text(rows);
    ingredient->name = row_text(rows);
    ingredient->kind = (enum ingredient_kind)word_index(ingredient_kinds, row_text(rows));
    ingredient->unit = (enum ingredient_unit)word_index(ingredient_units, row_text(rows));
    ingredient->has_water_pct = !row_is_null(rows);
    ingredient->water_pct = row_whole(rows);
    ingredient->allergen_count = (size_t)row_whole(rows);
    const char *joined = row_text(rows);
    ingredient->scale_mg = row_whole(rows);
    ingredient->revision = row_whole(rows);
    return split_allergens(tx, ingredient, joined);
}

bool ingredient_select(struct tx *tx, const struct selection *selection, struct ingredient **items,
                       size_t *count)
{
    struct args args;
    struct rows rows;
    selection_args(&args, tx, selection);
    if (!tx_query(tx, "ingredient_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct ingredient *item = *items; item != NULL && rows_next(&rows); item++)
        if (!take_ingredient(tx, &rows, item)) return false;
    return *items != NULL;
}

bool ingredient_put(struct tx *tx, struct ingredient *ingredient)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, ingredient->code);
    args_text(&args, ingredient->name);
    args_text(&args, ingredient_kinds[ingredient->kind]);
    args_text(&args, ingredient_units[ingredient->unit]);
    args_whole_or_null(&args, ingredient->water_pct, ingredient->has_water_pct);
    args_texts(&args, ingredient->allergens, ingredient->allergen_count);
    args_whole_or_null(&args, ingredient->scale_mg, ingredient->scale_mg > 0);
    return tx_query_whole(tx, "ingredient_put", &args, &ingredient->revision);
}

bool ingredient_delete(struct tx *tx, const char *code)
{
    return tx_delete(tx, "ingredient_delete", code);
}
