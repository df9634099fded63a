/* Undoing a posting. */
#ifndef MORROWLOAF_API_REVERSAL_H
#define MORROWLOAF_API_REVERSAL_H

#include "store/stock.h"

struct request;

/* Undoes a posting: a posting of its own, of the same date, whose movements are those of the first
 * the other way round; takings of a batch are reversed in the logs of the starters, too. Faults at
 * "/reverses": there is none, a reversal, a feed, something was used of what it brought;
 * FAIL_CONFLICT when it is reversed already. allow_fed: it is the starter's own log that asks. */
bool posting_reverse(struct request *request, int64_t number, const char *reason, bool allow_fed,
                     struct posting *reversal);

#endif
