/* What was placed, as the tasks that a baker reads. */
#include "bakery/timetable_shop.h"

#include "bakery/amount.h"
#include "base/arena.h"
#include "base/fail.h"

struct tasking {
    struct shop *shop;
    size_t *first; /* per job: its first task, or NOT_FOUND */
    size_t *last;
    size_t *counts; /* per task: of what it waits for */
    size_t edge_count;
    size_t *list;  /* all of it, task by task; NULL: still being counted */
    size_t *begin; /* per task: its part of the list */
};

static bool is_placed(const struct shop *shop, size_t job)
{
    return shop->jobs[job].group <= shop->problem.last_group;
}

static const struct schedule_place *places_of(const struct shop *shop, size_t job)
{
    return &shop->schedule.places[shop->schedule.first[job]];
}

/* --- ids --- */

static const char *batch_id(const struct shop *shop, const struct shop_job *job, size_t stage)
{
    char day[DATE_TEXT_SIZE];
    date_print(day, job->mix->planned->mixing_date);
    return arena_printf(shop->reckoning->arena, "mix:%s:%s:%ld:%zu", job->mix->formula->code, day,
                        (long)job->batch, stage + 1);
}

/* Of a part, a point keeps the formula's code from being taken for a product's. */
static const char *load_id(const struct shop *shop, const struct shop_job *job, size_t stage)
{
    char day[DATE_TEXT_SIZE];
    const struct shop_load *load = job->load;
    bool is_part = load->item_count == 0;
    const char *code = is_part ? job->mix->formula->code
                               : shop->reckoning->catalogue->products[load->items[0].product].code;
    const char *mark = is_part ? "part." : "";
    struct arena *arena = shop->reckoning->arena;
    date_print(day, is_part ? job->mix->planned->mixing_date : load->bread_day);
    if (stage == 0) return arena_printf(arena, "load:%s%s:%s:%ld", mark, code, day, load->number);
    return arena_printf(arena, "cool:%s%s:%s:%ld:%zu", mark, code, day, load->number, stage);
}

static const char *heat_id(const struct shop *shop, const struct shop_deck *deck, date bread_day,
                           size_t number)
{
    char day[DATE_TEXT_SIZE];
    date_print(day, bread_day);
    return arena_printf(shop->reckoning->arena, "heat:%s:%ld:%s:%zu", deck->oven->code,
                        (long)deck->deck, day, number);
}

/* --- tasks --- */

static void set_bread_days(struct task *task, const date *days, size_t count)
{
    task->bread_day = days[0];
    task->bread_days = days;
    task->bread_day_count = count;
}

/* Of a load or its preheating. A part is for all that its mix is for. */
static void set_days_of_load(struct task *task, const struct shop_load *load)
{
    const struct planned_mix *mix = load->mix->planned;
    if (load->item_count > 0)
        set_bread_days(task, &load->bread_day, 1);
    else
        set_bread_days(task, mix->bread_days, mix->bread_day_count);
}

static void set_machine(const struct shop *shop, struct shop_task *to, size_t machine)
{
    to->machine = machine;
    if (machine == SCHEDULE_NONE || machine < shop->mixer_count) return;
    to->task.oven = shop->decks[machine - shop->mixer_count].oven;
    to->task.deck = shop->decks[machine - shop->mixer_count].deck;
}

/* What every task of a job has. */
static struct shop_task *new_task(struct shop *shop, size_t job, size_t op,
                                  const struct stage *stage)
{
    const struct shop_job *info = &shop->job_infos[job];
    const struct shop_mix *mix = info->mix;
    const struct schedule_place *place = &places_of(shop, job)[op];
    struct shop_task *to = &shop->tasks[shop->task_count++];
    bool is_last = op + 1 == shop->jobs[job].op_count;
    *to = (struct shop_task){.due = is_last ? shop->jobs[job].due : SCHEDULE_EVER,
                             .cold_mg = shop->jobs[job].ops[op].cold,
                             .task = {.formula = mix->planned->formula,
                                      .mixing_date = mix->planned->mixing_date,
                                      .batches = mix->batches,
                                      .stage = stage,
                                      .begins = place->begins,
                                      .ends = place->ends,
                                      .hands = stage->hands,
                                      .ready = info->ready}};
    set_machine(shop, to, place->machine);
    return to;
}

static bool add_batch_tasks(struct shop *shop, size_t job)
{
    const struct shop_job *info = &shop->job_infos[job];
    const struct shop_mix *mix = info->mix;
    for (size_t n = 0; n < mix->before_count; n++) {
        struct shop_task *to = new_task(shop, job, n, &mix->before[n]);
        bool is_mixed = stage_is_mixed(mix, n);
        to->is_dough = true;
        to->task.kind = is_mixed ? TASK_MIX : TASK_STAGE;
        to->task.mixer = is_mixed ? mix->mixer : NULL;
        to->task.batch = info->batch;
        to->task.dough_mg = mix->batch_mg;
        to->task.id = batch_id(shop, info, n);
        set_bread_days(&to->task, mix->planned->bread_days, mix->planned->bread_day_count);
        if (!to->task.id) return fail_memory(shop->reckoning->fails);
    }
    return true;
}

static bool add_load_tasks(struct shop *shop, size_t job)
{
    const struct shop_job *info = &shop->job_infos[job];
    const struct shop_mix *mix = info->mix;
    const struct shop_load *load = info->load;
    for (size_t n = 0; n < shop->jobs[job].op_count; n++) {
        struct shop_task *to = new_task(shop, job, n, &mix->stages[mix->oven_stage + n]);
        to->task.kind = n == 0 ? TASK_LOAD : TASK_COOL;
        to->task.dough_mg = load->dough_mg;
        to->task.items = load->items;
        to->task.item_count = load->item_count;
        to->task.bake = n == 0 ? load->bake : NULL;
        to->task.id = load_id(shop, info, n);
        set_days_of_load(&to->task, load);
        if (!to->task.id) return fail_memory(shop->reckoning->fails);
    }
    return true;
}

