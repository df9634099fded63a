/* What each product of a bread day costs in ingredients and packaging, all losses included.
 *
 * A gram of every dough that the day uses is costed once, parts before what takes them, in units of
 * 10^-24 of the currency: nine digits below the money it is multiplied into. An ingredient without
 * a price counts nothing there, and every product that holds it is said to be without a price.
 */
#include "bakery/needs.h"

#include "bakery/amount.h"
#include "bakery/prices.h"
#include "base/decimal.h"

struct costing {
    const struct reckoning *reckoning;
    fixed *ingredients; /* a gram of each, 10^-24 of the currency; 0 when counted or unpriced */
    fixed *starters;
    fixed *formulas;  /* a gram that comes out of its mix */
    bool *used;       /* per formula: by a product of the day */
    size_t *unpriced; /* the ingredients without a price */
    size_t unpriced_count;
};

static bool costing_init(struct costing *c, const struct reckoning *reckoning)
{
    const struct catalogue *catalogue = reckoning->catalogue;
    size_t ingredients = catalogue->ingredient_count;
    *c = (struct costing){.reckoning = reckoning};
    c->ingredients = amount_memory(reckoning, ingredients, sizeof *c->ingredients);
    c->unpriced = amount_memory(reckoning, ingredients, sizeof *c->unpriced);
    c->starters = amount_memory(reckoning, catalogue->starter_count, sizeof *c->starters);
    c->formulas = amount_memory(reckoning, catalogue->formula_count, sizeof *c->formulas);
    c->used = amount_memory(reckoning, catalogue->formula_count, sizeof *c->used);
    return c->ingredients && c->unpriced && c->starters && c->formulas && c->used;
}

/* --- a gram of everything --- */

static bool cost_ingredients(struct costing *c)
{
    const struct catalogue *catalogue = c->reckoning->catalogue;
    for (size_t i = 0; i < catalogue->ingredient_count; i++) {
        const struct price *price = price_of(c->reckoning, i);
        if (!price)
            c->unpriced[c->unpriced_count++] = i;
        else if (catalogue->ingredients[i].unit == UNIT_GRAM &&
                 !amount_scaled(c->reckoning, price->micros,
                                fixed_power10(SHARE_PLACES - MONEY_PLACES + WEIGHT_PLACES),
                                price->pack_mg, &c->ingredients[i]))
            return false;
    }
    return true;
}

static bool cost_starters(struct costing *c)
{
    const struct catalogue *catalogue = c->reckoning->catalogue;
    for (size_t s = 0; s < catalogue->starter_count; s++) {
        const fixed *composition = c->reckoning->breakdowns->starters[s];
        for (size_t i = 0; composition && i < catalogue->ingredient_count; i++)
            if (composition[i] != 0 &&
                !amount_add_scaled(c->reckoning, &c->starters[s], composition[i], c->ingredients[i],
                                   SHARE_ONE))
                return false;
    }
    return true;
}

static bool cost_formula(struct costing *c, size_t index)
{
    const struct formula *formula = &c->reckoning->catalogue->formulas[index];
    const fixed *shares = amount_lines(c->reckoning, index);
    fixed mixed = 0;
    if (!shares) return false;
    for (size_t n = 0; n < formula->line_count; n++) {
        const struct line *line = &formula->lines[n];
        fixed gram = line->kind == LINE_INGREDIENT ? c->ingredients[line->index]
                     : line->kind == LINE_STARTER  ? c->starters[line->index]
                                                   : c->formulas[line->index];
        if (!amount_add_scaled(c->reckoning, &mixed, shares[n], gram, SHARE_ONE)) return false;
    }
    return amount_with_loss(c->reckoning, index, mixed, &c->formulas[index]);
}

/* Users first: what a used formula takes is used. */
static void mark_parts(struct costing *c, size_t index)
{
    const struct formula *formula = &c->reckoning->catalogue->formulas[index];
    if (!c->used[index]) return;
    for (size_t n = 0; n < formula->line_count; n++)
        if (formula->lines[n].kind == LINE_FORMULA) c->used[formula->lines[n].index] = true;
}

