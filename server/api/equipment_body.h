/* Mixers, ovens, shifts, cold space and usual temperatures on the wire: members of /bakery. */
#ifndef MORROWLOAF_API_EQUIPMENT_BODY_H
#define MORROWLOAF_API_EQUIPMENT_BODY_H

#include "bakery/model.h"
#include "json/reader.h"
#include "json/writer.h"

void equipment_read(struct json_object *body, struct bakery *bakery);
void equipment_write(struct json_writer *json, const struct bakery *bakery);

/* An optional temperature in degrees Celsius. */
struct temperature temperature_read(struct json_object *body, const char *name);
/* null when it is not known. */
void temperature_write(struct json_writer *json, const char *name, struct temperature temperature);
/* room_c, flour_c, tap_c and preferment_c. */
void temperatures_read(struct json_object *body, struct temperatures *out);
void temperatures_write(struct json_writer *json, const struct temperatures *temperatures);

#endif
