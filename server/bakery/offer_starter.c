/* Whether the starters suffice for more pieces.
 *
 * What is short already is borne: the takings that the orders as they are cannot have are cut to
 * what can be had, and the same is cut off them with the added pieces. So a night that is short
 * refuses only what makes it shorter.
 */
#include "bakery/offer_view.h"

#include "bakery/amount.h"

#include <string.h>

/* Nobody can tell when a starter is ripe that nobody has seen ripen. */
bool offer_starter_is_kept(const struct offer_world *world, size_t starter)
{
    return world->pots[starter].entries > 0 &&
           world->reckoning->catalogue->starters[starter].ripening_count > 0;
}

static bool keep_takings(const struct reckoning *reckoning, const struct starter_taking *takings,
                         size_t count, struct offer_feeding *out)
{
    out->takings = amount_memory(reckoning, count, sizeof *out->takings);
    out->from = amount_memory(reckoning, count, sizeof *out->from);
    if (!out->takings || !out->from) return false;
    for (size_t i = 0; i < count; i++) {
        if (takings[i].mg <= 0) continue;
        out->takings[out->count] = takings[i];
        out->from[out->count++] = i;
    }
    return true;
}

static bool feed_for(const struct reckoning *reckoning, const struct offer_world *world,
                     size_t starter, const struct starter_taking *takings, size_t count,
                     struct offer_feeding *out)
{
    struct starter_plan *plan = &out->plan;
    *out = (struct offer_feeding){.count = 0};
    if (!keep_takings(reckoning, takings, count, out)) return false;
    if (out->count == 0) return true;
    if (!starter_plan_of(reckoning, starter, &world->pots[starter], out->takings, out->count,
                         world->now, plan))
        return false;
    out->is_short = plan->impossible || !plan->plan.possible;
    if (!out->is_short) return true;
    size_t first = plan->impossible ? 0 : plan->plan.shortfall.demand;
    out->taking = out->from[first];
    out->short_mg = out->takings[first].mg - (plan->impossible ? 0 : plan->plan.shortfall.most_mg);
    return true;
}

/* Cuts the takings before until they can be met. One that stays short after it was cut is given
 * up. */
static bool bear(struct offer_case *offer, size_t starter)
{
    struct offer_view *before = &offer->before;
    size_t count = before->taking_counts[starter];
    struct starter_taking *borne = amount_memory(&before->reckoning, count, sizeof *borne);
    struct offer_feeding *feeding = &offer->feedings[starter];
    size_t cut = NOT_FOUND;
    if (!borne) return false;
    if (count > 0) memcpy(borne, before->takings[starter], count * sizeof *borne);
    for (;;) {
        if (!feed_for(&before->reckoning, offer->world, starter, borne, count, feeding))
            return false;
        if (!feeding->is_short) break;
        bool again = feeding->taking == cut || feeding->short_mg <= 0;
        cut = feeding->taking;
        borne[cut].mg = again ? 0 : borne[cut].mg - feeding->short_mg;
    }
    offer->borne[starter] = borne;
    return true;
}

bool offer_borne(struct offer_case *offer, size_t starter)
{
    const struct reckoning *reckoning = &offer->before.reckoning;
    size_t count = reckoning->catalogue->starter_count;
    if (!offer_view_takings(offer, &offer->before)) return false;
    if (!offer->borne) {
        offer->feedings = amount_memory(reckoning, count, sizeof *offer->feedings);
        if (!offer->feedings) return false;
        offer->borne = amount_memory(reckoning, count, sizeof *offer->borne);
        if (!offer->borne) return false;
    }
    return offer->borne[starter] != NULL || bear(offer, starter);
}

size_t offer_taking_before(const struct offer_case *offer, size_t starter,
                           const struct starter_taking *taking)
{
    for (size_t i = 0; i < offer->before.taking_counts[starter]; i++) {
        const struct starter_taking *other = &offer->before.takings[starter][i];
        if (other->formula == taking->formula && other->mixing_date == taking->mixing_date)
            return i;
    }
    return NOT_FOUND;
}

static bool any_grows(const struct offer_case *offer, const struct offer_view *trial,
                      size_t starter)
{
    for (size_t i = 0; i < trial->taking_counts[starter]; i++) {
        const struct starter_taking *taking = &trial->takings[starter][i];
        size_t at = offer_taking_before(offer, starter, taking);
        if (at == NOT_FOUND || taking->mg > offer->before.takings[starter][at].mg) return true;
    }
    return false;
}

bool offer_feeding_of(struct offer_case *offer, const struct offer_view *trial, size_t starter,
                      struct offer_feeding *out)
{
    size_t count = trial->taking_counts[starter];
    if (!offer_borne(offer, starter)) return false;
    struct starter_taking *asked = amount_memory(&trial->reckoning, count, sizeof *asked);
    if (!asked) return false;
    for (size_t i = 0; i < count; i++) {
        asked[i] = trial->takings[starter][i];
        size_t at = offer_taking_before(offer, starter, &asked[i]);
        if (at != NOT_FOUND)
            asked[i].mg -= offer->before.takings[starter][at].mg - offer->borne[starter][at].mg;
    }
    return feed_for(&trial->reckoning, offer->world, starter, asked, count, out);
}

static bool starter_binds(struct offer_case *offer, const struct offer_view *trial, size_t starter,
                          struct offer_reason *reason, bool *binds)
{
    struct offer_feeding feeding;
    if (!offer_view_takings(offer, &offer->before)) return false;
    if (!any_grows(offer, trial, starter)) return true;
    if (!offer_feeding_of(offer, trial, starter, &feeding)) return false;
    *binds = feeding.is_short;
    if (!feeding.is_short) return true;
    reason->starter = starter;
    reason->formula = trial->takings[starter][feeding.taking].formula;
    reason->at = trial->takings[starter][feeding.taking].at;
    reason->short_mg = feeding.short_mg;
    return true;
}

bool offer_starter_short(struct offer_case *offer, struct offer_view *trial,
                         struct offer_reason *reason, bool *binds)
{
    size_t count = trial->reckoning.catalogue->starter_count;
    if (!offer_view_takings(offer, trial)) return false;
    for (size_t i = 0; i < count && !*binds; i++)
        if (offer_starter_is_kept(offer->world, i) && trial->taking_counts[i] > 0 &&
            !starter_binds(offer, trial, i, reason, binds))
            return false;
    return true;
}
