/* Looking at the bakery with the orders as they are, and with some more.
 *
 * One plan of mixes from the first night on holds every mix that the pieces can touch, preferments
 * of other bread days that they join included; what grew between two plans is what they touch.
 */
#include "bakery/offer_view.h"

#include "bakery/amount.h"
#include "bakery/plan.h"
#include "base/arena.h"
#include "base/fail.h"

#include <stdlib.h>
#include <string.h>

enum { SECONDS_PER_MINUTE = 60, TRIAL_BYTES_MAX = 64 << 20 };

/* --- nights --- */

/* The longest chain of stages below any product, and how many preferments deep it is. A mix begins
 * with the earliest of its working day, so that every level can be up to a day earlier. */
static void longest_chain(const struct reckoning *reckoning, int64_t *minutes, int *levels)
{
    const struct catalogue *catalogue = reckoning->catalogue;
    *minutes = 0;
    *levels = 0;
    for (size_t i = 0; i < catalogue->formula_count; i++) {
        const struct breakdown *formula = &reckoning->breakdowns->items[i];
        if (formula->minutes > *minutes) *minutes = formula->minutes;
        if (formula->levels > *levels) *levels = formula->levels;
    }
}

void offer_nights(const struct reckoning *reckoning, date bread_day, date *first, date *last)
{
    int64_t minutes;
    int levels;
    longest_chain(reckoning, &minutes, &levels);
    instant begins = zone_instant(reckoning->zone, bread_day, 0) - SECONDS_PER_MINUTE * minutes;
    *first = working_day(reckoning, begins) - (date)levels;
    *last = working_day(reckoning, zone_instant(reckoning->zone, bread_day, MINUTES_PER_DAY - 1));
}

static void widen(date from, date to, date *first, date *last)
{
    if (from < *first) *first = from;
    if (to > *last) *last = to;
}

/* The starters' nights matter only where they meet those of the bread day. */
void offer_horizon(const struct reckoning *reckoning, instant now, date bread_day, date *first,
                   date *last)
{
    date from;
    date to;
    date nights[2];
    date span[2];
    offer_nights(reckoning, bread_day, &nights[0], &nights[1]);
    timetable_horizon(reckoning, bread_day, first, last);
    for (size_t i = 0; i < 2; i++) {
        mixing_horizon(reckoning, nights[i], &from, &to);
        widen(from, to, first, last);
    }
    starter_plan_span(reckoning, now, &span[0], &span[1]);
    if (span[1] < nights[0] || span[0] > nights[1]) return;
    starter_plan_horizon(reckoning, now, &from, &to);
    widen(from, to, first, last);
}

/* --- mixes --- */

static int mix_order(const void *left, const void *right)
{
    const struct offer_mix *a = left;
    const struct offer_mix *b = right;
    if (a->formula != b->formula) return a->formula < b->formula ? -1 : 1;
    return (a->mixing_date > b->mixing_date) - (a->mixing_date < b->mixing_date);
}

static bool view_open(const struct offer_case *offer, struct offer_view *view)
{
    struct mixing_plan plan;
    size_t count = 0;
    if (!mixing_plan_of(&view->reckoning, offer->first_night, view->demands, view->demand_count,
                        &plan))
        return false;
    for (const struct planned_mix *mix = plan.mixes; mix; mix = mix->previous)
        count++;
    view->mixes = amount_memory(&view->reckoning, count, sizeof *view->mixes);
    if (!view->mixes) return false;
    for (const struct planned_mix *mix = plan.mixes; mix; mix = mix->previous)
        view->mixes[view->mix_count++] = (struct offer_mix){mix->formula, mix->mixing_date,
                                                            mix->begins, mix->dough};
    if (count > 0) qsort(view->mixes, count, sizeof *view->mixes, mix_order);
    return true;
}

const struct offer_mix *offer_view_mix(const struct offer_view *view, size_t formula,
                                       date mixing_date)
{
    struct offer_mix key = {.formula = formula, .mixing_date = mixing_date};
    if (view->mix_count == 0) return NULL;
    return bsearch(&key, view->mixes, view->mix_count, sizeof key, mix_order);
}

