/* Performing requests of the program's own, without HTTP: the command line goes through the same
 * routes, checks and sentences as everybody else. */
#ifndef MORROWLOAF_LOCAL_H
#define MORROWLOAF_LOCAL_H

#include "api/perform.h"

struct settings;

struct local {
    void *worker;
    struct api_context context;
    const char *actor; /* who is written down as the author of what is done */
};

/* False when memory is short, which is logged. Close with local_close(). */
bool local_open(struct local *local, const struct settings *settings, const char *actor);
void local_close(struct local *local);

struct local_call {
    const char *method;
    const char *path;
    const char *body;            /* NULL: none */
    const char *idempotency_key; /* NULL: none */
};

/* Performs the call as an owner. The answer stands in reply and fails of the result, which lives in
 * the arena; NULL when memory is short. */
struct request *local_perform(struct local *local, struct arena *arena,
                              const struct local_call *call);

/* Tells on standard error what was wrong with a call. request NULL: memory was short. */
void local_tell(const struct local_call *call, const struct request *request);

/* Performs the call and tells its faults. NULL unless it was answered well. */
struct request *local_demand(struct local *local, struct arena *arena,
                             const struct local_call *call);

/* The answer of a call as JSON; false when it is none. */
bool local_answer(struct request *request, struct json_node *root);

#endif
