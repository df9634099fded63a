/* /bakery: the settings. */
#include "store/bakery.h"
#include "api/equipment_body.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/resource.h"
#include "api/zone.h"
#include "bakery/currency.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "store/history.h"
#include "store/reference.h"

#include <string.h>

enum { READY_AT_DEFAULT = 6 * 60 + 30, DAY_STARTS_AT_DEFAULT = 12 * 60, ZONE_NAME_MAX = 64 };

static void write_bakery(struct json_writer *json, const struct bakery *bakery)
{
    json_open_object(json, NULL);
    json_put_text(json, "name", bakery->name);
    json_put_text(json, "currency", bakery->currency);
    json_put_text(json, "time_zone", bakery->time_zone);
    json_put_clock(json, "ready_at", bakery->ready_at);
    json_put_clock(json, "day_starts_at", bakery->day_starts_at);
    equipment_write(json, bakery);
    json_put_decimal(json, "scale_g", bakery->scale_mg, WEIGHT_PLACES);
    json_put_decimal_or_null(json, "small_scale_g", bakery->small_scale_mg, WEIGHT_PLACES,
                             bakery->small_scale_mg > 0);
    json_put_decimal(json, "small_below_g", bakery->small_below_mg, WEIGHT_PLACES);
    json_put_text(json, "cost_by", cost_bys[bakery->cost_by]);
    json_close(json);
}

static bool answer(struct request *request, int status, const struct bakery *bakery)
{
    write_bakery(reply_json(request, status), bakery);
    reply_revision(request, bakery->revision);
    return true;
}

bool get_bakery(struct request *request)
{
    struct bakery bakery;
    if (!bakery_get(request->tx, &bakery)) return false;
    if (bakery.name != NULL) return answer(request, 200, &bakery);
    return fail_add(&request->fails, FAIL_NOT_FOUND, "", "the settings are not entered yet");
}

static void read_scales(struct json_object *body, struct bakery *bakery)
{
    bakery->scale_mg = json_decimal(body, "scale_g", JSON_OPTIONAL, WEIGHT_PLACES, 1, WEIGHT_MAX,
                                    1000);
    bakery->small_scale_mg = json_decimal(body, "small_scale_g", JSON_OPTIONAL, WEIGHT_PLACES, 0,
                                          WEIGHT_MAX, 0);
    bakery->small_below_mg = json_decimal(body, "small_below_g", JSON_OPTIONAL, WEIGHT_PLACES, 0,
                                          WEIGHT_MAX, 0);
}

static bool read_bakery(struct request *request, struct bakery *bakery)
{
    struct json_node root;
    struct json_object body;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    bakery->name = json_name(&body, "name", JSON_REQUIRED);
    bakery->currency = json_text(&body, "currency", JSON_REQUIRED, 3);
    if (bakery->currency != NULL && !currency_form(bakery->currency))
        json_fault(&body, "currency", "must be three capital letters (ISO 4217), such as EUR");
    bakery->time_zone = json_text(&body, "time_zone", JSON_REQUIRED, ZONE_NAME_MAX);
    if (bakery->time_zone != NULL && zone_load(request->arena, bakery->time_zone) == NULL)
        json_fault(&body, "time_zone", "must be a name of the tz database, such as Europe/London");
    bakery->ready_at = READY_AT_DEFAULT;
    json_clock(&body, "ready_at", JSON_OPTIONAL, &bakery->ready_at);
    bakery->day_starts_at = DAY_STARTS_AT_DEFAULT;
    json_clock(&body, "day_starts_at", JSON_OPTIONAL, &bakery->day_starts_at);
    equipment_read(&body, bakery);
    read_scales(&body, bakery);
    bakery->cost_by = (enum cost_by)json_word(&body, "cost_by", JSON_OPTIONAL, cost_bys,
                                              COST_BY_PACK);
    json_object_close(&body);
    return !fails_any(&request->fails);
}

/* A mixer that a formula names may not leave the list. */
static bool mixers_not_missed(struct request *request, const struct bakery *old,
                              const struct bakery *bakery)
{
    for (size_t i = 0; i < old->mixer_count; i++) {
        const char *users = NULL;
        bool stays = false;
        for (size_t k = 0; k < bakery->mixer_count; k++)
            stays = stays || strcmp(old->mixers[i].code, bakery->mixers[k].code) == 0;
        if (!stays && !reference_users(request->tx, "mixer", old->mixers[i].code, &users))
            return false;
        if (users != NULL)
            fail_add(&request->fails, FAIL_CONFLICT, "/mixers", "mixer %s is in use by %s",
                     old->mixers[i].code, users);
    }
    return !fails_any(&request->fails);
}

static bool store(struct request *request, struct bakery *bakery)
{
    struct text text;
    struct json_writer json;
    text_init(&text, request->arena, 64 * 1024);
    json_writer_init(&json, &text);
    write_bakery(&json, bakery);
    return text_ok(&text) && bakery_put(request->tx, bakery) &&
           history_add(request->tx, "bakery", "bakery", bakery->revision, text.data);
}

bool put_bakery(struct request *request)
{
    struct bakery old, bakery = {0};
    if (!bakery_lock(request->tx) || !bakery_get(request->tx, &old)) return false;
    bool entered = old.name != NULL;
    return precondition_holds(request, entered, entered ? old.revision : 0) &&
           read_bakery(request, &bakery) && mixers_not_missed(request, &old, &bakery) &&
           store(request, &bakery) && answer(request, entered ? 200 : 201, &bakery);
}
