/* Values in the query of an address. A value that cannot be read is FAIL_INVALID at "", named. */
#ifndef MORROWLOAF_API_QUERY_H
#define MORROWLOAF_API_QUERY_H

#include "base/date.h"

#include <stdbool.h>
#include <stdint.h>

struct request;

/* A decimal number in units of 10^-places from min to max; *out is left alone when absent. */
bool query_decimal(struct request *request, const char *name, int places, int64_t min, int64_t max,
                   int64_t *out);
/* A day as YYYY-MM-DD; *out is left alone when absent. */
bool query_date(struct request *request, const char *name, date *out);
/* "true" or "false"; *out is left alone when absent. */
bool query_bool(struct request *request, const char *name, bool *out);
/* An RFC 3339 instant; *out is left alone when absent. */
bool query_instant(struct request *request, const char *name, instant *out);

#endif
