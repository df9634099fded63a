/* Timetables of days at random, looked at by a checker that knows nothing of how they were made;
 * how good they are on large days, and how quick. */
#include "timetable_night.h"

#include "bakery/schedule.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

TestSuite(schedule, .timeout = 110);

enum { NIGHTS = 200, HOURS_COLD = 4, GAP_MOST = 10 };

#ifdef __has_feature /* clang's way of saying __SANITIZE_ADDRESS__ */
#if __has_feature(address_sanitizer)
#define __SANITIZE_ADDRESS__ 1
#endif
#endif

#ifdef __SANITIZE_ADDRESS__
enum { LARGE_NIGHT_MILLISECONDS = 1000 };
#else
enum { LARGE_NIGHT_MILLISECONDS = 50 };
#endif

/* --- bare jobs --- */

/* Two doughs of two loads each, for one deck: whatever is baked first, no dough waits for more than
 * its own other load. */
Test(schedule, loads_of_one_dough_follow_each_other)
{
    static const size_t deck = 0;
    static const size_t feeds[2][2] = {{2, 4}, {3, 5}};
    const struct schedule_op rest = {.lasts = 100, .most = 100};
    const struct schedule_op bakes = {
        .lasts = 30, .most = 30, .machines = &deck, .machine_count = 1};
    struct schedule_job jobs[6];
    const struct schedule_machine machine = {.recovery = 0};
    struct schedule_problem problem = {jobs, 6, &machine, 1, SCHEDULE_EVER, 0};
    struct schedule found;
    struct arena *arena = arena_new(0);
    for (size_t n = 0; n < 6; n++)
        jobs[n] = (struct schedule_job){n < 2 ? &rest : &bakes,
                                        1,
                                        n < 2 ? feeds[n] : NULL,
                                        n < 2 ? 2 : 0,
                                        n < 2 ? SCHEDULE_EVER : 1000,
                                        SCHEDULE_EVER,
                                        0};
    cr_assert(schedule_solve(arena, &problem, &found));
    for (size_t n = 0; n < 2; n++) {
        int64_t one = found.places[found.first[feeds[n][0]]].begins;
        int64_t two = found.places[found.first[feeds[n][1]]].begins;
        cr_expect_eq(labs(one - two), 30, "%ld and %ld", one, two);
        cr_expect_eq(found.places[found.first[n]].ends, one < two ? one : two);
    }
    arena_free(arena);
}

/* --- the checker --- */

/* A night minute by minute. */
struct night {
    const struct world *w;
    const struct timetable *table;
    struct timetable around; /* its tasks and those of the bread days around it */
    instant begin;
    size_t minutes;
    size_t cold_told; /* breaks */
    char name[40];    /* of the night in hand */
};

static const struct task *task_of(const struct timetable *table, const char *id)
{
    for (size_t n = 0; n < table->task_count; n++)
        if (strcmp(table->tasks[n].id, id) == 0) return &table->tasks[n];
    return NULL;
}

/* Adds the tasks of another bread day. What is of both stands at the same time in both. */
static void add_around(struct night *night, const struct timetable *other)
{
    struct timetable *all = &night->around;
    struct task *tasks = arena_array(night->w->arena, all->task_count + other->task_count,
                                     sizeof *tasks);
    cr_assert_not_null(tasks);
    if (all->task_count > 0) memcpy(tasks, all->tasks, all->task_count * sizeof *tasks);
    all->tasks = tasks;
    for (size_t n = 0; n < other->task_count; n++) {
        const struct task *t = &other->tasks[n];
        const struct task *same = task_of(all, t->id);
        if (!same)
            all->tasks[all->task_count++] = *t;
        else
            cr_assert(same->begins == t->begins && same->ends == t->ends,
                      "%s: %s stands at two times", night->name, t->id);
    }
    night->cold_told += count_breaks(other, BREAK_COLD);
}

static void measure(struct night *night)
{
    const struct timetable *all = &night->around;
    instant end = INT64_MIN;
    night->begin = INT64_MAX;
    for (size_t n = 0; n < all->task_count; n++) {
        instant until = all->tasks[n].ends + 60 * all->tasks[n].waits_minutes;
        if (all->tasks[n].begins < night->begin) night->begin = all->tasks[n].begins;
        if (until > end) end = until;
    }
    night->minutes = all->task_count > 0 ? (size_t)(end - night->begin) / 60 + 1 : 0;
}

