/* What the files of the reader share: taking a member, and where a value stands. */
#ifndef MORROWLOAF_JSON_PLACE_H
#define MORROWLOAF_JSON_PLACE_H

#include "json/reader.h"

#include <jansson.h>

/* Where a value stands. Its pointer is only built when there is a fault to tell. */
struct json_place {
    struct arena *arena;
    struct fails *fails;
    const char *path; /* of the value itself, or of its object when there is a name */
    const char *name; /* NULL: none */
};

/* The member's value, counted as read; NULL when it is absent or null, which is a fault when it is
 * required (unless the object itself is missing, which is reported already). */
json_t *json_take(struct json_object *object, const char *name, enum json_need need);

struct json_place json_place_of(const struct json_object *object, const char *name);

/* Adds a fault of FAIL_INVALID there; returns false. */
bool json_place_fault(struct json_place place, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

#endif
