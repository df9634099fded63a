/* Postings on the wire: what happened to the stock, with its movements. */
#ifndef MORROWLOAF_API_POSTING_BODY_H
#define MORROWLOAF_API_POSTING_BODY_H

#include "api/reckon.h"
#include "store/stock.h"
#include "json/writer.h"

struct request;

/* The posting of that number; NULL when there is none. */
bool posting_find(struct request *request, int64_t number, struct posting **posting);

/* One object for each, newest first as they were selected. */
bool postings_write(struct request *request, struct json_writer *json, const struct day *day,
                    const struct posting *postings, size_t count);

/* Undoes a posting: a posting of its own, of the same date, whose movements are those of the first
 * the other way round; takings of a batch are reversed in the logs of the starters, too. Faults at
 * "/reverses": there is none, a reversal, a feed, something was used of what it brought;
 * FAIL_CONFLICT when it is reversed already. allow_fed: it is the starter's own log that asks. */
bool posting_reverse(struct request *request, int64_t number, const char *reason, bool allow_fed,
                     struct posting *reversal);

#endif
