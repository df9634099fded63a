/* The changes of a what-if on the wire. */
#ifndef MORROWLOAF_API_CHANGE_BODY_H
#define MORROWLOAF_API_CHANGE_BODY_H

#include "bakery/what_if.h"
#include "json/reader.h"

/* The list "changes" of a body. NULL when memory is short; faults go on the list. */
struct change *changes_read(struct json_object *body, const struct catalogue *catalogue,
                            size_t *count);

#endif
