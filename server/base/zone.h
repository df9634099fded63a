/* Time zones, read from the system's tzdata files (TZif, RFC 8536, with the rule of the footer for
 * times after the last transition). libc's clock knows one zone per process; a server of several
 * bakeries needs many at once.
 */
#ifndef MORROWLOAF_BASE_ZONE_H
#define MORROWLOAF_BASE_ZONE_H

#include "base/date.h"

struct arena;
struct zone;

/* The zone of an IANA name such as "Europe/London"; NULL when there is none of that name (names are
 * checked: no "..", no absolute path) or memory is short. Owned by the arena. */
const struct zone *zone_load(struct arena *arena, const char *name);

/* Seconds east of UTC in force at that instant. */
int32_t zone_offset(const struct zone *zone, instant at);

/* The instant of a wall-clock time. A time that the clock skips is taken with the offset before the
 * gap (01:30 in a gap from 01:00 to 02:00 is 02:30 by the new clock); of a time that comes twice,
 * the first. */
instant zone_instant(const struct zone *zone, date day, int minutes);

/* The date and the minutes since midnight that the wall clock shows at that instant. */
void zone_wall(const struct zone *zone, instant at, date *day, int *minutes);

/* A zone with no changes, for tests of arithmetic. Owned by the arena. */
const struct zone *zone_fixed(struct arena *arena, int32_t offset);

#endif
