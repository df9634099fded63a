/* From a finished reply to the wire. Internal to http/. */
#ifndef MORROWLOAF_HTTP_ANSWER_H
#define MORROWLOAF_HTTP_ANSWER_H

#include "http/exchange.h"

struct answer_head {
    const char *content_type;  /* NULL: none */
    const char *cache_control; /* NULL: none */
    const char *etag;          /* NULL: none */
};

/* A response of bytes that outlive it, with the headers that every answer of this server has. NULL
 * when memory is short. Caller destroys it. */
struct MHD_Response *answer_new(const void *bytes, size_t length, const struct answer_head *head);

/* The 503 that is made before memory is short. NULL when it is already. Caller destroys it. */
struct MHD_Response *answer_no_memory(void);

/* Queues the exchange's reply, or the 503 above when there is no memory for it. */
enum MHD_Result answer_send(struct exchange *exchange);

#endif
