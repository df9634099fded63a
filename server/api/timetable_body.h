/* Timetables on the wire. */
#ifndef MORROWLOAF_API_TIMETABLE_BODY_H
#define MORROWLOAF_API_TIMETABLE_BODY_H

#include "api/reckon.h"
#include "bakery/timetable.h"
#include "json/writer.h"

/* "steps" of a bake; empty for NULL. */
void bake_steps_write(struct json_writer *json, const struct bake *bake);

/* The members of a timetable from "begins_at" on. */
void timetable_write(struct json_writer *json, const struct day *day,
                     const struct timetable *timetable);

#endif
