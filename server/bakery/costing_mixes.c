/* Who takes how much of which mix.
 *
 * Which dates. As in the horizon of the mixing list, but downwards: let early(f) be the earliest
 * working day on which a mix of f for the bread day can begin. A mix begins within the working day
 * of the earliest dough in it, so what it takes is ready no earlier than the begin of early(f), and
 * begins its own minutes before that. Of the mixes between the first and the last of these days
 * mixing_horizon() knows the orders, and its bounds only grow with the day.
 *
 * A product's part of a mix is the grams that go into its bread, straight or within other mixes. A
 * mix divides what it takes among those that it is for by the grams they have of itself.
 */
#include "bakery/costing_run.h"

#include "base/fail.h"

enum { SECONDS_PER_MINUTE = 60 };

/* --- dates --- */

static instant begins_before(const struct reckoning *reckoning, size_t formula, instant ready)
{
    int64_t minutes = formula_minutes(&reckoning->catalogue->formulas[formula]);
    return ready - SECONDS_PER_MINUTE * minutes;
}

/* The latest instant of a bread day at which anything can be wanted: also a time that the clock
 * skips. */
static instant day_ends(const struct reckoning *reckoning, date bread_day)
{
    instant next = zone_instant(reckoning->zone, bread_day + 1, 0);
    instant last = zone_instant(reckoning->zone, bread_day, MINUTES_PER_DAY - 1);
    return last > next ? last : next;
}

static void ask_earlier(const struct reckoning *reckoning, size_t formula, instant ready,
                        date *early)
{
    date day = working_day(reckoning, begins_before(reckoning, formula, ready));
    if (day < early[formula]) early[formula] = day;
}

static void ask_doughs(const struct reckoning *reckoning, date bread_day, date *early, date *last)
{
    const struct catalogue *catalogue = reckoning->catalogue;
    instant begin = zone_instant(reckoning->zone, bread_day, 0);
    instant end = day_ends(reckoning, bread_day);
    for (size_t i = 0; i < catalogue->product_count; i++) {
        const struct product *product = &catalogue->products[i];
        for (size_t k = 0; k < product->part_count; k++) {
            size_t formula = product->parts[k].index;
            if (product->parts[k].kind != LINE_FORMULA || formula == NOT_FOUND) continue;
            ask_earlier(reckoning, formula, begin, early);
            date day = working_day(reckoning, begins_before(reckoning, formula, end));
            if (day > *last) *last = day;
        }
    }
}

/* What a formula's mix takes must be ready when it begins. */
static void ask_parts(const struct reckoning *reckoning, size_t index, date *early, date *first)
{
    const struct formula *formula = &reckoning->catalogue->formulas[index];
    if (early[index] == INT32_MAX) return;
    if (early[index] < *first) *first = early[index];
    instant begin = day_begins(reckoning, early[index]);
    for (size_t n = 0; n < formula->line_count; n++)
        if (formula->lines[n].kind == LINE_FORMULA && formula->lines[n].index != NOT_FOUND)
            ask_earlier(reckoning, formula->lines[n].index, begin, early);
}

bool costing_mixing_dates(const struct reckoning *reckoning, date bread_day, date *first,
                          date *last)
{
    size_t count = reckoning->catalogue->formula_count;
    date *early = amount_memory(reckoning, count, sizeof *early);
    *first = *last = bread_day;
    if (!early) return false;
    for (size_t i = 0; i < count; i++)
        early[i] = INT32_MAX;
    *last = INT32_MIN;
    ask_doughs(reckoning, bread_day, early, last);
    for (size_t i = count; i > 0; i--)
        ask_parts(reckoning, reckoning->breakdowns->order[i - 1], early, first);
    if (*last == INT32_MIN) *last = bread_day;
    return true;
}

void costing_horizon(const struct reckoning *reckoning, date bread_day, date *first, date *last)
{
    date from;
    date to;
    date other;
    *first = *last = bread_day;
    if (!costing_mixing_dates(reckoning, bread_day, &from, &to)) return;
    mixing_horizon(reckoning, from, first, &other);
    mixing_horizon(reckoning, to, &other, last);
    if (bread_day < *first) *first = bread_day;
    if (bread_day > *last) *last = bread_day;
}

/* --- mixes and their uses --- */

