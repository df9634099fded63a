/* The plan: the cheapest path through the feeds, written out forwards; when there is none, that of
 * the demands before the first that cannot be met. Fewer demands are never harder, so that one is
 * found by halving.
 */
#include "bakery/feeding.h"

#include "bakery/amount.h"
#include "bakery/feeding_front.h"

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
static bool plan_first(struct feeding_bounds *bounds, size_t n, struct feeding_plan *plan)
{
    const struct feed_label *first = NULL;
    feeding_search_for(bounds->search, bounds->search->problem->demands, n);
    if (!feeding_needs_none(bounds->search)) {
        feeding_fill_most(bounds, 0);
        if (!feeding_cheapest(bounds, &first)) return false;
    }
    return write_plan(bounds->search, first, plan);
}

/* --- all of it --- */

static bool first_feasible(struct feeding_bounds *bounds, size_t n)
{
    feeding_search_for(bounds->search, bounds->search->problem->demands, n);
    return feeding_feasible(bounds);
}

/* How many demands can be met, from the first on; NOT_FOUND: not even none. */
static size_t count_met(struct feeding_bounds *bounds)
{
    size_t met = 0, beyond = bounds->search->problem->demand_count;
    if (first_feasible(bounds, beyond)) return beyond;
    if (beyond == 0 || !first_feasible(bounds, 0)) return NOT_FOUND;
    while (beyond - met > 1) {
        size_t middle = met + (beyond - met) / 2;
        if (first_feasible(bounds, middle))
            met = middle;
        else
            beyond = middle;
    }
    return met;
}

static bool totals_fit(const struct feeding_problem *problem)
{
    int64_t sum = problem->keep_mg;
    for (size_t i = 0; i < problem->demand_count; i++)
        if (__builtin_add_overflow(sum, problem->demands[i].mg, &sum)) return false;
    return true;
}

static bool plan_all(struct feeding_bounds *bounds, struct feeding_plan *out)
{
    const struct feeding_problem *problem = bounds->search->problem;
    size_t met = count_met(bounds);
    for (size_t i = 0; i < problem->demand_count; i++)
        out->takes[i] = (struct feeding_take){.demand = i, .feed = NOT_FOUND, .left_mg = -1};
    out->possible = met == problem->demand_count;
    out->shortfall.demand = NOT_FOUND;
    out->left_mg = problem->on_hand_mg;
    if (met == NOT_FOUND) return true;
    if (!out->possible) {
        out->shortfall.demand = met;
        feeding_search_for(bounds->search, problem->demands, met);
        feeding_shortfall(bounds, &problem->demands[met], &out->shortfall);
    }
    return plan_first(bounds, met, out);
}

bool feeding_plan_of(const struct reckoning *reckoning, const struct feeding_problem *problem,
                     struct feeding_plan *out)
{
    struct feeding_search search;
    struct feeding_bounds bounds;
    *out = (struct feeding_plan){.possible = false};
    if (!totals_fit(problem)) return amount_too_large(reckoning);
    out->takes = amount_memory(reckoning, problem->demand_count, sizeof *out->takes);
    if (!out->takes || !feeding_search_begin(&search, reckoning, problem) ||
        !feeding_bounds_begin(&bounds, &search) || !plan_all(&bounds, out))
        return false;
    return !search.too_large || amount_too_large(reckoning);
}
