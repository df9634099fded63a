/* Planning the mixes: formulas are taken users first, so that when a formula's turn comes all that
 * is wanted of it is known.
 *
 * What is wanted of a formula is sorted by the instant at which its mixing would begin, and what
 * falls in one working day is one mix, begun at the earliest of them. Mixes before the date of the
 * plan are left out: their parts begin earlier still. Mixes after it are planned, for their
 * preferments may begin on the date.
 */
#include "bakery/plan.h"

#include "bakery/amount.h"

#include <stdlib.h>
#include <string.h>

static bool plan_init(struct mixing_plan *plan, const struct demand *demands, size_t demand_count)
{
    const struct reckoning *reckoning = plan->reckoning;
    size_t formulas = reckoning->catalogue->formula_count;
    plan->by_formula = amount_memory(reckoning, formulas, sizeof(struct wanted *));
    plan->wanted_count = amount_memory(reckoning, formulas, sizeof(size_t));
    plan->bakings = bakings_of(reckoning, demands, demand_count, &plan->baking_count);
    if (!plan->by_formula || !plan->wanted_count || !plan->bakings) return false;
    plan->baking_in_list = amount_memory(reckoning, plan->baking_count, sizeof(bool));
    return plan->baking_in_list != NULL;
}

/* Asks for dough of a formula. The days are borrowed. NULL when memory is short. */
static struct wanted *want(struct mixing_plan *plan, size_t formula, instant ready, fixed grams,
                           struct wanted **siblings)
{
    struct wanted *wanted = amount_memory(plan->reckoning, 1, sizeof *wanted);
    if (!wanted) return NULL;
    wanted->begins = mix_begins(plan->reckoning, formula, ready);
    wanted->grams = grams;
    wanted->baking = NOT_FOUND;
    wanted->next = plan->by_formula[formula];
    plan->by_formula[formula] = wanted;
    plan->wanted_count[formula]++;
    wanted->sibling = *siblings;
    *siblings = wanted;
    return wanted;
}

static bool want_for_baking(struct mixing_plan *plan, size_t index)
{
    const struct baking *baking = &plan->bakings[index];
    const struct product *product = &plan->reckoning->catalogue->products[baking->product];
    for (size_t k = 0; k < product->part_count; k++) {
        const struct part *part = &product->parts[k];
        if (part->kind != LINE_FORMULA) continue;
        fixed grams = 0;
        if (!amount_add_pieces(plan->reckoning, &grams, baking->pieces, part->mg)) return false;
        struct wanted *wanted = want(plan, part->index, baking->ready, grams, &plan->of_products);
        if (!wanted) return false;
        wanted->bread_days = &baking->bread_day;
        wanted->bread_day_count = 1;
        wanted->baking = index;
    }
    return true;
}

/* A mix asks for its preferments, ready when it begins. */
static bool want_parts(struct mixing_plan *plan, struct planned_mix *mix)
{
    const struct formula *formula = &plan->reckoning->catalogue->formulas[mix->formula];
    const fixed *shares = amount_lines(plan->reckoning, mix->formula);
    if (!shares) return false;
    for (size_t n = 0; n < formula->line_count; n++) {
        const struct line *line = &formula->lines[n];
        fixed grams;
        if (line->kind != LINE_FORMULA) continue;
        if (!amount_scaled(plan->reckoning, mix->dough, shares[n], SHARE_ONE, &grams)) return false;
        struct wanted *wanted = want(plan, line->index, mix->begins, grams, &mix->parts);
        if (!wanted) return false;
        wanted->bread_days = mix->bread_days;
        wanted->bread_day_count = mix->bread_day_count;
    }
    return true;
}

static int by_begin(const void *left, const void *right)
{
    const struct wanted *a = *(const struct wanted *const *)left;
    const struct wanted *b = *(const struct wanted *const *)right;
    return (a->begins > b->begins) - (a->begins < b->begins);
}

static int by_date(const void *left, const void *right)
{
    date a = *(const date *)left;
    date b = *(const date *)right;
    return (a > b) - (a < b);
}

