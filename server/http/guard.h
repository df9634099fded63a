/* Refuses requests that two programs in a row could read as different requests. Internal to http/.
 */
#ifndef MORROWLOAF_HTTP_GUARD_H
#define MORROWLOAF_HTTP_GUARD_H

#include <microhttpd.h>

/* What is wrong with the target of a request line, as it was sent: a sentence, or NULL. */
const char *guard_target(const char *target);

/* What is wrong with the headers: a sentence, or NULL. */
const char *guard_headers(struct MHD_Connection *connection);

#endif
