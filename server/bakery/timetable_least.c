/* What no schedule of the tasks asked for can be shorter than: the longest chain of them, and what
 * each mixer and all decks together have to do, with the shortest way to it and from it. */
#include "bakery/timetable_shop.h"

#include "bakery/amount.h"

struct least {
    const struct shop *shop;
    int64_t *head; /* per task: of the longest chain before it */
    int64_t *tail; /* and after it */
    struct schedule_work *work;
};

/* Preheating may fall away, and dough need not wait. */
static int64_t lasts(const struct shop_task *task)
{
    if (task->task.kind == TASK_PREHEAT) return 0;
    if (task->is_dough) return stage_seconds(task->task.stage->minutes);
    return task->task.ends - task->task.begins;
}

static void raise(int64_t *value, int64_t to)
{
    if (to > *value) *value = to;
}

/* The longest chain. Tasks stand after what they wait for. */
static int64_t chains(const struct least *least)
{
    const struct shop *shop = least->shop;
    int64_t longest = 0;
    for (size_t n = 0; n < shop->task_count; n++)
        for (size_t k = 0; k < shop->tasks[n].task.after_count; k++) {
            size_t before = shop->tasks[n].task.after[k];
            if (!shop->tasks[before].is_asked || !shop->tasks[n].is_asked) continue;
            raise(&least->head[n], least->head[before] + lasts(&shop->tasks[before]));
        }
    for (size_t n = shop->task_count; n-- > 0;)
        for (size_t k = 0; k < shop->tasks[n].task.after_count; k++) {
            size_t before = shop->tasks[n].task.after[k];
            if (!shop->tasks[before].is_asked || !shop->tasks[n].is_asked) continue;
            raise(&least->tail[before], least->tail[n] + lasts(&shop->tasks[n]));
        }
    for (size_t n = 0; n < shop->task_count; n++)
        if (shop->tasks[n].is_asked) raise(&longest, least->head[n] + lasts(&shop->tasks[n]));
    return longest;
}

/* The work of the machines from the first on, as if they were alike. */
static int64_t machines(const struct least *least, size_t first, size_t count)
{
    const struct schedule_machine *all = least->shop->problem.machines;
    size_t pieces = 0;
    for (size_t n = 0; n < least->shop->task_count; n++) {
        const struct shop_task *task = &least->shop->tasks[n];
        if (!task->is_asked || task->machine == SCHEDULE_NONE) continue;
        if (task->machine < first || task->machine >= first + count || lasts(task) == 0) continue;
        least->work[pieces++] = (struct schedule_work){least->head[n], lasts(task), least->tail[n]};
    }
    int64_t recovery = INT64_MAX;
    for (size_t n = first; n < first + count; n++)
        if (all[n].recovery < recovery) recovery = all[n].recovery;
    return schedule_bound(least->work, pieces, count, recovery);
}

bool shop_at_least(const struct shop *shop, struct timetable *out)
{
    struct least least = {.shop = shop};
    least.head = amount_memory(shop->reckoning, shop->task_count, sizeof *least.head);
    least.tail = amount_memory(shop->reckoning, shop->task_count, sizeof *least.tail);
    least.work = amount_memory(shop->reckoning, shop->task_count, sizeof *least.work);
    if (!least.head || !least.tail || !least.work) return false;
    int64_t seconds = chains(&least);
    for (size_t n = 0; n < shop->mixer_count; n++)
        raise(&seconds, machines(&least, n, 1));
    raise(&seconds, machines(&least, shop->mixer_count, shop->deck_count));
    out->at_least_minutes = seconds / SECONDS_PER_MINUTE;
    return true;
}
