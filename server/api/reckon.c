/* Loading what a reckoning needs. */
#include "api/reckon.h"

#include "api/zone.h"
#include "bakery/currency.h"
#include "http/request.h"
#include "store/demand.h"
#include "store/kept.h"

bool day_open(struct request *request, struct day *day)
{
    const struct kept *kept;
    const struct zone *zone;
    *day = (struct day){0};
    if (!kept_catalogue(request->tx, &kept) ||
        !zone_of_bakery(request, &kept->catalogue.bakery, &zone))
        return false;
    day->catalogue = kept->catalogue;
    day->breakdowns = kept->breakdowns;
    day->breakdowns.catalogue = &day->catalogue;
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

date today_of(const struct day *day)
{
    date today;
    int minutes;
    zone_wall(day->reckoning.zone, instant_now(), &today, &minutes);
    return today;
}
