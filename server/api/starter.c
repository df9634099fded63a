/* /starters */
#include "store/starter.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/rehearse.h"
#include "api/resource.h"
#include "base/arena.h"
#include "base/decimal.h"

static bool select_starters(struct tx *tx, const struct selection *selection, void **items,
                            size_t *count)
{
    struct starter *list = NULL;
    bool ok = starter_select(tx, selection, &list, count);
    *items = list;
    return ok;
}

static bool store_starter(struct tx *tx, void *thing)
{
    return starter_put(tx, thing);
}

static void read_flours(struct json_object *body, struct starter *starter)
{
    struct json_list list;
    struct json_node item;
    size_t faults_before = body->node.fails->found;
    int64_t sum = 0;
    json_list_member(body, "flours", JSON_REQUIRED, 1, LINES_MAX, &list);
    starter->flours = arena_array(body->node.arena, list.length, sizeof *starter->flours);
    while (starter->flours != NULL && json_list_next(&list, &item)) {
        struct flour_share *flour = &starter->flours[starter->flour_count++];
        struct json_object line;
        json_object_open(&line, item);
        flour->ingredient = json_code(&line, "ingredient", JSON_REQUIRED);
        flour->pct = json_decimal(&line, "pct", JSON_REQUIRED, PERCENT_PLACES, 1, PERCENT_ALL, 0);
        json_object_close(&line);
        sum += flour->pct;
    }
    if (body->node.fails->found == faults_before && sum != PERCENT_ALL)
        json_fault(body, "flours", "must sum to 100 percent");
}

static void read_starter(struct json_object *body, void *thing)
{
    struct starter *starter = thing;
    starter->name = json_name(body, "name", JSON_REQUIRED);
    starter->hydration_pct = json_decimal(body, "hydration_pct", JSON_REQUIRED, PERCENT_PLACES, 0,
                                          PERCENT_MAX, 0);
    read_flours(body, starter);
    starter->water = "water";
    if (json_has(body, "water")) starter->water = json_code(body, "water", JSON_REQUIRED);
    starter->keep_mg = json_decimal(body, "keep_g", JSON_OPTIONAL, WEIGHT_PLACES, 0, WEIGHT_MAX, 0);
    starter->note = json_text(body, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
}

static bool check_starter(struct request *request, void *thing, const void *old)
{
    (void)old;
    return rehearse_starter(request, thing);
}

static void write_starter(struct json_writer *json, const void *thing)
{
    const struct starter *starter = thing;
    json_put_text(json, "code", starter->code);
    json_put_text(json, "name", starter->name);
    json_put_decimal(json, "hydration_pct", starter->hydration_pct, PERCENT_PLACES);
    json_open_list(json, "flours");
    for (size_t i = 0; i < starter->flour_count; i++) {
        json_open_object(json, NULL);
        json_put_text(json, "ingredient", starter->flours[i].ingredient);
        json_put_decimal(json, "pct", starter->flours[i].pct, PERCENT_PLACES);
        json_close(json);
    }
    json_close(json);
    json_put_text(json, "water", starter->water);
    json_put_decimal(json, "keep_g", starter->keep_mg, WEIGHT_PLACES);
    json_put_text(json, "note", starter->note);
}

static const struct resource starter_resource = {
    .kind = "starter",
    .size = sizeof(struct starter),
    .revision_at = offsetof(struct starter, revision),
    .select = select_starters,
    .put = store_starter,
    .remove = starter_delete,
    .read = read_starter,
    .check = check_starter,
    .write = write_starter,
};

RESOURCE_HANDLERS(starter, starter_resource)