bool offer_mix_grows(const struct offer_case *offer, const struct offer_mix *mix)
{
    const struct offer_mix *before = offer_view_mix(&offer->before, mix->formula, mix->mixing_date);
    return !before || mix->dough > before->dough;
}

/* --- opening --- */

bool offer_case_open(struct offer_case *offer, const struct offer_world *world, date bread_day)
{
    date last;
    *offer = (struct offer_case){.world = world, .bread_day = bread_day};
    offer->before.reckoning = *world->reckoning;
    offer->before.demands = world->demands;
    offer->before.demand_count = world->demand_count;
    offer_nights(world->reckoning, bread_day, &offer->first_night, &last);
    return view_open(offer, &offer->before);
}

static bool add_pieces(const struct offer_case *offer, size_t product, int64_t pieces,
                       struct offer_view *trial)
{
    size_t count = offer->world->demand_count;
    struct demand *demands = amount_memory(&trial->reckoning, count + 1, sizeof *demands);
    if (!demands) return false;
    if (count > 0) memcpy(demands, offer->world->demands, count * sizeof *demands);
    demands[count] = (struct demand){offer->bread_day, product, NO_CLOCK, pieces};
    trial->demands = demands;
    trial->demand_count = count + 1;
    return true;
}

bool offer_trial_open(struct offer_case *offer, size_t product, int64_t pieces,
                      struct offer_view *trial)
{
    *trial = (struct offer_view){.reckoning = *offer->world->reckoning};
    trial->reckoning.arena = arena_new(TRIAL_BYTES_MAX);
    if (!trial->reckoning.arena) return fail_memory(trial->reckoning.fails);
    return add_pieces(offer, product, pieces, trial) && view_open(offer, trial);
}

void offer_trial_close(struct offer_view *trial)
{
    arena_free(trial->reckoning.arena);
}

/* --- the clock --- */

bool offer_view_timetable(const struct offer_case *offer, struct offer_view *view)
{
    if (view->has_timetable) return true;
    view->has_timetable = timetable_of(&view->reckoning, offer->bread_day, view->demands,
                                       view->demand_count, NULL, 0, &view->timetable);
    return view->has_timetable;
}

static bool is_of_mix(const struct task *task, const struct offer_mix *mix)
{
    return (task->kind == TASK_MIX || task->kind == TASK_STAGE) && task->formula == mix->formula &&
           task->mixing_date == mix->mixing_date;
}

/* When it begins with the orders as they are. Tasks stand by begin. */
static instant scheduled(const struct timetable *table, const struct offer_mix *mix)
{
    for (size_t i = 0; i < table->task_count; i++)
        if (is_of_mix(&table->tasks[i], mix)) return table->tasks[i].begins;
    return mix->begins;
}

bool offer_mix_begins(struct offer_case *offer, const struct offer_mix *mix, instant *begins)
{
    const struct offer_mix *before = offer_view_mix(&offer->before, mix->formula, mix->mixing_date);
    *begins = mix->begins;
    if (!before) return true;
    if (!offer_view_timetable(offer, &offer->before)) return false;
    instant at = scheduled(&offer->before.timetable, before);
    if (mix->begins >= before->begins || at < mix->begins) *begins = at;
    return true;
}

/* --- starters --- */

bool offer_view_takings(const struct offer_case *offer, struct offer_view *view)
{
    size_t count = view->reckoning.catalogue->starter_count;
    if (view->takings) return true;
    const struct starter_nights nights = {.now = offer->world->now,
                                          .demands = view->demands,
                                          .demand_count = view->demand_count,
                                          .posted = offer->world->store.posted,
                                          .posted_count = offer->world->store.posted_count};
    struct starter_taking **takings = amount_memory(&view->reckoning, count, sizeof *takings);
    view->taking_counts = amount_memory(&view->reckoning, count, sizeof *view->taking_counts);
    if (!takings || !view->taking_counts ||
        !starter_takings_of(&view->reckoning, &nights, takings, view->taking_counts))
        return false;
    view->takings = takings;
    return true;
}
