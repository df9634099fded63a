/* /water-temperature: how warm the water must be, and how much of it ice. */
#include "api/degrees.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/water_body.h"
#include "base/decimal.h"

static void read_wanted(struct json_object *body, struct degrees *degrees,
                        struct water_wanted *wanted)
{
    static const char *const names[] = {"dough",    "flour", "room", "preferment",
                                        "friction", "tap",   NULL};
    degrees_open(degrees, body, names);
    *wanted = (struct water_wanted){
        .fahrenheit = degrees->fahrenheit,
        .dough = degrees_read(degrees, "dough", JSON_REQUIRED).c,
        .flour = degrees_read(degrees, "flour", JSON_REQUIRED).c,
        .room = degrees_read(degrees, "room", JSON_REQUIRED).c,
        .preferment = degrees_read(degrees, "preferment", JSON_OPTIONAL),
        .friction = degrees_read_difference(degrees, "friction", JSON_REQUIRED),
        .tap = degrees_read(degrees, "tap", JSON_OPTIONAL),
        .water_mg = json_decimal(body, "water_g", JSON_OPTIONAL, WEIGHT_PLACES, 1, WEIGHT_MAX, 0)};
}

bool post_water_temperature(struct request *request)
{
    struct json_node root;
    struct json_object body;
    struct degrees degrees;
    struct water_wanted wanted;
    struct water water;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    read_wanted(&body, &degrees, &wanted);
    if (!json_object_close(&body)) return false;
    if (!water_for(&wanted, &water))
        return fail_add(&request->fails, FAIL_INVALID, "", "is out of all range");
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_decimal(json, wanted.fahrenheit ? "water_f" : "water_c", water.temperature,
                     TEMPERATURE_PLACES);
    json_put_whole(json, "factors", wanted.preferment.known ? 4 : 3);
    water_write_ice(json, &water, wanted.water_mg > 0);
    json_close(json);
    reply_etag(request);
    return true;
}
