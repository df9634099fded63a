/* Moving tasks by hand, and what then does not hold any more.
 *
 * All of it is read off the tasks as they stand, not from how they were placed: what the machines
 * were never given twice is looked at here a second time. Tasks of other bread days count; told is
 * what concerns a task that is asked for.
 */
#include "bakery/timetable_shop.h"

#include "bakery/amount.h"

#include <stdlib.h>
#include <string.h>

/* --- moves --- */

static int by_id(const void *left, const void *right)
{
    const struct shop_task *const *a = left;
    const struct shop_task *const *b = right;
    return strcmp((*a)->task.id, (*b)->task.id);
}

static int id_to_task(const void *id, const void *right)
{
    const struct shop_task *const *task = right;
    return strcmp(id, (*task)->task.id);
}

/* What waits for what, and how long. */
static void find_waiting(struct shop *shop)
{
    for (size_t n = 0; n < shop->task_count; n++)
        shop->tasks[n].taken = INT64_MIN;
    for (size_t n = 0; n < shop->task_count; n++) {
        const struct task *task = &shop->tasks[n].task;
        for (size_t k = 0; k < task->after_count; k++) {
            struct shop_task *before = &shop->tasks[task->after[k]];
            if (task->begins <= before->taken) continue;
            before->taken = task->begins;
            before->taken_by = n;
        }
    }
    for (size_t n = 0; n < shop->task_count; n++) {
        struct shop_task *task = &shop->tasks[n];
        bool waits = task->is_dough && task->taken > task->task.ends;
        task->task.waits_minutes = waits ? (task->taken - task->task.ends) / SECONDS_PER_MINUTE : 0;
    }
}

static void move(struct task *task, instant begins)
{
    task->ends += begins - task->begins;
    task->begins = begins;
    task->moved = true;
}

bool shop_move(struct shop *shop, const struct timetable_move *moves, size_t move_count,
               bool *is_gone)
{
    struct shop_task **sorted = amount_memory(shop->reckoning, shop->task_count, sizeof(void *));
    if (!sorted) return false;
    find_waiting(shop);
    for (size_t n = 0; n < shop->task_count; n++) {
        shop->tasks[n].waits_anyway = shop->tasks[n].task.waits_minutes;
        sorted[n] = &shop->tasks[n];
    }
    if (shop->task_count > 0) qsort(sorted, shop->task_count, sizeof *sorted, by_id);
    for (size_t n = 0; n < move_count; n++) {
        struct shop_task **found = NULL;
        if (shop->task_count > 0)
            found = bsearch(moves[n].task, sorted, shop->task_count, sizeof *sorted, id_to_task);
        is_gone[n] = !found;
        if (found) move(&(*found)->task, moves[n].begins);
    }
    find_waiting(shop);
    return true;
}

/* --- breaks --- */

struct breaking {
    const struct shop *shop;
    struct timetable *out;
    const struct shop_task **by_machine; /* those that occupy one, by machine, then begin */
    size_t count;
};

static size_t place_of(const struct shop_task *task)
{
    return task && task->is_asked ? task->place : NOT_FOUND;
}

static void tell(struct breaking *breaking, enum break_kind kind, const struct shop_task *task,
                 const struct shop_task *other, int64_t seconds)
{
    if (!task->is_asked) {
        const struct shop_task *swap = task;
        task = other;
        other = swap;
    }
    if (!task || !task->is_asked) return;
    breaking->out->breaks[breaking->out->break_count++] = (struct timetable_break){
        .kind = kind,
        .task = place_of(task),
        .other = place_of(other),
        .minutes = (seconds + SECONDS_PER_MINUTE - 1) / SECONDS_PER_MINUTE,
        .id = task->task.id};
}

static void break_order(struct breaking *breaking)
{
    for (size_t n = 0; n < breaking->shop->task_count; n++) {
        const struct shop_task *task = &breaking->shop->tasks[n];
        for (size_t k = 0; k < task->task.after_count; k++) {
            const struct shop_task *before = &breaking->shop->tasks[task->task.after[k]];
            if (task->task.begins < before->task.ends)
                tell(breaking, BREAK_ORDER, task, before, before->task.ends - task->task.begins);
        }
    }
}

static void break_late(struct breaking *breaking)
{
    for (size_t n = 0; n < breaking->shop->task_count; n++) {
        const struct shop_task *task = &breaking->shop->tasks[n];
        if (task->task.ends > task->due)
            tell(breaking, BREAK_LATE, task, NULL, task->task.ends - task->due);
    }
}

/* Where the baker said how long a stage may last at most, that counts; else what it would have
 * waited without the moves. */
static void break_waits(struct breaking *breaking)
{
    for (size_t n = 0; n < breaking->shop->task_count; n++) {
        const struct shop_task *task = &breaking->shop->tasks[n];
        int64_t allowed = task->waits_anyway;
        if (task->task.waits_minutes == 0) continue;
        if (task->task.stage->most_minutes > 0)
            allowed = task->task.stage->most_minutes -
                      (task->task.ends - task->task.begins) / SECONDS_PER_MINUTE;
        int64_t too_long = task->task.waits_minutes - allowed;
        if (too_long > 0)
            tell(breaking, BREAK_WAITS, task, &breaking->shop->tasks[task->taken_by],
                 too_long * SECONDS_PER_MINUTE);
    }
}

