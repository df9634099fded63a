/* Writing the mixing list out of the plan: batches, lines to weigh, steps, starters to have ready.
 *
 * Invariants: what is printed fits int64_t, also batches x weigh of every line; lines stand in the
 * formula's order; exact figures are of one of the identical batches.
 */
#include "bakery/mixing.h"

#include "bakery/amount.h"
#include "bakery/plan.h"
#include "base/decimal.h"
#include "base/fail.h"

#include <stdlib.h>
#include <string.h>

enum { SECONDS_PER_MINUTE = 60 };

const struct mixer *mixer_for(const struct bakery *bakery, const struct formula *formula)
{
    const struct mixer *largest = NULL;
    if (formula->by_hand) return NULL;
    for (size_t i = 0; i < bakery->mixer_count; i++) {
        const struct mixer *mixer = &bakery->mixers[i];
        if (formula->mixer && strcmp(mixer->code, formula->mixer) == 0) return mixer;
        if (!largest || mixer->max_mg > largest->max_mg) largest = mixer;
    }
    return largest;
}

bool mix_divide(const struct reckoning *reckoning, struct mix *mix, fixed dough)
{
    const struct catalogue *catalogue = reckoning->catalogue;
    fixed batch;
    mix->mixer = mixer_for(&catalogue->bakery, &catalogue->formulas[mix->formula]);
    mix->batches = batch_count(dough, mix->mixer);
    if (!amount_scaled(reckoning, dough, 1, mix->batches, &batch) ||
        !amount_milligrams(reckoning, dough, &mix->dough_mg) ||
        !amount_milligrams(reckoning, batch, &mix->batch_mg))
        return false;
    mix->under_minimum = mix->mixer &&
                         settled_grams(batch) < fixed_from(mix->mixer->min_mg, WEIGHT_PLACES);
    return true;
}

static int64_t own_scale(const struct catalogue *catalogue, const struct line *line)
{
    return line->kind == LINE_INGREDIENT ? catalogue->ingredients[line->index].scale_mg : 0;
}

/* One line of one batch: its share of the dough over the batches, in one rounding. */
static bool write_line(const struct reckoning *reckoning, const struct mix *mix, fixed dough,
                       fixed share, struct mix_line *out)
{
    const struct catalogue *catalogue = reckoning->catalogue;
    fixed whole;
    fixed grams;
    int64_t total;
    if (!amount_scaled(reckoning, SHARE_ONE, mix->batches, 1, &whole) ||
        !amount_scaled(reckoning, dough, share, whole, &grams) ||
        !amount_milligrams(reckoning, grams, &out->exact_mg))
        return false;
    fixed base = reckoning->breakdowns->items[mix->formula].final_base;
    if (!breakdown_percentage(share, base, &out->pct)) return amount_too_large(reckoning);
    out->weigh_mg = weigh(&catalogue->bakery, own_scale(catalogue, out->line), grams);
    if (out->weigh_mg == INT64_MAX) return amount_too_large(reckoning);
    return amount_multiply_whole(reckoning, mix->batches, out->weigh_mg, &total);
}

static bool write_lines(const struct reckoning *reckoning, struct mix *mix, fixed dough)
{
    const struct formula *formula = &reckoning->catalogue->formulas[mix->formula];
    const fixed *shares = amount_lines(reckoning, mix->formula);
    mix->lines = amount_memory(reckoning, formula->line_count, sizeof *mix->lines);
    if (!shares || !mix->lines) return false;
    for (size_t n = 0; n < formula->line_count; n++) {
        mix->lines[n].line = &formula->lines[n];
        if (!write_line(reckoning, mix, dough, shares[n], &mix->lines[n])) return false;
    }
    return true;
}

static bool write_steps(const struct reckoning *reckoning, struct mix *mix)
{
    const struct formula *formula = &reckoning->catalogue->formulas[mix->formula];
    instant at = mix->begins;
    mix->steps = amount_memory(reckoning, formula->stage_count, sizeof *mix->steps);
    if (!mix->steps) return false;
    for (size_t n = 0; n < formula->stage_count; n++) {
        const struct stage *stage = &formula->stages[n];
        mix->steps[n] = (struct mix_step){stage, at, at + SECONDS_PER_MINUTE * stage->minutes};
        at = mix->steps[n].ends;
    }
    return true;
}

static bool write_allergens(const struct reckoning *reckoning, struct mix *mix)
{
    mix->allergens = breakdown_allergens(reckoning->arena, reckoning->breakdowns, mix->formula,
                                         &mix->allergen_count);
    if (mix->allergens) return true;
    return fail_memory(reckoning->fails);
}

