/* The route table: method, path pattern, role, body limit, handler. 404, 405 with Allow, 401, 403,
 * 413 and 415 all come from it.
 */
#ifndef MORROWLOAF_HTTP_ROUTER_H
#define MORROWLOAF_HTTP_ROUTER_H

#include "http/request.h"

/* Which worker runs the handler and in what kind of transaction. */
enum route_kind {
    ROUTE_READ,   /* a reader: read-only snapshot */
    ROUTE_WRITE,  /* a writer: read-write transaction; POST needs an Idempotency-Key */
    ROUTE_SIGN_IN /* a writer; no token or session and no key needed: it makes one */
};

typedef bool (*route_handler)(struct request *request);

struct route {
    const char *method;
    const char *pattern; /* "/api/v1/orders/{id}": a {name} takes one segment */
    enum role role;      /* the least that may */
    enum route_kind kind;
    size_t body_limit; /* bytes; 0: this route takes no body */
    route_handler handler;
    const char *summary; /* one line for the list of endpoints */
};

/* Finds the route of request->method and request->path in the table (ends with a NULL method) and
 * fills route, params and allow. HEAD finds GET. */
void route_find(const struct route *table, struct request *request);

#endif