/* --- machines --- */

static int by_machine(const void *left, const void *right)
{
    const struct shop_task *a = *(const struct shop_task *const *)left;
    const struct shop_task *b = *(const struct shop_task *const *)right;
    if (a->machine != b->machine) return a->machine < b->machine ? -1 : 1;
    if (a->task.begins != b->task.begins) return a->task.begins < b->task.begins ? -1 : 1;
    return strcmp(a->task.id, b->task.id);
}

static bool occupants(struct breaking *breaking)
{
    const struct shop *shop = breaking->shop;
    breaking->by_machine = amount_memory(shop->reckoning, shop->task_count, sizeof(void *));
    if (!breaking->by_machine) return false;
    for (size_t n = 0; n < shop->task_count; n++) {
        const struct shop_task *task = &shop->tasks[n];
        if (task->machine != SCHEDULE_NONE && task->task.ends > task->task.begins)
            breaking->by_machine[breaking->count++] = task;
    }
    if (breaking->count > 0)
        qsort(breaking->by_machine, breaking->count, sizeof(void *), by_machine);
    return true;
}

/* How long a machine needs from one task to the next: preheating and the load after it are one. */
static int64_t recovery(const struct shop *shop, const struct shop_task *a,
                        const struct shop_task *b)
{
    bool loads = a->task.kind == TASK_LOAD && b->task.kind == TASK_LOAD;
    return loads ? shop->problem.machines[a->machine].recovery : 0;
}

/* Each task against the one before it on its machine that ends last. */
static void break_machines(struct breaking *breaking)
{
    const struct shop_task *last = NULL;
    for (size_t n = 0; n < breaking->count; n++) {
        const struct shop_task *task = breaking->by_machine[n];
        if (last && last->machine == task->machine) {
            instant free = last->task.ends + recovery(breaking->shop, last, task);
            if (task->task.begins < free)
                tell(breaking, task->task.oven ? BREAK_DECK : BREAK_MIXER, task, last,
                     free - task->task.begins);
        }
        if (!last || last->machine != task->machine || task->task.ends > last->task.ends)
            last = task;
    }
}

/* --- the cold --- */

struct chill {
    instant at;
    int64_t mg; /* less than 0: taken out */
    const struct shop_task *task;
};

static int by_instant(const void *left, const void *right)
{
    const struct chill *a = left;
    const struct chill *b = right;
    if (a->at != b->at) return a->at < b->at ? -1 : 1;
    if ((a->mg > 0) != (b->mg > 0)) return a->mg > 0 ? 1 : -1;
    return strcmp(a->task->task.id, b->task->task.id);
}

static struct chill *chills_of(const struct shop *shop, size_t *count)
{
    struct chill *list = amount_memory(shop->reckoning, 2 * shop->task_count, sizeof *list);
    *count = 0;
    for (size_t n = 0; list && n < shop->task_count; n++) {
        const struct shop_task *task = &shop->tasks[n];
        instant until = task->is_dough && task->taken > task->task.ends ? task->taken
                                                                        : task->task.ends;
        if (task->cold_mg == 0 || until == task->task.begins) continue;
        list[(*count)++] = (struct chill){task->task.begins, task->cold_mg, task};
        list[(*count)++] = (struct chill){until, -task->cold_mg, task};
    }
    if (list && *count > 0) qsort(list, *count, sizeof *list, by_instant);
    return list;
}

/* Each time that the cold becomes too full is told once, with what was put in last. */
static bool break_cold(struct breaking *breaking)
{
    size_t count;
    __int128 there = 0;
    const struct shop_task *over = NULL;
    instant since = 0;
    int64_t limit = breaking->shop->problem.cold;
    struct chill *list = chills_of(breaking->shop, &count);
    for (size_t n = 0; list && n < count && limit != SCHEDULE_EVER; n++) {
        there += list[n].mg;
        if (!over && there > limit) {
            over = list[n].task;
            since = list[n].at;
        } else if (over && there <= limit) {
            tell(breaking, BREAK_COLD, over, NULL, list[n].at - since);
            over = NULL;
        }
    }
    return list != NULL;
}

/* --- all of them --- */

static int by_task(const void *left, const void *right)
{
    const struct timetable_break *a = left;
    const struct timetable_break *b = right;
    if (a->task != b->task) return a->task < b->task ? -1 : 1;
    if (a->kind != b->kind) return a->kind < b->kind ? -1 : 1;
    return (a->other > b->other) - (a->other < b->other);
}

bool shop_breaks(const struct shop *shop, size_t more, struct timetable *out)
{
    struct breaking breaking = {.shop = shop, .out = out};
    size_t most = more;
    for (size_t n = 0; n < shop->task_count; n++)
        most += shop->tasks[n].task.after_count + 4;
    out->break_count = 0;
    out->breaks = amount_memory(shop->reckoning, most, sizeof *out->breaks);
    if (!out->breaks || !occupants(&breaking)) return false;
    break_order(&breaking);
    break_machines(&breaking);
    break_late(&breaking);
    break_waits(&breaking);
    if (!break_cold(&breaking)) return false;
    if (out->break_count > 0) qsort(out->breaks, out->break_count, sizeof *out->breaks, by_task);
    return true;
}