static bool same_deck(const struct task *a, const struct task *b)
{
    return a->oven && a->oven == b->oven && a->deck == b->deck;
}

/* Counts a machine's tasks over every minute; with a recovery after every load. */
static void check_minutes(const struct night *night, const struct task *one)
{
    unsigned char *busy = calloc(night->minutes + 1, 1);
    cr_assert_not_null(busy);
    for (size_t n = 0; n < night->around.task_count; n++) {
        const struct task *t = &night->around.tasks[n];
        bool same = one->oven ? same_deck(one, t) : t->mixer == one->mixer;
        if (!same) continue;
        for (instant at = t->begins; at < t->ends; at += 60) {
            size_t minute = (size_t)(at - night->begin) / 60;
            cr_assert_eq(busy[minute]++, 0, "%s: %s at minute %zu", night->name, t->id, minute);
        }
    }
    free(busy);
}

static void check_recovery(const struct night *night, const struct task *load)
{
    for (size_t n = 0; n < night->around.task_count; n++) {
        const struct task *t = &night->around.tasks[n];
        if (t->kind != TASK_LOAD || !same_deck(load, t) || strcmp(t->id, load->id) == 0) continue;
        if (load->begins == load->ends || t->begins == t->ends) continue;
        instant gap = t->begins >= load->ends ? t->begins - load->ends : load->begins - t->ends;
        cr_assert_geq(gap, 60 * load->oven->recovery_minutes, "%s: %s and %s", night->name,
                      load->id, t->id);
    }
}

/* Whether the deck is hot: heated just before, or by another load within four hours. */
static void check_heat(const struct night *night, const struct task *load)
{
    int64_t preheat = load->oven->preheat_minutes;
    bool hot = preheat == 0 || load->begins == load->ends;
    for (size_t n = 0; n < night->around.task_count; n++) {
        const struct task *t = &night->around.tasks[n];
        if (!same_deck(load, t)) continue;
        if (t->kind == TASK_PREHEAT && t->ends == load->begins &&
            t->ends - t->begins == 60 * preheat)
            hot = true;
        if (t->kind == TASK_LOAD && t->ends <= load->begins &&
            load->begins - t->ends <= HOURS_COLD * 3600)
            hot = true;
    }
    cr_assert(hot, "%s: %s goes into a cold deck", night->name, load->id);
}

/* The batch that a task is of: the stage before it in the same batch, or NULL. */
static const struct task *stage_before(const struct night *night, const struct task *task)
{
    const struct formula *f = &night->w->catalogue.formulas[task->formula];
    for (size_t n = 0; n < night->table->task_count; n++) {
        const struct task *t = &night->table->tasks[n];
        if (t->kind != TASK_MIX && t->kind != TASK_STAGE) continue;
        if (t->formula == task->formula && t->mixing_date == task->mixing_date &&
            t->batch == task->batch && task->stage > f->stages && t->stage == task->stage - 1)
            return t;
    }
    return NULL;
}

static bool is_after(const struct night *night, const struct task *task, size_t formula)
{
    bool found = false;
    for (size_t n = 0; n < task->after_count; n++) {
        const struct task *before = &night->table->tasks[task->after[n]];
        cr_assert_leq(before->ends, task->begins, "%s: %s before %s has ended", night->name,
                      task->id, before->id);
        found = found || before->formula == formula;
    }
    return found;
}

/* Stages follow each other at once and last as long as they should; the first one of a batch comes
 * after its parts. */
static void check_batch(const struct night *night, const struct task *task)
{
    const struct formula *f = &night->w->catalogue.formulas[task->formula];
    const struct task *before = stage_before(night, task);
    int64_t minutes = (task->ends - task->begins) / 60;
    int64_t most = task->stage->most_minutes > task->stage->minutes ? task->stage->most_minutes
                                                                    : task->stage->minutes;
    cr_assert_geq(minutes, task->stage->minutes, "%s: %s", night->name, task->id);
    cr_assert_leq(minutes, most, "%s: %s", night->name, task->id);
    if (before)
        cr_assert_eq(before->ends, task->begins, "%s: %s waits in the middle", night->name,
                     before->id);
    else
        cr_assert_eq(task->stage, f->stages, "%s: %s has no stage before it", night->name,
                     task->id);
    for (size_t n = 0; !before && n < f->line_count; n++)
        if (f->lines[n].kind == LINE_FORMULA)
            cr_assert(is_after(night, task, f->lines[n].index), "%s: %s without its %s",
                      night->name, task->id, f->lines[n].code);
}

