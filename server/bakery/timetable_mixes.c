/* The mixes of the plan with their stages and batches, and the breads that are made of them.
 *
 * Breads are sorted as they will be baked, and what they take of a mix is laid end to end in that
 * order: so the first batch is in the first loads.
 */
#include "bakery/timetable_shop.h"

#include "bakery/amount.h"
#include "bakery/mixing.h"
#include "base/fail.h"

#include <stdlib.h>

/* Of a formula without stages, which begins when it must be ready, or which begins in the oven. */
static const struct stage no_stage = {.name = "mix", .uses = USES_MIXER};

bool shop_too_large(const struct shop *shop)
{
    return fail_add(shop->reckoning->fails, FAIL_INVALID, "",
                    "these are more batches and loads than a timetable can hold");
}

int64_t stage_seconds(int64_t minutes)
{
    return SECONDS_PER_MINUTE * (minutes < CHAIN_MINUTES_MAX ? minutes : CHAIN_MINUTES_MAX);
}

int64_t bake_seconds(const struct shop_mix *mix, const struct bake *bake)
{
    int64_t minutes = 0;
    if (!bake) return stage_seconds(mix->stages[mix->oven_stage].minutes);
    for (size_t n = 0; n < bake->step_count && minutes < CHAIN_MINUTES_MAX; n++)
        minutes += bake->steps[n].minutes;
    return stage_seconds(minutes);
}

int64_t cool_seconds(const struct shop_mix *mix)
{
    int64_t seconds = 0;
    for (size_t n = mix->oven_stage + 1; n < mix->stage_count; n++)
        seconds += stage_seconds(mix->stages[n].minutes);
    return seconds;
}

bool stage_is_mixed(const struct shop_mix *mix, size_t stage)
{
    if (mix->formula->by_hand) return false;
    return mix->first_is_mixed ? stage == 0 : mix->before[stage].uses == USES_MIXER;
}

struct shop_mix *mix_of_plan(const struct shop *shop, const struct planned_mix *planned)
{
    return &shop->mixes[shop->mix_count - 1 - planned->number];
}

/* --- mixes --- */

static void find_stages(struct shop_mix *mix)
{
    bool has_stages = mix->formula->stage_count > 0;
    mix->stages = has_stages ? mix->formula->stages : &no_stage;
    mix->oven_stage = mix->stage_count = has_stages ? mix->formula->stage_count : 1;
    mix->first_is_mixed = true;
    for (size_t n = mix->stage_count; n-- > 0;) {
        if (mix->stages[n].uses == USES_OVEN) mix->oven_stage = n;
        if (mix->stages[n].uses != USES_NOTHING) mix->first_is_mixed = false;
    }
    mix->before = mix->oven_stage > 0 ? mix->stages : &no_stage;
    mix->before_count = mix->oven_stage > 0 ? mix->oven_stage : 1;
}

static bool find_batches(const struct shop *shop, struct shop_mix *mix)
{
    struct mix divided = {.formula = mix->planned->formula};
    if (!mix_divide(shop->reckoning, &divided, mix->planned->dough)) return false;
    mix->mixer = divided.mixer;
    mix->batches = divided.batches;
    mix->batch_mg = divided.batch_mg;
    return mix->batches <= TIMETABLE_JOBS_MAX || shop_too_large(shop);
}

static bool mark_parts(struct shop *shop, const struct shop_mix *mix)
{
    for (const struct wanted *part = mix->planned->parts; part; part = part->sibling) {
        struct shop_mix *of = mix_of_plan(shop, part->mix);
        of->is_part = true;
        if (!amount_add(shop->reckoning, &of->used, part->grams)) return false;
    }
    return true;
}

static bool add_mixes(struct shop *shop)
{
    const struct catalogue *catalogue = shop->reckoning->catalogue;
    struct shop_mix *mix;
    shop->mix_count = shop->plan.mix_count;
    shop->mixes = amount_memory(shop->reckoning, shop->mix_count, sizeof *shop->mixes);
    if (!shop->mixes) return false;
    mix = shop->mixes;
    for (const struct planned_mix *planned = shop->plan.mixes; planned;
         planned = planned->previous, mix++) {
        *mix = (struct shop_mix){.planned = planned,
                                 .formula = &catalogue->formulas[planned->formula]};
        find_stages(mix);
        if (!mark_parts(shop, mix) || !find_batches(shop, mix)) return false;
    }
    return true;
}

/* Numbers the jobs of the mixes. The loads of products come after them. */
static bool number_jobs(struct shop *shop)
{
    for (size_t n = 0; n < shop->mix_count; n++) {
        struct shop_mix *mix = &shop->mixes[n];
        bool is_baked_part = mix->is_part && mix->oven_stage < mix->stage_count;
        mix->gate = mix->planned->parts ? shop->job_count++ : SCHEDULE_NONE;
        mix->first_job = shop->job_count;
        shop->job_count += (size_t)mix->batches * (is_baked_part ? 2 : 1);
        if (shop->job_count > TIMETABLE_JOBS_MAX) return shop_too_large(shop);
    }
    return true;
}

