/* One way to place a group: its jobs taken in a given order, each as late as it then can be. Used
 * by schedule*.c only. */
#ifndef MORROWLOAF_BAKERY_SCHEDULE_PLACE_H
#define MORROWLOAF_BAKERY_SCHEDULE_PLACE_H

#include "bakery/schedule_floor.h"
#include "bakery/schedule_graph.h"

/* What a placement is judged by; first things first. */
struct schedule_cost {
    int64_t early;   /* begun before what was placed with a group before had ended */
    size_t warm;     /* operations for which the cold was full */
    int64_t spoilt;  /* waiting beyond what a job keeps */
    int64_t begins;  /* the first begin: later is better */
    int64_t waiting; /* of all jobs, for what they feed and for when they are due */
};

struct attempt {
    const struct schedule_problem *problem;
    const struct schedule_graph *graph;
    struct schedule_floor floor;
    struct schedule_place *places; /* of all jobs: those of the groups before are done */
    const size_t *first;
    int64_t *lasts; /* per operation of the job in hand, stretched */
    struct schedule_cost cost;
};

/* The problem's places must have room for every operation. */
bool attempt_init(struct attempt *attempt, struct arena *arena,
                  const struct schedule_problem *problem, const struct schedule_graph *graph,
                  struct schedule_place *places, const size_t *first);

/* Places the jobs in that order on what the base has left. Every job must come after all that it
 * feeds. */
void attempt_order(struct attempt *attempt, const struct schedule_floor *base, const size_t *order,
                   size_t count);

/* Whether a is the better. */
bool cost_less(const struct schedule_cost *a, const struct schedule_cost *b);

/* The preheating that the group's operations need: calls note for each, ascending by machine, then
 * time. */
void attempt_heats(const struct attempt *attempt, int64_t group,
                   void (*note)(void *context, struct schedule_heat heat), void *context);

static inline int64_t job_begins(const struct attempt *attempt, size_t job)
{
    return attempt->places[attempt->first[job]].begins;
}

static inline int64_t job_ends(const struct attempt *attempt, size_t job)
{
    size_t ops = attempt->problem->jobs[job].op_count;
    return attempt->places[attempt->first[job] + (ops > 0 ? ops - 1 : 0)].ends;
}

#endif
