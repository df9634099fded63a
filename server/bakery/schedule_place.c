/* Placing a job: its chain is laid out to end when it is due. An operation that finds its machine
 * or the cold taken is pulled to an earlier end; what comes after it in the chain is stretched as
 * far as it may be, and for the rest the whole chain ends earlier and waits.
 *
 * Ends are only ever pulled earlier, from one taken span to the one before it: this comes to an
 * end.
 */
#include "bakery/schedule_place.h"

#include "base/arena.h"

/* The chain of one job while it is being placed. */
struct chain {
    const struct schedule_job *job;
    struct schedule_place *places;
    int64_t ends;    /* of the last operation */
    int64_t waits;   /* until then the last operation stays in the cold */
    bool warm_limit; /* the cold was full whatever was done */
};

bool attempt_init(struct attempt *attempt, struct arena *arena,
                  const struct schedule_problem *problem, const struct schedule_graph *graph,
                  struct schedule_place *places, const size_t *first)
{
    size_t most = 1;
    for (size_t j = 0; j < problem->job_count; j++)
        if (problem->jobs[j].op_count > most) most = problem->jobs[j].op_count;
    *attempt = (struct attempt){
        .problem = problem, .graph = graph, .places = places, .first = first};
    attempt->lasts = arena_array(arena, most, sizeof *attempt->lasts);
    return floor_init(&attempt->floor, arena, problem->machine_count) && attempt->lasts;
}

bool cost_less(const struct schedule_cost *a, const struct schedule_cost *b)
{
    if (a->early != b->early) return a->early < b->early;
    if (a->warm != b->warm) return a->warm < b->warm;
    if (a->spoilt != b->spoilt) return a->spoilt < b->spoilt;
    if (a->begins != b->begins) return a->begins > b->begins;
    return a->waiting < b->waiting;
}

/* --- laying out a chain --- */

static void lay_out(const struct attempt *attempt, const struct chain *chain)
{
    int64_t at = chain->ends;
    for (size_t k = chain->job->op_count; k-- > 0;) {
        chain->places[k].ends = at;
        at -= attempt->lasts[k];
        chain->places[k].begins = at;
    }
}

/* Lets operation k end so much earlier. */
static void pull(struct attempt *attempt, struct chain *chain, size_t k, int64_t earlier)
{
    for (size_t n = k + 1; n < chain->job->op_count; n++) {
        int64_t room = chain->job->ops[n].most - attempt->lasts[n];
        int64_t more = room < earlier ? room : earlier;
        attempt->lasts[n] += more;
        earlier -= more;
    }
    chain->ends -= earlier;
    lay_out(attempt, chain);
}

/* The latest end on any of its machines, the first such machine of which is taken. */
static int64_t latest_on_machines(const struct attempt *attempt, const struct schedule_op *op,
                                  struct schedule_place *place)
{
    int64_t latest = INT64_MIN;
    place->machine = SCHEDULE_NONE;
    if (op->machine_count == 0) return place->ends;
    for (size_t n = 0; n < op->machine_count && latest < place->ends; n++) {
        size_t machine = op->machines[n];
        int64_t ends = lane_latest(&attempt->floor.lanes[machine],
                                   attempt->problem->machines[machine].recovery,
                                   place->ends - place->begins, place->ends);
        if (ends <= latest) continue;
        latest = ends;
        place->machine = machine;
    }
    return latest;
}

/* The latest end at which the cold has room for operation k. Of the last operation's waiting
 * nothing can be pulled: it goes on until what it feeds begins. */
static int64_t latest_in_cold(const struct attempt *attempt, struct chain *chain, size_t k)
{
    const struct schedule_op *op = &chain->job->ops[k];
    const struct schedule_place *place = &chain->places[k];
    int64_t limit = attempt->problem->cold;
    bool is_last = k + 1 == chain->job->op_count;
    if (op->cold == 0 || limit == SCHEDULE_EVER || chain->warm_limit) return place->ends;
    int64_t to = is_last && chain->waits > place->ends ? chain->waits : place->ends;
    int64_t full = floor_full(&attempt->floor, limit, place->begins, to, op->cold);
    if (full == SCHEDULE_EVER) return place->ends;
    bool hopeless = op->cold > limit || (is_last && chain->job->feed_count > 0);
    if (!hopeless) return full;
    chain->warm_limit = true;
    return place->ends;
}

/* The first operation from the end that must be pulled; op_count when all is well. */
static size_t pull_one(struct attempt *attempt, struct chain *chain)
{
    for (size_t k = chain->job->op_count; k-- > 0;) {
        struct schedule_place *place = &chain->places[k];
        int64_t latest = latest_on_machines(attempt, &chain->job->ops[k], place);
        if (latest == place->ends) latest = latest_in_cold(attempt, chain, k);
        if (latest == place->ends) continue;
        pull(attempt, chain, k, place->ends - latest);
        return k;
    }
    return chain->job->op_count;
}

