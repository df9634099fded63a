/* A few rules of priority, then a walk from the best of them: a job is taken earlier or later in
 * the order, and the new order is kept unless it is worse. Where nothing helps any more the walk is
 * thrown a few steps off the best order and goes on from there.
 *
 * The walk is bounded by its steps and its dice begin alike each time: the same jobs always get the
 * same places. It stops as soon as nobody could do better.
 */
#include "bakery/schedule_search.h"

#include "base/arena.h"

#include <stdlib.h>
#include <string.h>

enum {
    WALK_PLACES = 150000, /* operations placed in one walk */
    WALK_LEAST = 20,      /* steps */
    WALK_MOST = 4000,
    PATIENCE = 60, /* steps without anything better before the walk is thrown */
    THROW = 3,     /* moves of a throw */
    POLISH = 400   /* steps without anything better when no first begin can be later */
};

struct walk {
    const struct schedule_problem *problem;
    const struct schedule_graph *graph;
    struct attempt *attempt;
    const struct schedule_floor *base;
    size_t count;
    size_t *order;    /* in hand */
    size_t *accepted; /* from which it goes on */
    size_t *best;
    size_t *position; /* of a job in the order in hand */
    struct schedule_cost accepted_cost;
    struct schedule_cost best_cost;
    int64_t target; /* no first begin can be later */
    uint64_t dice;
};

/* Xorshift (Marsaglia, Xorshift RNGs, 2003). */
static size_t throw_dice(struct walk *walk, size_t sides)
{
    walk->dice ^= walk->dice << 13;
    walk->dice ^= walk->dice >> 7;
    walk->dice ^= walk->dice << 17;
    return (size_t)(walk->dice % sides);
}

/* --- rules of priority --- */

struct ranked {
    size_t job;
    size_t level;
    int64_t key;
};

/* Of two alike the last is placed first, so that the first comes first in time. */
static int by_rank(const void *left, const void *right)
{
    const struct ranked *a = left;
    const struct ranked *b = right;
    if (a->level != b->level) return a->level < b->level ? -1 : 1;
    if (a->key != b->key) return a->key < b->key ? -1 : 1;
    return (a->job < b->job) - (a->job > b->job);
}

typedef int64_t (*rule)(const struct schedule_graph *, size_t job);

/* Whose chain would have to begin first. */
static int64_t most_pressing(const struct schedule_graph *graph, size_t job)
{
    return graph->latest[job] - graph->lasts[job] - graph->head[job];
}

static int64_t latest_due(const struct schedule_graph *graph, size_t job)
{
    return -graph->latest[job];
}

static int64_t longest_head(const struct schedule_graph *graph, size_t job)
{
    return -graph->head[job];
}

/* What is fed by the same jobs stays together. */
static int64_t same_source(const struct schedule_graph *graph, size_t job)
{
    return graph->before_count[job] > 0 ? -(int64_t)graph->before[job][0] : 0;
}

static const rule rules[] = {most_pressing, latest_due, longest_head, same_source};

static bool rank(struct arena *arena, const struct walk *walk, rule of, const size_t *jobs)
{
    struct ranked *list = arena_array(arena, walk->count, sizeof *list);
    if (!list) return false;
    for (size_t n = 0; n < walk->count; n++)
        list[n] = (struct ranked){jobs[n], walk->graph->level[jobs[n]], of(walk->graph, jobs[n])};
    qsort(list, walk->count, sizeof *list, by_rank);
    for (size_t n = 0; n < walk->count; n++)
        walk->order[n] = list[n].job;
    return true;
}

/* --- steps --- */

static void keep(size_t *to, const struct walk *walk)
{
    memcpy(to, walk->order, walk->count * sizeof *to);
}

/* Places the order in hand; whether it was accepted. */
static void try_order(struct walk *walk, bool accept_anything)
{
    attempt_order(walk->attempt, walk->base, walk->order, walk->count);
    const struct schedule_cost *cost = &walk->attempt->cost;
    if (cost_less(cost, &walk->best_cost)) {
        walk->best_cost = *cost;
        keep(walk->best, walk);
    }
    if (!accept_anything && cost_less(&walk->accepted_cost, cost)) return;
    walk->accepted_cost = *cost;
    keep(walk->accepted, walk);
}

static void look_up_positions(struct walk *walk)
{
    for (size_t n = 0; n < walk->count; n++)
        walk->position[walk->order[n]] = n;
}

