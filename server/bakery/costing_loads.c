/* Loads of a product: its pieces over what the largest deck takes. Figures that no bakery has are
 * held to the largest number, so that whatever is reckoned with them is told to be too large. */
#include "bakery/costing_loads.h"

size_t costing_oven_stage(const struct formula *formula)
{
    size_t n = 0;
    while (n < formula->stage_count && formula->stages[n].uses != USES_OVEN)
        n++;
    return n;
}

static const struct oven *largest_oven(const struct bakery *bakery)
{
    const struct oven *largest = NULL;
    for (size_t i = 0; i < bakery->oven_count; i++)
        if (!largest || bakery->ovens[i].places > largest->places) largest = &bakery->ovens[i];
    return largest;
}

/* What is made of two doughs is baked once: by the stages of the heavier. */
static size_t baked_formula(const struct catalogue *catalogue, const struct product *product)
{
    size_t baked = NOT_FOUND;
    int64_t heaviest = -1;
    for (size_t k = 0; k < product->part_count; k++) {
        const struct part *part = &product->parts[k];
        if (part->kind != LINE_FORMULA || part->mg <= heaviest) continue;
        const struct formula *formula = &catalogue->formulas[part->index];
        if (costing_oven_stage(formula) == formula->stage_count) continue;
        baked = part->index;
        heaviest = part->mg;
    }
    return baked;
}

static int64_t sum_up_to_most(int64_t sum, int64_t more)
{
    return __builtin_add_overflow(sum, more, &sum) ? INT64_MAX : sum;
}

static int64_t bake_minutes(const struct catalogue *catalogue, const struct product *product,
                            size_t formula)
{
    int64_t minutes = 0;
    for (size_t n = 0; n < product->bake.step_count; n++)
        minutes = sum_up_to_most(minutes, product->bake.steps[n].minutes);
    if (minutes > 0 || formula == NOT_FOUND) return minutes;
    const struct formula *dough = &catalogue->formulas[formula];
    for (size_t n = 0; n < dough->stage_count; n++)
        if (dough->stages[n].uses == USES_OVEN)
            minutes = sum_up_to_most(minutes, dough->stages[n].minutes);
    return minutes;
}

void costing_loads_of(const struct reckoning *reckoning, size_t product, int64_t pieces,
                      struct costing_loads *out)
{
    const struct catalogue *catalogue = reckoning->catalogue;
    const struct product *of = &catalogue->products[product];
    *out = (struct costing_loads){.oven = largest_oven(&catalogue->bakery)};
    out->formula = baked_formula(catalogue, of);
    out->minutes = bake_minutes(catalogue, of, out->formula);
    if (!out->oven || of->bake.per_place <= 0) return;
    if (__builtin_mul_overflow(of->bake.per_place, out->oven->places, &out->capacity))
        out->capacity = INT64_MAX;
    if (out->capacity > 0) out->loads = pieces / out->capacity + (pieces % out->capacity > 0);
}

int64_t costing_one_load(const struct reckoning *reckoning, size_t product)
{
    struct costing_loads loads;
    costing_loads_of(reckoning, product, 1, &loads);
    return loads.capacity > 0 ? loads.capacity : 1;
}
