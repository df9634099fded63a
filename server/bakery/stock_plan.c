/* Planned use, mixing list by mixing list. */
#include "bakery/stock_plan.h"

#include "bakery/amount.h"
#include "base/fail.h"

void stock_plan_horizon(const struct reckoning *reckoning, date first, size_t days, date *from,
                        date *to)
{
    date other;
    mixing_horizon(reckoning, first, from, &other);
    mixing_horizon(reckoning, first + (date)days - 1, &other, to);
    /* Bread that is ready on these days, whose packaging counts. */
    if (first < *from) *from = first;
    if (first + (date)days > *to) *to = first + (date)days;
}

/* The batches of a mix that are not posted. */
static int64_t batches_left(date mixing_date, size_t formula, int64_t batches,
                            const struct posted_batch *posted, size_t count)
{
    int64_t left = batches;
    for (size_t i = 0; i < count; i++)
        left -= posted[i].mixing_date == mixing_date && posted[i].formula == formula &&
                posted[i].batch <= batches;
    return left;
}

bool printed_use_of(const struct reckoning *reckoning, const struct printed_line *lines,
                    size_t line_count, const struct posted_batch *posted, size_t posted_count,
                    int64_t *amounts)
{
    for (size_t i = 0; i < line_count; i++) {
        const struct printed_line *line = &lines[i];
        int64_t left = batches_left(line->mixing_date, line->formula, line->batches, posted,
                                    posted_count);
        int64_t amount;
        if (!amount_multiply_whole(reckoning, left, line->weigh_mg, &amount) ||
            !amount_add_whole(reckoning, &amounts[line->ingredient], amount))
            return false;
    }
    return true;
}

/* The demands that can have a part in the list of a day. */
static const struct demand *demands_for(const struct stock_plan *plan, date day, size_t *count)
{
    date from, to;
    size_t begin = 0;
    mixing_horizon(plan->reckoning, day, &from, &to);
    while (begin < plan->demand_count && plan->demands[begin].bread_day < from)
        begin++;
    size_t end = begin;
    while (end < plan->demand_count && plan->demands[end].bread_day <= to)
        end++;
    *count = end - begin;
    return plan->demands + begin;
}

/* The list of a day; without orders it has no mixes. */
static bool list_of_day(const struct stock_plan *plan, date day, struct mixing_list *list)
{
    size_t count;
    const struct demand *demands = demands_for(plan, day, &count);
    *list = (struct mixing_list){.mixing_date = day};
    if (fails_any(plan->reckoning->fails)) return false; /* of the horizon */
    return count == 0 || mixing_list_of(plan->reckoning, day, demands, count, list);
}

/* What is taken of starters on a day, less what is in the pots. */
static void take_from_pots(const struct stock_plan *plan, int64_t *in_pots, int64_t *taken)
{
    for (size_t i = 0; i < plan->reckoning->catalogue->starter_count; i++) {
        int64_t from_pot = taken[i] < in_pots[i] ? taken[i] : in_pots[i];
        in_pots[i] -= from_pot;
        taken[i] -= from_pot;
    }
}

static bool plan_day(const struct stock_plan *plan, date day, int64_t *in_pots, int64_t *amounts)
{
    struct mixing_list list;
    size_t starters = plan->reckoning->catalogue->starter_count;
    int64_t *taken = amount_memory(plan->reckoning, starters, sizeof *taken);
    if (!taken || !list_of_day(plan, day, &list)) return false;
    for (size_t i = 0; i < list.mix_count; i++)
        list.mixes[i].batches = batches_left(day, list.mixes[i].formula, list.mixes[i].batches,
                                             plan->posted, plan->posted_count);
    if (!list_use_of(plan->reckoning, &list, amounts, taken)) return false;
    take_from_pots(plan, in_pots, taken);
    return starters_use_of(plan->reckoning, taken, amounts);
}

bool planned_use_of(const struct stock_plan *plan, int64_t *amounts)
{
    const struct catalogue *catalogue = plan->reckoning->catalogue;
    int64_t *in_pots = amount_memory(plan->reckoning, catalogue->starter_count, sizeof *in_pots);
    if (!in_pots) return false;
    for (size_t i = 0; i < catalogue->starter_count; i++)
        in_pots[i] = plan->pots[i].on_hand_mg;
    for (size_t d = 0; d < plan->days; d++)
        if (!plan_day(plan, plan->first + (date)d, in_pots,
                      &amounts[d * catalogue->ingredient_count]))
            return false;
    return products_use_of(plan->reckoning, plan->demands, plan->demand_count, plan->first,
                           plan->days, amounts);
}

bool theory_use_of(const struct stock_plan *plan, int64_t *amounts)
{
    size_t count = plan->reckoning->catalogue->ingredient_count;
    for (size_t d = 0; d < plan->days; d++) {
        struct mixing_list list;
        if (!list_of_day(plan, plan->first + (date)d, &list) ||
            !list_theory_of(plan->reckoning, &list, &amounts[d * count]))
            return false;
    }
    return products_use_of(plan->reckoning, plan->demands, plan->demand_count, plan->first,
                           plan->days, amounts);
}

static bool has_begun(const date *begun, size_t ingredient, date day)
{
    return begun == NULL || (begun[ingredient] != 0 && begun[ingredient] <= day);
}

bool week_theory_of(const struct stock_plan *plan, const date *begun, int64_t *weeks)
{
    size_t count = plan->reckoning->catalogue->ingredient_count;
    int64_t *amounts = amount_memory(plan->reckoning, plan->days * count, sizeof *amounts);
    if (!amounts || !theory_use_of(plan, amounts)) return false;
    for (size_t d = 0; d < plan->days; d++)
        for (size_t i = 0; i < count; i++)
            if (has_begun(begun, i, plan->first + (date)d) &&
                !amount_add_whole(plan->reckoning, &weeks[d / DAYS_PER_WEEK * count + i],
                                  amounts[d * count + i]))
                return false;
    return true;
}
