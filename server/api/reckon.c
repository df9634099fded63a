/* Loading what a reckoning needs. */
#include "api/reckon.h"

#include "api/zone.h"
#include "bakery/currency.h"
#include "base/log.h"
#include "http/request.h"
#include "store/bakery.h"
#include "store/demand.h"

/* What is stored was checked before; if it does not hold together now, that is a defect of ours. */
static bool resolve(struct request *request, struct day *day)
{
    struct catalogue_faults faults = {.arena = request->arena};
    if (catalogue_resolve(&day->catalogue, &faults) &&
        breakdown_all(request->arena, &day->catalogue, &faults, &day->breakdowns))
        return true;
    if (faults.failed || faults.count == 0) return fail_memory(&request->fails);
    log_error("the stored catalogue does not hold together: %s %s", faults.items[0].path,
              faults.items[0].text);
    return fail_add(&request->fails, FAIL_INTERNAL, "", "the stored formulas do not hold together");
}

bool day_open(struct request *request, struct day *day)
{
    const struct zone *zone;
    *day = (struct day){0};
    if (!catalogue_load(request->tx, &day->catalogue) ||
        !zone_of_bakery(request, &day->catalogue.bakery, &zone) || !resolve(request, day))
        return false;
    day->money_places = currency_places(day->catalogue.bakery.currency);
    day->reckoning = (struct reckoning){.arena = request->arena,
                                        .fails = &request->fails,
                                        .catalogue = &day->catalogue,
                                        .breakdowns = &day->breakdowns,
                                        .zone = zone};
    return true;
}

bool day_load_demands(struct request *request, struct day *day, date first, date last)
{
    return demand_load(request->tx, &day->catalogue, first, last, &day->demands,
                       &day->demand_count);
}
