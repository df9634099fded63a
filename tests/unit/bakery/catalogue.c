/* Codes: finding, putting, resolving. */
#include "world.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

TestSuite(catalogue, .timeout = 30);

Test(catalogue, finds_by_code)
{
    struct world *w = world_new();
    const struct catalogue *c = &w->catalogue;
    for (size_t i = 0; i < c->ingredient_count; i++)
        cr_expect_eq(catalogue_ingredient(c, c->ingredients[i].code), i);
    cr_expect_eq(catalogue_ingredient(c, "aaa"), NOT_FOUND);
    cr_expect_eq(catalogue_ingredient(c, "rye-"), NOT_FOUND);
    cr_expect_eq(catalogue_ingredient(c, "zzz"), NOT_FOUND);
    cr_expect_eq(catalogue_ingredient(c, NULL), NOT_FOUND);
    cr_expect_eq(catalogue_starter(c, "levain"), NOT_FOUND);
    world_free(w);
}

Test(catalogue, keeps_lists_sorted_and_replaces_by_code)
{
    struct world *w = world_new();
    size_t before = w->catalogue.ingredient_count;
    ingredient(w, "malt", KIND_OTHER);
    cr_expect_eq(w->catalogue.ingredient_count, before + 1);
    for (size_t i = 1; i < w->catalogue.ingredient_count; i++)
        cr_expect_lt(strcmp(w->catalogue.ingredients[i - 1].code, w->catalogue.ingredients[i].code),
                     0);
    ingredient(w, "malt", KIND_SALT);
    cr_expect_eq(w->catalogue.ingredient_count, before + 1);
    cr_expect_eq(the_ingredient(w, "malt")->kind, KIND_SALT);
    cr_expect_eq(the_ingredient(w, "milk")->water_pct, pct("87.5"));
    world_free(w);
}

Test(catalogue, a_new_ingredient_moves_prices_along)
{
    struct world *w = world_new();
    price(w, "rye", "25000", "21");
    price(w, "bag", "1000", "31");
    ingredient(w, "malt", KIND_OTHER);
    const struct price *prices = w->catalogue.prices;
    cr_expect_eq(prices[at_ingredient(w, "rye")].micros, micros("21"));
    cr_expect_eq(prices[at_ingredient(w, "bag")].pack_pieces, 1000);
    cr_expect_not(prices[at_ingredient(w, "malt")].known);
    ingredient(w, "malt", KIND_FLOUR);
    cr_expect_eq(w->catalogue.prices, prices, "a replaced ingredient keeps its place");
    world_free(w);
}

Test(catalogue, putting_leaves_the_old_lists_alone)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 100");
    formula(w, "white", BASIS_FINAL, "wheat 100, water 65");
    struct catalogue old = w->catalogue;
    starter(w, "desem", "50", "wheat 100");
    starter(w, "levain", "80", "wheat 100");
    formula(w, "black", BASIS_FINAL, "rye 100, water 80");
    cr_expect_eq(old.starter_count, 1);
    cr_expect_eq(old.starters[0].hydration_pct, pct("100"));
    cr_expect_eq(w->catalogue.starter_count, 2);
    cr_expect_eq(the_starter(w, "levain")->hydration_pct, pct("80"));
    cr_expect_eq(old.formula_count, 1);
    cr_expect_str_eq(old.formulas[0].code, "white");
    cr_expect_str_eq(w->catalogue.formulas[0].code, "black");
    world_free(w);
}

Test(catalogue, resolves_every_code)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 80, rye 20");
    formula(w, "soaker", BASIS_FINAL, "seeds 100, water 100");
    formula(w, "dough", BASIS_FINAL, "wheat 100, starter levain 30, formula soaker 20");
    product(w, "loaf", "dough 900, seeds 10");
    packaging(w, "loaf", "bag", 1);
    mixer(w, "spiral", "5000", "50000");
    the_formula(w, "dough")->mixer = "spiral";
    open_world(w);
    const struct formula *dough = the_formula(w, "dough");
    cr_expect_eq(dough->lines[0].index, at_ingredient(w, "wheat"));
    cr_expect_eq(dough->lines[1].index, 0);
    cr_expect_eq(dough->lines[2].index, at_formula(w, "soaker"));
    cr_expect_eq(the_starter(w, "levain")->flours[1].index, at_ingredient(w, "rye"));
    cr_expect_eq(the_starter(w, "levain")->water_index, at_ingredient(w, "water"));
    cr_expect_eq(the_product(w, "loaf")->parts[1].index, at_ingredient(w, "seeds"));
    cr_expect_eq(the_product(w, "loaf")->packaging[0].index, at_ingredient(w, "bag"));
    world_free(w);
}