static bool cost_formulas(struct costing *c, const struct production *day)
{
    const struct catalogue *catalogue = c->reckoning->catalogue;
    const size_t *order = c->reckoning->breakdowns->order;
    for (size_t i = 0; i < day->product_count; i++) {
        const struct product *product = &catalogue->products[day->products[i].product];
        for (size_t k = 0; k < product->part_count; k++)
            if (product->parts[k].kind == LINE_FORMULA) c->used[product->parts[k].index] = true;
    }
    for (size_t i = catalogue->formula_count; i > 0; i--)
        mark_parts(c, order[i - 1]);
    for (size_t i = 0; i < catalogue->formula_count; i++)
        if (c->used[order[i]] && !cost_formula(c, order[i])) return false;
    return true;
}

/* --- products --- */

bool product_contains(const struct reckoning *reckoning, const struct product *product,
                      size_t ingredient)
{
    for (size_t k = 0; k < product->part_count; k++) {
        const struct part *part = &product->parts[k];
        if (part->kind == LINE_INGREDIENT
                ? part->index == ingredient
                : reckoning->breakdowns->items[part->index].ingredients[ingredient] != 0)
            return true;
    }
    for (size_t k = 0; k < product->packaging_count; k++)
        if (product->packaging[k].index == ingredient) return true;
    return false;
}

static bool list_missing(const struct costing *c, const struct product *product,
                         struct product_cost *out)
{
    for (size_t i = 0; i < c->unpriced_count; i++)
        out->missing_count += product_contains(c->reckoning, product, c->unpriced[i]);
    out->priced = out->missing_count == 0;
    out->missing = amount_memory(c->reckoning, out->missing_count, sizeof *out->missing);
    if (!out->missing) return false;
    size_t n = 0;
    for (size_t i = 0; n < out->missing_count; i++)
        if (product_contains(c->reckoning, product, c->unpriced[i]))
            out->missing[n++] = c->unpriced[i];
    return true;
}

/* What so many pieces cost: from their grams, so that nothing is rounded by the piece. */
static bool cost_pieces(const struct costing *c, const struct product *product, int64_t pieces,
                        int64_t *micros)
{
    fixed cost = 0;
    for (size_t k = 0; k < product->part_count; k++) {
        const struct part *part = &product->parts[k];
        fixed gram = part->kind == LINE_INGREDIENT ? c->ingredients[part->index]
                                                   : c->formulas[part->index];
        fixed grams = 0;
        if (!amount_add_pieces(c->reckoning, &grams, pieces, part->mg) ||
            !amount_add_scaled(c->reckoning, &cost, grams, gram, SHARE_ONE))
            return false;
    }
    for (size_t k = 0; k < product->packaging_count; k++) {
        const struct packaging *packaging = &product->packaging[k];
        int64_t count;
        if (!amount_multiply_whole(c->reckoning, pieces, packaging->pieces, &count) ||
            !price_add_pieces(c->reckoning, price_of(c->reckoning, packaging->index), count, &cost))
            return false;
    }
    return amount_micros(c->reckoning, cost, micros);
}

static bool write_product(const struct costing *c, const struct production_product *line,
                          struct product_cost *out)
{
    const struct product *product = &c->reckoning->catalogue->products[line->product];
    *out = (struct product_cost){.product = line->product, .pieces = line->pieces};
    if (!list_missing(c, product, out)) return false;
    return !out->priced || (cost_pieces(c, product, out->pieces, &out->micros) &&
                            cost_pieces(c, product, 1, &out->each_micros));
}

static bool write_day(const struct costing *c, const struct production *day, struct day_cost *out)
{
    *out = (struct day_cost){.priced = true};
    out->products = amount_memory(c->reckoning, day->product_count, sizeof *out->products);
    if (!out->products) return false;
    for (size_t i = 0; i < day->product_count; i++) {
        struct product_cost *cost = &out->products[out->product_count++];
        if (!write_product(c, &day->products[i], cost)) return false;
        if (!cost->priced)
            out->priced = false;
        else if (!amount_add_whole(c->reckoning, &out->micros, cost->micros))
            return false;
    }
    return true;
}

bool day_cost_of(const struct reckoning *reckoning, date bread_day, const struct demand *demands,
                 size_t demand_count, struct day_cost *out)
{
    struct costing c;
    struct production day;
    size_t count;
    struct baking *bakings = bakings_of_day(reckoning, bread_day, demands, demand_count, &count);
    return bakings && production_products(reckoning, bakings, count, &day) &&
           costing_init(&c, reckoning) && cost_ingredients(&c) && cost_starters(&c) &&
           cost_formulas(&c, &day) && write_day(&c, &day, out);
}
