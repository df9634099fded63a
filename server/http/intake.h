/* From the wire to struct request: head, checks, body. Internal to http/. */
#ifndef MORROWLOAF_HTTP_INTAKE_H
#define MORROWLOAF_HTTP_INTAKE_H

#include "http/exchange.h"

/* Takes in the head of a request and checks what can be told from it alone. False: refused, with a
 * fault on the list. */
bool intake_head(struct exchange *exchange, const struct route *routes, const char *method,
                 const char *path);
/* Takes in a piece of the body. */
void intake_body(struct exchange *exchange, const char *bytes, size_t length);
/* The body is there. False when memory did not suffice for it. */
bool intake_end(struct exchange *exchange);

#endif
