/* How long work on machines must take at the least, and how late a group can therefore begin. */
#include "bakery/schedule_search.h"

#include "base/arena.h"

#include <stdlib.h>

static int by_tail(const void *left, const void *right)
{
    const struct schedule_work *a = left;
    const struct schedule_work *b = right;
    if (a->tail != b->tail) return a->tail > b->tail ? -1 : 1;
    return (a->head > b->head) - (a->head < b->head);
}

/* The bound over the work with no less than that head, for every least tail. On so many machines
 * all but one piece of work each is preceded by a recovery. */
static int64_t bound_from(const struct schedule_work *work, size_t count, int64_t machines,
                          int64_t recovery, int64_t head)
{
    int64_t longest = 0;
    int64_t sum = 0;
    int64_t pieces = 0;
    for (size_t n = 0; n < count; n++) {
        if (work[n].head < head || work[n].lasts == 0) continue;
        sum += work[n].lasts;
        int64_t recoveries = ++pieces > machines ? recovery * (pieces - machines) : 0;
        int64_t through = head + (sum + recoveries + machines - 1) / machines + work[n].tail;
        if (through > longest) longest = through;
    }
    return longest;
}

int64_t schedule_bound(struct schedule_work *work, size_t count, size_t machines, int64_t recovery)
{
    int64_t longest = 0;
    if (count == 0 || machines == 0) return 0;
    qsort(work, count, sizeof *work, by_tail);
    for (size_t n = 0; n < count; n++) {
        int64_t bound = bound_from(work, count, (int64_t)machines, recovery, work[n].head);
        if (bound > longest) longest = bound;
    }
    return longest;
}

/* --- of a group --- */

struct group {
    const struct schedule_problem *problem;
    const struct schedule_graph *graph;
    const size_t *jobs;
    size_t count;
    int64_t due; /* of the last of its jobs */
    struct schedule_work *work;
};

/* What the chains allow. */
static int64_t begin_of_chains(struct group *group)
{
    const struct schedule_graph *graph = group->graph;
    int64_t begins = INT64_MAX;
    group->due = INT64_MIN;
    for (size_t n = 0; n < group->count; n++) {
        size_t job = group->jobs[n];
        int64_t of_chain = graph->latest[job] - graph->lasts[job] - graph->head[job];
        if (graph->latest[job] > group->due) group->due = graph->latest[job];
        if (group->problem->jobs[job].op_count > 0 && of_chain < begins) begins = of_chain;
    }
    return begins;
}

/* Adds the work of a job whose list of machines begins with this one; raises *machines to the
 * length of the list. */
static size_t add_work(const struct group *group, size_t job, size_t machine, size_t count,
                       size_t *machines)
{
    const struct schedule_job *of = &group->problem->jobs[job];
    int64_t head = group->graph->head[job];
    int64_t tail = group->due - group->graph->latest[job] + group->graph->lasts[job];
    for (size_t k = 0; k < of->op_count; k++) {
        const struct schedule_op *op = &of->ops[k];
        tail -= op->lasts;
        if (op->machine_count > 0 && op->machines[0] == machine) {
            group->work[count++] = (struct schedule_work){head, op->lasts, tail};
            if (op->machine_count > *machines) *machines = op->machine_count;
        }
        head += op->lasts;
    }
    return count;
}

/* What the machines from this one on allow: those that are on the longest list from there. */
static int64_t begin_of_machines(const struct group *group, size_t machine)
{
    size_t machines = 0;
    size_t count = 0;
    for (size_t n = 0; n < group->count; n++)
        count = add_work(group, group->jobs[n], machine, count, &machines);
    int64_t recovery = INT64_MAX;
    for (size_t n = machine; n < machine + machines; n++)
        if (group->problem->machines[n].recovery < recovery)
            recovery = group->problem->machines[n].recovery;
    return group->due - schedule_bound(group->work, count, machines, recovery);
}

bool latest_begin(struct arena *arena, const struct schedule_problem *problem,
                  const struct schedule_graph *graph, const size_t *jobs, size_t count,
                  int64_t *begins)
{
    struct group group = {.problem = problem, .graph = graph, .jobs = jobs, .count = count};
    size_t ops = 0;
    for (size_t n = 0; n < count; n++)
        ops += problem->jobs[jobs[n]].op_count;
    group.work = arena_array(arena, ops, sizeof *group.work);
    if (!group.work) return false;
    *begins = begin_of_chains(&group);
    for (size_t m = 0; m < problem->machine_count; m++) {
        int64_t of_machines = begin_of_machines(&group, m);
        if (of_machines < *begins) *begins = of_machines;
    }
    return true;
}