static void occupy(struct attempt *attempt, const struct chain *chain, size_t job)
{
    for (size_t k = 0; k < chain->job->op_count; k++) {
        const struct schedule_place *place = &chain->places[k];
        bool is_last = k + 1 == chain->job->op_count;
        int64_t to = is_last && chain->waits > place->ends ? chain->waits : place->ends;
        if (place->machine != SCHEDULE_NONE)
            floor_occupy(&attempt->floor, place->machine,
                         (struct span){place->begins, place->ends, job});
        if (attempt->problem->cold != SCHEDULE_EVER)
            floor_cool(&attempt->floor, place->begins, to, chain->job->ops[k].cold);
    }
}

/* --- a job --- */

/* When a job begins; of a later group, when it would if no machine were taken. */
static int64_t begins_of(const struct attempt *attempt, size_t job, int64_t group)
{
    if (attempt->problem->jobs[job].group <= group) return job_begins(attempt, job);
    return attempt->graph->latest[job] - attempt->graph->lasts[job];
}

/* Until when a job must have ended, and until when the last job that it feeds has begun. */
static void limits(const struct attempt *attempt, struct chain *chain)
{
    const struct schedule_job *job = chain->job;
    chain->ends = job->due;
    chain->waits = INT64_MIN;
    for (size_t n = 0; n < job->feed_count; n++) {
        int64_t begins = begins_of(attempt, job->feeds[n], job->group);
        if (begins < chain->ends) chain->ends = begins;
        if (begins > chain->waits) chain->waits = begins;
    }
}

/* What feeds it and was placed with a group before must have ended. */
static void judge_begin(struct attempt *attempt, size_t job)
{
    const struct schedule_job *all = attempt->problem->jobs;
    for (size_t n = 0; n < attempt->graph->before_count[job]; n++) {
        size_t before = attempt->graph->before[job][n];
        if (all[before].group >= all[job].group) continue;
        int64_t early = job_ends(attempt, before) - job_begins(attempt, job);
        if (early > 0) attempt->cost.early += early;
    }
}

static void judge(struct attempt *attempt, const struct chain *chain, int64_t due)
{
    struct schedule_cost *cost = &attempt->cost;
    size_t last = chain->job->op_count - 1;
    int64_t waiting = (chain->waits > due ? chain->waits : due) - chain->ends;
    cost->warm += chain->warm_limit;
    cost->waiting += waiting;
    if (chain->places[0].begins < cost->begins) cost->begins = chain->places[0].begins;
    if (chain->job->keeps == SCHEDULE_EVER) return;
    int64_t spoilt = attempt->lasts[last] + waiting - chain->job->keeps;
    if (spoilt > 0) cost->spoilt += spoilt;
}

static void place_job(struct attempt *attempt, size_t job)
{
    struct chain chain = {.job = &attempt->problem->jobs[job],
                          .places = &attempt->places[attempt->first[job]]};
    limits(attempt, &chain);
    int64_t due = chain.ends;
    chain.places[0] = (struct schedule_place){due, due, SCHEDULE_NONE};
    for (size_t k = 0; k < chain.job->op_count; k++)
        attempt->lasts[k] = chain.job->ops[k].lasts;
    lay_out(attempt, &chain);
    while (pull_one(attempt, &chain) < chain.job->op_count)
        ;
    occupy(attempt, &chain, job);
    judge_begin(attempt, job);
    if (chain.job->op_count > 0) judge(attempt, &chain, due);
}

static void begin_with_heat(void *context, struct schedule_heat heat)
{
    struct attempt *attempt = context;
    if (heat.begins < attempt->cost.begins) attempt->cost.begins = heat.begins;
}

void attempt_order(struct attempt *attempt, const struct schedule_floor *base, const size_t *order,
                   size_t count)
{
    floor_copy(&attempt->floor, base);
    attempt->cost = (struct schedule_cost){.begins = INT64_MAX};
    for (size_t n = 0; n < count && !attempt->floor.failed; n++)
        place_job(attempt, order[n]);
    if (count > 0)
        attempt_heats(attempt, attempt->problem->jobs[order[0]].group, begin_with_heat, attempt);
}

void attempt_heats(const struct attempt *attempt, int64_t group,
                   void (*note)(void *context, struct schedule_heat heat), void *context)
{
    const struct schedule_problem *problem = attempt->problem;
    for (size_t m = 0; m < problem->machine_count; m++) {
        const struct schedule_machine *machine = &problem->machines[m];
        const struct lane *lane = &attempt->floor.lanes[m];
        if (machine->preheat == 0) continue;
        for (size_t n = 0; n < lane->count; n++) {
            const struct span *span = &lane->spans[n];
            if (span->job == SCHEDULE_NONE || problem->jobs[span->job].group != group) continue;
            if (n > 0 && span->begins - span[-1].ends <= machine->stays_warm) continue;
            note(context, (struct schedule_heat){m, span->job, span->begins - machine->preheat,
                                                 span->begins});
        }
    }
}
