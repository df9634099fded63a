/* Looking for a good order in which to place a group. Used by schedule*.c only. */
#ifndef MORROWLOAF_BAKERY_SCHEDULE_SEARCH_H
#define MORROWLOAF_BAKERY_SCHEDULE_SEARCH_H

#include "bakery/schedule_place.h"

/* No placement of these jobs, of one group, has a later first begin than this. */
bool latest_begin(struct arena *arena, const struct schedule_problem *problem,
                  const struct schedule_graph *graph, const size_t *jobs, size_t count,
                  int64_t *begins);

/* Finds an order for the jobs of a group, which stand in the order of the problem, and leaves the
 * attempt with them placed in that order. */
bool search_order(struct arena *arena, const struct schedule_graph *graph, struct attempt *attempt,
                  const struct schedule_floor *base, size_t *jobs, size_t count);

#endif
