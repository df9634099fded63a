/* The facts of a day with some of them changed.
 *
 * Lists that a change touches are copied as a whole, and a changed formula with its lines; all else
 * is shared with the day, which is only read. Formulas are worked out anew when one of them
 * changed.
 */
#include "bakery/what_if.h"

#include "bakery/amount.h"
#include "bakery/catalogue.h"
#include "base/arena.h"
#include "base/fail.h"

#include <string.h>

/* Ten to the fifteenth millionths: what nobody pays for a pack. */
#define PACK_MOST INT64_C(1000000000000000)

static bool refuse(const struct changed_day *out, const struct change *change, const char *text)
{
    return fail_add(out->reckoning.fails, FAIL_INVALID, change->path, "%s", text);
}

/* --- copies --- */

static void *copy_of(const struct reckoning *reckoning, const void *items, size_t count,
                     size_t size)
{
    void *copy = amount_memory(reckoning, count, size);
    if (copy && count > 0) memcpy(copy, items, count * size);
    return copy;
}

/* Lists are small, so all that a change may touch are copied at once. */
static bool copy_day(const struct costing_day *day, struct changed_day *out)
{
    const struct reckoning *reckoning = day->reckoning;
    struct catalogue *catalogue = &out->catalogue;
    *catalogue = *reckoning->catalogue;
    catalogue->formulas = copy_of(reckoning, catalogue->formulas, catalogue->formula_count,
                                  sizeof *catalogue->formulas);
    catalogue->products = copy_of(reckoning, catalogue->products, catalogue->product_count,
                                  sizeof *catalogue->products);
    catalogue->prices = copy_of(reckoning, catalogue->prices, catalogue->ingredient_count,
                                sizeof *catalogue->prices);
    if (!catalogue->formulas || !catalogue->products || !catalogue->prices) return false;
    out->breakdowns = *reckoning->breakdowns;
    out->breakdowns.catalogue = catalogue;
    out->reckoning = *reckoning;
    out->reckoning.catalogue = catalogue;
    out->reckoning.breakdowns = &out->breakdowns;
    out->rates = *day->rates;
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
    struct price *price = &out->catalogue.prices[change->index];
    if (!price->known) return refuse(out, change, "is of an ingredient that has no price yet");
    return changed_amount(change, &price->micros) ||
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

/* --- products --- */

static bool change_dough(struct changed_day *out, const struct change *change)
{
    struct product *product = &out->catalogue.products[change->index];
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

static struct line *water_line(const struct catalogue *catalogue, struct formula *formula)
{
    for (size_t n = 0; n < formula->line_count; n++) {
        struct line *line = &formula->lines[n];
        if (line->kind == LINE_INGREDIENT && catalogue->ingredients[line->index].kind == KIND_WATER)
            return line;
    }
    return NULL;
}

/* By how much the water line must change, in its own percentages: those of a formula of basis total
 * are of all flour, those of basis final of the final mix's. */
static bool water_difference(const struct changed_day *out, const struct change *change,
                             int64_t hydration_pct, int64_t *difference)
{
    const struct breakdown *breakdown = &out->breakdowns.items[change->index];
    fixed result = (fixed)change->value - hydration_pct;
    if (out->catalogue.formulas[change->index].basis == BASIS_FINAL &&
        !fixed_muldiv(result, breakdown->flour, breakdown->final_base, ROUND_HALF_EVEN, &result))
        return false;
    if (result > PACK_MOST || result < -PACK_MOST) return false;
    *difference = (int64_t)result;
    return true;
}

/* Only what the change itself broke is found here: the stored formulas hold together. */
static bool work_out(struct changed_day *out, const struct change *change)
{
    struct catalogue_faults faults = {.arena = out->reckoning.arena};
    if (breakdown_all(out->reckoning.arena, &out->catalogue, &faults, &out->breakdowns))
        return true;
    if (faults.failed || faults.count == 0) return fail_memory(out->reckoning.fails);
    return refuse(out, change, faults.items[0].text);
}

static bool change_hydration(struct changed_day *out, const struct change *change)
{
    struct formula *formula = &out->catalogue.formulas[change->index];
    struct formula_view view;
    int64_t difference;
    formula->lines = copy_of(&out->reckoning, formula->lines, formula->line_count,
                             sizeof *formula->lines);
    if (!formula->lines) return false;
    if (!breakdown_view(out->reckoning.arena, &out->breakdowns, change->index, &view))
        return fail_memory(out->reckoning.fails);
    struct line *water = water_line(&out->catalogue, formula);
    if (!view.has_flour || !water)
        return refuse(out, change, "is of a formula without flour or without a line of water");
    if (!water_difference(out, change, view.hydration_pct, &difference))
        return amount_too_large(&out->reckoning);
    water->pct += difference;
    if (water->pct <= 0) return refuse(out, change, "is less water than its parts bring along");
    return work_out(out, change);
}

/* --- all --- */

static bool apply(struct changed_day *out, const struct change *change)
{
    switch (change->kind) {
    case CHANGE_INGREDIENT_PRICE:
        return change_price(out, change);
    case CHANGE_HAND_HOUR:
        return change_rate(out, change, &out->rates.hand_hour);
    case CHANGE_KWH:
        return change_rate(out, change, &out->rates.kwh);
    case CHANGE_OVERHEAD:
        return change_rate(out, change, &out->rates.overhead_month);
    case CHANGE_PART_WEIGHT:
        return change_dough(out, change);
    case CHANGE_HYDRATION:
        return change_hydration(out, change);
    case CHANGE_SPARE:
        out->catalogue.products[change->index].spare_pct = change->value;
        return true;
    case CHANGE_TARGET:
        return change_target(out, change);
    }
    return false;
}

bool what_if_apply(const struct costing_day *day, const struct change *changes, size_t count,
                   struct changed_day *out)
{
    bool ok = true;
    if (!copy_day(day, out)) return false;
    for (size_t i = 0; i < count; i++)
        ok = apply(out, &changes[i]) && ok;
    return ok;
}

/* --- the other way round --- */

/* Whether the product earns at least that margin with the pack at that price: (net - cost) / net >=
 * margin, in whole numbers. */
static bool earns(struct changed_day *changed, size_t product, size_t ingredient,
                  int64_t net_micros, int64_t margin_pct, int64_t pack_micros, bool *enough)
{
    struct product_costing *costing;
    size_t count;
    changed->catalogue.prices[ingredient].micros = pack_micros;
    if (!costing_of(&changed->day, product, &costing, &count)) return false;
    fixed earned = (fixed)(net_micros - costing->each_micros) * PERCENT_WHOLE;
    *enough = costing->known && earned >= (fixed)net_micros * margin_pct;
    return true;
}

/* Cost never falls when a price rises, so the largest price that still earns enough is found by
 * halving: low earns enough, high does not. */
static bool halve(struct changed_day *changed, size_t product, size_t ingredient, int64_t net,
                  int64_t margin_pct, int64_t low, int64_t high, int64_t *pack_micros)
{
    bool enough;
    while (high - low > 1) {
        int64_t middle = low + (high - low) / 2;
        if (!earns(changed, product, ingredient, net, margin_pct, middle, &enough)) return false;
        if (enough)
            low = middle;
        else
            high = middle;
    }
    *pack_micros = low;
    return true;
}

bool price_limit_of(const struct costing_day *day, size_t product, size_t ingredient,
                    int64_t net_micros, int64_t margin_pct, bool *exists, int64_t *pack_micros)
{
    struct changed_day changed;
    const struct reckoning *reckoning = day->reckoning;
    bool enough;
    *exists = false;
    if (!product_contains(reckoning, &reckoning->catalogue->products[product], ingredient) ||
        !reckoning->catalogue->prices[ingredient].known)
        return true;
    if (!copy_day(day, &changed) ||
        !earns(&changed, product, ingredient, net_micros, margin_pct, 0, &enough))
        return false;
    if (!enough) return true;
    int64_t high = 1000000;
    while (enough && high < PACK_MOST) {
        high *= 10;
        if (!earns(&changed, product, ingredient, net_micros, margin_pct, high, &enough))
            return false;
    }
    *exists = !enough;
    return enough ||
           halve(&changed, product, ingredient, net_micros, margin_pct, 0, high, pack_micros);
}
