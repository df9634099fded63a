/* What the bakery works with, on the wire. */
#include "api/equipment_body.h"

#include "api/limits.h"
#include "api/weekdays.h"
#include "bakery/temperature.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "base/fail.h"

#include <string.h>

/* --- temperatures --- */

struct temperature temperature_read(struct json_object *body, const char *name)
{
    struct temperature temperature = {.known = json_has(body, name)};
    temperature.c = json_decimal(body, name, JSON_OPTIONAL, TEMPERATURE_PLACES, TEMPERATURE_LEAST,
                                 TEMPERATURE_MOST, 0);
    return temperature;
}

void temperature_write(struct json_writer *json, const char *name, struct temperature temperature)
{
    json_put_decimal_or_null(json, name, temperature.c, TEMPERATURE_PLACES, temperature.known);
}

void temperatures_read(struct json_object *body, struct temperatures *out)
{
    out->room = temperature_read(body, "room_c");
    out->flour = temperature_read(body, "flour_c");
    out->tap = temperature_read(body, "tap_c");
    out->preferment = temperature_read(body, "preferment_c");
}

void temperatures_write(struct json_writer *json, const struct temperatures *temperatures)
{
    temperature_write(json, "room_c", temperatures->room);
    temperature_write(json, "flour_c", temperatures->flour);
    temperature_write(json, "tap_c", temperatures->tap);
    temperature_write(json, "preferment_c", temperatures->preferment);
}

/* --- mixers --- */

static void write_power(struct json_writer *json, int64_t power_w)
{
    json_put_whole_or_null(json, "power_w", power_w, power_w > 0);
}

static void read_mixer(const struct json_node *item, struct bakery *bakery)
{
    struct mixer *mixer = &bakery->mixers[bakery->mixer_count];
    struct json_object in;
    json_object_open(&in, *item);
    mixer->code = json_code(&in, "code", JSON_REQUIRED);
    mixer->min_mg = json_decimal(&in, "min_g", JSON_OPTIONAL, WEIGHT_PLACES, 0, WEIGHT_MAX, 0);
    mixer->max_mg = json_decimal(&in, "max_g", JSON_REQUIRED, WEIGHT_PLACES, 1, WEIGHT_MAX,
                                 WEIGHT_MAX);
    if (mixer->min_mg > mixer->max_mg) json_fault(&in, "min_g", "must not be over max_g");
    struct temperature friction = temperature_read(&in, "friction_c");
    mixer->has_friction = friction.known;
    mixer->friction_c = friction.c;
    mixer->power_w = json_whole(&in, "power_w", JSON_OPTIONAL, 1, POWER_MAX, 0);
    for (size_t i = 0; mixer->code != NULL && i < bakery->mixer_count; i++)
        if (bakery->mixers[i].code != NULL && strcmp(bakery->mixers[i].code, mixer->code) == 0)
            json_fault(&in, "code", "is the code of another mixer");
    json_object_close(&in);
    bakery->mixer_count++;
}

static void read_mixers(struct json_object *body, struct bakery *bakery)
{
    struct json_list list;
    struct json_node item;
    json_list_member(body, "mixers", JSON_OPTIONAL, 0, MIXERS_MAX, &list);
    bakery->mixers = arena_array(body->node.arena, list.length, sizeof *bakery->mixers);
    while (bakery->mixers != NULL && json_list_next(&list, &item))
        read_mixer(&item, bakery);
}

static void write_mixers(struct json_writer *json, const struct bakery *bakery)
{
    json_open_list(json, "mixers");
    for (size_t i = 0; i < bakery->mixer_count; i++) {
        const struct mixer *mixer = &bakery->mixers[i];
        json_open_object(json, NULL);
        json_put_text(json, "code", mixer->code);
        json_put_decimal(json, "min_g", mixer->min_mg, WEIGHT_PLACES);
        json_put_decimal(json, "max_g", mixer->max_mg, WEIGHT_PLACES);
        temperature_write(json, "friction_c",
                          (struct temperature){mixer->has_friction, mixer->friction_c});
        write_power(json, mixer->power_w);
        json_close(json);
    }
    json_close(json);
}

/* --- ovens --- */

static void read_oven(const struct json_node *item, struct bakery *bakery)
{
    struct oven *oven = &bakery->ovens[bakery->oven_count];
    struct json_object in;
    json_object_open(&in, *item);
    oven->code = json_code(&in, "code", JSON_REQUIRED);
    oven->decks = json_whole(&in, "decks", JSON_OPTIONAL, 1, DECKS_MAX, 1);
    oven->places = json_whole(&in, "places", JSON_OPTIONAL, 1, PLACES_MAX, 1);
    oven->preheat_minutes = json_whole(&in, "preheat_minutes", JSON_OPTIONAL, 0, MINUTES_PER_DAY,
                                       0);
    oven->recovery_minutes = json_whole(&in, "recovery_minutes", JSON_OPTIONAL, 0, MINUTES_PER_DAY,
                                        0);
    oven->power_w = json_whole(&in, "power_w", JSON_OPTIONAL, 1, POWER_MAX, 0);
    for (size_t i = 0; oven->code != NULL && i < bakery->oven_count; i++)
        if (bakery->ovens[i].code != NULL && strcmp(bakery->ovens[i].code, oven->code) == 0)
            json_fault(&in, "code", "is the code of another oven");
    json_object_close(&in);
    bakery->oven_count++;
}