static bool collect_mixes(struct costing_mixes *mixes)
{
    for (const struct planned_mix *m = mixes->plan.mixes; m; m = m->previous)
        mixes->count++;
    mixes->items = amount_memory(mixes->plan.reckoning, mixes->count, sizeof *mixes->items);
    if (!mixes->items) return false;
    size_t n = mixes->count;
    for (const struct planned_mix *m = mixes->plan.mixes; m; m = m->previous)
        mixes->items[--n].planned = m;
    return true;
}

/* Mixes of one formula stand together, in the order of users first: `first` tells where. */
static size_t *first_of_formulas(const struct costing_mixes *mixes)
{
    const struct reckoning *reckoning = mixes->plan.reckoning;
    size_t *first = amount_memory(reckoning, reckoning->catalogue->formula_count, sizeof *first);
    for (size_t i = mixes->count; first && i > 0; i--)
        first[mixes->items[i - 1].planned->formula] = i - 1;
    return first;
}

static bool add_use(struct costing_mixes *mixes, const size_t *first, const struct wanted *wanted,
                    size_t user)
{
    struct costing_use *use = &mixes->uses[mixes->use_count++];
    *use = (struct costing_use){wanted->baking, user, NOT_FOUND, wanted->grams};
    if (!wanted->mix) return true;
    use->mix = first[wanted->mix->formula];
    while (mixes->items[use->mix].planned != wanted->mix)
        use->mix++;
    return amount_add(mixes->plan.reckoning, &mixes->items[use->mix].asked, wanted->grams);
}

static bool collect_uses(struct costing_mixes *mixes)
{
    const struct reckoning *reckoning = mixes->plan.reckoning;
    size_t most = 0;
    for (size_t f = 0; f < reckoning->catalogue->formula_count; f++)
        most += mixes->plan.wanted_count[f];
    size_t *first = first_of_formulas(mixes);
    mixes->uses = amount_memory(reckoning, most, sizeof *mixes->uses);
    if (!first || !mixes->uses) return false;
    for (const struct wanted *w = mixes->plan.of_products; w; w = w->sibling)
        if (!add_use(mixes, first, w, NOT_FOUND)) return false;
    for (size_t i = 0; i < mixes->count; i++)
        for (const struct wanted *w = mixes->items[i].planned->parts; w; w = w->sibling)
            if (!add_use(mixes, first, w, i)) return false;
    return true;
}

bool costing_mixes_of(const struct costing_day *day, struct costing_mixes *out)
{
    date first;
    date last;
    *out = (struct costing_mixes){.count = 0};
    return costing_mixing_dates(day->reckoning, day->bread_day, &first, &last) &&
           mixing_plan_of(day->reckoning, first, day->demands, day->demand_count, &out->plan) &&
           collect_mixes(out) && collect_uses(out);
}

/* --- shares --- */

/* What a use has for the product of that day. */
static bool grams_of_use(const struct costing_mixes *mixes, const struct costing_use *use,
                         date bread_day, size_t product, const fixed *weights, fixed *grams)
{
    *grams = 0;
    if (use->user != NOT_FOUND)
        return weights[use->user] == 0 ||
               amount_scaled(mixes->plan.reckoning, use->grams, weights[use->user],
                             mixes->items[use->user].asked, grams);
    const struct baking *baking = &mixes->plan.bakings[use->baking];
    if (baking->bread_day == bread_day && baking->product == product) *grams = use->grams;
    return true;
}

bool costing_weights(const struct costing_mixes *mixes, date bread_day, size_t product,
                     fixed *weights)
{
    const struct reckoning *reckoning = mixes->plan.reckoning;
    for (size_t i = 0; i < mixes->count; i++)
        weights[i] = 0;
    for (size_t i = 0; i < mixes->use_count; i++) {
        const struct costing_use *use = &mixes->uses[i];
        fixed grams;
        if (!grams_of_use(mixes, use, bread_day, product, weights, &grams)) return false;
        if (grams == 0) continue;
        if (use->mix == NOT_FOUND)
            return fail_add(reckoning->fails, FAIL_INTERNAL, "",
                            "a mix begins before the dates that were reckoned with");
        if (!amount_add(reckoning, &weights[use->mix], grams)) return false;
    }
    return true;
}

bool costing_divide(const struct costing_mixes *mixes, struct costing_mix *mix)
{
    struct mix divided = {.formula = mix->planned->formula};
    if (mix->batches > 0) return true;
    if (!mix_divide(mixes->plan.reckoning, &divided, mix->planned->dough)) return false;
    mix->batches = divided.batches;
    mix->mixer = divided.mixer;
    return true;
}
