/* /mixing-lists/{date}/temperatures and /dough-temperatures: what is measured around mixing. */
#include "api/degrees.h"
#include "api/equipment_body.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/page.h"
#include "api/reckon.h"
#include "api/resource.h"
#include "api/zone.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "store/bakery.h"
#include "store/dough_temperature.h"
#include "store/history.h"
#include "store/night.h"

#include <inttypes.h>
#include <string.h>

/* --- before mixing --- */

static void write_night(struct json_writer *json, const struct night *night)
{
    json_open_object(json, NULL);
    json_put_date(json, "date", night->mixing_date);
    temperatures_write(json, &night->temperatures);
    json_close(json);
}

static bool answer_night(struct request *request, int status, const struct night *night)
{
    write_night(reply_json(request, status), night);
    if (night->measured)
        reply_revision(request, night->revision);
    else
        reply_etag(request);
    return true;
}

bool get_night_temperatures(struct request *request)
{
    struct night night;
    date mixing_date;
    return request_date(request, "date", &mixing_date) &&
           night_get(request->tx, mixing_date, &night) && answer_night(request, 200, &night);
}

static bool read_night(struct request *request, struct night *night)
{
    struct json_node root;
    struct json_object body;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    temperatures_read(&body, &night->temperatures);
    return json_object_close(&body);
}

bool put_night_temperatures(struct request *request)
{
    struct night old, night = {0};
    if (!request_date(request, "date", &night.mixing_date) || !bakery_lock(request->tx) ||
        !night_get(request->tx, night.mixing_date, &old) ||
        !precondition_holds(request, old.measured, old.revision) || !read_night(request, &night))
        return false;
    return night_put(request->tx, &night) &&
           answer_night(request, old.measured ? 200 : 201, &night);
}

/* --- after mixing --- */

static void write_entry(struct json_writer *json, const struct dough_temperature *entry,
                        const struct zone *zone)
{
    json_open_object(json, NULL);
    json_put_whole(json, "number", entry->number);
    json_put_instant(json, "at", entry->at, zone);
    json_put_text(json, "entered_by", entry->entered_by);
    json_put_text(json, "formula", entry->formula);
    json_put_text(json, "mixer", entry->mixer);
    json_put_decimal(json, "dough_c", entry->dough_c, TEMPERATURE_PLACES);
    json_put_decimal(json, "water_c", entry->water_c, TEMPERATURE_PLACES);
    json_put_decimal(json, "flour_c", entry->flour_c, TEMPERATURE_PLACES);
    json_put_decimal(json, "room_c", entry->room_c, TEMPERATURE_PLACES);
    temperature_write(json, "preferment_c", entry->preferment);
    json_put_decimal(json, "friction_c", entry->friction_c, TEMPERATURE_PLACES);
    json_close(json);
}

/* Stored in degrees Celsius; friction is reckoned in the unit that was measured in. */
static struct temperature to_celsius(const struct degrees *degrees, struct temperature measured)
{
    if (degrees->fahrenheit) measured.c = celsius_of(measured.c);
    return measured;
}

static void read_degrees(struct json_object *body, struct dough_temperature *entry)
{
    static const char *const names[] = {"dough", "water", "flour", "room", "preferment", NULL};
    struct degrees degrees;
    degrees_open(&degrees, body, names);
    struct temperature dough = degrees_read(&degrees, "dough", JSON_REQUIRED);
    struct temperature water = degrees_read(&degrees, "water", JSON_REQUIRED);
    struct temperature flour = degrees_read(&degrees, "flour", JSON_REQUIRED);
    struct temperature room = degrees_read(&degrees, "room", JSON_REQUIRED);
    struct temperature preferment = degrees_read(&degrees, "preferment", JSON_OPTIONAL);
    int64_t friction = friction_of(dough.c, flour.c, room.c, water.c, preferment);
    entry->friction_c = degrees.fahrenheit ? celsius_difference_of(friction) : friction;
    entry->dough_c = to_celsius(&degrees, dough).c;
    entry->water_c = to_celsius(&degrees, water).c;
    entry->flour_c = to_celsius(&degrees, flour).c;
    entry->room_c = to_celsius(&degrees, room).c;
    entry->preferment = to_celsius(&degrees, preferment);
}