static void read_ovens(struct json_object *body, struct bakery *bakery)
{
    struct json_list list;
    struct json_node item;
    json_list_member(body, "ovens", JSON_OPTIONAL, 0, OVENS_MAX, &list);
    bakery->ovens = arena_array(body->node.arena, list.length, sizeof *bakery->ovens);
    while (bakery->ovens != NULL && json_list_next(&list, &item))
        read_oven(&item, bakery);
}

static void write_ovens(struct json_writer *json, const struct bakery *bakery)
{
    json_open_list(json, "ovens");
    for (size_t i = 0; i < bakery->oven_count; i++) {
        const struct oven *oven = &bakery->ovens[i];
        json_open_object(json, NULL);
        json_put_text(json, "code", oven->code);
        json_put_whole(json, "decks", oven->decks);
        json_put_whole(json, "places", oven->places);
        json_put_whole(json, "preheat_minutes", oven->preheat_minutes);
        json_put_whole(json, "recovery_minutes", oven->recovery_minutes);
        write_power(json, oven->power_w);
        json_close(json);
    }
    json_close(json);
}

/* --- shifts --- */

static void read_shift(const struct json_node *item, struct shift *shift)
{
    struct json_object in;
    json_object_open(&in, *item);
    shift->name = json_text(&in, "name", JSON_OPTIONAL, NAME_MAX_CHARACTERS);
    shift->days = weekdays_read(&in, "days");
    json_clock(&in, "from", JSON_REQUIRED, &shift->from);
    json_clock(&in, "to", JSON_REQUIRED, &shift->to);
    shift->hands = json_whole(&in, "hands", JSON_OPTIONAL, 1, HANDS_MAX, 1);
    json_object_close(&in);
}

static void read_shifts(struct json_object *body, struct bakery *bakery)
{
    struct json_list list;
    struct json_node item;
    json_list_member(body, "shifts", JSON_OPTIONAL, 0, SHIFTS_MAX, &list);
    bakery->shifts = arena_array(body->node.arena, list.length, sizeof *bakery->shifts);
    while (bakery->shifts != NULL && json_list_next(&list, &item))
        read_shift(&item, &bakery->shifts[bakery->shift_count++]);
}

static void write_shift(struct json_writer *json, const struct shift *shift)
{
    json_open_object(json, NULL);
    json_put_text(json, "name", shift->name);
    weekdays_write(json, "days", shift->days);
    json_put_clock(json, "from", shift->from);
    json_put_clock(json, "to", shift->to);
    json_put_whole(json, "hands", shift->hands);
    json_close(json);
}

/* --- all --- */

static void read_feeding_hours(struct json_object *body, struct bakery *bakery)
{
    bakery->feed_from = bakery->feed_to = NO_CLOCK;
    json_clock(body, "feed_from", JSON_OPTIONAL, &bakery->feed_from);
    json_clock(body, "feed_to", JSON_OPTIONAL, &bakery->feed_to);
    if (json_has(body, "feed_from") && !json_has(body, "feed_to"))
        json_fault(body, "feed_to", "must be there along with feed_from");
    if (json_has(body, "feed_to") && !json_has(body, "feed_from"))
        json_fault(body, "feed_from", "must be there along with feed_to");
}

void equipment_read(struct json_object *body, struct bakery *bakery)
{
    read_mixers(body, bakery);
    read_ovens(body, bakery);
    read_shifts(body, bakery);
    bakery->cold_mg = json_decimal(body, "cold_g", JSON_OPTIONAL, WEIGHT_PLACES, 0, WEIGHT_MAX, 0);
    read_feeding_hours(body, bakery);
    temperatures_read(body, &bakery->usual);
}

void equipment_write(struct json_writer *json, const struct bakery *bakery)
{
    write_mixers(json, bakery);
    write_ovens(json, bakery);
    json_open_list(json, "shifts");
    for (size_t i = 0; i < bakery->shift_count; i++)
        write_shift(json, &bakery->shifts[i]);
    json_close(json);
    json_put_decimal(json, "cold_g", bakery->cold_mg, WEIGHT_PLACES);
    json_put_clock(json, "feed_from", bakery->feed_from);
    json_put_clock(json, "feed_to", bakery->feed_to);
    temperatures_write(json, &bakery->usual);
}
