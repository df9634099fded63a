/* Water on the wire. */
#include "api/water_body.h"

#include "base/decimal.h"

static const struct {
    enum water_warning warning;
    const char *code;
    const char *text;
} warnings[] = {
    {WATER_TOO_HOT, "too-hot",
     "water over 40 \u00b0C harms the starter: warm the flour or the room instead"},
    {WATER_BELOW_ICE, "below-freezing",
     "the water would have to be colder than ice: use the ice told here, and cool the flour too"},
    {WATER_NO_TAP, "no-tap", "this may be colder than the tap gives: measure the tap for the ice"},
    {WATER_ALL_ICE, "all-ice", "more ice than water would be needed: cool the flour and the room"},
};

void water_write_ice(struct json_writer *json, const struct water *water, bool weighed)
{
    json_put_decimal_or_null(json, "ice_pct", water->ice_share, PERCENT_PLACES, water->has_ice);
    if (water->has_ice && weighed) {
        json_put_decimal(json, "ice_g", water->ice_mg, WEIGHT_PLACES);
        json_put_decimal(json, "tap_g", water->tap_mg, WEIGHT_PLACES);
    } else {
        json_put_null(json, "ice_g");
        json_put_null(json, "tap_g");
    }
    json_open_list(json, "warnings");
    for (size_t i = 0; i < sizeof warnings / sizeof *warnings; i++) {
        if ((water->warnings & warnings[i].warning) == 0) continue;
        json_open_object(json, NULL);
        json_put_text(json, "code", warnings[i].code);
        json_put_text(json, "text", warnings[i].text);
        json_close(json);
    }
    json_close(json);
}

void mix_water_write(struct json_writer *json, const struct mix_water *water)
{
    static const struct water nothing;
    json_open_object(json, "water");
    json_put_text(json, "missing", water->missing);
    if (water->known) {
        json_put_decimal(json, "water_c", water->water.temperature, TEMPERATURE_PLACES);
        json_put_decimal(json, "friction_c", water->friction_c, TEMPERATURE_PLACES);
    } else {
        json_put_null(json, "water_c");
        json_put_null(json, "friction_c");
    }
    json_put_whole(json, "factors", water->with_preferment ? 4 : 3);
    json_put_decimal(json, "water_g", water->water_mg, WEIGHT_PLACES);
    water_write_ice(json, water->known ? &water->water : &nothing, water->known);
    json_close(json);
}
