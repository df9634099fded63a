/* The threads that perform requests. Internal to http/. */
#ifndef MORROWLOAF_HTTP_WORKERS_H
#define MORROWLOAF_HTTP_WORKERS_H

#include "http/exchange.h"

struct daemon_settings;
struct service;
struct workers;

/* Opens all workers of the service and starts their threads. NULL on failure, which is logged. */
struct workers *workers_start(const struct daemon_settings *settings,
                              const struct service *service);

/* Suspends the exchange's connection and queues it; the connection is resumed when the answer is
 * there. False, with nothing done, when too many wait already or the workers are being stopped. */
bool workers_queue(struct workers *workers, struct exchange *exchange);

/* Finishes what is queued, ends the threads and closes what the service opened for them. What comes
 * later is not taken. */
void workers_stop(struct workers *workers);
/* After workers_stop(), when nobody can queue any more. NULL is allowed. */
void workers_free(struct workers *workers);

#endif
