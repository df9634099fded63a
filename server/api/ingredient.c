/* /ingredients */
#include "store/ingredient.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/rehearse.h"
#include "api/resource.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "store/price.h"
#include "store/stock.h"

enum { ALLERGEN_NAME_MAX = 80 };

static bool select_ingredients(struct tx *tx, const struct selection *selection, void **items,
                               size_t *count)
{
    struct ingredient *list = NULL;
    bool ok = ingredient_select(tx, selection, &list, count);
    *items = list;
    return ok;
}

static bool store_ingredient(struct tx *tx, void *thing)
{
    return ingredient_put(tx, thing);
}

static void read_allergens(struct json_object *body, struct ingredient *ingredient)
{
    struct json_list list;
    struct json_node item;
    json_list_member(body, "allergens", JSON_OPTIONAL, 0, ALLERGENS_MAX, &list);
    const char **words = arena_array(body->node.arena, list.length, sizeof *words);
    while (words != NULL && json_list_next(&list, &item)) {
        const char *word = json_item_text(&item, ALLERGEN_NAME_MAX);
        if (word != NULL) words[ingredient->allergen_count++] = word;
    }
    ingredient->allergens = words;
}

static void read_ingredient(struct json_object *body, void *thing)
{
    struct ingredient *ingredient = thing;
    ingredient->name = json_name(body, "name", JSON_REQUIRED);
    ingredient->kind = (enum ingredient_kind)json_word(body, "kind", JSON_REQUIRED,
                                                       ingredient_kinds, KIND_OTHER);
    ingredient->unit = (enum ingredient_unit)json_word(body, "unit", JSON_REQUIRED,
                                                       ingredient_units, UNIT_GRAM);
    ingredient->has_water_pct = json_has(body, "water_pct");
    ingredient->water_pct = json_decimal(body, "water_pct", JSON_OPTIONAL, PERCENT_PLACES, 0,
                                         PERCENT_ALL, 0);
    read_allergens(body, ingredient);
    ingredient->scale_mg = json_decimal(body, "scale_g", JSON_OPTIONAL, WEIGHT_PLACES, 1,
                                        WEIGHT_MAX, 0);
}

static bool check_ingredient(struct request *request, void *thing, const void *old)
{
    const struct ingredient *ingredient = thing;
    const struct ingredient *before = old;
    bool priced = false, counted = false;
    if (before != NULL && before->unit != ingredient->unit &&
        (!price_of_other_unit(request->tx, ingredient->code, ingredient->unit, &priced) ||
         !unit_is_in_use(request->tx, ingredient->code, &counted)))
        return false;
    if (counted)
        fail_add(&request->fails, FAIL_CONFLICT, "/unit",
                 "its stock, its supply or a purchase order is told in the other unit");
    if (priced)
        fail_add(&request->fails, FAIL_CONFLICT, "/unit",
                 "has prices by the other unit; delete them first");
    return rehearse_ingredient(request, ingredient);
}

static void write_ingredient(struct json_writer *json, const void *thing)
{
    const struct ingredient *ingredient = thing;
    json_put_text(json, "code", ingredient->code);
    json_put_text(json, "name", ingredient->name);
    json_put_text(json, "kind", ingredient_kinds[ingredient->kind]);
    json_put_text(json, "unit", ingredient_units[ingredient->unit]);
    json_put_decimal_or_null(json, "water_pct", ingredient->water_pct, PERCENT_PLACES,
                             ingredient->has_water_pct);
    json_open_list(json, "allergens");
    for (size_t i = 0; i < ingredient->allergen_count; i++)
        json_put_text(json, NULL, ingredient->allergens[i]);
    json_close(json);
    json_put_decimal_or_null(json, "scale_g", ingredient->scale_mg, WEIGHT_PLACES,
                             ingredient->scale_mg > 0);
}

static const struct resource ingredient_resource = {
    .kind = "ingredient",
    .size = sizeof(struct ingredient),
    .revision_at = offsetof(struct ingredient, revision),
    .select = select_ingredients,
    .put = store_ingredient,
    .remove = ingredient_delete,
    .read = read_ingredient,
    .check = check_ingredient,
    .write = write_ingredient,
};

RESOURCE_HANDLERS(ingredient, ingredient_resource)
