/* Money on the wire. */
#include "api/money.h"

#include "base/decimal.h"

void money_write(struct json_writer *json, const char *name, struct money money)
{
    money_write_known(json, name, money.micros, money.known, MONEY_LEAST_PLACES);
}

void money_write_known(struct json_writer *json, const char *name, int64_t micros, bool known,
                       int places)
{
    json_put_money_or_null(json, name, micros, places, known);
}

void percent_write_known(struct json_writer *json, const char *name, int64_t pct, bool known)
{
    json_put_decimal_or_null(json, name, pct, PERCENT_PLACES, known);
}
