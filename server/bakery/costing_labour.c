/* Labour of a piece: the minutes of every stage of every mix that it has a part in.
 *
 * What is counted by mix or batch is divided among all that is made of the mix, by weight; what is
 * counted by piece or load is the product's own, and falls on its mixes of that dough by weight.
 * Where no load is known, what comes of a batch is one load. A bread of two doughs is baked once:
 * its loads count with the dough that is baked (costing_loads.h).
 */
#include "bakery/costing_run.h"

enum { MINUTES_PER_HOUR = 60, MINUTE_UNITS = 10000 };

/* A stage of a mix. */
struct stage_labour {
    const struct costing_mix *mix;
    const struct stage *stage;
    fixed part;          /* the product's grams of the mix */
    fixed of_formula;    /* and of all mixes of its formula */
    enum labour_per per; /* as it counts here; LABOUR_USUAL: not at all */
    int64_t unit;        /* labour of one, MINUTE_PLACES */
    int64_t times;
};

static bool is_part(const struct product *product, size_t formula)
{
    for (size_t k = 0; k < product->part_count; k++)
        if (product->parts[k].kind == LINE_FORMULA && product->parts[k].index == formula)
            return true;
    return false;
}

/* How a stage that counts by load counts for this product. */
static enum labour_per load_counts(const struct costing_item *item, size_t formula)
{
    const struct formula *f = &item->run->reckoning->catalogue->formulas[formula];
    if (item->loads.loads == 0 || !is_part(item->product, formula)) return LABOUR_PER_BATCH;
    bool elsewhere = item->loads.formula != NOT_FOUND && item->loads.formula != formula &&
                     costing_oven_stage(f) < f->stage_count;
    return elsewhere ? LABOUR_USUAL : LABOUR_PER_LOAD;
}

static bool usual_minutes(const struct reckoning *reckoning, const struct stage *stage,
                          int64_t *unit)
{
    return amount_multiply_whole(reckoning, stage->minutes, stage->hands, unit) &&
           amount_multiply_whole(reckoning, *unit, MINUTE_UNITS, unit);
}

static bool count_stage(const struct costing_item *item, size_t index, struct stage_labour *labour)
{
    const struct reckoning *reckoning = item->run->reckoning;
    size_t formula = labour->mix->planned->formula;
    const struct formula *f = &reckoning->catalogue->formulas[formula];
    labour->stage = &f->stages[index];
    labour->per = labour->stage->labour_per;
    labour->unit = labour->stage->labour_minutes;
    if (labour->per == LABOUR_USUAL) {
        if (!usual_minutes(reckoning, labour->stage, &labour->unit)) return false;
        labour->per = index < costing_oven_stage(f) ? LABOUR_PER_BATCH : LABOUR_PER_LOAD;
    }
    if (labour->per == LABOUR_PER_LOAD) labour->per = load_counts(item, formula);
    labour->times = labour->per == LABOUR_PER_BATCH   ? labour->mix->batches
                    : labour->per == LABOUR_PER_PIECE ? item->out->pieces
                    : labour->per == LABOUR_PER_LOAD  ? item->loads.loads
                                                      : 1;
    return true;
}

/* Minutes of one ordered piece. */
static bool stage_minutes(const struct costing_item *item, const struct stage_labour *labour,
                          fixed *minutes)
{
    const struct reckoning *reckoning = item->run->reckoning;
    bool own = labour->per == LABOUR_PER_PIECE || labour->per == LABOUR_PER_LOAD;
    fixed whole = own ? labour->of_formula : labour->mix->asked;
    return amount_scaled(reckoning, fixed_from(labour->unit, MINUTE_PLACES), labour->times, 1,
                         minutes) &&
           amount_scaled(reckoning, *minutes, labour->part, whole, minutes) &&
           amount_scaled(reckoning, *minutes, 1, item->out->ordered, minutes);
}

/* --- leaves --- */

static bool set_minutes(const struct costing_item *item, struct why *leaf, fixed minutes)
{
    leaf->unit = WHY_MINUTES;
    return fixed_to(minutes, MINUTE_PLACES, &leaf->quantity) ||
           amount_too_large(item->run->reckoning);
}

/* Minutes at the cost of an hour of one pair of hands. */
static bool add_minutes(struct costing_item *item, struct why *parent, const char *what,
                        fixed minutes, bool stays)
{
    const struct rates *rates = &item->run->rates;
    fixed money;
    if (!what) return false;
    struct why *leaf = why_add(item->run->reckoning, parent, what, item->run->rates_path);
    if (!leaf || !set_minutes(item, leaf, minutes)) return false;
    leaf->rate = (struct why_rate){true, rates->hand_hour.micros, WHY_MINUTES,
                                   MINUTES_PER_HOUR * MINUTE_UNITS, rates->from};
    if (!amount_scaled(item->run->reckoning, minutes, rates->hand_hour.micros,
                       (fixed)MINUTES_PER_HOUR * 1000000, &money) ||
        !costing_set_money(item, leaf, money))
        return false;
    return !stays || amount_add_whole(item->run->reckoning, &item->fixed_micros, leaf->value);
}