/* Where a job may stand: after all that it feeds and before all that feeds it. */
static void free_range(const struct walk *walk, size_t job, size_t *low, size_t *high)
{
    const struct schedule_job *of = &walk->problem->jobs[job];
    *low = 0;
    *high = walk->count - 1;
    for (size_t n = 0; n < of->feed_count; n++) {
        size_t at = walk->position[of->feeds[n]];
        if (at != SCHEDULE_NONE && at >= *low) *low = at + 1;
    }
    for (size_t n = 0; n < walk->graph->before_count[job]; n++) {
        size_t at = walk->position[walk->graph->before[job][n]];
        if (at != SCHEDULE_NONE && at <= *high) *high = at - 1;
    }
}

static void shift(size_t *order, size_t from, size_t to)
{
    size_t job = order[from];
    if (from < to)
        memmove(&order[from], &order[from + 1], (to - from) * sizeof *order);
    else
        memmove(&order[to + 1], &order[to], (from - to) * sizeof *order);
    order[to] = job;
}

/* Moves a job at random. */
static void move(struct walk *walk)
{
    size_t low;
    size_t high;
    size_t from = throw_dice(walk, walk->count);
    look_up_positions(walk);
    free_range(walk, walk->order[from], &low, &high);
    shift(walk->order, from, low + throw_dice(walk, high - low + 1));
}

/* Nothing can be better, or only the waiting, for which enough was tried. */
static bool is_done(const struct walk *walk, size_t polished)
{
    const struct schedule_cost *cost = &walk->best_cost;
    if (cost->early > 0 || cost->warm > 0 || cost->spoilt > 0 || cost->begins < walk->target)
        return false;
    return cost->waiting == 0 || polished > POLISH;
}

static size_t steps_of(const struct walk *walk)
{
    size_t ops = 1;
    for (size_t n = 0; n < walk->count; n++)
        ops += walk->problem->jobs[walk->order[n]].op_count + 1;
    size_t steps = WALK_PLACES / ops;
    return steps < WALK_LEAST ? WALK_LEAST : steps > WALK_MOST ? WALK_MOST : steps;
}

static void walk_on(struct walk *walk)
{
    size_t idle = 0;
    size_t polished = 0;
    for (size_t steps = steps_of(walk); steps > 0 && !is_done(walk, polished); steps--) {
        bool thrown = ++idle > PATIENCE;
        struct schedule_cost before = walk->best_cost;
        memcpy(walk->order, thrown ? walk->best : walk->accepted,
               walk->count * sizeof *walk->order);
        for (int n = thrown ? THROW : 1; n > 0; n--)
            move(walk);
        try_order(walk, thrown);
        bool better = cost_less(&walk->best_cost, &before);
        if (thrown || better) idle = 0;
        polished = better ? 0 : polished + 1;
    }
}

/* --- the whole --- */

static bool walk_init(struct arena *arena, struct walk *walk, const size_t *jobs)
{
    size_t all = walk->problem->job_count;
    walk->order = arena_array(arena, walk->count, sizeof *walk->order);
    walk->accepted = arena_array(arena, walk->count, sizeof *walk->accepted);
    walk->best = arena_array(arena, walk->count, sizeof *walk->best);
    walk->position = arena_array(arena, all, sizeof *walk->position);
    if (!walk->order || !walk->accepted || !walk->best || !walk->position) return false;
    for (size_t n = 0; n < all; n++)
        walk->position[n] = SCHEDULE_NONE;
    walk->best_cost = walk->accepted_cost = (struct schedule_cost){.early = INT64_MAX,
                                                                   .warm = SIZE_MAX,
                                                                   .begins = INT64_MIN,
                                                                   .spoilt = INT64_MAX,
                                                                   .waiting = INT64_MAX};
    return latest_begin(arena, walk->problem, walk->graph, jobs, walk->count, &walk->target);
}

bool search_order(struct arena *arena, const struct schedule_graph *graph, struct attempt *attempt,
                  const struct schedule_floor *base, size_t *jobs, size_t count)
{
    struct walk walk = {.problem = attempt->problem,
                        .graph = graph,
                        .attempt = attempt,
                        .base = base,
                        .count = count,
                        .dice = 88172645463325252u};
    if (!walk_init(arena, &walk, jobs)) return false;
    for (size_t n = 0; n < sizeof rules / sizeof *rules; n++) {
        if (!rank(arena, &walk, rules[n], jobs)) return false;
        try_order(&walk, false);
    }
    walk_on(&walk);
    attempt_order(attempt, base, walk.best, count);
    return !attempt->floor.failed;
}
