/* /products */
#include "store/product.h"
#include "api/formula_body.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/rehearse.h"
#include "api/resource.h"
#include "api/timetable_body.h"
#include "bakery/piece.h"
#include "bakery/temperature.h"
#include "base/arena.h"
#include "base/decimal.h"

static bool select_products(struct tx *tx, const struct selection *selection, void **items,
                            size_t *count)
{
    struct product *list = NULL;
    bool ok = product_select(tx, selection, &list, count);
    *items = list;
    return ok;
}

static bool store_product(struct tx *tx, void *thing)
{
    return product_put(tx, thing, piece_raw_mg(thing));
}

static void read_part(const struct json_node *item, struct part *part)
{
    struct json_object in;
    json_object_open(&in, *item);
    bool formula = json_has(&in, "formula"), ingredient = json_has(&in, "ingredient");
    if (formula == ingredient)
        fail_add(item->fails, FAIL_INVALID, item->path,
                 "must name exactly one of formula and ingredient");
    part->kind = formula ? LINE_FORMULA : LINE_INGREDIENT;
    part->code = json_code(&in, line_words[part->kind], JSON_OPTIONAL);
    part->mg = json_decimal(&in, "g", JSON_REQUIRED, WEIGHT_PLACES, 1, WEIGHT_MAX, 0);
    json_object_close(&in);
}

static void read_parts(struct json_object *body, struct product *product)
{
    struct json_list list;
    struct json_node item;
    json_list_member(body, "parts", JSON_REQUIRED, 1, LINES_MAX, &list);
    product->parts = arena_array(body->node.arena, list.length, sizeof *product->parts);
    while (product->parts != NULL && json_list_next(&list, &item))
        read_part(&item, &product->parts[product->part_count++]);
    if (piece_raw_mg(product) < 0)
        json_fault(body, "parts", "weigh more together than can be reckoned with");
}

static void read_packaging(struct json_object *body, struct product *product)
{
    struct json_list list;
    struct json_node item;
    json_list_member(body, "packaging", JSON_OPTIONAL, 0, LINES_MAX, &list);
    product->packaging = arena_array(body->node.arena, list.length, sizeof *product->packaging);
    while (product->packaging != NULL && json_list_next(&list, &item)) {
        struct packaging *packaging = &product->packaging[product->packaging_count++];
        struct json_object in;
        json_object_open(&in, item);
        packaging->ingredient = json_code(&in, "ingredient", JSON_REQUIRED);
        packaging->pieces = json_whole(&in, "pieces", JSON_REQUIRED, 1, PIECES_MAX, 1);
        json_object_close(&in);
    }
}

static void read_bake_step(const struct json_node *item, struct bake_step *step)
{
    struct json_object in;
    json_object_open(&in, *item);
    step->c = json_decimal(&in, "c", JSON_REQUIRED, TEMPERATURE_PLACES, 0, TEMPERATURE_MOST, 0);
    step->minutes = json_whole(&in, "minutes", JSON_REQUIRED, 1, MINUTES_PER_DAY, 1);
    step->steam = json_bool(&in, "steam", JSON_OPTIONAL, false);
    json_object_close(&in);
}

static void read_bake(struct json_object *body, struct bake *bake)
{
    struct json_object in;
    struct json_list list;
    struct json_node item;
    if (!json_object_member(body, "bake", JSON_OPTIONAL, &in)) return;
    bake->per_place = json_whole(&in, "per_place", JSON_REQUIRED, 1, PER_PLACE_MAX, 1);
    json_list_member(&in, "steps", JSON_REQUIRED, 1, BAKE_STEPS_MAX, &list);
    bake->steps = arena_array(body->node.arena, list.length, sizeof *bake->steps);
    while (bake->steps != NULL && json_list_next(&list, &item))
        read_bake_step(&item, &bake->steps[bake->step_count++]);
    json_object_close(&in);
}

