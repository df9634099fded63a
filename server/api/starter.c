/* /starters */
#include "store/starter.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/rehearse.h"
#include "api/resource.h"
#include "bakery/temperature.h"
#include "base/arena.h"
#include "base/decimal.h"

enum { RIPENS_MOST_C = 60 * DEGREE };

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

/* A feed that is wetter or drier than the starter would make it another one. */
static void check_hydration(struct json_object *in, const struct ripening *ripening,
                            int64_t hydration_pct)
{
    int64_t parts = ripening->water * 100;
    int64_t off = parts * PERCENT_ONE / ripening->flour - hydration_pct;
    if (off > PERCENT_ONE || off < -PERCENT_ONE)
        json_fault(in, "water", "must keep the starter's hydration within one percentage point");
}

static void read_ripening(const struct json_node *item, const struct starter *starter,
                          struct ripening *ripening)
{
    struct json_object in;
    size_t faults_before = item->fails->found;
    json_object_open(&in, *item);
    ripening->seed = json_decimal(&in, "seed", JSON_REQUIRED, PERCENT_PLACES, 1, PARTS_MAX, 1);
    ripening->flour = json_decimal(&in, "flour", JSON_REQUIRED, PERCENT_PLACES, 1, PARTS_MAX, 1);
    ripening->water = json_decimal(&in, "water", JSON_REQUIRED, PERCENT_PLACES, 0, PARTS_MAX, 0);
    ripening->c = json_decimal(&in, "c", JSON_REQUIRED, TEMPERATURE_PLACES, 0, RIPENS_MOST_C, 0);
    ripening->minutes = json_whole(&in, "minutes", JSON_REQUIRED, 1, MINUTES_MAX, 1);
    if (item->fails->found == faults_before) check_hydration(&in, ripening, starter->hydration_pct);
    json_object_close(&in);
}

static void read_ripenings(struct json_object *body, struct starter *starter)
{
    struct json_list list;
    struct json_node item;
    json_list_member(body, "ripens", JSON_OPTIONAL, 0, RIPENINGS_MAX, &list);
    starter->ripenings = arena_array(body->node.arena, list.length, sizeof *starter->ripenings);
    while (starter->ripenings != NULL && json_list_next(&list, &item))
        read_ripening(&item, starter, &starter->ripenings[starter->ripening_count++]);
}

static void read_habits(struct json_object *body, struct starter *starter)
{
    read_ripenings(body, starter);
    starter->stays_ripe_minutes = json_whole(body, "stays_ripe_minutes", JSON_OPTIONAL, 0,
                                             MINUTES_MAX, 120);
    starter->stands_c = json_decimal(body, "stands_c", JSON_OPTIONAL, TEMPERATURE_PLACES, 0,
                                     RIPENS_MOST_C, 24 * DEGREE);
    starter->pot_mg = json_decimal(body, "pot_g", JSON_OPTIONAL, WEIGHT_PLACES, 0, WEIGHT_MAX, 0);
    starter->feed_within_minutes = json_whole(body, "feed_within_minutes", JSON_OPTIONAL, 1,
                                              MINUTES_MAX, MINUTES_PER_DAY);
    starter->rest_feed_days = json_whole(body, "rest_feed_days", JSON_OPTIONAL, 1, 365, 7);
    starter->wake_feeds = json_whole(body, "wake_feeds", JSON_OPTIONAL, 1, 20, 2);
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
    read_habits(body, starter);
    starter->note = json_text(body, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
}

static bool check_starter(struct request *request, void *thing, const void *old)
{
    (void)old;
    return rehearse_starter(request, thing);
}

static void write_ripenings(struct json_writer *json, const struct starter *starter)
{
    json_open_list(json, "ripens");
    for (size_t i = 0; i < starter->ripening_count; i++) {
        const struct ripening *ripening = &starter->ripenings[i];
        json_open_object(json, NULL);
        json_put_decimal(json, "seed", ripening->seed, PERCENT_PLACES);
        json_put_decimal(json, "flour", ripening->flour, PERCENT_PLACES);
        json_put_decimal(json, "water", ripening->water, PERCENT_PLACES);
        json_put_decimal(json, "c", ripening->c, TEMPERATURE_PLACES);
        json_put_whole(json, "minutes", ripening->minutes);
        json_close(json);
    }
    json_close(json);
}

static void write_habits(struct json_writer *json, const struct starter *starter)
{
    write_ripenings(json, starter);
    json_put_whole(json, "stays_ripe_minutes", starter->stays_ripe_minutes);
    json_put_decimal(json, "stands_c", starter->stands_c, TEMPERATURE_PLACES);
    json_put_decimal(json, "pot_g", starter->pot_mg, WEIGHT_PLACES);
    json_put_whole(json, "feed_within_minutes", starter->feed_within_minutes);
    json_put_whole(json, "rest_feed_days", starter->rest_feed_days);
    json_put_whole(json, "wake_feeds", starter->wake_feeds);
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
    write_habits(json, starter);
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
