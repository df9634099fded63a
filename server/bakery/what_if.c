/* The facts of a day with some of them changed.
 *
 * Lists that a change may touch are copied as a whole, and a changed formula with its lines, a
 * changed product with its parts; all else is shared with the day, which is only read. Formulas are
 * worked out anew when the hydration of one of them changed.
 *
 * Hydrations are changed last, parts before what takes them, whatever the order of the changes: the
 * water of a dough answers to the preferments that it will have.
 */
#include "bakery/what_if.h"

#include "bakery/amount.h"
#include "bakery/catalogue.h"
#include "bakery/prices.h"
#include "base/arena.h"
#include "base/fail.h"

#include <string.h>

/* Ten to the fifteenth millionths: what nobody pays for a pack. */
#define PACK_MOST INT64_C(1000000000000000)
/* The first price that is tried for a pack: less than any is likely to be. */
#define PACK_FIRST INT64_C(1000)

static bool refuse(const struct changed_day *out, const struct change *change, const char *text)
{
    return fail_add(out->reckoning.fails, FAIL_INVALID, change->path, "%s", text);
}

/* --- copies --- */

/* NULL when memory is short, which is told. */
static void *copy_of(const struct reckoning *reckoning, const void *items, size_t count,
                     size_t size)
{
    void *copy = amount_memory(reckoning, count, size);
    if (copy && count > 0) memcpy(copy, items, count * size);
    return copy;
}

/* A day without prices stays without. */
static bool copy_lists(const struct reckoning *reckoning, struct catalogue *catalogue)
{
    catalogue->formulas = copy_of(reckoning, catalogue->formulas, catalogue->formula_count,
                                  sizeof *catalogue->formulas);
    catalogue->products = copy_of(reckoning, catalogue->products, catalogue->product_count,
                                  sizeof *catalogue->products);
    if (!catalogue->formulas || !catalogue->products) return false;
    if (!catalogue->prices) return true;
    catalogue->prices = copy_of(reckoning, catalogue->prices, catalogue->ingredient_count,
                                sizeof *catalogue->prices);
    return catalogue->prices != NULL;
}

/* Rates that nobody entered say nothing, and would be of that day. */
static void copy_rates(const struct costing_day *day, struct rates *rates)
{
    *rates = (struct rates){.from = day->bread_day};
    if (day->rates && day->rates->known) *rates = *day->rates;
}

static bool copy_day(const struct costing_day *day, struct changed_day *out)
{
    const struct reckoning *reckoning = day->reckoning;
    out->catalogue = *reckoning->catalogue;
    if (!copy_lists(reckoning, &out->catalogue)) return false;
    out->breakdowns = *reckoning->breakdowns;
    out->breakdowns.catalogue = &out->catalogue;
    out->reckoning = *reckoning;
    out->reckoning.catalogue = &out->catalogue;
    out->reckoning.breakdowns = &out->breakdowns;
    copy_rates(day, &out->rates);
    out->day = *day;
    out->day.reckoning = &out->reckoning;
    out->day.rates = &out->rates;
    return true;
}

/* --- money --- */

/* An amount after a change. False when it would be below zero or does not fit. */
static bool changed_amount(const struct change *change, int64_t *micros)
{
    fixed result = change->value;
    if (change->by == BY_ADD) result = (fixed)*micros + change->value;
    if (change->by == BY_PCT && !fixed_muldiv(*micros, (fixed)PERCENT_WHOLE + change->value,
                                              PERCENT_WHOLE, ROUND_HALF_EVEN, &result))
        return false;
    if (result < 0 || result > PACK_MOST) return false;
    *micros = (int64_t)result;
    return true;
}

static bool change_price(struct changed_day *out, const struct change *change)
{
    if (!price_of(&out->reckoning, change->index))

        return refuse(out, change, "is of an ingredient that has no price yet");
    return changed_amount(change, &out->catalogue.prices[change->index].micros) ||
           refuse(out, change, "would bring the price below zero or out of all range");
}

/* What was not known becomes known by a value, and stays unknown by anything else. */
static bool change_rate(struct changed_day *out, const struct change *change, struct money *rate)
{
    if (!rate->known && change->by != BY_VALUE)
        return refuse(out, change, "is of a rate that was not entered yet");
    if (!changed_amount(change, &rate->micros))
        return refuse(out, change, "would bring the rate below zero or out of all range");
    rate->known = out->rates.known = true;
    return true;
}

