/* One request and its answer on a connection, between libmicrohttpd and the workers. Internal to
 * http/.
 *
 * An exchange begins with the request line and ends when libmicrohttpd says that the request is
 * complete; it lives in the request's own arena. Until it is queued it belongs to the epoll thread,
 * then to one worker, and from its resumption on to the epoll thread again: no two threads ever
 * touch it at once, so it has no lock.
 */
#ifndef MORROWLOAF_HTTP_EXCHANGE_H
#define MORROWLOAF_HTTP_EXCHANGE_H

#include "http/reaper.h"
#include "http/request.h"

#include <microhttpd.h>

struct daemon;

enum exchange_stage {
    EXCHANGE_BEGUN,     /* the head is coming in */
    EXCHANGE_RECEIVING, /* the body is coming in */
    EXCHANGE_AT_WORK    /* queued to a worker; when we are called again the answer is there */
};

struct exchange {
    struct request request;
    struct daemon *daemon;
    struct MHD_Connection *connection;
    struct watch *watch; /* the reaper's eye on the connection */
    enum exchange_stage stage;
    const char *target_fault; /* what is wrong with the request line; NULL: nothing */
    size_t announced;         /* bytes of body, by Content-Length */
    struct text body;
    bool for_api; /* else it asks for a file */
    bool close;   /* the connection must not be used for another request */
    int64_t begun_ms;
    struct exchange *next; /* in a worker's queue */
};

/* Called with the request line as it was sent. NULL when memory is short. */
struct exchange *exchange_begin(struct daemon *daemon, struct MHD_Connection *connection,
                                const char *target);
/* Writes the line of the log and frees it. */
void exchange_end(struct exchange *exchange);

/* Makes the finished answer out of what was found: faults become a problem, a want of memory a 503.
 * Runs on whichever thread has the exchange. */
void exchange_finish(struct exchange *exchange);

#endif
