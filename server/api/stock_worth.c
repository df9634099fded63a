/* What the stock was worth at the end of a day. */
#include "api/stock_worth.h"

#include "http/request.h"
#include "store/ledger.h"

bool stock_worth_load(struct request *request, const struct day *day, date on,
                      struct ledger_value *out, bool *any)
{
    const struct catalogue *catalogue = &day->catalogue;
    const struct ledger *ledgers = ledgers_load(request->tx, catalogue, NULL, on);
    *any = false;
    if (ledgers == NULL) return false;
    for (size_t i = 0; i < catalogue->ingredient_count; i++) {
        *any = *any || ledgers[i].lot_count > 0;
        if (!ledger_on(&ledgers[i], request->arena, &request->fails, on, &out[i])) return false;
    }
    return true;
}
