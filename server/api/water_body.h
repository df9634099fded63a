/* Water, ice and their warnings on the wire. */
#ifndef MORROWLOAF_API_WATER_BODY_H
#define MORROWLOAF_API_WATER_BODY_H

#include "bakery/temperature.h"
#include "json/writer.h"

/* "ice_pct", "ice_g", "tap_g" (null where they are not known) and "warnings". */
void water_write_ice(struct json_writer *json, const struct water *water, bool weighed);

/* "water" of a mix: null when its dough has no temperature to reach. */
void mix_water_write(struct json_writer *json, const struct mix_water *water);

#endif