/* The formula must exist, and the mixer be one of the bakery's; without one it is the formula's. */
static void check_names(struct json_object *body, const struct day *day,
                        struct dough_temperature *entry)
{
    const struct catalogue *catalogue = &day->catalogue;
    if (entry->formula == NULL) return;
    size_t formula = catalogue_formula(catalogue, entry->formula);
    if (formula == NOT_FOUND) {
        json_fault(body, "formula", "names a formula that does not exist");
        return;
    }
    if (entry->mixer == NULL) {
        const struct mixer *mixer = mixer_for(&catalogue->bakery, &catalogue->formulas[formula]);
        if (mixer != NULL) entry->mixer = mixer->code;
        if (mixer == NULL) json_fault(body, "mixer", "must be named: the formula has none");
        return;
    }
    for (size_t i = 0; i < catalogue->bakery.mixer_count; i++)
        if (strcmp(catalogue->bakery.mixers[i].code, entry->mixer) == 0) return;
    json_fault(body, "mixer", "names a mixer that does not exist");
}

static bool read_entry(struct request *request, const struct day *day,
                       struct dough_temperature *entry)
{
    struct json_node root;
    struct json_object body;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    entry->formula = json_code(&body, "formula", JSON_REQUIRED);
    entry->mixer = json_code(&body, "mixer", JSON_OPTIONAL);
    entry->at = instant_now();
    json_instant(&body, "at", JSON_OPTIONAL, &entry->at);
    read_degrees(&body, entry);
    check_names(&body, day, entry);
    return json_object_close(&body);
}

bool post_dough_temperature(struct request *request)
{
    struct day day;
    struct dough_temperature entry = {0};
    if (!day_open(request, &day) || !read_entry(request, &day, &entry) ||
        !dough_temperature_add(request->tx, &entry))
        return false;
    write_entry(reply_json(request, 201), &entry, day.reckoning.zone);
    reply_etag(request);
    return true;
}

/* What is learnt of a dough in a mixer, when the query names both. */
static bool write_learnt(struct request *request, const struct dough_temperature_filter *filter)
{
    struct day day;
    struct friction_seen *seen;
    size_t count;
    struct temperature friction = {0};
    if (filter->mixer != NULL && filter->formula != NULL) {
        if (!day_open(request, &day) || !friction_seen_load(request->tx, &seen, &count))
            return false;
        const struct bakery *bakery = &day.catalogue.bakery;
        for (size_t i = 0; i < bakery->mixer_count; i++)
            if (strcmp(bakery->mixers[i].code, filter->mixer) == 0)
                friction = friction_learnt(seen, count, filter->formula, &bakery->mixers[i]);
    }
    temperature_write(&request->reply.json, "friction_c", friction);
    return true;
}

bool list_dough_temperatures(struct request *request)
{
    struct page page;
    struct dough_temperature_filter filter = {.mixer = request_query(request, "mixer"),
                                              .formula = request_query(request, "formula")};
    struct dough_temperature *entries;
    size_t count;
    const struct zone *zone;
    if (!page_read_numbered(request, &page, &filter.before)) return false;
    filter.limit = page.limit + 1;
    if (!request_zone(request, &zone) ||
        !dough_temperature_select(request->tx, &filter, &entries, &count))
        return false;
    struct json_writer *json = page_open(request);
    for (size_t i = 0; i < count; i++) {
        if (!page_takes_number(request, &page, entries[i].number)) break;
        write_entry(json, &entries[i], zone);
    }
    page_close_items(request, &page);
    if (!write_learnt(request, &filter)) return false;
    page_end(request);
    return true;
}
