/* What the stock was worth at the end of a day, per ingredient. */
#ifndef MORROWLOAF_API_STOCK_WORTH_H
#define MORROWLOAF_API_STOCK_WORTH_H

#include "api/reckon.h"
#include "bakery/ledger.h"

struct request;

/* Fills out, one value per ingredient of the day's catalogue (room is the caller's), with what was
 * on hand at the end of the day "on" and its worth by both methods. An ingredient that had no lot
 * by then has nothing, worth 0. *any: whether any ingredient had a lot by then. False with faults
 * on the list. The day must be open; nothing of it is changed. */
bool stock_worth_load(struct request *request, const struct day *day, date on,
                      struct ledger_value *out, bool *any);

#endif
