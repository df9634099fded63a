/* The bakery's settings and time zone, as a request needs them. */
#ifndef MORROWLOAF_API_ZONE_H
#define MORROWLOAF_API_ZONE_H

#include "base/zone.h"

struct bakery;
struct request;

/* The time zone of the bakery; UTC until it is entered. */
bool request_zone(struct request *request, const struct zone **zone);
/* The time zone of settings that were read already; FAIL_CONFLICT until they are entered. */
bool zone_of_bakery(struct request *request, const struct bakery *bakery, const struct zone **zone);

#endif
