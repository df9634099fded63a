/* What a bread day uses, and what it costs. */
#include "world.h"

#include <criterion/criterion.h>

TestSuite(needs, .timeout = 30);

static struct world *bakery_with_losses(void)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 80, rye 20");
    formula(w, "build", BASIS_FINAL, "wheat 100, water 100, starter levain 50");
    the_formula(w, "build")->handling_loss_pct = pct("20");
    formula(w, "dough", BASIS_FINAL, "wheat 100, water 48, salt 2, formula build 50");
    the_formula(w, "dough")->handling_loss_pct = pct("50");
    product(w, "loaf", "dough 1000, seeds 10");
    packaging(w, "loaf", "bag", 2);
    open_world(w);
    return w;
}

Test(needs, explodes_with_every_levels_loss)
{
    struct world *w = bakery_with_losses();
    order(w, "2027-05-10", "loaf", 10, "");
    struct needs needs = needs_on(w, "2027-05-10");
    /* Dough 20,000 of which build 5,000; 6,250 are mixed: starter 1,250, wheat and water 2,500. */
    cr_expect_eq(need_mg(w, &needs, "wheat"), mg("13000"), "10,000 + 2,500 + 500");
    cr_expect_eq(need_mg(w, &needs, "rye"), mg("125"));
    cr_expect_eq(need_mg(w, &needs, "water"), mg("7925"), "4,800 + 2,500 + 625");
    cr_expect_eq(need_mg(w, &needs, "salt"), mg("200"));
    cr_expect_eq(need_mg(w, &needs, "seeds"), mg("100"));
    cr_expect_eq(needs.ingredients[0].ingredient, at_ingredient(w, "bag"), "by code");
    cr_expect_eq(needs.ingredients[0].pieces, 20);
    cr_expect_eq(needs.ingredient_count, 6);
    cr_assert_eq(needs.starter_count, 1);
    cr_expect_eq(needs.starters[0].mg, mg("1250"), "without what is kept back");
    world_free(w);
}

Test(needs, of_one_bread_day_only)
{
    struct world *w = bakery_with_losses();
    order(w, "2027-05-11", "loaf", 10, "");
    struct needs needs = needs_on(w, "2027-05-10");
    cr_expect_eq(needs.ingredient_count, 0);
    cr_expect_eq(needs.starter_count, 0);
    cr_expect(needs.priced);
    cr_expect_eq(needs.micros, 0);
    world_free(w);
}

Test(needs, cost_is_pack_price_over_pack)
{
    struct world *w = bakery_with_losses();
    price(w, "wheat", "25000", "18.40");
    price(w, "rye", "25000", "21");
    price(w, "water", "1000000", "2.15");
    price(w, "salt", "10000", "4.99");
    price(w, "seeds", "5000", "13.333333");
    price(w, "bag", "1000", "31");
    order(w, "2027-05-10", "loaf", 10, "");
    struct needs needs = needs_on(w, "2027-05-10");
    cr_expect(needs.priced);
    cr_expect_eq(needs.ingredients[0].micros, micros("0.62"), "bags");
    cr_expect_eq(needs.ingredients[1].micros, micros("0.105"), "rye");
    cr_expect_eq(needs.ingredients[3].micros, micros("0.266667"), "seeds, 0.26666666");
    cr_expect_eq(needs.ingredients[4].micros, micros("0.017039"), "water, 0.01703875");
    cr_expect_eq(needs.ingredients[5].micros, micros("9.568"), "wheat");
    int64_t sum = 0;
    for (size_t i = 0; i < needs.ingredient_count; i++)
        sum += needs.ingredients[i].micros;
    cr_expect_eq(needs.micros, sum, "of what is printed");
    world_free(w);
}

Test(needs, a_missing_price_is_not_zero)
{
    struct world *w = bakery_with_losses();
    order(w, "2027-05-10", "loaf", 10, "");
    struct needs needs = needs_on(w, "2027-05-10");
    cr_expect_not(needs.priced);
    price(w, "wheat", "25000", "18.40");
    price(w, "rye", "25000", "0");
    price(w, "milk", "1000", "1");
    needs = needs_on(w, "2027-05-10");
    cr_expect_not(needs.priced);
    cr_expect_eq(needs.micros, micros("9.568"), "of those that have one");
    for (size_t i = 0; i < needs.ingredient_count; i++) {
        size_t of = needs.ingredients[i].ingredient;
        bool known = of == at_ingredient(w, "wheat") || of == at_ingredient(w, "rye");
        cr_expect_eq(needs.ingredients[i].priced, known);
    }
    world_free(w);
}

