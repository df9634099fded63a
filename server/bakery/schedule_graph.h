/* The chains of jobs through a problem. Used by schedule*.c only. */
#ifndef MORROWLOAF_BAKERY_SCHEDULE_GRAPH_H
#define MORROWLOAF_BAKERY_SCHEDULE_GRAPH_H

#include "bakery/schedule.h"

/* What of a problem's jobs does not depend on the order in which they are placed. */
struct schedule_graph {
    size_t **before;      /* per job: those that feed it, */
    size_t *before_count; /* and how many */
    int64_t *lasts;       /* of all its operations, unstretched */
    int64_t *head;        /* of the longest chain of jobs of its group before it */
    int64_t *latest;      /* its latest end if no machine were ever taken */
    size_t *level;        /* jobs on the longest way to one that feeds nothing */
};

bool graph_of(struct arena *arena, const struct schedule_problem *problem,
              struct schedule_graph *out);

#endif
