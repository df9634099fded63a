/* A formula's figures as they are shown: percentages of all flour and of the final mix's flour.
 *
 * A ratio is first taken with nine more decimals than are shown, so that the last places of the
 * shares are gone before halves are judged: 33.33335 % shows as 33.3334 % though no share is exact.
 */
#include "bakery/breakdown.h"
#include "base/arena.h"

enum { EXTRA_DECIMALS = 1000000000 };

struct viewing {
    const struct breakdowns *all;
    const struct breakdown *of;
    struct formula_view *view;
    bool *formula_seen;
    bool *starter_seen;
    bool *ingredient_seen;
};

bool breakdown_percentage(fixed part, fixed whole, int64_t *pct)
{
    fixed fine;
    fixed coarse;
    if (!fixed_muldiv(part, (fixed)PERCENT_WHOLE * EXTRA_DECIMALS, whole, ROUND_HALF_EVEN, &fine) ||
        !fixed_muldiv(fine, 1, EXTRA_DECIMALS, ROUND_HALF_EVEN, &coarse) || coarse > INT64_MAX)
        return false;
    *pct = (int64_t)coarse;
    return true;
}

/* --- overall, in the order of first use --- */

static bool list_ingredient(struct viewing *v, size_t ingredient)
{
    if (v->ingredient_seen[ingredient]) return true;
    v->ingredient_seen[ingredient] = true;
    struct formula_view *view = v->view;
    view->overall[view->overall_count].ingredient = ingredient;
    return breakdown_percentage(v->of->ingredients[ingredient], v->of->base,
                                &view->overall[view->overall_count++].pct);
}

static bool list_starter(struct viewing *v, size_t index)
{
    if (v->starter_seen[index]) return true;
    v->starter_seen[index] = true;
    const struct starter *starter = &v->all->catalogue->starters[index];
    for (size_t n = 0; n < starter->flour_count; n++)
        if (!list_ingredient(v, starter->flours[n].index)) return false;
    return v->all->starters[index][starter->water_index] == 0 ||
           list_ingredient(v, starter->water_index);
}

/* Goes down as deep as formulas nest (NESTING_MAX), into each formula once. */
static bool list_formula(struct viewing *v, size_t index)
{
    if (v->formula_seen[index]) return true;
    v->formula_seen[index] = true;
    const struct formula *formula = &v->all->catalogue->formulas[index];
    for (size_t n = 0; n < formula->line_count; n++) {
        const struct line *line = &formula->lines[n];
        bool listed = line->kind == LINE_INGREDIENT ? list_ingredient(v, line->index)
                      : line->kind == LINE_STARTER  ? list_starter(v, line->index)
                                                    : list_formula(v, line->index);
        if (!listed) return false;
    }
    return true;
}

/* --- hydration, salt, prefermented flour --- */

bool breakdown_water(const struct ingredient *ingredient, fixed share, fixed *water)
{
    *water = ingredient->kind == KIND_WATER ? share : 0;
    if (ingredient->kind != KIND_OTHER || !ingredient->has_water_pct) return true;
    return fixed_muldiv(share, ingredient->water_pct, PERCENT_WHOLE, ROUND_HALF_EVEN, water);
}

static bool flour_figures(struct viewing *v)
{
    fixed water = 0;
    fixed salt = 0;
    const struct catalogue *catalogue = v->all->catalogue;
    for (size_t i = 0; i < catalogue->ingredient_count; i++) {
        fixed more;
        if (v->of->ingredients[i] == 0) continue;
        if (!breakdown_water(&catalogue->ingredients[i], v->of->ingredients[i], &more))
            return false;
        water += more;
        if (catalogue->ingredients[i].kind == KIND_SALT) salt += v->of->ingredients[i];
    }
    struct formula_view *view = v->view;
    return breakdown_percentage(water, v->of->flour, &view->hydration_pct) &&
           breakdown_percentage(salt, v->of->flour, &view->salt_pct) &&
           breakdown_percentage(v->of->flour - v->of->final_flour, v->of->flour,
                                &view->prefermented_flour_pct);
}

static bool final_figures(struct viewing *v, size_t line_count)
{
    for (size_t n = 0; n < line_count; n++)
        if (!breakdown_percentage(v->of->lines[n], v->of->final_base, &v->view->final_pct[n]))
            return false;
    return true;
}

bool breakdown_view(struct arena *arena, const struct breakdowns *all, size_t formula,
                    struct formula_view *view)
{
    const struct catalogue *catalogue = all->catalogue;
    const struct breakdown *of = &all->items[formula];
    size_t line_count = catalogue->formulas[formula].line_count;
    *view = (struct formula_view){.has_flour = of->flour != 0};
    if (!of->lines) return false;
    view->overall = arena_array(arena, catalogue->ingredient_count, sizeof *view->overall);
    view->final_pct = arena_array(arena, line_count, sizeof *view->final_pct);
    struct viewing v = {
        .all = all,
        .of = of,
        .view = view,
        .formula_seen = arena_array(arena, catalogue->formula_count, sizeof(bool)),
        .starter_seen = arena_array(arena, catalogue->starter_count, sizeof(bool)),
        .ingredient_seen = arena_array(arena, catalogue->ingredient_count, sizeof(bool))};
    if (!view->overall || !view->final_pct || !v.formula_seen || !v.starter_seen ||
        !v.ingredient_seen)
        return false;
    return list_formula(&v, formula) && final_figures(&v, line_count) &&
           (!view->has_flour || flour_figures(&v));
}
