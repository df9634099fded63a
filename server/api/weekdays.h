/* Weekdays on the wire: a list of 1 Monday ... 7 Sunday, kept as bits 1 to 7. */
#ifndef MORROWLOAF_API_WEEKDAYS_H
#define MORROWLOAF_API_WEEKDAYS_H

#include "json/reader.h"
#include "json/writer.h"

enum { EVERY_DAY = 0xfe };

/* The days of a member, at least one and none twice; EVERY_DAY when it is absent. */
unsigned weekdays_read(struct json_object *body, const char *name);
void weekdays_write(struct json_writer *json, const char *name, unsigned days);

#endif
