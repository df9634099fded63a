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
    if (known)
        json_put_money(json, name, micros, places);
    else
        json_put_null(json, name);
}

void percent_write_known(struct json_writer *json, const char *name, int64_t pct, bool known)
{
    if (known)
        json_put_decimal(json, name, pct, PERCENT_PLACES);
    else
        json_put_null(json, name);
}
