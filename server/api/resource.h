/* What all things of the catalogue have in common on the wire: GET, PUT, DELETE, list, revisions.
 *
 * A kind of thing is a struct resource: how it is read from a body, checked, stored and written.
 * The handlers below do the rest: codes, preconditions, history, references, ETags, pages.
 */
#ifndef MORROWLOAF_API_RESOURCE_H
#define MORROWLOAF_API_RESOURCE_H

#include "http/request.h"
#include "store/selection.h"

struct resource {
    const char *kind;   /* as history and references call it: "supplier" */
    size_t size;        /* of its struct, which begins with its code */
    size_t revision_at; /* offset of its int64_t revision */

    /* From the store: *items is a list of structs in the transaction's arena. */
    bool (*select)(struct tx *tx, const struct selection *selection, void **items, size_t *count);
    bool (*put)(struct tx *tx, void *thing);
    bool (*remove)(struct tx *tx, const char *code);

    /* Fills thing (zeroed, its code set) from the body; faults go on the request's list. */
    void (*read)(struct json_object *body, void *thing);
    /* Rules that need the rest of the book; may be NULL. Called also when read found faults, so
     * that all are reported together. old is NULL for a new thing. False only when the book could
     * not be read. */
    bool (*check)(struct request *request, void *thing, const void *old);
    /* Writes the members as they are stored. */
    void (*write)(struct json_writer *json, const void *thing);
    /* Writes the members that are worked out, for an answer with one thing; may be NULL. */
    bool (*write_derived)(struct request *request, struct json_writer *json, const void *thing);
};

/* The handlers, for one-line wrappers in each kind's file. */
bool resource_list(struct request *request, const struct resource *resource);
bool resource_get(struct request *request, const struct resource *resource);
bool resource_put(struct request *request, const struct resource *resource);
bool resource_delete(struct request *request, const struct resource *resource);
bool resource_revisions(struct request *request, const struct resource *resource);

/* Whether If-Match and If-None-Match allow a write on something of that revision; FAIL_PRECONDITION
 * else. */
bool precondition_holds(struct request *request, bool exists, int64_t revision);

#endif
