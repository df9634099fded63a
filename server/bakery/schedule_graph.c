/* The chains of jobs through a problem. Jobs stand before what they feed, so one pass forward tells
 * what comes before each and one pass back what comes after. */
#include "bakery/schedule_graph.h"

#include "base/arena.h"

static bool graph_memory(struct arena *arena, size_t jobs, struct schedule_graph *out)
{
    out->before = arena_array(arena, jobs, sizeof *out->before);
    out->before_count = arena_array(arena, jobs, sizeof *out->before_count);
    out->lasts = arena_array(arena, jobs, sizeof *out->lasts);
    out->head = arena_array(arena, jobs, sizeof *out->head);
    out->latest = arena_array(arena, jobs, sizeof *out->latest);
    out->level = arena_array(arena, jobs, sizeof *out->level);
    return out->before && out->before_count && out->lasts && out->head && out->latest && out->level;
}

/* Turns the lists of what a job feeds around. */
static bool turn_around(struct arena *arena, const struct schedule_problem *problem,
                        struct schedule_graph *out)
{
    for (size_t j = 0; j < problem->job_count; j++)
        for (size_t n = 0; n < problem->jobs[j].feed_count; n++)
            out->before_count[problem->jobs[j].feeds[n]]++;
    for (size_t j = 0; j < problem->job_count; j++) {
        out->before[j] = arena_array(arena, out->before_count[j], sizeof **out->before);
        if (!out->before[j]) return false;
        out->before_count[j] = 0;
    }
    for (size_t j = 0; j < problem->job_count; j++)
        for (size_t n = 0; n < problem->jobs[j].feed_count; n++) {
            size_t to = problem->jobs[j].feeds[n];
            out->before[to][out->before_count[to]++] = j;
        }
    return true;
}

static void look_forward(const struct schedule_problem *problem, struct schedule_graph *out)
{
    for (size_t j = 0; j < problem->job_count; j++) {
        for (size_t k = 0; k < problem->jobs[j].op_count; k++)
            out->lasts[j] += problem->jobs[j].ops[k].lasts;
        for (size_t n = 0; n < out->before_count[j]; n++) {
            size_t from = out->before[j][n];
            int64_t through = out->head[from] + out->lasts[from];
            if (problem->jobs[from].group != problem->jobs[j].group) continue;
            if (through > out->head[j]) out->head[j] = through;
        }
    }
}

static void look_back(const struct schedule_problem *problem, struct schedule_graph *out)
{
    for (size_t j = problem->job_count; j-- > 0;) {
        out->latest[j] = problem->jobs[j].due;
        for (size_t n = 0; n < problem->jobs[j].feed_count; n++) {
            size_t to = problem->jobs[j].feeds[n];
            int64_t begins = out->latest[to] - out->lasts[to];
            if (begins < out->latest[j]) out->latest[j] = begins;
            if (out->level[to] + 1 > out->level[j]) out->level[j] = out->level[to] + 1;
        }
    }
}

bool graph_of(struct arena *arena, const struct schedule_problem *problem,
              struct schedule_graph *out)
{
    if (!graph_memory(arena, problem->job_count, out) || !turn_around(arena, problem, out))
        return false;
    look_forward(problem, out);
    look_back(problem, out);
    return true;
}