/* A sum that is spread over nothing would change no cost. */
static bool change_overhead(struct changed_day *out, const struct change *change)
{
    if (out->rates.overhead_base <= 0)
        return refuse(out, change, "is of an overhead without anything to spread it over");
    return change_rate(out, change, &out->rates.overhead_month);
}

/* --- products --- */

static bool change_dough(struct changed_day *out, const struct change *change)
{
    struct product *product = &out->catalogue.products[change->index];
    if (change->value <= 0) return refuse(out, change, "is a weight of nothing");
    struct part *parts = copy_of(&out->reckoning, product->parts, product->part_count,
                                 sizeof *parts);
    if (!parts) return false;
    product->parts = parts;
    for (size_t k = 0; k < product->part_count; k++) {
        if (parts[k].kind != LINE_FORMULA) continue;
        parts[k].mg = change->value;
        return true;
    }
    return refuse(out, change, "is of a product without any dough");
}

static bool change_spare(struct changed_day *out, const struct change *change)
{
    if (change->value < 0) return refuse(out, change, "is less than no spare");
    out->catalogue.products[change->index].spare_pct = change->value;
    return true;
}

static bool change_target(struct changed_day *out, const struct change *change)
{
    for (size_t p = 0; p < out->catalogue.product_count; p++) {
        if (change->index != NOT_FOUND && change->index != p) continue;
        out->catalogue.products[p].target = change->target;
        out->catalogue.products[p].target_pct = change->value;
    }
    return true;
}

/* --- hydration --- */

/* The formulas while their hydrations are changed, one after the other. */
struct wetting {
    struct changed_day *out;
    const struct change **broke; /* per formula: the change after which it held no longer */
    struct arena *arena;         /* of what follows: made anew for every look */
    struct breakdowns now;
    struct catalogue_faults faults;
};

/* Works the formulas out as they are now, after a change (NULL: before any). False when memory is
 * short. */
static bool look(struct wetting *w, const struct change *after)
{
    arena_free(w->arena);
    w->arena = arena_new(0);
    w->faults = (struct catalogue_faults){.arena = w->arena};
    if (!w->arena ||
        (!breakdown_all(w->arena, &w->out->catalogue, &w->faults, &w->now) && w->faults.failed))
        return fail_memory(w->out->reckoning.fails);
    for (size_t i = 0; i < w->faults.count; i++) {
        const struct catalogue_fault *fault = &w->faults.items[i];
        if (fault->where == FAULT_FORMULA && !w->broke[fault->index])
            w->broke[fault->index] = after;
    }
    return true;
}

/* Water and flour of a formula, and the flour that the percentages of its lines are of. */
struct wetness {
    fixed water, flour, base;
};

/* With basis total the ingredient lines tell all, even while the parts do not fit in. */
static bool wetness_by_lines(const struct catalogue *catalogue, const struct formula *formula,
                             struct wetness *out)
{
    const fixed fine = 1000000000000; /* decimals for the water in other ingredients */
    *out = (struct wetness){.flour = PERCENT_WHOLE * fine, .base = PERCENT_WHOLE * fine};
    for (size_t n = 0; n < formula->line_count; n++) {
        const struct line *line = &formula->lines[n];
        fixed water;
        if (line->kind != LINE_INGREDIENT) continue;
        if (!breakdown_water(&catalogue->ingredients[line->index], line->pct * fine, &water))
            return false;
        out->water += water;
    }
    return true;
}

static bool wetness_of_dough(const struct catalogue *catalogue, const struct breakdown *dough,
                             struct wetness *out)
{
    *out = (struct wetness){.flour = dough->flour, .base = dough->final_base};
    for (size_t i = 0; i < catalogue->ingredient_count; i++) {
        fixed water;
        if (!breakdown_water(&catalogue->ingredients[i], dough->ingredients[i], &water))
            return false;
        out->water += water;
    }
    return true;
}

/* What the water line must become, in its own percentages. */
static bool wet_line(const struct wetness *wetness, int64_t hydration_pct, int64_t *pct)
{
    const fixed whole = PERCENT_WHOLE;
    fixed water, more;
    if (!fixed_muldiv(hydration_pct, wetness->flour, whole, ROUND_HALF_EVEN, &water) ||
        !fixed_muldiv(water - wetness->water, whole, wetness->base, ROUND_HALF_EVEN, &more))
        return false;
    more += *pct;
    if (more > PACK_MOST || more < -PACK_MOST) return false;
    *pct = (int64_t)more;
    return true;
}