/* The how manieth time it is that the deck is heated for the bread day. */
static size_t heat_number(const struct shop *shop, const struct schedule_heat *heat)
{
    size_t number = 1;
    date day = shop->job_infos[heat->job].load->bread_day;
    for (const struct schedule_heat *other = shop->schedule.heats; other < heat; other++)
        number += other->machine == heat->machine &&
                  shop->job_infos[other->job].load->bread_day == day;
    return number;
}

static bool add_heat_tasks(struct shop *shop)
{
    for (size_t n = 0; n < shop->schedule.heat_count; n++) {
        const struct schedule_heat *heat = &shop->schedule.heats[n];
        const struct shop_job *info = &shop->job_infos[heat->job];
        struct shop_task *to = &shop->tasks[shop->task_count++];
        *to = (struct shop_task){.due = SCHEDULE_EVER,
                                 .task = {.kind = TASK_PREHEAT,
                                          .formula = NOT_FOUND,
                                          .begins = heat->begins,
                                          .ends = heat->ends,
                                          .ready = info->ready}};
        set_days_of_load(&to->task, info->load);
        set_machine(shop, to, heat->machine);
        to->task.id = heat_id(shop, &shop->decks[heat->machine - shop->mixer_count],
                              info->load->bread_day, heat_number(shop, heat));
        if (!to->task.id) return fail_memory(shop->reckoning->fails);
    }
    return true;
}

static bool add_tasks(struct tasking *tasking)
{
    struct shop *shop = tasking->shop;
    if (!add_heat_tasks(shop)) return false;
    for (size_t j = 0; j < shop->job_count; j++) {
        enum shop_job_kind kind = shop->job_infos[j].kind;
        tasking->first[j] = NOT_FOUND;
        if (kind == JOB_GATE || !is_placed(shop, j)) continue;
        tasking->first[j] = shop->task_count;
        if (!(kind == JOB_BATCH ? add_batch_tasks : add_load_tasks)(shop, j)) return false;
        tasking->last[j] = shop->task_count - 1;
    }
    return true;
}

/* --- what waits for what --- */

/* Called twice for every pair: to count, then to note. */
static void follow(struct tasking *tasking, size_t before, size_t after)
{
    struct task *task = &tasking->shop->tasks[after].task;
    if (tasking->list) {
        tasking->list[tasking->begin[after] + task->after_count++] = before;
    } else {
        tasking->counts[after]++;
        tasking->edge_count++;
    }
}

/* What a job feeds begins after it; of a gate, what the gate feeds. */
static void follow_job(struct tasking *tasking, size_t job, size_t fed)
{
    const struct schedule_job *of = &tasking->shop->jobs[fed];
    if (tasking->first[fed] != NOT_FOUND) {
        follow(tasking, tasking->last[job], tasking->first[fed]);
        return;
    }
    for (size_t n = 0; n < of->feed_count; n++)
        if (tasking->first[of->feeds[n]] != NOT_FOUND)
            follow(tasking, tasking->last[job], tasking->first[of->feeds[n]]);
}

static void follow_all(struct tasking *tasking)
{
    struct shop *shop = tasking->shop;
    for (size_t j = 0; j < shop->job_count; j++) {
        const struct schedule_job *of = &shop->jobs[j];
        if (tasking->first[j] == NOT_FOUND) continue;
        for (size_t n = tasking->first[j] + 1; n <= tasking->last[j]; n++)
            follow(tasking, n - 1, n);
        for (size_t n = 0; n < of->feed_count && tasking->edge_count <= TIMETABLE_EDGES_MAX; n++)
            follow_job(tasking, j, of->feeds[n]);
    }
    for (size_t n = 0; n < shop->schedule.heat_count; n++)
        follow(tasking, n, tasking->first[shop->schedule.heats[n].job]);
}

static bool follow_each_other(struct tasking *tasking)
{
    struct shop *shop = tasking->shop;
    follow_all(tasking);
    if (tasking->edge_count > TIMETABLE_EDGES_MAX) return shop_too_large(shop);
    size_t *list = amount_memory(shop->reckoning, tasking->edge_count, sizeof *list);
    size_t at = 0;
    if (!list) return false;
    for (size_t n = 0; n < shop->task_count; n++) {
        shop->tasks[n].task.after = &list[at];
        tasking->begin[n] = at;
        at += tasking->counts[n];
    }
    tasking->list = list;
    follow_all(tasking);
    return true;
}

bool shop_tasks(struct shop *shop)
{
    struct tasking tasking = {.shop = shop};
    size_t most = shop->schedule.heat_count;
    for (size_t j = 0; j < shop->job_count; j++)
        most += shop->jobs[j].op_count;
    shop->tasks = amount_memory(shop->reckoning, most, sizeof *shop->tasks);
    tasking.first = amount_memory(shop->reckoning, shop->job_count, sizeof *tasking.first);
    tasking.last = amount_memory(shop->reckoning, shop->job_count, sizeof *tasking.last);
    tasking.counts = amount_memory(shop->reckoning, most, sizeof *tasking.counts);
    tasking.begin = amount_memory(shop->reckoning, most, sizeof *tasking.begin);
    return shop->tasks && tasking.first && tasking.last && tasking.counts && tasking.begin &&
           add_tasks(&tasking) && follow_each_other(&tasking);
}