static bool write_mix(const struct reckoning *reckoning, const struct planned_mix *planned,
                      struct mix *mix)
{
    *mix = (struct mix){.formula = planned->formula,
                        .mixing_date = planned->mixing_date,
                        .begins = planned->begins,
                        .bread_days = planned->bread_days,
                        .bread_day_count = planned->bread_day_count};
    return mix_divide(reckoning, mix, planned->dough) &&
           write_lines(reckoning, mix, planned->dough) && write_steps(reckoning, mix) &&
           write_allergens(reckoning, mix);
}

static int by_begin_then_code(const void *left, const void *right)
{
    const struct mix *a = left;
    const struct mix *b = right;
    if (a->begins != b->begins) return a->begins < b->begins ? -1 : 1;
    return (a->formula > b->formula) - (a->formula < b->formula);
}

static bool write_mixes(const struct mixing_plan *plan, struct mixing_list *out)
{
    size_t count = 0;
    for (const struct planned_mix *m = plan->mixes; m; m = m->previous)
        count += m->mixing_date == plan->mixing_date;
    out->mixes = amount_memory(plan->reckoning, count, sizeof *out->mixes);
    if (!out->mixes) return false;
    for (const struct planned_mix *m = plan->mixes; m; m = m->previous)
        if (m->mixing_date == plan->mixing_date &&
            !write_mix(plan->reckoning, m, &out->mixes[out->mix_count++]))
            return false;
    if (count > 0) qsort(out->mixes, count, sizeof *out->mixes, by_begin_then_code);
    return true;
}

/* --- starters to have ready --- */

/* Adds what one mix takes of its starters: batches x weigh. */
static bool take_starters(const struct reckoning *reckoning, const struct mix *mix, int64_t *taken,
                          bool *used)
{
    size_t count = reckoning->catalogue->formulas[mix->formula].line_count;
    for (size_t n = 0; n < count; n++) {
        const struct line *line = mix->lines[n].line;
        int64_t mg;
        if (line->kind != LINE_STARTER) continue;
        used[line->index] = true;
        if (!amount_multiply_whole(reckoning, mix->batches, mix->lines[n].weigh_mg, &mg) ||
            !amount_add_whole(reckoning, &taken[line->index], mg))
            return false;
    }
    return true;
}

static bool write_starters(const struct reckoning *reckoning, struct mixing_list *out)
{
    size_t count = reckoning->catalogue->starter_count;
    int64_t *taken = amount_memory(reckoning, count, sizeof *taken);
    bool *used = amount_memory(reckoning, count, sizeof *used);
    out->starters = amount_memory(reckoning, count, sizeof *out->starters);
    if (!taken || !used || !out->starters) return false;
    for (size_t i = 0; i < out->mix_count; i++)
        if (!take_starters(reckoning, &out->mixes[i], taken, used)) return false;
    for (size_t i = 0; i < count; i++) {
        if (!used[i]) continue;
        struct starter_ready *ready = &out->starters[out->starter_count++];
        ready->starter = i;
        ready->mg = ready->total_mg = taken[i];
        ready->keep_mg = reckoning->catalogue->starters[i].keep_mg;
        if (!amount_add_whole(reckoning, &ready->total_mg, ready->keep_mg)) return false;
    }
    return true;
}

/* --- the pieces it was reckoned for --- */

/* Bakings stand by bread day, then product. */
static bool write_pieces(const struct mixing_plan *plan, struct mixing_list *out)
{
    out->pieces = amount_memory(plan->reckoning, plan->baking_count, sizeof *out->pieces);
    if (!out->pieces) return false;
    for (size_t i = 0; i < plan->baking_count; i++) {
        const struct baking *baking = &plan->bakings[i];
        if (!plan->baking_in_list[i]) continue;
        struct mixing_pieces *last = out->pieces_count > 0 ? &out->pieces[out->pieces_count - 1]
                                                           : NULL;
        if (!last || last->bread_day != baking->bread_day || last->product != baking->product)
            out->pieces[out->pieces_count++] = (struct mixing_pieces){
                baking->bread_day, baking->product, baking->pieces};
        else if (!amount_add_whole(plan->reckoning, &last->pieces, baking->pieces))
            return false;
    }
    return true;
}

bool mixing_list_of(const struct reckoning *reckoning, date mixing_date,
                    const struct demand *demands, size_t demand_count, struct mixing_list *out)
{
    struct mixing_plan plan;
    *out = (struct mixing_list){.mixing_date = mixing_date};
    return mixing_plan_of(reckoning, mixing_date, demands, demand_count, &plan) &&
           write_mixes(&plan, out) && write_starters(reckoning, out) && write_pieces(&plan, out);
}