static struct line *water_line(const struct catalogue *catalogue, struct formula *formula)
{
    for (size_t n = 0; n < formula->line_count; n++) {
        struct line *line = &formula->lines[n];
        if (line->kind == LINE_INGREDIENT && catalogue->ingredients[line->index].kind == KIND_WATER)
            return line;
    }
    return NULL;
}

/* A formula that takes one that does not hold cannot be told; the fault of that one is. */
static bool change_hydration(struct wetting *w, const struct change *change)
{
    struct changed_day *out = w->out;
    struct formula *formula = &out->catalogue.formulas[change->index];
    const struct breakdown *dough = &w->now.items[change->index];
    struct wetness wetness;
    struct line *lines = copy_of(&out->reckoning, formula->lines, formula->line_count,
                                 sizeof *lines);
    if (!lines) return false;
    formula->lines = lines;
    bool total = formula->basis == BASIS_TOTAL;
    if (!total && !dough->lines) return true;
    struct line *water = water_line(&out->catalogue, formula);
    if (!water || (!total && dough->flour == 0))
        return refuse(out, change, "is of a formula without flour or without a line of water");
    bool fits = total ? wetness_by_lines(&out->catalogue, formula, &wetness)
                      : wetness_of_dough(&out->catalogue, dough, &wetness);
    int64_t percent = water->pct;
    if (!fits || !wet_line(&wetness, change->value, &percent))
        return amount_too_large(&out->reckoning);
    if (percent < 0) return refuse(out, change, "is less water than its parts bring along");
    water->pct = percent;
    return true;
}

/* Only what a change broke is found: the stored formulas hold together. */
static bool tell_broken(const struct wetting *w)
{
    const struct changed_day *out = w->out;
    for (size_t i = 0; i < w->faults.count; i++) {
        const struct catalogue_fault *fault = &w->faults.items[i];
        const struct change *change = fault->where == FAULT_FORMULA ? w->broke[fault->index] : NULL;
        fail_add(out->reckoning.fails, FAIL_INVALID, change ? change->path : "",
                 "breaks the formula %s: %s",
                 change ? out->catalogue.formulas[fault->index].name : "", fault->text);
    }
    return w->faults.count == 0;
}

/* The change of a formula's hydration; of several the last. */
static const struct change *hydration_of(const struct change *changes, size_t count, size_t formula)
{
    for (size_t i = count; i > 0; i--)
        if (changes[i - 1].kind == CHANGE_HYDRATION && changes[i - 1].index == formula)
            return &changes[i - 1];
    return NULL;
}

static bool wet_in_order(struct wetting *w, const struct change *changes, size_t count)
{
    const struct catalogue *catalogue = &w->out->catalogue;
    bool ok = true;
    if (!look(w, NULL)) return false;
    for (size_t i = 0; i < catalogue->formula_count; i++) {
        const struct change *change = hydration_of(changes, count, w->out->breakdowns.order[i]);
        if (!change) continue;
        ok = change_hydration(w, change) && ok;
        if (!look(w, change)) return false;
    }
    return tell_broken(w) && ok;
}

static bool change_hydrations(struct changed_day *out, const struct change *changes, size_t count)
{
    struct wetting w = {.out = out};
    struct catalogue_faults faults = {.arena = out->reckoning.arena};
    w.broke = amount_memory(&out->reckoning, out->catalogue.formula_count, sizeof *w.broke);
    bool ok = w.broke && wet_in_order(&w, changes, count);
    arena_free(w.arena);
    if (!ok) return false;
    return breakdown_all(out->reckoning.arena, &out->catalogue, &faults, &out->breakdowns) ||
           fail_memory(out->reckoning.fails);
}

/* --- all --- */

/* Whether what a change is of is there. What was asked for by a code that is not found is told
 * where the code is read; here it must only never be followed. */
static bool is_there(const struct changed_day *out, const struct change *change)
{
    switch (change->kind) {
    case CHANGE_INGREDIENT_PRICE:
        return change->index < out->catalogue.ingredient_count;
    case CHANGE_PART_WEIGHT:
    case CHANGE_SPARE:
        return change->index < out->catalogue.product_count;
    case CHANGE_HYDRATION:
        return change->index < out->catalogue.formula_count;
    case CHANGE_TARGET:
        return change->index == NOT_FOUND || change->index < out->catalogue.product_count;
    default:
        return true;
    }
}

