/* /ingredients/{code}/supply: where an ingredient is ordered, in which packs, how safe its stock
 * must be, where it stands.
 *
 * What was not entered goes by the pack price in force; in_force tells what that comes to.
 */
#include "store/supply.h"
#include "api/amount_body.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/named.h"
#include "api/resource.h"
#include "api/zone.h"
#include "base/decimal.h"
#include "store/bakery.h"
#include "store/history.h"

#define SERVICE_LEAST INT64_C(500000) /* half of the times */
#define SERVICE_MOST  INT64_C(999999)

/* The supply of the path's ingredient: as it was entered, and as it is in force today. */
struct supplied {
    struct ingredient ingredient;
    struct supply entered;
    struct supply in_force;
};

static bool load_in_force(struct request *request, struct supplied *at)
{
    const struct zone *zone;
    date today;
    int minutes;
    if (!request_zone(request, &zone)) return false;
    zone_wall(zone, instant_now(), &today, &minutes);
    return supply_in_force(request->tx, at->ingredient.code, today, &at->in_force);
}

static bool load_supply(struct request *request, struct supplied *at)
{
    return ingredient_of_path(request, &at->ingredient) &&
           supply_get(request->tx, at->ingredient.code, &at->entered);
}

/* --- writing --- */

static void write_members(struct json_writer *json, const struct supply *supply,
                          enum ingredient_unit unit)
{
    json_put_text(json, "supplier", supply->supplier);
    amount_write_or_null(json, "pack", unit, supply->pack, supply->pack > 0);
    json_put_decimal(json, "service_pct", supply->service_pct, PERCENT_PLACES);
    json_put_text(json, "place", supply->place);
}

/* Without an entry what is in force, but for the place, which nobody has chosen. */
static void write_supply(struct json_writer *json, const struct supplied *at)
{
    bool entered = at->entered.revision > 0;
    struct supply shown = entered ? at->entered : at->in_force;
    if (!entered) shown.place = NULL;
    json_open_object(json, NULL);
    json_put_text(json, "ingredient", at->ingredient.code);
    json_put_bool(json, "entered", entered);
    write_members(json, &shown, at->ingredient.unit);
    json_open_object(json, "in_force");
    write_members(json, &at->in_force, at->ingredient.unit);
    json_close(json);
    json_close(json);
}

static bool answer(struct request *request, int status, struct supplied *at)
{
    if (!load_in_force(request, at)) return false;
    write_supply(reply_json(request, status), at);
    if (at->entered.revision > 0)
        reply_revision(request, at->entered.revision);
    else
        reply_etag(request);
    return true;
}

bool get_supply(struct request *request)
{
    struct supplied at;
    return load_supply(request, &at) && answer(request, 200, &at);
}

/* --- entering --- */

static bool read_supply(struct request *request, enum ingredient_unit unit, struct supply *supply)
{
    struct json_node root;
    struct json_object body;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    supply->supplier = json_code(&body, "supplier", JSON_OPTIONAL);
    supply->pack = amount_read_pack(&body, JSON_OPTIONAL, unit);
    supply->service_pct = json_decimal(&body, "service_pct", JSON_OPTIONAL, PERCENT_PLACES,
                                       SERVICE_LEAST, SERVICE_MOST, SERVICE_PCT_DEFAULT);
    supply->place = json_line(&body, "place", JSON_OPTIONAL, PLACE_MAX_CHARACTERS);
    json_object_close(&body);
    return supplier_is_known(request, supply->supplier) && !fails_any(&request->fails);
}

/* Kept as it was entered: what is in force changes with prices and is not part of it. */
static bool keep_history(struct request *request, const struct supplied *at)
{
    struct text text;
    struct json_writer json;
    text_init(&text, request->arena, 4096);
    json_writer_init(&json, &text);
    json_open_object(&json, NULL);
    json_put_text(&json, "ingredient", at->ingredient.code);
    write_members(&json, &at->entered, at->ingredient.unit);
    json_close(&json);
    if (!text_ok(&text)) return fail_memory(&request->fails);
    return history_add(request->tx, "supply", at->ingredient.code, at->entered.revision, text.data);
}

bool put_supply(struct request *request)
{
    struct supplied at;
    if (!bakery_lock(request->tx) || !load_supply(request, &at)) return false;
    int64_t before = at.entered.revision;
    return precondition_holds(request, before > 0, before) &&
           read_supply(request, at.ingredient.unit, &at.entered) &&
           supply_put(request->tx, &at.entered) && keep_history(request, &at) &&
           answer(request, before > 0 ? 200 : 201, &at);
}

bool delete_supply(struct request *request)
{
    struct supplied at;
    if (!bakery_lock(request->tx) || !load_supply(request, &at)) return false;
    if (at.entered.revision == 0)
        return fail_add(&request->fails, FAIL_NOT_FOUND, "", "%s has no supply of its own",
                        at.ingredient.code);
    if (!precondition_holds(request, true, at.entered.revision) ||
        !supply_delete(request->tx, at.ingredient.code) ||
        !history_add(request->tx, "supply", at.ingredient.code, 0, NULL))
        return false;
    reply_nothing(request);
    return true;
}
