/* Placing jobs on machines, backwards from when they are due: the whole numbers under a timetable.
 *
 * A job is a chain of operations that follow each other at once. It ends no later than it is due
 * and no later than any job that it feeds begins; the time between is waiting. An operation
 * occupies one of its machines, and some of the cold, from its begin to its end; in the cold the
 * last operation goes on until the last job that it feeds has begun. Times are of any unit.
 *
 * Groups are placed one after the other, ascending, and what is placed stays: the place of a job
 * does not depend on how the groups after its own are placed. Within a group the first begin is as
 * late as can be found; since there is always an earlier place on a machine, nothing is ever late.
 * What a job feeds in a later group is taken to begin when it would if no machine were taken; when
 * that turns out to have to begin earlier, and before the job has ended, it does so none the less.
 * Whoever makes the groups leaves time enough between them.
 */
#ifndef MORROWLOAF_BAKERY_SCHEDULE_H
#define MORROWLOAF_BAKERY_SCHEDULE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define SCHEDULE_NONE ((size_t)-1)
#define SCHEDULE_EVER INT64_MAX /* no limit */

struct arena;

struct schedule_op {
    int64_t lasts;
    int64_t most;           /* what it may be stretched to; lasts: not at all */
    const size_t *machines; /* one of them is occupied; neighbours, ascending */
    size_t machine_count;   /* 0: none */
    int64_t cold;           /* what it takes of the cold */
};

struct schedule_job {
    const struct schedule_op *ops;
    size_t op_count;     /* 0: a gate, which only passes on when it has to be ready */
    const size_t *feeds; /* jobs after it in the list */
    size_t feed_count;
    int64_t due;   /* SCHEDULE_EVER: only by what it feeds */
    int64_t keeps; /* what its last operation may last together with the waiting after it */
    int64_t group;
};

struct schedule_machine {
    int64_t recovery;   /* from one operation to the next */
    int64_t preheat;    /* before an operation when it has got cold */
    int64_t stays_warm; /* how long it may stand empty; no less than preheat */
};

struct schedule_problem {
    const struct schedule_job *jobs;
    size_t job_count;
    const struct schedule_machine *machines;
    size_t machine_count;
    int64_t cold;       /* what the cold holds; SCHEDULE_EVER: anything */
    int64_t last_group; /* the groups after it are left out */
};

struct schedule_place {
    int64_t begins, ends;
    size_t machine; /* SCHEDULE_NONE: none */
};

struct schedule_heat {
    size_t machine;
    size_t job; /* before which it is heated */
    int64_t begins, ends;
};

struct schedule {
    struct schedule_place *places; /* of all operations; of a gate one as well */
    size_t *first;                 /* per job: its first place */
    struct schedule_heat *heats;   /* by group */
    size_t heat_count;
    size_t warm; /* operations that had to be placed although the cold was full */
};

/* False when memory is short. Everything belongs to the arena. */
bool schedule_solve(struct arena *arena, const struct schedule_problem *problem,
                    struct schedule *out);

/* Work on alike machines: between the earliest begin of a head before it and the end of a tail
 * after it no schedule is shorter than schedule_bound(). */
struct schedule_work {
    int64_t head, lasts, tail;
};

/* Sorts the work. For every choice of least head and least tail: what has no less of both needs
 * its time on the machines, and they recover between. */
int64_t schedule_bound(struct schedule_work *work, size_t count, size_t machines, int64_t recovery);

#endif
