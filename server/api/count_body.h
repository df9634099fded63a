/* Counts on the wire. */
#ifndef MORROWLOAF_API_COUNT_BODY_H
#define MORROWLOAF_API_COUNT_BODY_H

#include "api/reckon.h"
#include "store/stock.h"
#include "json/writer.h"

struct request;

/* One object for each: what was expected and found, and for owners what the differences are worth,
 * each at what its lot cost when it came in. */
bool counts_write(struct request *request, struct json_writer *json, const struct day *day,
                  const struct posting *postings, size_t count);

#endif
