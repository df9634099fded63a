/* Settings and time zone for a request. */
#include "api/zone.h"

#include "bakery/model.h"
#include "http/request.h"
#include "store/bakery.h"

static bool load(struct request *request, const char *name, const struct zone **zone)
{
    *zone = name != NULL ? zone_load(request->arena, name) : zone_fixed(request->arena, 0);
    if (*zone != NULL) return true;
    return fail_add(&request->fails, FAIL_UNAVAILABLE, "",
                    "the time zone %s cannot be read on this machine", name != NULL ? name : "UTC");
}

bool request_zone(struct request *request, const struct zone **zone)
{
    const char *name;
    return bakery_time_zone(request->tx, &name) && load(request, name, zone);
}

bool zone_of_bakery(struct request *request, const struct bakery *bakery, const struct zone **zone)
{
    if (bakery->name != NULL) return load(request, bakery->time_zone, zone);
    return fail_add(&request->fails, FAIL_CONFLICT, "",
                    "the bakery's settings are not entered yet (PUT /api/v1/bakery)");
}
