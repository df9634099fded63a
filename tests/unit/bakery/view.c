/* The figures that a formula is shown with. */
#include "world.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

TestSuite(view, .timeout = 30);

static struct formula_view view_of(struct world *w, const char *code)
{
    struct formula_view view;
    cr_assert(breakdown_view(w->arena, &w->breakdowns, at_formula(w, code), &view));
    return view;
}

static void expect_overall(const struct world *w, const struct formula_view *view, size_t at,
                           const char *code, const char *percent)
{
    cr_assert_lt(at, view->overall_count);
    cr_expect_str_eq(w->catalogue.ingredients[view->overall[at].ingredient].code, code);
    cr_expect_eq(view->overall[at].pct, pct(percent), "%s is %ld", code, view->overall[at].pct);
}

Test(view, hydration_salt_and_prefermented_flour)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 80, rye 20");
    formula(w, "country", BASIS_TOTAL,
            "wheat 90, rye 10, water 70, salt 2, milk 8, starter levain flour 20");
    open_world(w);
    struct formula_view view = view_of(w, "country");
    cr_expect(view.has_flour);
    cr_expect_eq(view.hydration_pct, pct("77"), "water 70 and 87.5 %% of the milk");
    cr_expect_eq(view.salt_pct, pct("2"));
    cr_expect_eq(view.prefermented_flour_pct, pct("20"));
    world_free(w);
}

Test(view, overall_of_basis_total_is_what_was_entered)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 80, rye 20");
    formula(w, "country", BASIS_TOTAL,
            "starter levain flour 20, salt 1.9, wheat 87.3, rye 12.7, water 70.07");
    open_world(w);
    struct formula_view view = view_of(w, "country");
    cr_expect_eq(view.overall_count, 4);
    expect_overall(w, &view, 0, "wheat", "87.3");
    expect_overall(w, &view, 1, "rye", "12.7");
    expect_overall(w, &view, 2, "water", "70.07");
    expect_overall(w, &view, 3, "salt", "1.9");
    world_free(w);
}

Test(view, overall_in_the_order_of_first_use_through_parts)
{
    struct world *w = world_new();
    formula(w, "soaker", BASIS_FINAL, "seeds 100, water 100");
    formula(w, "sponge", BASIS_FINAL, "rye 100, water 80, formula soaker 20");
    formula(w, "dough", BASIS_FINAL,
            "salt 2, formula sponge 90, wheat 100, water 50, formula soaker 10");
    open_world(w);
    struct formula_view view = view_of(w, "dough");
    cr_expect_eq(view.overall_count, 5);
    /* Sponge 90 of 200: rye 45, water 36, seeds and water 4.5 each. All flour 145. */
    expect_overall(w, &view, 0, "salt", "1.3793");
    expect_overall(w, &view, 1, "rye", "31.0345");
    expect_overall(w, &view, 2, "water", "65.8621");
    expect_overall(w, &view, 3, "seeds", "6.5517");
    expect_overall(w, &view, 4, "wheat", "68.9655");
    cr_expect_eq(view.prefermented_flour_pct, pct("31.0345"));
    world_free(w);
}

Test(view, final_percentages_of_basis_final_are_what_was_entered)
{
    struct world *w = world_new();
    starter(w, "levain", "62.5", "wheat 80, rye 20");
    formula(w, "dough", BASIS_FINAL, "wheat 87.3, rye 12.7, water 61.8034, starter levain 31.4159");
    formula(w, "levain-only", BASIS_FINAL, "starter levain 100, water 12.3456, salt 1.7");
    open_world(w);
    for (size_t f = 0; f < 2; f++) {
        const struct formula *formula = &w->catalogue.formulas[f];
        struct formula_view view = view_of(w, formula->code);
        for (size_t n = 0; n < formula->line_count; n++)
            cr_expect_eq(view.final_pct[n], formula->lines[n].pct);
    }
    world_free(w);
}

Test(view, without_flour_its_own_hundred_counts)
{
    struct world *w = world_new();
    formula(w, "soaker", BASIS_FINAL, "seeds 100, water 120, salt 2");
    formula(w, "filling", BASIS_FINAL, "seeds 50, formula soaker 50");
    open_world(w);
    struct formula_view view = view_of(w, "soaker");
    cr_expect_not(view.has_flour);
    expect_overall(w, &view, 1, "water", "120");
    cr_expect_eq(view.final_pct[2], pct("2"));
    view = view_of(w, "filling");
    cr_expect_not(view.has_flour);
    expect_overall(w, &view, 0, "seeds", "72.5225");
    world_free(w);
}

