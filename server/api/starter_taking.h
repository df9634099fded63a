/* Entries in the logs of starters that batches make: takings, and their reversals. */
#ifndef MORROWLOAF_API_STARTER_TAKING_H
#define MORROWLOAF_API_STARTER_TAKING_H

#include "api/reckon.h"

struct request;

/* Logs that so much of a starter went into a mix at that time (or after the last entry of its log,
 * when that is later). The log must be held (starter_log_lock). *entry 0: its log is not kept, and
 * nothing is logged. More than there is in the pot is a fault at pointer. */
bool starter_taking_add(struct request *request, const struct day *day, size_t starter, int64_t mg,
                        instant at, const char *note, const char *pointer, int64_t *entry);

/* Reverses a taking. The log is held from then on. */
bool starter_taking_reverse(struct request *request, const struct day *day, const char *starter,
                            int64_t entry, const char *note);

#endif