/* Hydrations wait until all else is changed. */
static bool apply(struct changed_day *out, const struct change *change, bool *wet)
{
    if (!is_there(out, change)) return refuse(out, change, "is of something that is not there");
    switch (change->kind) {
    case CHANGE_INGREDIENT_PRICE:
        return change_price(out, change);
    case CHANGE_HAND_HOUR:
        return change_rate(out, change, &out->rates.hand_hour);
    case CHANGE_KWH:
        return change_rate(out, change, &out->rates.kwh);
    case CHANGE_OVERHEAD:
        return change_overhead(out, change);
    case CHANGE_PART_WEIGHT:
        return change_dough(out, change);
    case CHANGE_HYDRATION:
        return *wet = true;
    case CHANGE_SPARE:
        return change_spare(out, change);
    case CHANGE_TARGET:
        return change_target(out, change);
    }
    return refuse(out, change, "is of no known kind");
}

bool what_if_apply(const struct costing_day *day, const struct change *changes, size_t count,
                   struct changed_day *out)
{
    bool ok = true, wet = false;
    if (!copy_day(day, out)) return false;
    for (size_t i = 0; i < count; i++)
        ok = apply(out, &changes[i], &wet) && ok;
    if (!wet) return ok;
    return change_hydrations(out, changes, count) && ok;
}

/* --- the other way round --- */

struct limit_search {
    struct changed_day changed;
    size_t product, ingredient;
    int64_t net_micros, margin_pct;
};

/* Whether the product earns at least that margin with the pack at that price: (net - cost) / net >=
 * margin, in whole numbers. A cost with a hole never does. Every costing gets memory of its own and
 * gives it back, for there are dozens of them. */
static bool earns(struct limit_search *search, int64_t pack_micros, bool *enough)
{
    struct changed_day *changed = &search->changed;
    struct product_costing *costing;
    size_t count;
    struct arena *kept = changed->reckoning.arena;
    struct arena *arena = changed->reckoning.arena = arena_new(0);
    changed->catalogue.prices[search->ingredient].micros = pack_micros;
    bool ok = arena ? costing_of(&changed->day, search->product, &costing, &count)
                    : fail_memory(changed->reckoning.fails);
    *enough = false;
    if (ok && count > 0 && costing->known) {
        fixed earned = ((fixed)search->net_micros - costing->each_micros) * PERCENT_WHOLE;
        *enough = earned >= (fixed)search->net_micros * search->margin_pct;
    }
    arena_free(arena);
    changed->reckoning.arena = kept;
    return ok;
}

/* Cost never falls when a price rises, so the largest price that still earns enough is found by
 * halving: low earns enough, high does not. */
static bool halve(struct limit_search *search, int64_t low, int64_t high, int64_t *pack_micros)
{
    bool enough;
    while (high - low > 1) {
        int64_t middle = low + (high - low) / 2;
        if (!earns(search, middle, &enough)) return false;
        if (enough)
            low = middle;
        else
            high = middle;
    }
    *pack_micros = low;
    return true;
}

/* Prices are tried tenfold, so that no cost is reckoned that is far beyond the price of the piece.
 */
static bool search_limit(struct limit_search *search, bool *exists, int64_t *pack_micros)
{
    int64_t low = 0, high = PACK_FIRST;
    bool enough;
    if (!earns(search, 0, &enough)) return false;
    if (!enough) return true;
    while (earns(search, high, &enough)) {
        *exists = !enough;
        if (*exists) return halve(search, low, high, pack_micros);
        if (high >= PACK_MOST) return true;
        low = high;
        high *= 10;
    }
    return false;
}

bool price_limit_of(const struct costing_day *day, size_t product, size_t ingredient,
                    int64_t net_micros, int64_t margin_pct, bool *exists, int64_t *pack_micros)
{
    const struct reckoning *reckoning = day->reckoning;
    const struct catalogue *catalogue = reckoning->catalogue;
    struct limit_search search = {.product = product,
                                  .ingredient = ingredient,
                                  .net_micros = net_micros,
                                  .margin_pct = margin_pct};
    *exists = false;
    if (product >= catalogue->product_count || ingredient >= catalogue->ingredient_count ||
        net_micros <= 0 || !price_of(reckoning, ingredient) ||
        !product_contains(reckoning, &catalogue->products[product], ingredient))
        return true;
    return copy_day(day, &search.changed) && search_limit(&search, exists, pack_micros);
}
