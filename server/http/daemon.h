/* The HTTP server: one epoll thread that parses, routes and answers what needs no database; the
 * rest is suspended and queued to workers, each of which owns one connection to the database.
 *
 * http/ knows nothing of the database: a worker is made by open(), its requests are handed to
 * perform(), which fills request->reply or request->fails.
 */
#ifndef MORROWLOAF_HTTP_DAEMON_H
#define MORROWLOAF_HTTP_DAEMON_H

#include "http/router.h"

struct daemon;

struct service {
    const struct route *routes;                             /* ends with a NULL method */
    void *(*open)(void *context);                           /* a worker's own state; NULL: failed */
    void (*perform)(void *worker, struct request *request); /* runs on that worker's thread */
    void (*close)(void *worker);
    void *context; /* for open() */
};

struct daemon_settings {
    const char *address; /* "127.0.0.1:8480" or "[::1]:8480"; port 0 lets the system choose */
    const char *static_folder;
    int readers;
    int writers;
    size_t queue_max; /* more waiting requests than this are answered 503 */
    int receive_s;    /* a request must have come in whole after this many seconds */
};

/* Starts the server. NULL on failure, which is logged. Settings and service are borrowed for its
 * life. */
struct daemon *daemon_start(const struct daemon_settings *settings, const struct service *service);
/* The port it listens on. */
int daemon_port(const struct daemon *daemon);
/* Takes no new requests, finishes those at work, and frees everything. */
void daemon_stop(struct daemon *daemon);

/* Turns request->fails into its answer (RFC 9457 problem), or a 503 when memory is short. Called by
 * the daemon; public for tests and for whoever performs requests without HTTP. */
void reply_problem(struct request *request);
/* The ETag of the finished answer, quoted; NULL when it has none. Also turns a GET whose
 * If-None-Match matches into 304. Called by the daemon. */
const char *reply_finish(struct request *request);

#endif