/* "kneading: 8 minutes a batch". */
static const char *stage_words(const struct costing_item *item, const struct stage_labour *labour)
{
    static const char *const each[] = {"", "mix", "batch", "piece", "load"};
    char minutes[DECIMAL_TEXT_SIZE];
    decimal_print(minutes, labour->unit, MINUTE_PLACES, 0);
    return costing_text(item->run, "%s: %s minutes a %s", labour->stage->name, minutes,
                        each[labour->per]);
}

const char *costing_mix_words(const struct costing_item *item, const struct costing_mix *mix,
                              fixed part)
{
    const struct reckoning *reckoning = item->run->reckoning;
    char day[DATE_TEXT_SIZE];
    char share[DECIMAL_TEXT_SIZE];
    int64_t pct;
    if (!breakdown_percentage(part, mix->asked, &pct)) {
        amount_too_large(reckoning);
        return NULL;
    }
    date_print(day, mix->planned->mixing_date);
    decimal_print(share, pct, PERCENT_PLACES, 0);
    return costing_text(item->run, "%s, mixed on %s in %lld %s: %s %% of it",
                        reckoning->catalogue->formulas[mix->planned->formula].name, day,
                        (long long)mix->batches, mix->batches == 1 ? "batch" : "batches", share);
}

/* --- mixes --- */

/* The node of a mix, made when its first stage needs it. */
static struct why *mix_node(struct costing_item *item, struct why *parent,
                            const struct stage_labour *labour)
{
    const char *path = costing_formula_path(item->run, labour->mix->planned->formula);
    const char *what = costing_mix_words(item, labour->mix, labour->part);
    if (!path || !what) return NULL;
    return why_add(item->run->reckoning, parent, what, path);
}

static bool mix_labour(struct costing_item *item, struct why *node, struct stage_labour *labour)
{
    const struct reckoning *reckoning = item->run->reckoning;
    size_t stages = reckoning->catalogue->formulas[labour->mix->planned->formula].stage_count;
    struct why *of_mix = NULL;
    for (size_t n = 0; n < stages; n++) {
        fixed minutes;
        if (!count_stage(item, n, labour)) return false;
        if (labour->unit == 0 || labour->per == LABOUR_USUAL) continue;
        if (!stage_minutes(item, labour, &minutes) ||
            !amount_add(reckoning, &item->minutes, minutes))
            return false;
        if (!node) continue;
        if (!of_mix) of_mix = mix_node(item, node, labour);
        if (!of_mix || !add_minutes(item, of_mix, stage_words(item, labour), minutes,
                                    labour->per != LABOUR_PER_PIECE))
            return false;
    }
    return true;
}

/* What the product has of all mixes of one formula. */
static bool grams_of_formula(const struct costing_item *item, size_t formula, fixed *grams)
{
    const struct costing_mixes *mixes = &item->run->mixes;
    *grams = 0;
    for (size_t i = 0; i < mixes->count; i++)
        if (mixes->items[i].planned->formula == formula &&
            !amount_add(item->run->reckoning, grams, item->weights[i]))
            return false;
    return true;
}

/* What the product itself takes by hand. */
static bool own_labour(struct costing_item *item, struct why *node)
{
    const struct reckoning *reckoning = item->run->reckoning;
    fixed minutes;
    if (item->product->labour_minutes == 0) return true;
    if (!amount_scaled(reckoning, fixed_from(item->product->labour_minutes, MINUTE_PLACES),
                       item->out->pieces, item->out->ordered, &minutes) ||
        !amount_add(reckoning, &item->minutes, minutes))
        return false;
    if (!node) return true;
    struct why *own = why_add(reckoning, node, "by hand", item->path);
    return own && add_minutes(item, own, "for each piece", minutes, false);
}

bool costing_labour(struct costing_item *item, struct why *node)
{
    struct costing_mixes *mixes = &item->run->mixes;
    for (size_t i = 0; i < mixes->count; i++) {
        struct stage_labour labour = {.mix = &mixes->items[i], .part = item->weights[i]};
        if (labour.part == 0) continue;
        if (!costing_divide(mixes, &mixes->items[i]) ||
            !grams_of_formula(item, labour.mix->planned->formula, &labour.of_formula) ||
            !mix_labour(item, node, &labour))
            return false;
    }
    return own_labour(item, node);
}