/* A half at the fifth decimal, of shares that have no end: 1 / 7 x 7 x ... */
Test(view, halves_are_judged_exactly)
{
    struct world *w = world_new();
    formula(w, "a", BASIS_FINAL, "seeds 100, water 33.3333");
    formula(w, "half-up", BASIS_FINAL, "wheat 100, formula a 66.6666, salt 0.0003");
    formula(w, "b", BASIS_FINAL, "wheat 100, water 100");
    formula(w, "to-even", BASIS_FINAL, "wheat 100, formula b 0.0005, salt 2");
    formula(w, "c", BASIS_TOTAL, "wheat 100, water 50, formula b 0.0005");
    open_world(w);
    struct formula_view view = view_of(w, "half-up");
    /* 66.6666 x 100 / 133.3333 = 50.00000...: 6666660000 / 1333333 = 4999.99625 units */
    expect_overall(w, &view, 1, "seeds", "50");
    /* The preferment's flour is 0.00025 of 100.00025: water 0.00025 / 1.0000025 -> 0.0002. */
    view = view_of(w, "to-even");
    expect_overall(w, &view, 1, "water", "0.0002");
    /* 99.99975 of wheat and 49.99975 of water are left of the final mix's 99.99975. */
    view = view_of(w, "c");
    cr_expect_eq(view.final_pct[0], pct("100"));
    cr_expect_eq(view.final_pct[2], pct("0.0005"));
    world_free(w);
}

Test(view, percentages_round_half_to_even)
{
    fixed seventh = SHARE_ONE / 7;
    int64_t percent;
    cr_expect(breakdown_percentage(seventh * 25 / 2, seventh * 1000000, &percent));
    cr_expect_eq(percent, 12, "12.5 units, a unit of the last place short");
    cr_expect(breakdown_percentage(seventh * 27 / 2 - 1, seventh * 1000000, &percent));
    cr_expect_eq(percent, 14, "13.5 units, a few units of the last place short");
    cr_expect_not(breakdown_percentage(SHARE_ONE, 0, &percent));
    cr_expect_not(breakdown_percentage(FIXED_MAX, 1, &percent));
}

Test(view, a_dry_starter_brings_no_water)
{
    struct world *w = world_new();
    starter(w, "dry", "0", "rye 100");
    formula(w, "mix", BASIS_FINAL, "wheat 100, starter dry 25");
    open_world(w);
    struct formula_view view = view_of(w, "mix");
    cr_expect_eq(view.overall_count, 2);
    expect_overall(w, &view, 1, "rye", "20");
    cr_expect_eq(view.hydration_pct, 0);
    world_free(w);
}

Test(view, a_faulty_formula_has_no_view)
{
    struct world *w = world_new();
    struct formula_view view;
    formula(w, "bad", BASIS_FINAL, "wheat 99");
    cr_expect_not(work_out(w));
    cr_expect_not(breakdown_view(w->arena, &w->breakdowns, 0, &view));
    world_free(w);
}

/* Parts that share parts: listed once, and without going down every path. */
Test(view, shared_parts_are_visited_once)
{
    struct world *w = world_new();
    char code[8] = "a0";
    char lines[512];
    formula(w, "a0", BASIS_FINAL, "wheat 100, water 60, seeds 3");
    for (int level = 1; level <= 8; level++) {
        code[1] = (char)('0' + level);
        int length = snprintf(lines, sizeof lines, "wheat 100");
        for (int k = 0; k < 25; k++)
            length += snprintf(lines + length, sizeof lines - (size_t)length, ", formula a%d 1",
                               level - 1);
        formula(w, code, BASIS_FINAL, lines);
    }
    open_world(w);
    struct formula_view view = view_of(w, "a8");
    cr_expect_eq(view.overall_count, 3);
    world_free(w);
}

/* --- allergens --- */

static const char *const gluten[] = {"gluten"};
static const char *const gluten_and_lupin[] = {"lupin", "gluten"};
static const char *const sesame[] = {"sesame"};

static void give(struct world *w, const char *code, const char *const *list, size_t count)
{
    the_ingredient(w, code)->allergens = list;
    the_ingredient(w, code)->allergen_count = count;
}

Test(view, allergens_come_through_all_parts_sorted_and_once)
{
    struct world *w = world_new();
    give(w, "wheat", gluten, 1);
    give(w, "rye", gluten_and_lupin, 2);
    give(w, "seeds", sesame, 1);
    give(w, "milk", (const char *const[]){"milk"}, 1);
    starter(w, "levain", "100", "rye 100");
    formula(w, "soaker", BASIS_FINAL, "seeds 100, water 100");
    formula(w, "dough", BASIS_FINAL, "wheat 100, starter levain 20, formula soaker 20");
    formula(w, "plain", BASIS_FINAL, "water 100");
    open_world(w);
    size_t count;
    const char *const *list = breakdown_allergens(w->arena, &w->breakdowns, at_formula(w, "dough"),
                                                  &count);
    cr_assert_not_null(list);
    cr_assert_eq(count, 3);
    cr_expect_str_eq(list[0], "gluten");
    cr_expect_str_eq(list[1], "lupin");
    cr_expect_str_eq(list[2], "sesame");
    cr_expect_not_null(
        breakdown_allergens(w->arena, &w->breakdowns, at_formula(w, "plain"), &count));
    cr_expect_eq(count, 0);
    world_free(w);
}