static bool has_oven_stage(const struct formula *f)
{
    for (size_t n = 0; n < f->stage_count; n++)
        if (f->stages[n].uses == USES_OVEN) return true;
    return false;
}

/* A load fits into its deck, comes after the dough of all its parts, and bakes as long as its
 * products want. */
static void check_load(const struct night *night, const struct task *load)
{
    const struct catalogue *c = &night->w->catalogue;
    double places = 0;
    int64_t minutes = load->stage->minutes;
    for (size_t n = 0; n < load->item_count; n++) {
        const struct product *p = &c->products[load->items[n].product];
        for (size_t k = 0; k < p->part_count; k++)
            cr_assert(is_after(night, load, p->parts[k].index), "%s: %s without %s", night->name,
                      load->id, p->parts[k].code);
        if (p->bake.per_place == 0) continue;
        places += (double)load->items[n].pieces / (double)p->bake.per_place;
        minutes = p->bake.steps[0].minutes;
    }
    cr_assert_eq(load->ends - load->begins, 60 * minutes, "%s: %s", night->name, load->id);
    if (load->oven) {
        cr_assert_leq(places, (double)load->oven->places + 1e-9, "%s: %s", night->name, load->id);
        check_recovery(night, load);
        check_heat(night, load);
    }
    cr_assert_eq(load->oven == NULL, c->bakery.oven_count == 0, "%s: %s", night->name, load->id);
}

/* All pieces of the day are baked exactly once, and nothing else is. */
static void check_pieces(const struct night *night, date day)
{
    struct world *w = (struct world *)(uintptr_t)night->w;
    struct production made = production_on(w, day_text(day));
    for (size_t n = 0; n < w->catalogue.product_count; n++) {
        const struct product *p = &w->catalogue.products[n];
        bool is_baked = false;
        int64_t baked = 0;
        int64_t wanted = 0;
        for (size_t k = 0; k < p->part_count; k++)
            is_baked = is_baked || has_oven_stage(&w->catalogue.formulas[p->parts[k].index]);
        for (size_t k = 0; is_baked && k < made.product_count; k++)
            if (made.products[k].product == n) wanted = made.products[k].pieces;
        for (size_t k = 0; k < night->table->task_count; k++) {
            const struct task *t = &night->table->tasks[k];
            for (size_t i = 0; t->kind == TASK_LOAD && i < t->item_count; i++)
                if (t->items[i].product == n) baked += t->items[i].pieces;
        }
        cr_assert_eq(baked, wanted, "%s: %ld of %ld %s", night->name, baked, wanted, p->code);
    }
}

/* No more dough in the cold at any minute than it holds, or it is told. Dough waits in the cold. */
static void check_cold(const struct night *night)
{
    int64_t limit = night->w->catalogue.bakery.cold_mg;
    bool is_over = false;
    int64_t *there = calloc(night->minutes + 1, sizeof *there);
    cr_assert_not_null(there);
    for (size_t n = 0; n < night->around.task_count; n++) {
        const struct task *t = &night->around.tasks[n];
        if (!t->stage || t->stage->uses != USES_COLD) continue;
        instant until = t->ends + 60 * t->waits_minutes;
        for (instant at = t->begins; at < until; at += 60)
            there[(at - night->begin) / 60] += t->dough_mg;
    }
    for (size_t n = 0; n < night->minutes; n++)
        is_over = is_over || (limit > 0 && there[n] > limit);
    cr_assert(!is_over || night->cold_told > 0, "%s: the cold is full", night->name);
    free(there);
}

static void check_id(const struct night *night, const char *id)
{
    cr_assert_leq(strlen(id), 120);
    cr_assert_eq(strspn(id, "abcdefghijklmnopqrstuvwxyz0123456789.:-"), strlen(id), "%s: %s",
                 night->name, id);
    size_t same = 0;
    for (size_t n = 0; n < night->table->task_count; n++)
        same += strcmp(night->table->tasks[n].id, id) == 0;
    cr_assert_eq(same, 1, "%s: %zu times %s", night->name, same, id);
}

