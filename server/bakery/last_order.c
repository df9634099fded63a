/* Until when more of a product can be ordered.
 *
 * One more piece of each product is tried for itself: the mixes that grow by it begin at some
 * moment, and it must be known before the earliest of them. Its starter must be in the pot by then:
 * where the planned feed makes just enough, it must be known before that feed.
 */
#include "bakery/offer_view.h"

static bool has_dough(const struct product *product)
{
    for (size_t k = 0; k < product->part_count; k++)
        if (product->parts[k].kind == LINE_FORMULA) return true;
    return false;
}

static void no_later_than(struct last_order *order, instant at, size_t formula, size_t starter)
{
    if (order->formula != NOT_FOUND || order->starter != NOT_FOUND)
        if (order->at <= at) return;
    order->at = at;
    order->formula = formula;
    order->starter = starter;
}

static bool before_mixes(struct offer_case *offer, const struct offer_view *trial,
                         struct last_order *order)
{
    for (size_t i = 0; i < trial->mix_count; i++) {
        instant begins;
        if (!offer_mix_grows(offer, &trial->mixes[i])) continue;
        if (!offer_mix_begins(offer, &trial->mixes[i], &begins)) return false;
        no_later_than(order, begins, trial->mixes[i].formula, NOT_FOUND);
    }
    return true;
}

/* --- starters --- */

/* The last feed of a plan before then; NOT_FOUND: what is in the pot now. */
static size_t feed_before(const struct feeding_plan *plan, instant at)
{
    size_t found = NOT_FOUND;
    for (size_t i = 0; i < plan->feed_count && plan->feeds[i].at <= at; i++)
        found = i;
    return found;
}

/* What nobody takes of the pot's contents after the feed: thrown away at the next one, or left. */
static int64_t left_over(const struct feeding_problem *problem, const struct feeding_plan *plan,
                         size_t feed)
{
    size_t next = feed == NOT_FOUND ? 0 : feed + 1;
    if (next >= plan->feed_count) return plan->left_mg - problem->keep_mg;
    int64_t over_keep = plan->feeds[next].before_mg - problem->keep_mg;
    int64_t discard = plan->feeds[next].discard_mg;
    return discard < over_keep ? discard : over_keep;
}

static bool is_ripe(const struct feeding_problem *problem, const struct feeding_plan *plan,
                    size_t feed, instant at)
{
    if (feed != NOT_FOUND)
        return at >= plan->feeds[feed].ripe_from && at <= plan->feeds[feed].ripe_until;
    return problem->ripens && problem->feeds_to_wake == 0 && at >= problem->ripe_from &&
           at <= problem->ripe_until;
}

/* Whether the plan as it is leaves so much more for a mix at that time. */
static bool leaves(const struct offer_feeding *feeding, instant at, int64_t mg)
{
    if (feeding->count == 0) return false;
    const struct feeding_problem *problem = &feeding->plan.problem;
    const struct feeding_plan *plan = &feeding->plan.plan;
    size_t feed = feed_before(plan, at);
    return is_ripe(problem, plan, feed, at) && left_over(problem, plan, feed) >= mg;
}

/* The feed that the taking of a trial comes from. */
static bool before_feed(struct offer_case *offer, const struct offer_view *trial, size_t starter,
                        size_t taking, struct last_order *order)
{
    struct offer_feeding feeding;
    const struct pot_state *pot = &offer->world->pots[starter];
    if (!offer_feeding_of(offer, trial, starter, &feeding)) return false;
    if (feeding.is_short) {
        /* Not enough was fed, and nothing can be done about it any more. */
        no_later_than(order, pot->fed ? pot->feed.at : pot->last_at, NOT_FOUND, starter);
        return true;
    }
    for (size_t i = 0; i < feeding.count; i++) {
        if (feeding.from[i] != taking) continue;
        size_t feed = feeding.plan.plan.takes[i].feed;
        if (feed != NOT_FOUND)
            no_later_than(order, feeding.plan.plan.feeds[feed].at, NOT_FOUND, starter);
    }
    return true;
}

static bool before_feeds(struct offer_case *offer, const struct offer_view *trial, size_t starter,
                         struct last_order *order)
{
    if (!offer_borne(offer, starter)) return false;
    for (size_t i = 0; i < trial->taking_counts[starter]; i++) {
        const struct starter_taking *taking = &trial->takings[starter][i];
        size_t at = offer_taking_before(offer, starter, taking);
        int64_t more = taking->mg - (at == NOT_FOUND ? 0 : offer->before.takings[starter][at].mg);
        if (more <= 0 || leaves(&offer->feedings[starter], taking->at, more)) continue;
        if (!before_feed(offer, trial, starter, i, order)) return false;
    }
    return true;
}

static bool last_order_of(struct offer_case *offer, size_t product, struct last_order *order)
{
    struct offer_view trial;
    const struct catalogue *catalogue = offer->world->reckoning->catalogue;
    *order = (struct last_order){.formula = NOT_FOUND, .starter = NOT_FOUND};
    order->any = has_dough(&catalogue->products[product]);
    if (!order->any) return true;
    bool done = offer_trial_open(offer, product, 1, &trial) && before_mixes(offer, &trial, order) &&
                offer_view_takings(offer, &trial);
    for (size_t i = 0; done && i < catalogue->starter_count; i++)
        if (offer_starter_is_kept(offer->world, i)) done = before_feeds(offer, &trial, i, order);
    offer_trial_close(&trial);
    order->over = order->at <= offer->world->now;
    return done;
}

bool last_orders_of(const struct offer_world *world, date bread_day, struct last_order *out)
{
    struct offer_case offer;
    if (!offer_case_open(&offer, world, bread_day)) return false;
    for (size_t i = 0; i < world->reckoning->catalogue->product_count; i++)
        if (!last_order_of(&offer, i, &out[i])) return false;
    return true;
}
