/* /starters/{code}/raising: a new starter from flour and water, day by day. */
#include "bakery/raising.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/query.h"
#include "api/starter_pot.h"
#include "bakery/temperature.h"
#include "base/decimal.h"

#define READY_MG INT64_C(500000) /* when the starter keeps nothing back */
#define KEEP_MG  INT64_C(50000)
#define MOST_MG  INT64_C(100000000) /* a hundred kilograms */

enum { WARMEST_C = 60 * DEGREE };

static const char *const kinds[] = {
    [RAISE_MIX] = "mix", [RAISE_STIR] = "stir", [RAISE_FEED] = "feed", [RAISE_READY] = "ready"};

static bool read_wanted(struct request *request, const struct starter *starter,
                        struct raising_wanted *wanted)
{
    *wanted = (struct raising_wanted){.begins = instant_now(),
                                      .hydration_pct = starter->hydration_pct,
                                      .c = starter->stands_c,
                                      .keep_mg = KEEP_MG,
                                      .ready_mg = starter->keep_mg > 0 ? starter->keep_mg
                                                                       : READY_MG};
    return query_instant(request, "begins", &wanted->begins) &&
           query_decimal(request, "c", TEMPERATURE_PLACES, TEMPERATURE_LEAST, WARMEST_C,
                         &wanted->c) &&
           query_decimal(request, "ready_g", WEIGHT_PLACES, 1000, MOST_MG, &wanted->ready_mg) &&
           query_decimal(request, "keep_g", WEIGHT_PLACES, 1000, MOST_MG, &wanted->keep_mg) &&
           query_decimal(request, "sweetener_g", WEIGHT_PLACES, 0, MOST_MG, &wanted->sweetener_mg);
}

static void write_step(struct json_writer *json, const struct starter_pot *pot,
                       const struct raising_step *step)
{
    json_open_object(json, NULL);
    json_put_whole(json, "day", step->day);
    json_put_text(json, "kind", kinds[step->kind]);
    json_put_instant(json, "at", step->at, pot->day.reckoning.zone);
    json_put_decimal(json, "before_g", step->before_mg, WEIGHT_PLACES);
    json_put_decimal(json, "discard_g", step->discard_mg, WEIGHT_PLACES);
    json_put_decimal(json, "keep_g", step->keep_mg, WEIGHT_PLACES);
    json_put_decimal(json, "flour_g", step->flour_mg, WEIGHT_PLACES);
    json_put_decimal(json, "water_g", step->water_mg, WEIGHT_PLACES);
    json_put_decimal(json, "sweetener_g", step->sweetener_mg, WEIGHT_PLACES);
    starter_flours_write(json, &pot->day.catalogue, pot->starter, step->flour_mg);
    json_put_decimal(json, "after_g", step->after_mg, WEIGHT_PLACES);
    json_put_text(json, "look", step->look);
    json_close(json);
}

static void write_cautions(struct json_writer *json, bool sweetened)
{
    json_open_list(json, "cautions");
    for (const char *const *caution = raising_cautions; *caution != NULL; caution++)
        json_put_text(json, NULL, *caution);
    if (sweetened) json_put_text(json, NULL, raising_caution_sweetener);
    json_close(json);
}

bool get_raising(struct request *request)
{
    struct starter_pot pot;
    struct raising_wanted wanted;
    struct raising raising;
    if (!starter_pot_open(request, &pot) || !read_wanted(request, pot.starter, &wanted) ||
        !raising_of(&pot.day.reckoning, &wanted, &raising))
        return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_text(json, "starter", pot.starter->code);
    json_put_text(json, "name", pot.starter->name);
    json_put_bool(json, "too_cold", raising.too_cold);
    if (raising.too_cold)
        json_put_null(json, "ready_at");
    else
        json_put_instant(json, "ready_at", raising.ready, pot.day.reckoning.zone);
    json_put_decimal(json, "flour_g", raising.flour_mg, WEIGHT_PLACES);
    json_put_decimal(json, "water_g", raising.water_mg, WEIGHT_PLACES);
    json_put_decimal(json, "discard_g", raising.discard_mg, WEIGHT_PLACES);
    write_cautions(json, wanted.sweetener_mg > 0);
    json_open_list(json, "steps");
    for (size_t i = 0; i < raising.step_count; i++)
        write_step(json, &pot, &raising.steps[i]);
    json_close(json);
    json_close(json);
    reply_etag(request);
    return true;
}
