/* A bread day multiplied out into ingredients: formulas are taken users first, so that each is
 * exploded once, with all that is wanted of it.
 *
 * What is counted here is what is weighed: each level's dough includes its own handling loss, so
 * the needs of a day are the sum of the lines of all its mixes, before any rounding.
 */
#include "bakery/needs.h"

#include "bakery/amount.h"
#include "bakery/prices.h"

/* Grams and pieces while they are being added up. */
struct explosion {
    const struct reckoning *reckoning;
    fixed *doughs;      /* per formula: what must come out */
    fixed *starters;    /* per starter, grams */
    fixed *ingredients; /* per ingredient, grams */
    int64_t *pieces;    /* per ingredient, of what is counted */
};

static bool explosion_init(struct explosion *e, const struct reckoning *reckoning)
{
    const struct catalogue *catalogue = reckoning->catalogue;
    e->reckoning = reckoning;
    e->doughs = amount_memory(reckoning, catalogue->formula_count, sizeof *e->doughs);
    e->starters = amount_memory(reckoning, catalogue->starter_count, sizeof *e->starters);
    e->ingredients = amount_memory(reckoning, catalogue->ingredient_count, sizeof *e->ingredients);
    e->pieces = amount_memory(reckoning, catalogue->ingredient_count, sizeof *e->pieces);
    return e->doughs && e->starters && e->ingredients && e->pieces;
}

static bool add_baking(struct explosion *e, const struct baking *baking)
{
    const struct product *product = &e->reckoning->catalogue->products[baking->product];
    for (size_t k = 0; k < product->part_count; k++) {
        const struct part *part = &product->parts[k];
        fixed *grams = part->kind == LINE_FORMULA ? e->doughs : e->ingredients;
        if (!amount_add_pieces(e->reckoning, &grams[part->index], baking->pieces, part->mg))
            return false;
    }
    for (size_t k = 0; k < product->packaging_count; k++) {
        const struct packaging *packaging = &product->packaging[k];
        int64_t pieces;
        if (!amount_multiply_whole(e->reckoning, baking->pieces, packaging->pieces, &pieces) ||
            !amount_add_whole(e->reckoning, &e->pieces[packaging->index], pieces))
            return false;
    }
    return true;
}

static bool explode_formula(struct explosion *e, size_t index)
{
    const struct formula *formula = &e->reckoning->catalogue->formulas[index];
    fixed mixed;
    if (e->doughs[index] == 0) return true;
    const fixed *shares = amount_lines(e->reckoning, index);
    if (!shares || !amount_with_loss(e->reckoning, index, e->doughs[index], &mixed)) return false;
    for (size_t n = 0; n < formula->line_count; n++) {
        const struct line *line = &formula->lines[n];
        fixed *sum = line->kind == LINE_INGREDIENT ? &e->ingredients[line->index]
                     : line->kind == LINE_STARTER  ? &e->starters[line->index]
                                                   : &e->doughs[line->index];
        if (!amount_add_scaled(e->reckoning, sum, mixed, shares[n], SHARE_ONE)) return false;
    }
    return true;
}

static bool explode_starter(struct explosion *e, size_t index)
{
    const fixed *composition = e->reckoning->breakdowns->starters[index];
    if (e->starters[index] == 0) return true;
    for (size_t i = 0; i < e->reckoning->catalogue->ingredient_count; i++)
        if (composition[i] != 0 &&
            !amount_add_scaled(e->reckoning, &e->ingredients[i], e->starters[index], composition[i],
                               SHARE_ONE))
            return false;
    return true;
}

static bool explode(struct explosion *e, const struct baking *bakings, size_t count)
{
    const struct catalogue *catalogue = e->reckoning->catalogue;
    for (size_t i = 0; i < count; i++)
        if (!add_baking(e, &bakings[i])) return false;
    for (size_t i = catalogue->formula_count; i > 0; i--)
        if (!explode_formula(e, e->reckoning->breakdowns->order[i - 1])) return false;
    for (size_t i = 0; i < catalogue->starter_count; i++)
        if (!explode_starter(e, i)) return false;
    return true;
}

/* --- writing it out --- */

static bool write_cost(const struct explosion *e, struct need *need, struct needs *out)
{
    const struct price *price = price_of(e->reckoning, need->ingredient);
    fixed cost = 0;
    need->priced = price != NULL;
    if (!price) {
        out->priced = false;
        return true;
    }
    bool counted = e->reckoning->catalogue->ingredients[need->ingredient].unit == UNIT_PIECE;
    bool added = counted ? price_add_pieces(e->reckoning, price, need->pieces, &cost)
                         : price_add_grams(e->reckoning, price, e->ingredients[need->ingredient],
                                           &cost);
    return added && amount_micros(e->reckoning, cost, &need->micros) &&
           amount_add_whole(e->reckoning, &out->micros, need->micros);
}

static bool write_ingredients(const struct explosion *e, struct needs *out)
{
    size_t count = e->reckoning->catalogue->ingredient_count;
    out->priced = true;
    out->ingredients = amount_memory(e->reckoning, count, sizeof *out->ingredients);
    if (!out->ingredients) return false;
    for (size_t i = 0; i < count; i++) {
        if (e->ingredients[i] == 0 && e->pieces[i] == 0) continue;
        struct need *need = &out->ingredients[out->ingredient_count++];
        need->ingredient = i;
        need->pieces = e->pieces[i];
        if (!amount_milligrams(e->reckoning, e->ingredients[i], &need->mg) ||
            !write_cost(e, need, out))
            return false;
    }
    return true;
}

static bool write_starters(const struct explosion *e, struct needs *out)
{
    size_t count = e->reckoning->catalogue->starter_count;
    out->starters = amount_memory(e->reckoning, count, sizeof *out->starters);
    if (!out->starters) return false;
    for (size_t i = 0; i < count; i++) {
        if (e->starters[i] == 0) continue;
        struct starter_need *need = &out->starters[out->starter_count++];
        need->starter = i;
        if (!amount_milligrams(e->reckoning, e->starters[i], &need->mg)) return false;
    }
    return true;
}

bool needs_of(const struct reckoning *reckoning, date bread_day, const struct demand *demands,
              size_t demand_count, struct needs *out)
{
    struct explosion e;
    size_t count;
    *out = (struct needs){0};
    struct baking *bakings = bakings_of_day(reckoning, bread_day, demands, demand_count, &count);
    return bakings && explosion_init(&e, reckoning) && explode(&e, bakings, count) &&
           write_ingredients(&e, out) && write_starters(&e, out);
}
