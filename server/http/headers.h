/* What the headers of a request say. Internal to http/. */
#ifndef MORROWLOAF_HTTP_HEADERS_H
#define MORROWLOAF_HTTP_HEADERS_H

#include "http/exchange.h"

#define SESSION_COOKIE "morrowloaf_session"

/* The value of a header, or NULL. Borrowed from libmicrohttpd for the length of the call. */
const char *header(const struct exchange *exchange, const char *name);

/* Fills the request with what headers, address and connection say. Short memory is remembered by
 * the arena. */
void headers_take(struct exchange *exchange);

#endif
