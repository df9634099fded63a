/* The plan: the cheapest path through the feeds, written out forwards; and when there is none, how
 * near to it one can come.
 *
 * Fewer demands, or less of the last, are never harder, so the first demand that cannot be met and
 * the most that could be had of it are found by halving. A later time is tried in its order, since
 * what ripens also stops being ripe.
 */
#include "bakery/feeding.h"

#include "bakery/amount.h"
#include "bakery/feeding_front.h"

#include <string.h>

enum { LATER_GRID = 5 * 60, LATER_MOST = SECONDS_PER_DAY };

/* --- writing a plan out --- */

/* The pot as it is walked through. */
struct walk {
    struct feeding_search *search;
    struct feeding_plan *plan;
    int64_t on_hand_mg;
    size_t taken; /* demands so far */
    size_t feed;  /* that they come from */
};

static void walk_takings(struct walk *walk, size_t upto)
{
    for (; walk->taken < upto; walk->taken++) {
        walk->on_hand_mg -= walk->search->demands[walk->taken].mg;
        walk->plan->takes[walk->taken] = (struct feeding_take){
            .demand = walk->taken, .feed = walk->feed, .left_mg = walk->on_hand_mg};
    }
}

static void walk_feed(struct walk *walk, const struct feed_label *label, struct feed *feed)
{
    const struct feeding_problem *problem = walk->search->problem;
    const struct feed_times *times =
        &walk->search->times[label->slot * problem->ratio_count + label->ratio];
    struct feed_amounts amounts;
    feed_amounts_of(walk->search, label->ratio, label->want_mg, &amounts);
    *feed = (struct feed){.at = problem->slots[label->slot],
                          .ratio = label->ratio,
                          .before_mg = walk->on_hand_mg,
                          .discard_mg = walk->on_hand_mg - amounts.seed,
                          .seed_mg = amounts.seed,
                          .flour_mg = amounts.flour,
                          .water_mg = amounts.water,
                          .after_mg = amounts.after,
                          .ripe_from = times->ripe_from,
                          .ripe_until = times->ripe_until};
    walk->plan->waste_mg += feed->discard_mg;
    walk->on_hand_mg = amounts.after;
}

/* Writes out the plan that begins with a label; NULL: without feeds. */
static bool write_plan(struct feeding_search *search, const struct feed_label *first,
                       struct feeding_plan *plan)
{
    struct walk walk = {.search = search,
                        .plan = plan,
                        .on_hand_mg = search->problem->on_hand_mg,
                        .feed = NOT_FOUND};
    plan->feed_count = 0;
    plan->waste_mg = 0;
    plan->feeds = amount_memory(search->reckoning, first ? (size_t)first->feeds : 0,
                                sizeof *plan->feeds);
    if (!plan->feeds) return false;
    for (const struct feed_label *label = first; label; label = label->next) {
        walk_takings(&walk, search->taken_by[label->slot]);
        walk.feed = plan->feed_count++;
        walk_feed(&walk, label, &plan->feeds[walk.feed]);
    }
    walk_takings(&walk, search->demand_count);
    plan->left_mg = walk.on_hand_mg;
    if (plan->left_mg > search->problem->keep_mg)
        plan->waste_mg += plan->left_mg - search->problem->keep_mg;
    return true;
}

/* The best plan for the first n demands; there must be one. */
static bool plan_first(struct feeding_search *search, size_t n, struct feeding_plan *plan)
{
    const struct feed_label *first = NULL;
    feeding_search_for(search, search->problem->demands, n);
    if (!feeding_needs_none(search) && !feeding_cheapest(search, &first)) return false;
    return write_plan(search, first, plan);
}

/* --- when it is not possible --- */

static bool first_feasible(struct feeding_search *search, size_t n)
{
    feeding_search_for(search, search->problem->demands, n);
    return feeding_feasible(search);
}

