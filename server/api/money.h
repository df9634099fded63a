/* Money on the wire. */
#ifndef MORROWLOAF_API_MONEY_H
#define MORROWLOAF_API_MONEY_H

#include "bakery/model.h"
#include "json/writer.h"

enum { MONEY_LEAST_PLACES = 2 }; /* where no currency is at hand */

/* null when it is not known. */
void money_write(struct json_writer *json, const char *name, struct money money);
/* An amount that is only known in part is null, never a plain number. */
void money_write_known(struct json_writer *json, const char *name, int64_t micros, bool known,
                       int places);
/* A percentage, or null. */
void percent_write_known(struct json_writer *json, const char *name, int64_t pct, bool known);

#endif
