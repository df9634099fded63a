/* The timetable of a bread day and the run sheet of a working day: everything that is known is
 * placed, bread day after bread day, then what was asked for is picked out.
 *
 * Which bread days must be known. A mix is scheduled with the earliest bread day that it or its
 * parts are for, so of a bread day all mixes must be whole, and those before it that may stand in
 * the way. The earliest mixing date that a bread day can have is found from its first minute on
 * back through all formulas, each time to the begin of the working day, since a mix begins with the
 * earliest of its day. All that shares a mix with it lies in the horizons of these dates. One more
 * day before is loaded, whose machines are then known to be taken; what an even earlier day takes
 * is only known as far as it lies within.
 */
#include "bakery/timetable.h"

#include "bakery/amount.h"
#include "bakery/timetable_shop.h"
#include "base/arena.h"

#include <stdlib.h>
#include <string.h>

/* --- which bread days --- */

static void earlier(instant *value, instant to)
{
    if (to < *value) *value = to;
}

/* Lowers when the parts of a formula must be ready; returns the earliest working day on which it
 * can be mixed for what must be ready then. */
static date mixing_date_of(const struct reckoning *reckoning, size_t formula, instant *ready)
{
    const struct formula *of = &reckoning->catalogue->formulas[formula];
    date day = working_day(reckoning, mix_begins(reckoning, formula, ready[formula]));
    for (size_t n = 0; n < of->line_count; n++)
        if (of->lines[n].kind == LINE_FORMULA && of->lines[n].index != NOT_FOUND)
            earlier(&ready[of->lines[n].index], day_begins(reckoning, day));
    return day;
}

/* The first and last dates on which anything can be mixed for a bread day. */
static void mixing_dates(const struct reckoning *reckoning, date bread_day, date *first, date *last)
{
    const struct catalogue *catalogue = reckoning->catalogue;
    instant begin = zone_instant(reckoning->zone, bread_day, 0);
    instant end = zone_instant(reckoning->zone, bread_day, MINUTES_PER_DAY - 1);
    instant *ready = amount_memory(reckoning, catalogue->formula_count, sizeof *ready);
    *first = *last = bread_day;
    for (size_t i = 0; ready && i < catalogue->formula_count; i++)
        ready[i] = INT64_MAX;
    for (size_t i = 0; ready && i < catalogue->product_count; i++)
        for (size_t k = 0; k < catalogue->products[i].part_count; k++) {
            const struct part *part = &catalogue->products[i].parts[k];
            if (part->kind != LINE_FORMULA || part->index == NOT_FOUND) continue;
            ready[part->index] = begin;
            date latest = working_day(reckoning, mix_begins(reckoning, part->index, end));
            if (latest > *last) *last = latest;
        }
    for (size_t i = catalogue->formula_count; ready && i-- > 0;) {
        size_t formula = reckoning->breakdowns->order[i];
        if (ready[formula] == INT64_MAX) continue;
        date day = mixing_date_of(reckoning, formula, ready);
        if (day < *first) *first = day;
    }
}

void timetable_horizon(const struct reckoning *reckoning, date bread_day, date *first, date *last)
{
    date from;
    date to;
    date unused;
    mixing_dates(reckoning, bread_day, &from, &to);
    mixing_horizon(reckoning, from, first, &unused);
    mixing_horizon(reckoning, to, &unused, last);
    if (*first > bread_day) *first = bread_day;
    if (*last < bread_day) *last = bread_day;
    if (*first > DATE_FIRST) --*first;
}

/* The bread days of which anything can be done in a working day: from its own date to the last that
 * is mixed for in it, and one more that may be crowded out of the next. */
static void run_sheet_days(const struct reckoning *reckoning, date working_day_date, date *first,
                           date *last)
{
    date unused;
    mixing_horizon(reckoning, working_day_date, &unused, last);
    *first = working_day_date;
    if (*last < working_day_date) *last = working_day_date;
    if (*last < DATE_LAST) ++*last;
}

void run_sheet_horizon(const struct reckoning *reckoning, date working_day_date, date *first,
                       date *last)
{
    date from;
    date to;
    date unused;
    run_sheet_days(reckoning, working_day_date, &from, &to);
    timetable_horizon(reckoning, from, first, &unused);
    timetable_horizon(reckoning, to, &unused, last);
}

/* --- what is asked for --- */

struct asking {
    date bread_day; /* or */
    bool by_working_day;
    instant from, to;
    date first, last; /* bread days to look at */
    date scheduled;   /* the last of them that is scheduled */
};

static bool is_for(const struct task *task, date bread_day)
{
    for (size_t n = 0; n < task->bread_day_count; n++)
        if (task->bread_days[n] == bread_day) return true;
    return false;
}

static bool is_asked(const struct asking *asking, const struct task *task)
{
    if (!asking->by_working_day) return is_for(task, asking->bread_day);
    if (task->begins >= asking->to) return false;
    return task->ends > asking->from || task->begins >= asking->from;
}

static int by_begin(const void *left, const void *right)
{
    const struct shop_task *a = *(struct shop_task *const *)left;
    const struct shop_task *b = *(struct shop_task *const *)right;
    if (a->task.begins != b->task.begins) return a->task.begins < b->task.begins ? -1 : 1;
    return strcmp(a->task.id, b->task.id);
}

/* The asked of what it waits for, by their places. */
static bool keep_asked(const struct shop *shop, struct task *task)
{
    size_t *after = amount_memory(shop->reckoning, task->after_count, sizeof *after);
    size_t count = 0;
    if (!after) return false;
    for (size_t n = 0; n < task->after_count; n++) {
        const struct shop_task *before = &shop->tasks[task->after[n]];
        if (before->is_asked) after[count++] = before->place;
    }
    task->after = after;
    task->after_count = count;
    return true;
}

