/* Whether the store suffices for more pieces.
 *
 * What is taken until the end of a working day must not be more than what is usable and what is due
 * by then. Amounts are those that the formulas ask for, before any scale: so more pieces never take
 * less of anything. What a night lacks already refuses only what makes it lack more. Of a starter
 * whose log is kept flour is taken beyond what is in its pot; of one whose log is not kept nobody
 * knows. From the day on which more could come that is ordered now, nothing is short.
 */
#include "bakery/offer_view.h"

#include "bakery/amount.h"
#include "bakery/plan.h"
#include "base/decimal.h"

#include <string.h>

/* --- the days --- */

static date first_day(const struct reckoning *reckoning, instant now)
{
    return working_day(reckoning, now);
}

/* The last working day on which this ingredient can be short, at the latest. */
static date last_day_of(const struct reckoning *reckoning, date bread_day,
                        const struct offer_stock *stock)
{
    date first, last;
    if (stock->orderable) return stock->more_on - 1;
    offer_nights(reckoning, bread_day, &first, &last);
    return last;
}

static date last_day(const struct reckoning *reckoning, instant now, date bread_day,
                     const struct offer_stock *stock, size_t count)
{
    date last = first_day(reckoning, now);
    for (size_t i = 0; i < count; i++) {
        date day = last_day_of(reckoning, bread_day, &stock[i]);
        if (day > last) last = day;
    }
    return last;
}

void offer_store_horizon(const struct reckoning *reckoning, instant now, date bread_day,
                         const struct offer_stock *stock, size_t stock_count, date *first,
                         date *last)
{
    date other;
    date until = last_day(reckoning, now, bread_day, stock, stock_count);
    mixing_horizon(reckoning, first_day(reckoning, now), first, &other);
    mixing_horizon(reckoning, until, &other, last);
}

/* --- what mixes take --- */

/* The days being looked at, and the store. */
struct shop {
    const struct reckoning *reckoning; /* whose arena is used */
    const struct offer_store *store;
    date first;
    size_t days;
    date touched; /* the last day on which the added pieces are mixed */
};

static struct shop shop_of(const struct offer_case *offer, const struct reckoning *reckoning)
{
    const struct offer_world *world = offer->world;
    const struct offer_store *store = &world->store;
    date first = first_day(reckoning, world->now);
    date last = last_day(reckoning, world->now, offer->bread_day, store->stock, store->stock_count);
    return (struct shop){reckoning, store, first, (size_t)(last - first) + 1, first};
}

/* Until when more can come, or, when nobody knows, until the bread is mixed. */
static bool can_be_short(const struct shop *shop, const struct offer_stock *stock, date day)
{
    return stock->orderable ? day < stock->more_on : day <= shop->touched;
}

static bool uses_open(const struct shop *shop, struct offer_uses *uses)
{
    const struct catalogue *catalogue = shop->reckoning->catalogue;
    uses->lines = amount_memory(shop->reckoning, shop->days * catalogue->ingredient_count,
                                sizeof *uses->lines);
    uses->starters = amount_memory(shop->reckoning, shop->days * catalogue->starter_count,
                                   sizeof *uses->starters);
    return uses->lines && uses->starters;
}

/* The dough of a mix that is not posted yet. */
static fixed still_to_mix(const struct offer_store *store, size_t formula, date mixing_date,
                          fixed dough)
{
    for (size_t i = 0; i < store->posted_count; i++)
        if (store->posted[i].mixing_date == mixing_date && store->posted[i].formula == formula)
            dough -= fixed_from(store->posted[i].dough_mg, WEIGHT_PLACES);
    return dough > 0 ? dough : 0;
}

/* Adds what so much dough takes, or takes it off. */
static bool add_dough(const struct shop *shop, size_t formula, date mixing_date, fixed dough,
                      bool off, struct offer_uses *uses)
{
    const struct catalogue *catalogue = shop->reckoning->catalogue;
    const fixed *shares = amount_lines(shop->reckoning, formula);
    int64_t row = (int64_t)mixing_date - shop->first;
    if (row < 0 || row >= (int64_t)shop->days) return true;
    fixed left = still_to_mix(shop->store, formula, mixing_date, dough);
    fixed *lines = &uses->lines[(size_t)row * catalogue->ingredient_count];
    fixed *starters = &uses->starters[(size_t)row * catalogue->starter_count];
    for (size_t n = 0; shares && n < catalogue->formulas[formula].line_count; n++) {
        const struct line *line = &catalogue->formulas[formula].lines[n];
        fixed *sum = line->kind == LINE_INGREDIENT ? &lines[line->index] : &starters[line->index];
        if (line->kind == LINE_FORMULA) continue;
        if (!amount_add_scaled(shop->reckoning, sum, off ? -left : left, shares[n], SHARE_ONE))
            return false;
    }
    return shares != NULL;
}

/* What the orders as they are take. */
static bool uses_before(struct offer_case *offer)
{
    const struct offer_store *store = &offer->world->store;
    struct shop shop = shop_of(offer, &offer->before.reckoning);
    struct mixing_plan plan;
    if (offer->uses.lines) return true;
    if (!uses_open(&shop, &offer->uses) ||
        !mixing_plan_of(shop.reckoning, shop.first, store->demands, store->demand_count, &plan))
        return false;
    for (const struct planned_mix *mix = plan.mixes; mix; mix = mix->previous)
        if (!add_dough(&shop, mix->formula, mix->mixing_date, mix->dough, false, &offer->uses))
            return false;
    return true;
}