/* How many demands can be met, from the first on; NOT_FOUND: not even none. */
static size_t count_met(struct feeding_search *search)
{
    size_t met = 0, beyond = search->problem->demand_count + 1;
    if (first_feasible(search, search->problem->demand_count)) return search->problem->demand_count;
    if (!first_feasible(search, 0)) return NOT_FOUND;
    while (beyond - met > 1) {
        size_t middle = met + (beyond - met) / 2;
        if (middle <= search->problem->demand_count && first_feasible(search, middle))
            met = middle;
        else
            beyond = middle;
    }
    return met;
}

/* The most whole steps that could be had of the last of n demands. */
static int64_t most_of(struct feeding_search *search, struct feeding_demand *demands, size_t n)
{
    int64_t step = search->problem->step_mg > 0 ? search->problem->step_mg : 1;
    int64_t had = 0, beyond = (demands[n - 1].mg - 1) / step + 1;
    while (beyond - had > 1) {
        int64_t middle = had + (beyond - had) / 2;
        demands[n - 1].mg = middle * step;
        feeding_search_for(search, demands, n);
        if (feeding_feasible(search))
            had = middle;
        else
            beyond = middle;
    }
    return had * step;
}

/* The earliest later time for the last of n demands. */
static bool later_for(struct feeding_search *search, struct feeding_demand *demands, size_t n,
                      instant *later)
{
    instant wanted = demands[n - 1].at;
    instant at = wanted - ((wanted % LATER_GRID) + LATER_GRID) % LATER_GRID;
    while ((at += LATER_GRID) <= wanted + LATER_MOST) {
        demands[n - 1].at = at;
        feeding_search_for(search, demands, n);
        if (!feeding_feasible(search)) continue;
        *later = at;
        return true;
    }
    return false;
}

/* What can be done about the demand after those that are met. */
static bool find_shortfall(struct feeding_search *search, size_t met, struct feeding_short *out)
{
    const struct feeding_problem *problem = search->problem;
    struct feeding_demand *demands = amount_memory(search->reckoning, met + 1, sizeof *demands);
    if (!demands) return false;
    memcpy(demands, problem->demands, (met + 1) * sizeof *demands);
    out->demand = met;
    out->has_later = later_for(search, demands, met + 1, &out->later);
    demands[met] = problem->demands[met];
    out->most_mg = most_of(search, demands, met + 1);
    return true;
}

/* --- all of it --- */

static bool totals_fit(const struct feeding_problem *problem)
{
    int64_t sum = problem->keep_mg;
    for (size_t i = 0; i < problem->demand_count; i++)
        if (__builtin_add_overflow(sum, problem->demands[i].mg, &sum)) return false;
    return true;
}

static bool plan_all(struct feeding_search *search, struct feeding_plan *out)
{
    size_t demands = search->problem->demand_count;
    size_t met = count_met(search);
    for (size_t i = 0; i < demands; i++)
        out->takes[i] = (struct feeding_take){.demand = i, .feed = NOT_FOUND, .left_mg = -1};
    out->possible = met == demands;
    out->shortfall.demand = NOT_FOUND;
    if (met == NOT_FOUND) {
        out->left_mg = search->problem->on_hand_mg;
        return true;
    }
    return (out->possible || find_shortfall(search, met, &out->shortfall)) &&
           plan_first(search, met, out);
}

bool feeding_plan_of(const struct reckoning *reckoning, const struct feeding_problem *problem,
                     struct feeding_plan *out)
{
    struct feeding_search search;
    *out = (struct feeding_plan){.possible = false};
    if (!totals_fit(problem)) return amount_too_large(reckoning);
    out->takes = amount_memory(reckoning, problem->demand_count, sizeof *out->takes);
    if (!out->takes || !feeding_search_begin(&search, reckoning, problem, problem->demand_count) ||
        !plan_all(&search, out))
        return false;
    return !search.too_large || amount_too_large(reckoning);
}
