/* The bakery's settings and time zone, as a request needs them. */
#ifndef MORROWLOAF_API_ZONE_H
#define MORROWLOAF_API_ZONE_H

#include "base/zone.h"

struct bakery;
struct request;

/* The time zone of the bakery; UTC until it is entered. */
bool request_zone(struct request *request, const struct zone **zone);
/* The settings and their zone; FAIL_CONFLICT until they are entered. */
bool request_bakery(struct request *request, struct bakery *bakery, const struct zone **zone);

#endif