/* What the added pieces take more. */
static bool uses_added(const struct offer_case *offer, const struct offer_view *trial,
                       struct shop *shop, struct offer_uses *uses)
{
    const struct offer_view *views[] = {trial, &offer->before};
    if (!uses_open(shop, uses)) return false;
    for (size_t v = 0; v < 2; v++)
        for (size_t i = 0; i < views[v]->mix_count; i++) {
            const struct offer_mix *mix = &views[v]->mixes[i];
            const struct offer_mix *other = offer_view_mix(views[1 - v], mix->formula,
                                                           mix->mixing_date);
            if (other && other->dough == mix->dough) continue;
            if (v == 0 && mix->mixing_date > shop->touched) shop->touched = mix->mixing_date;
            if (!add_dough(shop, mix->formula, mix->mixing_date, mix->dough, v == 1, uses))
                return false;
        }
    return true;
}

/* --- what is short --- */

/* Sums until the end of a day: before, and with the added pieces. */
struct until {
    fixed before;
    fixed with;
};

static bool until_add(const struct shop *shop, struct until *until, fixed before, fixed added)
{
    return amount_add(shop->reckoning, &until->before, before) &&
           amount_add(shop->reckoning, &until->with, before) &&
           amount_add(shop->reckoning, &until->with, added);
}

static fixed beyond(fixed grams, fixed in_pot)
{
    return grams > in_pot ? grams - in_pot : 0;
}

/* Adds the flour of what is taken of a starter beyond what is in its pot. */
static bool add_flour(const struct offer_case *offer, const struct shop *shop, size_t starter,
                      size_t ingredient, const struct until *taken, struct until *need)
{
    fixed share = shop->reckoning->breakdowns->starters[starter][ingredient];
    fixed in_pot = fixed_from(offer->world->pots[starter].on_hand_mg, WEIGHT_PLACES);
    return amount_add_scaled(shop->reckoning, &need->before, beyond(taken->before, in_pot), share,
                             SHARE_ONE) &&
           amount_add_scaled(shop->reckoning, &need->with, beyond(taken->with, in_pot), share,
                             SHARE_ONE);
}

/* What is there and due by a day. */
static bool supply_until(const struct shop *shop, const struct offer_stock *stock, date day,
                         fixed *grams)
{
    const struct offer_store *store = shop->store;
    int64_t amount = stock->usable;
    for (size_t i = 0; i < store->awaited_count; i++)
        if (store->awaited[i].ingredient == stock->ingredient && store->awaited[i].due <= day &&
            !amount_add_whole(shop->reckoning, &amount, store->awaited[i].amount))
            return false;
    *grams = fixed_from(amount, WEIGHT_PLACES);
    return true;
}

/* What the added pieces lack until then, rounded up to a milligram. */
static bool lacking(const struct shop *shop, const struct until *need, fixed supply, int64_t *mg)
{
    fixed before = need->before > supply ? need->before : supply;
    fixed short_by = settled_grams(need->with) - settled_grams(before);
    fixed up;
    *mg = 0;
    if (short_by <= 0) return true;
    if (!fixed_muldiv(short_by, 1, fixed_from(1, WEIGHT_PLACES), ROUND_UP, &up) || up > INT64_MAX)
        return amount_too_large(shop->reckoning);
    *mg = (int64_t)up;
    return true;
}

/* One ingredient, day after day: the most that the added pieces lack. */
static bool most_lacking(const struct offer_case *offer, const struct shop *shop,
                         const struct offer_stock *stock, const struct offer_uses *added,
                         struct until *taken, int64_t *most)
{
    const struct catalogue *catalogue = shop->reckoning->catalogue;
    size_t starters = catalogue->starter_count;
    struct until lines = {0, 0};
    memset(taken, 0, starters * sizeof *taken);
    *most = 0;
    for (size_t d = 0; d < shop->days && can_be_short(shop, stock, shop->first + (date)d); d++) {
        size_t at = d * catalogue->ingredient_count + stock->ingredient;
        int64_t mg;
        fixed supply;
        if (!until_add(shop, &lines, offer->uses.lines[at], added->lines[at])) return false;
        struct until need = lines;
        for (size_t s = 0; s < starters; s++) {
            size_t of = d * starters + s;
            if (offer->world->pots[s].entries == 0) continue;
            if (!until_add(shop, &taken[s], offer->uses.starters[of], added->starters[of]) ||
                !add_flour(offer, shop, s, stock->ingredient, &taken[s], &need))
                return false;
        }
        if (!supply_until(shop, stock, shop->first + (date)d, &supply) ||
            !lacking(shop, &need, supply, &mg))
            return false;
        if (mg > *most) *most = mg;
    }
    return true;
}

bool offer_flour_short(struct offer_case *offer, struct offer_view *trial,
                       struct offer_reason *reason, bool *binds)
{
    const struct offer_store *store = &offer->world->store;
    struct offer_uses added;
    if (store->stock_count == 0) return true;
    struct shop shop = shop_of(offer, &trial->reckoning);
    struct until *taken = amount_memory(&trial->reckoning,
                                        trial->reckoning.catalogue->starter_count, sizeof *taken);
    if (!taken || !uses_before(offer) || !uses_added(offer, trial, &shop, &added)) return false;
    for (size_t i = 0; i < store->stock_count; i++) {
        int64_t mg;
        if (!most_lacking(offer, &shop, &store->stock[i], &added, taken, &mg)) return false;
        if (mg <= reason->short_mg) continue;
        *binds = true;
        reason->ingredient = store->stock[i].ingredient;
        reason->short_mg = mg;
    }
    return true;
}