Test(catalogue, reports_every_unknown_code_at_its_place)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 80, oats 20");
    the_starter(w, "levain")->water = "tap";
    formula(w, "dough", BASIS_FINAL, "oats 100, starter desem 30, formula soaker 20");
    the_formula(w, "dough")->mixer = "spiral";
    product(w, "loaf", "cake 900");
    the_product(w, "loaf")->parts[0].kind = LINE_FORMULA;
    packaging(w, "loaf", "box", 1);
    cr_expect_not(work_out(w));
    cr_expect(has_fault(w, FAULT_STARTER, "levain", "/flours/1/ingredient"));
    cr_expect(has_fault(w, FAULT_STARTER, "levain", "/water"));
    cr_expect(formula_fault(w, "dough", "/lines/0/ingredient"));
    cr_expect(formula_fault(w, "dough", "/lines/1/starter"));
    cr_expect(formula_fault(w, "dough", "/lines/2/formula"));
    cr_expect(formula_fault(w, "dough", "/mixer"));
    cr_expect(has_fault(w, FAULT_PRODUCT, "loaf", "/parts/0/formula"));
    cr_expect(has_fault(w, FAULT_PRODUCT, "loaf", "/packaging/0/ingredient"));
    cr_expect_eq(w->faults.count, 8, "each once, and nothing that follows from them");
    cr_expect_eq(the_formula(w, "dough")->lines[0].index, NOT_FOUND);
    cr_expect_null(w->breakdowns.items[at_formula(w, "dough")].lines);
    world_free(w);
}

Test(catalogue, reports_the_wrong_kind)
{
    struct world *w = world_new();
    ingredient(w, "egg", KIND_OTHER);
    the_ingredient(w, "egg")->unit = UNIT_PIECE;
    starter(w, "odd", "100", "salt 100");
    the_starter(w, "odd")->water = "milk";
    formula(w, "dough", BASIS_FINAL, "wheat 100, egg 5, bag 1");
    product(w, "loaf", "bag 1, egg 50");
    packaging(w, "loaf", "wheat", 1);
    packaging(w, "loaf", "bag", 1);
    cr_expect_not(catalogue_resolve(&w->catalogue, &w->faults));
    cr_expect(has_fault(w, FAULT_STARTER, "odd", "/flours/0/ingredient"));
    cr_expect(has_fault(w, FAULT_STARTER, "odd", "/water"));
    cr_expect(formula_fault(w, "dough", "/lines/1"));
    cr_expect(formula_fault(w, "dough", "/lines/2"));
    cr_expect(has_fault(w, FAULT_PRODUCT, "loaf", "/parts/0"));
    cr_expect(has_fault(w, FAULT_PRODUCT, "loaf", "/parts/1"));
    cr_expect(has_fault(w, FAULT_PRODUCT, "loaf", "/packaging/0/ingredient"));
    cr_expect_eq(w->faults.count, 7);
    world_free(w);
}

Test(catalogue, holds_many_faults)
{
    struct world *w = world_new();
    char path[32];
    for (int i = 0; i < 1000; i++) {
        snprintf(path, sizeof path, "/lines/%d", i);
        cr_expect_not(catalogue_fault_add(&w->faults, FAULT_FORMULA, (size_t)i, path, "n. %d", i));
    }
    cr_expect_eq(w->faults.count, 1000);
    cr_expect_str_eq(w->faults.items[777].path, "/lines/777");
    cr_expect_str_eq(w->faults.items[777].text, "n. 777");
    world_free(w);
}