/* --- breads --- */

static bool is_baked(const struct portion *portion)
{
    return portion->mix->oven_stage < portion->mix->stage_count;
}

/* Goes back through what products want of doughs, so that the parts of each end up in order. */
static bool add_portions(struct shop *shop)
{
    for (const struct wanted *wanted = shop->plan.of_products; wanted; wanted = wanted->sibling) {
        struct bread *bread = &shop->breads[wanted->baking];
        struct portion *portion = amount_memory(shop->reckoning, 1, sizeof *portion);
        if (!portion) return false;
        if (bread->baking->pieces == 0) continue;
        *portion = (struct portion){.next = bread->portions,
                                    .mix = mix_of_plan(shop, wanted->mix),
                                    .each = wanted->grams / bread->baking->pieces};
        bread->portions = portion;
        if (is_baked(portion) && (!bread->dough || portion->each >= bread->dough->each))
            bread->dough = portion;
    }
    return true;
}

int bake_order(const struct bake *a, const struct bake *b)
{
    if (!a || !b) return (a != NULL) - (b != NULL);
    if (a->step_count != b->step_count) return a->step_count < b->step_count ? -1 : 1;
    for (size_t n = 0; n < a->step_count; n++) {
        const struct bake_step *one = &a->steps[n];
        const struct bake_step *two = &b->steps[n];
        if (one->c != two->c) return one->c < two->c ? -1 : 1;
        if (one->minutes != two->minutes) return one->minutes < two->minutes ? -1 : 1;
        if (one->steam != two->steam) return one->steam ? 1 : -1;
    }
    return 0;
}

int bread_order(const struct bread *a, const struct bread *b)
{
    if (a->baking->bread_day != b->baking->bread_day)
        return a->baking->bread_day < b->baking->bread_day ? -1 : 1;
    if (a->baking->ready != b->baking->ready) return a->baking->ready < b->baking->ready ? -1 : 1;
    if (!a->dough != !b->dough) return a->dough ? 1 : -1;
    return bake_order(a->bake, b->bake);
}

static int by_baking(const void *left, const void *right)
{
    const struct bread *a = left;
    const struct bread *b = right;
    int order = bread_order(a, b);
    if (order != 0) return order;
    if (a->dough && a->dough->mix != b->dough->mix) return a->dough->mix < b->dough->mix ? -1 : 1;
    return (a->baking->product > b->baking->product) - (a->baking->product < b->baking->product);
}

static bool lay_portions(struct shop *shop)
{
    for (size_t n = 0; n < shop->bread_count; n++) {
        const struct bread *bread = &shop->breads[n];
        for (struct portion *portion = bread->portions; portion; portion = portion->next) {
            portion->start = portion->mix->sold;
            if (!amount_add_scaled(shop->reckoning, &portion->mix->sold, portion->each,
                                   bread->baking->pieces, 1))
                return false;
        }
    }
    return true;
}

static bool add_breads(struct shop *shop)
{
    shop->bread_count = shop->plan.baking_count;
    shop->breads = amount_memory(shop->reckoning, shop->bread_count, sizeof *shop->breads);
    if (!shop->breads) return false;
    for (size_t n = 0; n < shop->bread_count; n++) {
        const struct baking *baking = &shop->plan.bakings[n];
        const struct product *product = &shop->reckoning->catalogue->products[baking->product];
        shop->breads[n] = (struct bread){
            .baking = baking, .bake = product->bake.per_place > 0 ? &product->bake : NULL};
    }
    if (!add_portions(shop)) return false;
    if (shop->bread_count > 0)
        qsort(shop->breads, shop->bread_count, sizeof *shop->breads, by_baking);
    return lay_portions(shop);
}

bool batch_at(const struct shop *shop, const struct shop_mix *mix, fixed place, bool is_end,
              int64_t *batch)
{
    fixed at = 0;
    bool known = is_end ? fixed_muldiv(place, mix->batches, mix->sold, ROUND_UP, &at)
                        : fixed_muldiv(-place, mix->batches, mix->sold, ROUND_UP, &at);
    if (!known) return amount_too_large(shop->reckoning);
    at = is_end ? at - 1 : -at;
    *batch = at < 0 ? 0 : at >= mix->batches ? mix->batches - 1 : (int64_t)at;
    return true;
}

bool shop_mixes(struct shop *shop, const struct demand *demands, size_t demand_count)
{
    return mixing_plan_of(shop->reckoning, INT32_MIN, demands, demand_count, &shop->plan) &&
           add_mixes(shop) && number_jobs(shop) && add_breads(shop);
}
