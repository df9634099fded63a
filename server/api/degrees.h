/* A body whose temperatures are all in degrees Celsius ("dough_c") or all in Fahrenheit
 * ("dough_f"). */
#ifndef MORROWLOAF_API_DEGREES_H
#define MORROWLOAF_API_DEGREES_H

#include "bakery/model.h"
#include "json/reader.h"

struct degrees {
    struct json_object *body;
    bool fahrenheit;
};

/* Decides by the first member of names (stems such as "dough", ended by NULL) that is there in
 * either unit; members of the other unit are faults at their place. */
void degrees_open(struct degrees *degrees, struct json_object *body, const char *const *names);

/* A temperature as sent, in its own unit, within what -100 to 400 degrees Celsius is there. */
struct temperature degrees_read(struct degrees *degrees, const char *name, enum json_need need);
/* A difference of temperatures, -100 to 100 degrees Celsius. */
int64_t degrees_read_difference(struct degrees *degrees, const char *name, enum json_need need);

/* "dough_c" or "dough_f". NULL when memory is short. */
const char *degrees_member(const struct degrees *degrees, const char *name);

#endif