static void read_product(struct json_object *body, void *thing)
{
    struct product *product = thing;
    product->name = json_name(body, "name", JSON_REQUIRED);
    read_parts(body, product);
    read_packaging(body, product);
    product->spare_pct = json_decimal(body, "spare_pct", JSON_OPTIONAL, PERCENT_PLACES, 0,
                                      PERCENT_MAX, 0);
    product->bake_loss_pct = json_decimal(body, "bake_loss_pct", JSON_OPTIONAL, PERCENT_PLACES, 0,
                                          PERCENT_ALL - 1, 0);
    product->declared_mg = json_decimal(body, "declared_g", JSON_OPTIONAL, WEIGHT_PLACES, 0,
                                        WEIGHT_MAX, 0);
    product->ready_at = NO_CLOCK;
    json_clock(body, "ready_at", JSON_OPTIONAL, &product->ready_at);
    read_bake(body, &product->bake);
    product->labour_minutes = json_decimal(body, "labour_minutes", JSON_OPTIONAL, MINUTE_PLACES, 0,
                                           LABOUR_MAX, 0);
    product->unsold_pct = json_decimal(body, "unsold_pct", JSON_OPTIONAL, PERCENT_PLACES, 0,
                                       PERCENT_ALL - 1, 0);
    product->note = json_text(body, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
}

static bool check_product(struct request *request, void *thing, const void *old)
{
    (void)old;
    return rehearse_product(request, thing);
}

static void write_parts(struct json_writer *json, const struct product *product)
{
    json_open_list(json, "parts");
    for (size_t i = 0; i < product->part_count; i++) {
        json_open_object(json, NULL);
        json_put_text(json, line_words[product->parts[i].kind], product->parts[i].code);
        json_put_decimal(json, "g", product->parts[i].mg, WEIGHT_PLACES);
        json_close(json);
    }
    json_close(json);
    json_open_list(json, "packaging");
    for (size_t i = 0; i < product->packaging_count; i++) {
        json_open_object(json, NULL);
        json_put_text(json, "ingredient", product->packaging[i].ingredient);
        json_put_whole(json, "pieces", product->packaging[i].pieces);
        json_close(json);
    }
    json_close(json);
}

static void write_bake(struct json_writer *json, const struct bake *bake)
{
    if (bake->per_place == 0) {
        json_put_null(json, "bake");
        return;
    }
    json_open_object(json, "bake");
    json_put_whole(json, "per_place", bake->per_place);
    bake_steps_write(json, bake);
    json_close(json);
}

static void write_product(struct json_writer *json, const void *thing)
{
    const struct product *product = thing;
    json_put_text(json, "code", product->code);
    json_put_text(json, "name", product->name);
    write_parts(json, product);
    json_put_decimal(json, "spare_pct", product->spare_pct, PERCENT_PLACES);
    json_put_decimal(json, "bake_loss_pct", product->bake_loss_pct, PERCENT_PLACES);
    json_put_decimal_or_null(json, "declared_g", product->declared_mg, WEIGHT_PLACES,
                             product->declared_mg > 0);
    json_put_clock(json, "ready_at", product->ready_at);
    write_bake(json, &product->bake);
    json_put_decimal(json, "labour_minutes", product->labour_minutes, MINUTE_PLACES);
    json_put_decimal(json, "unsold_pct", product->unsold_pct, PERCENT_PLACES);
    json_put_text(json, "note", product->note);
    json_put_decimal(json, "piece_g", piece_raw_mg(product), WEIGHT_PLACES);
    json_put_decimal(json, "baked_g", piece_baked_mg(product), WEIGHT_PLACES);
}

static const struct resource product_resource = {
    .kind = "product",
    .size = sizeof(struct product),
    .revision_at = offsetof(struct product, revision),
    .select = select_products,
    .put = store_product,
    .remove = product_delete,
    .read = read_product,
    .check = check_product,
    .write = write_product,
};

RESOURCE_HANDLERS(product, product_resource)

bool list_product_revisions(struct request *request)
{
    return resource_revisions(request, &product_resource);
}
