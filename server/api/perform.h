/* Performing a request: transaction, identity, role, idempotency, handler, commit. */
#ifndef MORROWLOAF_API_PERFORM_H
#define MORROWLOAF_API_PERFORM_H

#include "http/router.h"

/* All endpoints; ends with a NULL method. */
extern const struct route api_routes[];

struct api_context {
    const char *conninfo;
    int deadline_ms; /* of one call to the database */
    bool secure_cookie;
    int64_t bakery_id; /* whose people sign in on this server's page */
};

/* The hooks of struct service: a worker owns one way to the book. context is a struct api_context.
 */
void *api_worker_open(void *context);
void api_worker_close(void *worker);
void api_perform(void *worker, struct request *request);

/* Performs a request of the program's own (the demo bakery) as an owner called actor, through all
 * the checks that a request from outside meets. request is begun with an arena and a method, path
 * and body; the answer stands in request->reply or request->fails. */
void api_perform_local(void *worker, struct request *request, const char *actor);

/* Forgets what has expired in the worker's bakery: old Idempotency-Keys, ended sessions. A failure
 * is logged and left for the next time. */
void api_tidy(void *worker);

#endif
