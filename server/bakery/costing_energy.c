/* Energy of a piece: mixers by batch, decks by load, and their preheating.
 *
 * Loads go into the oven whose decks take most. As many of its decks are heated as there are loads
 * of the day for them, and the heating is shared by the minutes that loads are in the decks.
 */
#include "bakery/costing_run.h"

enum { MINUTES_PER_HOUR = 60 };

/* Sets a leaf's energy and cost: watt-minutes x part / whole, for one of the ordered pieces. */
static bool set_energy(const struct costing_item *item, struct why *leaf, int64_t watt_minutes,
                       fixed part, fixed whole)
{
    const struct reckoning *reckoning = item->run->reckoning;
    const struct rates *rates = &item->run->rates;
    fixed hours; /* watt-hours */
    fixed among;
    fixed money;
    if (!amount_scaled(reckoning, item->out->ordered, MINUTES_PER_HOUR, 1, &among) ||
        !amount_scaled(reckoning, fixed_from(watt_minutes, 0), part, whole, &hours) ||
        !amount_scaled(reckoning, hours, 1, among, &hours) ||
        !amount_scaled(reckoning, hours, rates->kwh.micros, (fixed)1000 * 1000000, &money))
        return false;
    leaf->unit = WHY_WATT_HOURS;
    leaf->rate = (struct why_rate){true, rates->kwh.micros, WHY_WATT_HOURS, 1000000, rates->from};
    return (fixed_to(hours, 3, &leaf->quantity) || amount_too_large(reckoning)) &&
           costing_set_money(item, leaf, money);
}

static bool watt_minutes(const struct costing_item *item, int64_t power, int64_t minutes,
                         int64_t times, int64_t *out)
{
    const struct reckoning *reckoning = item->run->reckoning;
    return amount_multiply_whole(reckoning, power, minutes, out) &&
           amount_multiply_whole(reckoning, *out, times, out);
}

/* A leaf whose power is not known. */
static bool no_power(struct costing_item *item, struct why *leaf, const char *kind,
                     const char *code)
{
    leaf->source = "/api/v1/bakery";
    return costing_missing(item, leaf, leaf->source,
                           costing_text(item->run, "power of the %s %s", kind, code));
}

/* --- mixers --- */

/* When no stage says what it uses, the first is in the mixer. */
static bool is_mixed(const struct formula *formula, size_t stage)
{
    for (size_t n = 0; n < formula->stage_count; n++)
        if (formula->stages[n].uses != USES_NOTHING)
            return formula->stages[stage].uses == USES_MIXER;
    return stage == 0;
}

static bool mixer_stage(struct costing_item *item, struct why *parent,
                        const struct costing_mix *mix, const struct stage *stage, fixed part)
{
    const struct mixer *mixer = mix->mixer;
    int64_t work;
    const char *what = costing_text(item->run, "%s: %lld minutes a batch in the mixer %s",
                                    stage->name, (long long)stage->minutes, mixer->code);
    if (!what) return false;
    struct why *leaf = why_add(item->run->reckoning, parent, what, item->run->rates_path);
    if (!leaf) return false;
    if (mixer->power_w == 0) return no_power(item, leaf, "mixer", mixer->code);
    return watt_minutes(item, mixer->power_w, stage->minutes, mix->batches, &work) &&
           set_energy(item, leaf, work, part, mix->asked);
}

static bool mix_energy(struct costing_item *item, struct why *node, const struct costing_mix *mix,
                       fixed part)
{
    const struct formula *formula =
        &item->run->reckoning->catalogue->formulas[mix->planned->formula];
    struct why *of_mix = NULL;
    for (size_t n = 0; mix->mixer && n < formula->stage_count; n++) {
        const struct stage *stage = &formula->stages[n];
        if (!is_mixed(formula, n) || stage->minutes == 0) continue;
        if (!of_mix) {
            const char *path = costing_formula_path(item->run, mix->planned->formula);
            const char *what = costing_mix_words(item, mix, part);
            if (!path || !what) return false;
            of_mix = why_add(item->run->reckoning, node, what, path);
        }
        if (!of_mix || !mixer_stage(item, of_mix, mix, stage, part)) return false;
    }
    return true;
}

/* --- the oven --- */

static bool add_baking(struct costing_item *item, struct why *node)
{
    const struct costing_loads *loads = &item->loads;
    int64_t work;
    const char *what = costing_text(item->run, "baked in %lld %s of %lld minutes in the oven %s",
                                    (long long)loads->loads, loads->loads == 1 ? "load" : "loads",
                                    (long long)loads->minutes, loads->oven->code);
    if (!what) return false;
    struct why *leaf = why_add(item->run->reckoning, node, what, item->run->rates_path);
    return leaf && watt_minutes(item, loads->oven->power_w, loads->minutes, loads->loads, &work) &&
           set_energy(item, leaf, work, 1, 1);
}

/* The decks are hot once a day, for all that is baked in them. */
static bool add_preheating(struct costing_item *item, struct why *node)
{
    const struct costing_loads *loads = &item->loads;
    const struct oven *oven = loads->oven;
    int64_t decks = item->run->loads < oven->decks ? item->run->loads : oven->decks;
    int64_t own;
    int64_t work;
    if (oven->preheat_minutes == 0) return true;
    const char *what = costing_text(item->run, "heating %lld %s for %lld minutes", (long long)decks,
                                    decks == 1 ? "deck" : "decks",
                                    (long long)oven->preheat_minutes);
    if (!what) return false;
    struct why *leaf = why_add(item->run->reckoning, node, what, item->run->rates_path);
    return leaf &&
           amount_multiply_whole(item->run->reckoning, loads->loads, loads->minutes, &own) &&
           watt_minutes(item, oven->power_w, oven->preheat_minutes, decks, &work) &&
           set_energy(item, leaf, work, own, item->run->load_minutes) &&
           amount_add_whole(item->run->reckoning, &item->fixed_micros, leaf->value);
}

/* What must be known before baking can be reckoned. *whole tells whether it is. */
static bool oven_holes(struct costing_item *item, struct why *node, bool *whole)
{
    const struct reckoning *reckoning = item->run->reckoning;
    const struct oven *oven = item->loads.oven;
    *whole = item->loads.capacity > 0 && oven->power_w > 0;
    if (item->loads.capacity == 0) {
        struct why *leaf = why_add(reckoning, node, "loads in the oven", item->path);
        if (!leaf ||
            !costing_missing(item, leaf, item->path,
                             costing_text(item->run, "pieces of %s on one place of the oven",
                                          item->product->name)))
            return false;
    }
    if (oven->power_w > 0) return true;
    struct why *leaf = why_add(reckoning, node, "baking", NULL);
    return leaf && no_power(item, leaf, "oven", oven->code);
}

static bool oven_energy(struct costing_item *item, struct why *node)
{
    bool whole;
    if (!item->loads.oven || item->loads.minutes == 0) return true;
    const char *path = "/api/v1/bakery";
    struct why *of_oven = why_add(item->run->reckoning, node, "baking", path);
    if (!of_oven || !oven_holes(item, of_oven, &whole)) return false;
    return !whole || (add_baking(item, of_oven) && add_preheating(item, of_oven));
}

bool costing_energy(struct costing_item *item, struct why *node)
{
    struct costing_mixes *mixes = &item->run->mixes;
    for (size_t i = 0; i < mixes->count; i++) {
        if (item->weights[i] == 0) continue;
        if (!costing_divide(mixes, &mixes->items[i]) ||
            !mix_energy(item, node, &mixes->items[i], item->weights[i]))
            return false;
    }
    return oven_energy(item, node);
}