/* A price by the pack of pieces says nothing of grams. */
Test(needs, a_price_of_the_wrong_measure_is_none)
{
    struct world *w = bakery_with_losses();
    price(w, "seeds", "1000", "1");
    w->catalogue.prices[at_ingredient(w, "seeds")].pack_mg = 0;
    w->catalogue.prices[at_ingredient(w, "seeds")].pack_pieces = 10;
    price(w, "bag", "1000", "1");
    w->catalogue.prices[at_ingredient(w, "bag")].pack_pieces = 0;
    w->catalogue.prices[at_ingredient(w, "bag")].pack_mg = 1000;
    order(w, "2027-05-10", "loaf", 10, "");
    struct needs needs = needs_on(w, "2027-05-10");
    cr_expect_not(needs.ingredients[0].priced);
    cr_expect_not(needs.ingredients[3].priced);
    world_free(w);
}

/* --- cost --- */

static void price_all(struct world *w)
{
    price(w, "wheat", "25000", "18.40");
    price(w, "rye", "25000", "21");
    price(w, "water", "1000000", "2.15");
    price(w, "salt", "10000", "4.99");
    price(w, "seeds", "5000", "13.333333");
    price(w, "bag", "1000", "31");
}

Test(needs, a_product_costs_what_its_pieces_use)
{
    struct world *w = bakery_with_losses();
    price_all(w);
    the_product(w, "loaf")->spare_pct = pct("5");
    order(w, "2027-05-10", "loaf", 10, "");
    struct day_cost cost = cost_on(w, "2027-05-10");
    cr_assert_eq(cost.product_count, 1);
    /* A piece: wheat 0.9568, rye 0.0105, water 0.001703875, salt 0.00998, seeds 0.0266666660,
     * bags 0.062: 1.067650541; eleven are baked. */
    cr_expect_eq(cost.products[0].pieces, 11);
    cr_expect_eq(cost.products[0].each_micros, 1067651);
    cr_expect_eq(cost.products[0].micros, 11744156, "11.744155951, not eleven times the rounded");
    cr_expect(cost.products[0].priced);
    cr_expect(cost.priced);
    cr_expect_eq(cost.micros, 11744156);
    world_free(w);
}

Test(needs, products_that_miss_a_price_say_which)
{
    struct world *w = bakery_with_losses();
    product(w, "plain", "dough 500");
    product(w, "jar", "seeds 400");
    open_world(w);
    price_all(w);
    w->catalogue.prices[at_ingredient(w, "rye")].known = false;
    w->catalogue.prices[at_ingredient(w, "bag")].known = false;
    order(w, "2027-05-10", "loaf", 1, "");
    order(w, "2027-05-10", "plain", 1, "");
    order(w, "2027-05-10", "jar", 1, "");
    struct day_cost cost = cost_on(w, "2027-05-10");
    cr_assert_eq(cost.product_count, 3);
    cr_expect_not(cost.priced);
    cr_expect(cost.products[0].priced);
    cr_expect_eq(cost.products[0].micros, micros("1.066667"));
    cr_assert_eq(cost.products[1].missing_count, 2);
    cr_expect_eq(cost.products[1].missing[0], at_ingredient(w, "bag"));
    cr_expect_eq(cost.products[1].missing[1], at_ingredient(w, "rye"), "through the starter");
    cr_expect_eq(cost.products[2].missing_count, 1);
    cr_expect_eq(cost.micros, micros("1.066667"), "of those that have one");
    world_free(w);
}

Test(needs, money_rounds_half_to_even)
{
    struct world *w = world_new();
    product(w, "a", "seeds 1");
    product(w, "b", "milk 1");
    open_world(w);
    price(w, "seeds", "1000", "0.0025");
    price(w, "milk", "1000", "0.0035");
    order(w, "2027-05-10", "a", 1, "");
    order(w, "2027-05-10", "b", 1, "");
    struct day_cost cost = cost_on(w, "2027-05-10");
    cr_expect_eq(cost.products[0].micros, 2, "2.5 millionths");
    cr_expect_eq(cost.products[1].micros, 4, "3.5 millionths");
    cr_expect_eq(cost.micros, 6, "the sum of the printed");
    world_free(w);
}

/* Only what the day uses is costed: a price beyond all reckoning elsewhere does no harm. */
Test(needs, formulas_not_used_are_not_costed)
{
    struct world *w = bakery_with_losses();
    formula(w, "gold", BASIS_FINAL, "milk 100");
    the_formula(w, "gold")->handling_loss_pct = pct("99.9999");
    formula(w, "more-gold", BASIS_FINAL, "formula gold 100");
    the_formula(w, "more-gold")->handling_loss_pct = pct("99.9999");
    product(w, "ingot", "more-gold 1000");
    open_world(w);
    price_all(w);
    price(w, "milk", "0.001", "9000");
    order(w, "2027-05-10", "loaf", 1, "");
    cr_expect_eq(cost_on(w, "2027-05-10").products[0].each_micros, 1067651);
    struct day_cost cost;
    order(w, "2027-05-10", "ingot", 1, "");
    cr_expect_not(
        day_cost_of(&w->reckoning, day_of("2027-05-10"), w->demands, w->demand_count, &cost));
    cr_expect_eq(fails_code(&w->fails), FAIL_INVALID);
    world_free(w);
}