/* The bread days of all that is mixed together, ascending, each once. */
static bool join_bread_days(const struct mixing_plan *plan, struct planned_mix *mix,
                            struct wanted *const *wanted, size_t count)
{
    size_t most = 0;
    size_t n = 0;
    for (size_t i = 0; i < count; i++)
        most += wanted[i]->bread_day_count;
    date *days = mix->bread_days = amount_memory(plan->reckoning, most, sizeof *days);
    if (!days) return false;
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k < wanted[i]->bread_day_count; k++)
            days[n++] = wanted[i]->bread_days[k];
    qsort(days, n, sizeof *days, by_date);
    mix->bread_day_count = 0;
    for (size_t i = 0; i < n; i++)
        if (mix->bread_day_count == 0 || days[mix->bread_day_count - 1] != days[i])
            days[mix->bread_day_count++] = days[i];
    return true;
}

static bool add_mix(struct mixing_plan *plan, size_t formula, date mixing_date,
                    struct wanted *const *wanted, size_t count)
{
    struct planned_mix *mix = amount_memory(plan->reckoning, 1, sizeof *mix);
    fixed grams = 0;
    if (!mix) return false;
    *mix = (struct planned_mix){.previous = plan->mixes,
                                .number = plan->mix_count++,
                                .formula = formula,
                                .mixing_date = mixing_date,
                                .begins = wanted[0]->begins,
                                .in_list = mixing_date == plan->mixing_date};
    plan->mixes = mix;
    for (size_t i = 0; i < count; i++) {
        wanted[i]->mix = mix;
        if (!amount_add(plan->reckoning, &grams, wanted[i]->grams)) return false;
    }
    return amount_with_loss(plan->reckoning, formula, grams, &mix->dough) &&
           join_bread_days(plan, mix, wanted, count) && want_parts(plan, mix);
}

/* What is wanted of a formula, by begin. NULL when memory is short. */
static struct wanted **sorted_wanted(const struct mixing_plan *plan, size_t formula)
{
    size_t count = plan->wanted_count[formula];
    struct wanted **list = amount_memory(plan->reckoning, count, sizeof(struct wanted *));
    size_t n = 0;
    if (!list) return NULL;
    for (struct wanted *w = plan->by_formula[formula]; w; w = w->next)
        list[n++] = w;
    qsort(list, n, sizeof(struct wanted *), by_begin);
    return list;
}

/* Divides what is wanted of a formula into mixes, working day by working day. */
static bool plan_formula(struct mixing_plan *plan, size_t formula)
{
    const struct reckoning *reckoning = plan->reckoning;
    size_t count = plan->wanted_count[formula];
    if (count == 0) return true;
    struct wanted **wanted = sorted_wanted(plan, formula);
    if (!wanted) return false;
    for (size_t i = 0; i < count;) {
        date day = working_day(reckoning, wanted[i]->begins);
        instant end = zone_instant(reckoning->zone, day + 1,
                                   reckoning->catalogue->bakery.day_starts_at);
        size_t n = 1;
        while (i + n < count && wanted[i + n]->begins < end)
            n++;
        if (day >= plan->mixing_date && !add_mix(plan, formula, day, &wanted[i], n)) return false;
        i += n;
    }
    return true;
}

/* Parts are planned after what takes them, so going back from the last planned mix meets every part
 * before its users. */
static void mark_list(struct mixing_plan *plan)
{
    for (struct planned_mix *mix = plan->mixes; mix; mix = mix->previous)
        for (const struct wanted *part = mix->parts; part; part = part->sibling)
            if (part->mix && part->mix->in_list) mix->in_list = true;
    for (const struct wanted *wanted = plan->of_products; wanted; wanted = wanted->sibling)
        if (wanted->mix && wanted->mix->in_list) plan->baking_in_list[wanted->baking] = true;
}

bool mixing_plan_of(const struct reckoning *reckoning, date mixing_date,
                    const struct demand *demands, size_t demand_count, struct mixing_plan *plan)
{
    *plan = (struct mixing_plan){.reckoning = reckoning, .mixing_date = mixing_date};
    if (!plan_init(plan, demands, demand_count)) return false;
    for (size_t i = 0; i < plan->baking_count; i++)
        if (!want_for_baking(plan, i)) return false;
    for (size_t i = reckoning->catalogue->formula_count; i > 0; i--)
        if (!plan_formula(plan, reckoning->breakdowns->order[i - 1])) return false;
    mark_list(plan);
    return true;
}