static bool pick(struct shop *shop, const struct asking *asking, struct timetable *out)
{
    struct shop_task **list = amount_memory(shop->reckoning, shop->task_count, sizeof(void *));
    size_t count = 0;
    if (!list) return false;
    for (size_t n = 0; n < shop->task_count; n++) {
        shop->tasks[n].is_asked = is_asked(asking, &shop->tasks[n].task);
        if (shop->tasks[n].is_asked) list[count++] = &shop->tasks[n];
    }
    if (count > 0) qsort(list, count, sizeof *list, by_begin);
    out->tasks = amount_memory(shop->reckoning, count, sizeof *out->tasks);
    if (!out->tasks) return false;
    for (size_t n = 0; n < count; n++)
        list[n]->place = n;
    out->task_count = count;
    for (size_t n = 0; n < count; n++) {
        out->tasks[n] = list[n]->task;
        if (!keep_asked(shop, &out->tasks[n])) return false;
    }
    return true;
}

static void measure(struct timetable *out)
{
    for (size_t n = 0; n < out->task_count; n++) {
        const struct task *task = &out->tasks[n];
        if (n == 0 || task->begins < out->begins) out->begins = task->begins;
        if (n == 0 || task->ends > out->ends) out->ends = task->ends;
    }
    out->minutes = (out->ends - out->begins) / SECONDS_PER_MINUTE;
}

/* A task that is no longer there is told with its bread day, or when it would have been done. */
static void tell_gone(const struct asking *asking, const struct timetable_move *moves,
                      size_t move_count, const bool *is_gone, struct timetable *out)
{
    for (size_t n = 0; n < move_count; n++) {
        bool asked = asking->by_working_day
                         ? moves[n].begins >= asking->from && moves[n].begins < asking->to
                         : moves[n].bread_day == asking->bread_day;
        if (!is_gone[n] || !asked) continue;
        out->breaks[out->break_count++] = (struct timetable_break){
            .kind = BREAK_GONE, .task = NOT_FOUND, .other = NOT_FOUND, .id = moves[n].task};
    }
}

/* --- the whole --- */

/* Bread days outside of the horizon are passed over: they would bend the days before. */
static struct demand *within(const struct reckoning *reckoning, const struct asking *asking,
                             const struct demand *demands, size_t *count)
{
    struct demand *list = amount_memory(reckoning, *count, sizeof *list);
    size_t kept = 0;
    if (!list) return NULL;
    for (size_t n = 0; n < *count; n++)
        if (demands[n].bread_day >= asking->first && demands[n].bread_day <= asking->last)
            list[kept++] = demands[n];
    *count = kept;
    return list;
}

/* A batch that is shared with a later day waits for that day's loads: they are placed, too. */
static date last_sharing(const struct shop *shop, const struct asking *asking)
{
    date last = asking->scheduled;
    for (const struct planned_mix *mix = shop->plan.mixes; mix; mix = mix->previous) {
        bool shared = false;
        for (size_t n = 0; n < mix->bread_day_count; n++)
            shared = shared || mix->bread_days[n] == asking->bread_day;
        if (shared && mix->bread_days[mix->bread_day_count - 1] > last)
            last = mix->bread_days[mix->bread_day_count - 1];
    }
    return last;
}

static bool answer(const struct reckoning *reckoning, const struct asking *asking,
                   const struct demand *demands, size_t demand_count,
                   const struct timetable_move *moves, size_t move_count, struct timetable *out)
{
    struct shop shop = {.reckoning = reckoning};
    *out = (struct timetable){.tasks = NULL};
    if (arena_failed(reckoning->arena)) return false; /* the horizon is on the list of faults */
    struct demand *known = within(reckoning, asking, demands, &demand_count);
    bool *is_gone = amount_memory(reckoning, move_count, sizeof *is_gone);
    if (!known || !is_gone || !shop_mixes(&shop, known, demand_count) || !shop_loads(&shop) ||
        !shop_jobs(&shop) || !shop_schedule(&shop, last_sharing(&shop, asking)) ||
        !shop_tasks(&shop) || !shop_move(&shop, moves, move_count, is_gone) ||
        !pick(&shop, asking, out) || !shop_breaks(&shop, move_count, out) ||
        !shop_hands(&shop, out) || !shop_at_least(&shop, out))
        return false;
    measure(out);
    tell_gone(asking, moves, move_count, is_gone, out);
    return true;
}

bool timetable_of(const struct reckoning *reckoning, date bread_day, const struct demand *demands,
                  size_t demand_count, const struct timetable_move *moves, size_t move_count,
                  struct timetable *out)
{
    struct asking asking = {.bread_day = bread_day, .scheduled = bread_day};
    timetable_horizon(reckoning, bread_day, &asking.first, &asking.last);
    return answer(reckoning, &asking, demands, demand_count, moves, move_count, out);
}

bool run_sheet_of(const struct reckoning *reckoning, date working_day_date,
                  const struct demand *demands, size_t demand_count,
                  const struct timetable_move *moves, size_t move_count, struct timetable *out)
{
    struct asking asking = {.by_working_day = true,
                            .from = day_begins(reckoning, working_day_date),
                            .to = day_begins(reckoning, working_day_date + 1)};
    date unused;
    run_sheet_days(reckoning, working_day_date, &unused, &asking.scheduled);
    run_sheet_horizon(reckoning, working_day_date, &asking.first, &asking.last);
    return answer(reckoning, &asking, demands, demand_count, moves, move_count, out);
}