static void check_tasks(const struct night *night)
{
    for (size_t n = 0; n < night->table->task_count; n++) {
        const struct task *t = &night->table->tasks[n];
        check_id(night, t->id);
        if (t->mixer || t->oven) check_minutes(night, t);
        if (t->kind == TASK_MIX || t->kind == TASK_STAGE) check_batch(night, t);
        if (t->kind == TASK_LOAD) check_load(night, t);
        cr_assert_leq(t->ends, t->ready, "%s: %s is late", night->name, t->id);
        cr_assert(n == 0 || t[-1].begins <= t->begins);
    }
}

static void check_night(struct world *w, const struct timetable *table, date day, const char *name)
{
    struct night night = {.w = w, .table = table};
    snprintf(night.name, sizeof night.name, "%s", name);
    for (date other = day - 1; other <= day + 1; other++) {
        struct timetable of = other == day ? *table : timetable_on(w, day_text(other));
        add_around(&night, &of);
    }
    measure(&night);
    check_tasks(&night);
    check_pieces(&night, day);
    check_cold(&night);
    cr_assert_leq(table->at_least_minutes, table->minutes, "%s", name);
    cr_assert_eq(table->minutes, (table->ends - table->begins) / 60);
    cr_assert_eq(count_breaks(table, BREAK_COLD) + count_breaks(table, BREAK_WAITS),
                 table->break_count, "%s: only room and patience can be short", name);
}

Test(schedule, random_days_hold_together)
{
    size_t tasks = 0;
    size_t loads = 0;
    size_t cold = 0;
    size_t late = 0;
    for (uint64_t seed = 1; seed <= NIGHTS; seed++) {
        char name[40];
        static const char *const days[] = {"2027-05-10", "2027-03-28", "2027-10-31"};
        date day = day_of(days[seed % 3]);
        struct world *w = random_night(seed, day);
        struct timetable table = timetable_on(w, day_text(day));
        snprintf(name, sizeof name, "night %lu", (unsigned long)seed);
        check_night(w, &table, day, name);
        tasks += table.task_count;
        loads += count_kind(&table, TASK_LOAD);
        cold += count_breaks(&table, BREAK_COLD) > 0;
        late += count_breaks(&table, BREAK_WAITS) > 0;
        world_free(w);
    }
    printf("%d nights: %zu tasks, %zu loads; too cold %zu, too long %zu\n", NIGHTS, tasks, loads,
           cold, late);
    cr_expect_gt(loads, (size_t)(4 * NIGHTS));
}

/* Of this process alone: whatever else the machine does is not counted. */
static int64_t milliseconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

/* Prints how it went and returns the milliseconds. */
static int64_t reckon(struct world *w, int64_t loads)
{
    char name[40];
    int64_t begin = milliseconds();
    struct timetable table = timetable_on(w, "2027-05-10");
    int64_t took = milliseconds() - begin;
    snprintf(name, sizeof name, "%ld loads", loads);
    check_night(w, &table, day_of("2027-05-10"), name);
    cr_expect_eq(count_kind(&table, TASK_LOAD), (size_t)loads);
    cr_expect_leq(100 * table.minutes, (100 + GAP_MOST) * table.at_least_minutes, "%s", name);
    printf("%s in %zu tasks: %ld ms, %ld minutes, at least %ld\n", name, table.task_count, took,
           table.minutes, table.at_least_minutes);
    return took;
}

Test(schedule, sixty_loads_are_quick)
{
    struct world *w = large_night(60, "2027-05-10");
    cr_expect_lt(reckon(w, 60), LARGE_NIGHT_MILLISECONDS);
    world_free(w);
}

/* The bound is shown by the tasks alone; that it is nearly reached shows that both are good. */
Test(schedule, large_days_come_close_to_the_bound)
{
    static const int64_t loads[] = {9, 30, 90, 150, 300};
    for (size_t n = 0; n < sizeof loads / sizeof *loads; n++) {
        struct world *w = large_night(loads[n], "2027-05-10");
        reckon(w, loads[n]);
        world_free(w);
    }
}
