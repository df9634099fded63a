/* Group by group: the jobs of a group are searched a good order for, placed, and what they take is
 * taken from the groups after. */
#include "bakery/schedule.h"

#include "bakery/schedule_search.h"
#include "base/arena.h"

#include <stdlib.h>
#include <string.h>

struct solving {
    struct arena *arena;
    const struct schedule_problem *problem;
    struct schedule *out;
    struct schedule_graph graph;
    struct attempt attempt;
    struct schedule_floor base; /* what the groups before have taken */
    size_t *jobs;               /* by group, in the order of the problem */
    size_t heat_room;
};

static bool places_of(struct solving *s)
{
    size_t count = s->problem->job_count;
    size_t places = 0;
    s->out->first = arena_array(s->arena, count, sizeof *s->out->first);
    if (!s->out->first) return false;
    for (size_t j = 0; j < count; j++) {
        s->out->first[j] = places;
        places += s->problem->jobs[j].op_count > 0 ? s->problem->jobs[j].op_count : 1;
    }
    s->out->places = arena_array(s->arena, places, sizeof *s->out->places);
    return s->out->places != NULL;
}

struct grouped {
    int64_t group;
    size_t job;
};

static int by_group(const void *left, const void *right)
{
    const struct grouped *a = left;
    const struct grouped *b = right;
    if (a->group != b->group) return a->group < b->group ? -1 : 1;
    return (a->job > b->job) - (a->job < b->job);
}

static bool jobs_by_group(struct solving *s)
{
    size_t count = s->problem->job_count;
    struct grouped *list = arena_array(s->arena, count, sizeof *list);
    s->jobs = arena_array(s->arena, count, sizeof *s->jobs);
    if (!list || !s->jobs) return false;
    for (size_t j = 0; j < count; j++)
        list[j] = (struct grouped){s->problem->jobs[j].group, j};
    if (count > 0) qsort(list, count, sizeof *list, by_group);
    for (size_t j = 0; j < count; j++)
        s->jobs[j] = list[j].job;
    return true;
}

/* --- preheating --- */

static void count_heat(void *context, struct schedule_heat heat)
{
    (void)heat;
    ++*(size_t *)context;
}

static void note_heat(void *context, struct schedule_heat heat)
{
    struct schedule *out = context;
    out->heats[out->heat_count++] = heat;
}

/* Adds the preheating of the group just placed. */
static bool add_heats(struct solving *s, int64_t group)
{
    size_t more = 0;
    struct schedule *out = s->out;
    attempt_heats(&s->attempt, group, count_heat, &more);
    struct schedule_heat *heats = arena_array(s->arena, out->heat_count + more, sizeof *heats);
    if (!heats) return false;
    if (out->heat_count > 0) memcpy(heats, out->heats, out->heat_count * sizeof *heats);
    out->heats = heats;
    size_t first = out->heat_count;
    attempt_heats(&s->attempt, group, note_heat, out);
    for (size_t n = first; n < out->heat_count; n++)
        floor_occupy(&s->attempt.floor, heats[n].machine,
                     (struct span){heats[n].begins, heats[n].ends, SCHEDULE_NONE});
    return true;
}

/* --- groups --- */

static bool solve_group(struct solving *s, size_t *jobs, size_t count)
{
    int64_t group = s->problem->jobs[jobs[0]].group;
    if (!search_order(s->arena, &s->graph, &s->attempt, &s->base, jobs, count)) return false;
    s->out->warm += s->attempt.cost.warm;
    if (!add_heats(s, group)) return false;
    floor_copy(&s->base, &s->attempt.floor);
    return !s->base.failed;
}

bool schedule_solve(struct arena *arena, const struct schedule_problem *problem,
                    struct schedule *out)
{
    struct solving s = {.arena = arena, .problem = problem, .out = out};
    *out = (struct schedule){.places = NULL};
    if (!places_of(&s) || !jobs_by_group(&s) || !graph_of(arena, problem, &s.graph) ||
        !attempt_init(&s.attempt, arena, problem, &s.graph, out->places, out->first) ||
        !floor_init(&s.base, arena, problem->machine_count))
        return false;
    for (size_t n = 0; n < problem->job_count;) {
        int64_t group = problem->jobs[s.jobs[n]].group;
        size_t count = 1;
        while (n + count < problem->job_count && problem->jobs[s.jobs[n + count]].group == group)
            count++;
        if (group > problem->last_group) break;
        if (!solve_group(&s, &s.jobs[n], count)) return false;
        n += count;
    }
    return true;
}
