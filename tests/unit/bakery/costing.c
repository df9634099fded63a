/* What a piece costs: cases worked by hand, holes, and published check values. */
#include "costing_world.h"
#include "csv.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

TestSuite(costing, .timeout = 60);

static const char day[] = "2027-05-10";

/* Wheat 0.0008 a gram, water 0.000002, salt 0.0005, a bag 0.03; a loaf of 1000 g of dough: wheat
 * 500, water 350, salt 10, levain 140 (wheat 70, water 70). */
static struct costs lane(void)
{
    struct costs c = {.w = world_new()};
    struct world *w = c.w;
    starter(w, "levain", "100", "wheat 100");
    formula(w, "dough", BASIS_FINAL, "wheat 100, water 70, salt 2, starter levain 28");
    stages(w, "dough", "knead 10, bulk 180, shape 30, bake 40, clean 0");
    product(w, "loaf", "dough 1000");
    packaging(w, "loaf", "bag", 1);
    price(w, "wheat", "25000", "20");
    price(w, "water", "1000000", "2");
    price(w, "salt", "10000", "5");
    price(w, "bag", "1000", "30");
    w->catalogue.prices[at_ingredient(w, "wheat")].from = day_of("2027-01-15");
    open_world(w);
    return c;
}

/* 20 % of the mix stays behind, two spare pieces on ten, half a gram of levain thrown away for a
 * gram taken; everything has a rate. */
static struct costs full_lane(void)
{
    struct costs c = lane();
    struct world *w = c.w;
    the_formula(w, "dough")->handling_loss_pct = pct("20");
    the_product(w, "loaf")->spare_pct = pct("20");
    the_product(w, "loaf")->unsold_pct = pct("20");
    the_product(w, "loaf")->bake_loss_pct = pct("10");
    the_product(w, "loaf")->labour_minutes = units("0.5", MINUTE_PLACES);
    mixer(w, "spiral", "1000", "8000");
    w->catalogue.bakery.mixers[0].power_w = 3000;
    powered_oven(w, "deck", 3, 2, 60, 4500);
    powered_oven(w, "small", 1, 1, 10, 900);
    bakes(w, "loaf", 4, 40);
    works(w, "dough", 0, 1, USES_MIXER);
    labour(w, "dough", 2, LABOUR_PER_PIECE, "1.5");
    works(w, "dough", 3, 0, USES_OVEN);
    labour(w, "dough", 3, LABOUR_PER_LOAD, "5");
    labour(w, "dough", 4, LABOUR_PER_MIX, "12");
    rate_labour(&c, "18");
    rate_energy(&c, "0.30");
    rate_delivery(&c, "24", 80);
    rate_overhead(&c, OVERHEAD_BY_MINUTES, "3300", 11000);
    c.waste = arena_array(w->arena, 1, sizeof *c.waste);
    c.waste[0] = (struct starter_waste){.taken_mg = 1000, .discarded_mg = 500};
    order(w, day, "loaf", 10, "");
    return c;
}

/* --- one loaf, every kind --- */

Test(costing, goods_of_a_loaf)
{
    struct costs c = full_lane();
    struct product_costing loaf = costing(&c, day, "loaf");
    cr_expect_eq(loaf.ordered, 10);
    cr_expect_eq(loaf.pieces, 12);
    /* 0.40 + 0.0007 + 0.005 + levain 0.056 + 0.00014 */
    cr_expect_eq(kind_value(&loaf, COST_INGREDIENTS), micros("0.46184"));
    /* 1000 / 0.8 are mixed, 250 g stay: a quarter of the loaf's */
    cr_expect_eq(kind_value(&loaf, COST_HANDLING), micros("0.11546"));
    /* two of ten: 0.2 x (0.46184 + 0.11546) */
    cr_expect_eq(kind_value(&loaf, COST_SPARE), micros("0.11546"));
    /* 140 / 0.8 x 1.2 = 210 g taken, 105 g thrown away: wheat 52.5 g, water 52.5 g */
    cr_expect_eq(kind_value(&loaf, COST_STARTER), micros("0.042105"));
    /* 0.03 x 1.2 */
    cr_expect_eq(kind_value(&loaf, COST_PACKAGING), micros("0.036"));
    cr_expect_eq(loaf.ingredients_micros, micros("0.734865"));
    world_free(c.w);
}

Test(costing, work_of_a_loaf)
{
    struct costs c = full_lane();
    struct product_costing loaf = costing(&c, day, "loaf");
    /* 12 pieces of 1250 g are 15 kg: two batches of a mixer of 8 kg. Minutes of one ordered piece:
     * knead 10 x 2 / 10 = 2, shape 1.5 x 12 / 10 = 1.8, bake 5 x 2 loads of 8 / 10 = 1,
     * clean 12 / 10 = 1.2, by hand 0.5 x 1.2 = 0.6: 6.6 at 0.30 */
    cr_expect_eq(loaf.labour_minutes, units("6.6", MINUTE_PLACES));
    cr_expect_eq(kind_value(&loaf, COST_LABOUR), micros("1.98"));
    /* kneading 3 kW x 20 min = 1 kWh; baking 4.5 kW x 2 x 40 min = 6 kWh; two decks of three heated
     * for 60 min = 9 kWh: 16 kWh / 10 x 0.30 */
    cr_expect_eq(kind_value(&loaf, COST_ENERGY), micros("0.48"));
    cr_expect_eq(kind_value(&loaf, COST_DELIVERY), micros("0.30"));
    /* 3300 / 11000 x 6.6 */
    cr_expect_eq(kind_value(&loaf, COST_OVERHEAD), micros("1.98"));
    world_free(c.w);
}

Test(costing, the_whole_of_a_loaf)
{
    struct costs c = full_lane();
    struct product_costing loaf = costing(&c, day, "loaf");
    /* 0.46184 + 0.11546 + 0.11546 + 0.042105 + 0.036 + 1.98 + 0.48 + 0.30 + 1.98 = 5.510865;
     * a quarter of it for the fifth that comes back: 1.37771625 */
    cr_expect_eq(kind_value(&loaf, COST_UNSOLD), micros("1.377716"));
    cr_expect_eq(loaf.each_micros, micros("6.888581"));
    cr_expect(loaf.known);
    cr_expect_eq(loaf.missing_count, 0);
    cr_expect_eq(loaf.root->value, loaf.each_micros);
    /* 900 g baked: 6.888581 / 0.9 = 7.65397888… */
    cr_expect_eq(loaf.baked_mg, mg("900"));
    cr_expect_eq(loaf.per_kg_micros, micros("7.653979"));
    /* Kneading 0.60, baking 0.30, cleaning 0.36, heating 0.27, overhead 1.98: 3.51, and a quarter
     * of it, for ten pieces. */
    cr_expect_eq(loaf.day_fixed_micros, micros("43.875"));
    cr_expect_eq(loaf.each_variable_micros, micros("2.501081"));
    cr_expect_eq(loaf.day_fixed_micros + 10 * loaf.each_variable_micros, 10 * loaf.each_micros);
    size_t leaves = 0;
    cr_expect_eq(check_tree(loaf.root, &leaves), loaf.each_micros);
    for (int kind = 0; kind < COST_KINDS; kind++)
        cr_expect_not(loaf.left_out[kind]);
    world_free(c.w);
}

/* Loaf, ingredients, dough, levain, wheat: 70 g of a pack of 25 kg at 20.00. */
Test(costing, the_chain_opens_down_to_the_pack_price)
{
    struct costs c = full_lane();
    struct product_costing loaf = costing(&c, day, "loaf");
    const struct why *dough = child(loaf.kinds[COST_INGREDIENTS], 0);
    const struct why *levain = child(dough, 3);
    const struct why *wheat = child(levain, 1); /* after the water, by code */
    cr_expect_str_eq(loaf.root->source, "/api/v1/products/loaf");
    cr_expect_str_eq(dough->source, "/api/v1/formulas/dough");
    cr_expect_eq(dough->quantity, mg("1000"));
    cr_expect_str_eq(levain->source, "/api/v1/starters/levain");
    cr_expect_eq(levain->quantity, mg("140"));
    cr_expect_str_eq(wheat->source, "/api/v1/ingredients/wheat/prices/2027-01-15");
    cr_expect_eq(wheat->unit, WHY_GRAMS);
    cr_expect_eq(wheat->quantity, mg("70"));
    cr_expect_eq(wheat->value, micros("0.056"));
    cr_expect(wheat->rate.known);
    cr_expect_eq(wheat->rate.micros, micros("20"));
    cr_expect_eq(wheat->rate.quantity, mg("25000"));
    cr_expect_eq(wheat->rate.from, day_of("2027-01-15"));
    world_free(c.w);
}

Test(costing, work_opens_down_to_the_rates)
{
    struct costs c = full_lane();
    struct product_costing loaf = costing(&c, day, "loaf");
    const struct why *mix = child(loaf.kinds[COST_LABOUR], 0);
    const struct why *knead = child(mix, 0);
    cr_expect_str_eq(mix->what, "dough, mixed on 2027-05-09 in 2 batches: 100 % of it");
    cr_expect_str_eq(mix->source, "/api/v1/formulas/dough");
    cr_expect_str_eq(knead->what, "knead: 10 minutes a batch");
    cr_expect_str_eq(knead->source, "/api/v1/rates/2027-01-01");
    cr_expect_eq(knead->quantity, units("2", MINUTE_PLACES));
    cr_expect_eq(knead->rate.quantity, units("60", MINUTE_PLACES));
    cr_expect_str_eq(child(mix, 2)->what, "bake: 5 minutes a load");
    const struct why *baking = child(loaf.kinds[COST_ENERGY], 1);
    cr_expect_str_eq(child(baking, 0)->what, "baked in 2 loads of 40 minutes in the oven deck");
    cr_expect_eq(child(baking, 0)->quantity, 600000, "0.6 kWh in milliwatt-hours");
    cr_expect_str_eq(child(baking, 1)->what, "heating 2 decks for 60 minutes");
    world_free(c.w);
}

/* --- what is left out, what is missing --- */

Test(costing, kinds_without_a_rate_are_left_out)
{
    struct costs c = full_lane();
    c.rates = (struct rates){.known = false};
    struct product_costing loaf = costing(&c, day, "loaf");
    for (int kind = 0; kind < COST_KINDS; kind++) {
        bool rated = kind >= COST_LABOUR && kind <= COST_OVERHEAD;
        cr_expect_eq(loaf.left_out[kind], rated, "%s", cost_words[kind]);
        if (rated) cr_expect_null(loaf.kinds[kind]);
    }
    cr_expect(loaf.known, "what is left out is no hole");
    cr_expect_eq(loaf.labour_minutes, units("6.6", MINUTE_PLACES), "told all the same");
    /* 0.770865 x 1.25 = 0.96358125 */
    cr_expect_eq(loaf.each_micros, micros("0.963581"));
    cr_expect_eq(loaf.day_fixed_micros, 0);
    world_free(c.w);
}

static bool misses(const struct product_costing *of, const char *what, const char *source)
{
    for (size_t i = 0; i < of->missing_count; i++)
        if (strcmp(of->missing[i].what, what) == 0 && strcmp(of->missing[i].source, source) == 0)
            return true;
    return false;
}

Test(costing, a_missing_price_is_a_hole_named_once)
{
    struct costs c = full_lane();
    c.w->catalogue.prices[at_ingredient(c.w, "water")].known = false;
    struct product_costing loaf = costing(&c, day, "loaf");
    cr_expect_not(loaf.known);
    cr_expect_eq(loaf.missing_count, 1);
    cr_expect(misses(&loaf, "price of water", "/api/v1/ingredients/water/prices"));
    cr_expect(loaf.kinds[COST_INGREDIENTS]->missing);
    cr_expect_not(loaf.kinds[COST_LABOUR]->missing);
    /* Without water's 0.0007 + 0.00014, a quarter of it, 0.2 x 1.25 of it, and 0.000105. */
    cr_expect_eq(loaf.ingredients_micros, micros("0.734865") - micros("0.00084") -
                                              micros("0.00021") - micros("0.00021") -
                                              micros("0.000105"));
    size_t leaves = 0;
    cr_expect_eq(check_tree(loaf.root, &leaves), loaf.each_micros);
    world_free(c.w);
}

Test(costing, a_missing_power_is_a_hole_when_there_is_a_tariff)
{
    struct costs c = full_lane();
    c.w->catalogue.bakery.mixers[0].power_w = 0;
    c.w->catalogue.bakery.ovens[0].power_w = 0;
    struct product_costing loaf = costing(&c, day, "loaf");
    cr_expect_eq(loaf.missing_count, 2);
    cr_expect(misses(&loaf, "power of the mixer spiral", "/api/v1/bakery"));
    cr_expect(misses(&loaf, "power of the oven deck", "/api/v1/bakery"));
    cr_expect_eq(kind_value(&loaf, COST_ENERGY), 0);
    rate_energy(&c, "");
    cr_expect(costing(&c, day, "loaf").known);
    rate_energy(&c, "0.30");
    works(c.w, "dough", 0, 1, USES_NOTHING);
    works(c.w, "dough", 3, 0, USES_COLD);
    the_product(c.w, "loaf")->bake = (struct bake){0};
    cr_expect(costing(&c, day, "loaf").known,
              "no stage uses them; the first would when none said what it uses");
    world_free(c.w);
}

Test(costing, a_bake_of_unknown_capacity_is_a_hole)
{
    struct costs c = full_lane();
    the_product(c.w, "loaf")->bake = (struct bake){0};
    struct product_costing loaf = costing(&c, day, "loaf");
    cr_expect_eq(loaf.missing_count, 1);
    cr_expect(misses(&loaf, "pieces of loaf on one place of the oven", "/api/v1/products/loaf"));
    cr_expect_eq(loaf.labour_minutes, units("6.6", MINUTE_PLACES), "a load is a batch: two");
    c.w->catalogue.bakery.oven_count = 0;
    loaf = costing(&c, day, "loaf");
    cr_expect(loaf.known, "no ovens, no energy of ovens");
    cr_expect_eq(kind_value(&loaf, COST_ENERGY), micros("0.03"));
    world_free(c.w);
}

Test(costing, labour_without_hands_is_nothing)
{
    struct costs c = lane();
    rate_labour(&c, "18");
    order(c.w, day, "loaf", 3, "");
    struct product_costing loaf = costing(&c, day, "loaf");
    cr_expect(loaf.known);
    cr_expect_not(loaf.left_out[COST_LABOUR]);
    cr_expect_null(loaf.kinds[COST_LABOUR]);
    cr_expect_eq(loaf.each_micros, micros("0.49184"));
    world_free(c.w);
}

/* --- shared mixes --- */

/* Ten of 600 g and ten of 400 g of one mix; 20 minutes a mix: 12 and 8 of them, 1.2 and 0.8 a
 * piece. Another day's five of 800 g in the same mix would take 4000 of 14000 g. */
static struct costs shared(void)
{
    struct costs c = {.w = world_new()};
    formula(c.w, "dough", BASIS_FINAL, "wheat 100, water 70");
    stages(c.w, "dough", "knead 20");
    product(c.w, "large", "dough 600");
    product(c.w, "small", "dough 400");
    product(c.w, "other", "dough 800");
    price(c.w, "wheat", "1000", "1");
    price(c.w, "water", "1000", "0");
    open_world(c.w);
    labour(c.w, "dough", 0, LABOUR_PER_MIX, "20");
    rate_labour(&c, "60");
    order(c.w, day, "large", 10, "");
    order(c.w, day, "small", 10, "");
    return c;
}

Test(costing, a_mix_is_divided_by_weight)
{
    struct costs c = shared();
    cr_expect_eq(costing(&c, day, "large").labour_minutes, units("1.2", MINUTE_PLACES));
    cr_expect_eq(costing(&c, day, "small").labour_minutes, units("0.8", MINUTE_PLACES));
    cr_expect_eq(kind_value(&(struct product_costing){0}, COST_LABOUR), 0);
    world_free(c.w);
}

Test(costing, a_mix_of_two_days_is_divided_between_them)
{
    struct costs c = shared();
    the_formula(c.w, "dough")->stages[0].minutes = 0;
    order(c.w, "2027-05-11", "other", 5, "");
    cr_expect_eq(costing(&c, day, "large").labour_minutes, units("1.2", MINUTE_PLACES));
    /* Ready at 11:00 and the next day at 06:30: one working day from noon to noon. */
    the_product(c.w, "large")->ready_at = the_product(c.w, "small")->ready_at = 13 * 60;
    /* 20 x 6000 / 14000 / 10 = 0.857142… */
    cr_expect_eq(costing(&c, day, "large").labour_minutes, units("0.8571", MINUTE_PLACES));
    /* 20 x 4000 / 14000 / 5 = 1.142857… */
    cr_expect_eq(costing(&c, "2027-05-11", "other").labour_minutes, units("1.1429", MINUTE_PLACES));
    world_free(c.w);
}

/* What is counted by the piece is the product's own: the same in a shared mix, and in two mixes for
 * two times of the day. */
Test(costing, minutes_by_the_piece_are_not_divided)
{
    struct costs c = shared();
    labour(c.w, "dough", 0, LABOUR_PER_PIECE, "3");
    cr_expect_eq(costing(&c, day, "large").labour_minutes, units("3", MINUTE_PLACES));
    cr_expect_eq(costing(&c, day, "small").labour_minutes, units("3", MINUTE_PLACES));
    order(c.w, day, "large", 5, "18:00");
    struct product_costing large = costing(&c, day, "large");
    cr_expect_eq(large.labour_minutes, units("3", MINUTE_PLACES));
    cr_expect_eq(large.kinds[COST_LABOUR]->child_count, 2, "mixed on two working days");
    world_free(c.w);
}

/* Two mixes of a day by 20 minutes: ten pieces of 600 g in one that the small shares (1.2), five in
 * one of their own: (12 + 20) / 15. */
Test(costing, each_mix_counts_with_its_own_share)
{
    struct costs c = shared();
    order(c.w, day, "large", 5, "18:00");
    cr_expect_eq(costing(&c, day, "large").labour_minutes, units("2.1333", MINUTE_PLACES));
    cr_expect_eq(costing(&c, day, "small").labour_minutes, units("0.8", MINUTE_PLACES));
    world_free(c.w);
}

/* A poolish of 30 minutes a mix: the white takes 3000 g of it, the rye 1000 g: 22.5 and 7.5
 * minutes, 2.25 and 0.75 a piece. */
Test(costing, a_preferment_is_divided_among_the_doughs_that_take_it)
{
    struct costs c = {.w = world_new()};
    formula(c.w, "poolish", BASIS_FINAL, "wheat 100, water 100");
    stages(c.w, "poolish", "stir 0");
    formula(c.w, "white", BASIS_FINAL, "wheat 100, water 40, formula poolish 60");
    formula(c.w, "dark", BASIS_FINAL, "rye 100, water 80, formula poolish 20");
    product(c.w, "baton", "white 1000");
    product(c.w, "brick", "dark 1000");
    open_world(c.w);
    labour(c.w, "poolish", 0, LABOUR_PER_MIX, "30");
    rate_labour(&c, "60");
    order(c.w, day, "baton", 10, "");
    order(c.w, day, "brick", 10, "");
    cr_expect_eq(costing(&c, day, "baton").labour_minutes, units("2.25", MINUTE_PLACES));
    cr_expect_eq(costing(&c, day, "brick").labour_minutes, units("0.75", MINUTE_PLACES));
    world_free(c.w);
}

/* One bread of two doughs is baked once, with the stages of the heavier. */
Test(costing, two_doughs_are_baked_once)
{
    struct costs c = {.w = world_new()};
    formula(c.w, "light", BASIS_FINAL, "wheat 100, water 70");
    formula(c.w, "dark", BASIS_FINAL, "rye 100, water 70");
    stages(c.w, "light", "bake 30");
    stages(c.w, "dark", "bake 50");
    product(c.w, "marbled", "light 500, dark 300");
    open_world(c.w);
    works(c.w, "light", 0, 1, USES_OVEN);
    works(c.w, "dark", 0, 1, USES_OVEN);
    powered_oven(c.w, "deck", 1, 1, 0, 6000);
    the_product(c.w, "marbled")->bake.per_place = 5;
    rate_labour(&c, "60");
    rate_energy(&c, "1");
    order(c.w, day, "marbled", 10, "");
    struct product_costing marbled = costing(&c, day, "marbled");
    /* Two loads of 30 minutes for ten pieces: 6 minutes, and 6 kW x 1 h / 10. */
    cr_expect_eq(marbled.labour_minutes, units("6", MINUTE_PLACES));
    cr_expect_eq(kind_value(&marbled, COST_ENERGY), micros("0.6"));
    world_free(c.w);
}

/* Two products, three loads of 20 minutes and one of 60 in a deck that takes an hour to heat: each
 * bears half. */
Test(costing, heating_is_shared_by_the_minutes_in_the_deck)
{
    struct costs c = {.w = world_new()};
    formula(c.w, "dough", BASIS_FINAL, "wheat 100, water 70");
    product(c.w, "roll", "dough 60");
    product(c.w, "brick", "dough 1000");
    open_world(c.w);
    powered_oven(c.w, "deck", 1, 1, 60, 1000);
    bakes(c.w, "roll", 10, 20);
    bakes(c.w, "brick", 5, 60);
    rate_energy(&c, "1");
    order(c.w, day, "roll", 30, "");
    order(c.w, day, "brick", 5, "");
    struct product_costing roll = costing(&c, day, "roll");
    struct product_costing brick = costing(&c, day, "brick");
    /* 1 kWh of baking and 0.5 kWh of heating each, over 30 and over 5 pieces. */
    cr_expect_eq(kind_value(&roll, COST_ENERGY), micros("0.033333") + micros("0.016667"));
    cr_expect_eq(kind_value(&brick, COST_ENERGY), micros("0.2") + micros("0.1"));
    cr_expect_eq(roll.day_fixed_micros, 30 * micros("0.016667"));
    world_free(c.w);
}

Test(costing, overhead_by_pieces)
{
    struct costs c = lane();
    rate_overhead(&c, OVERHEAD_BY_PIECES, "3000", 9000);
    struct product_costing loaf = costing(&c, day, "loaf");
    cr_expect_eq(kind_value(&loaf, COST_OVERHEAD), micros("0.333333"));
    cr_expect_eq(loaf.ordered, 1, "nobody ordered it, no load is known");
    world_free(c.w);
}

/* --- products that nobody ordered --- */

Test(costing, what_nobody_ordered_is_costed_by_the_load)
{
    struct costs c = full_lane();
    size_t count;
    c.w->demand_count = 0;
    struct product_costing loaf = costing(&c, day, "loaf");
    cr_expect_eq(loaf.ordered, 8, "four on each of two places");
    cr_expect_eq(loaf.pieces, 10);
    costings(&c, day, NULL, &count);
    cr_expect_eq(count, 0, "of all that is ordered");
    order(c.w, day, "loaf", 0, "");
    costings(&c, day, NULL, &count);
    cr_expect_eq(count, 0, "nothing is no order");
    cr_expect_eq(costing(&c, day, "loaf").ordered, 8);
    world_free(c.w);
}

Test(costing, short_memory_is_told)
{
    for (long n = 1;; n++) {
        struct costs c = full_lane();
        struct costing_day of = costing_day_of(&c, day);
        struct product_costing *out;
        size_t count;
        c.w->catalogue.prices[at_ingredient(c.w, "salt")].known = false;
        c.w->catalogue.bakery.mixers[0].power_w = 0;
        arena_fail_nth(n);
        bool done = costing_of(&of, NOT_FOUND, &out, &count);
        arena_fail_nth(0);
        cr_assert_eq(done, !arena_failed(c.w->arena), "allocation %ld", n);
        if (!done) cr_assert_eq(fails_code(&c.w->fails), FAIL_UNAVAILABLE, "allocation %ld", n);
        world_free(c.w);
        if (!done) continue;
        cr_assert_gt(n, 100, "only %ld allocations failed", n - 1);
        return;
    }
}

/* --- typical days --- */

Test(costing, a_typical_day_is_the_mean_of_days_with_orders)
{
    struct costs c = full_lane();
    struct world *w = c.w;
    size_t count;
    product(w, "bun", "dough 80");
    product(w, "never", "dough 500");
    open_world(w);
    bakes(w, "never", 6, 30);
    w->demand_count = 0;
    /* Loaf: 10 + 5, 6, 0: 21 over two days is 10.5, so 11. Bun: 7 over one. */
    order(w, "2027-05-03", "loaf", 10, "");
    order(w, "2027-05-05", "loaf", 6, "");
    order(w, "2027-05-03", "loaf", 5, "05:00");
    order(w, "2027-05-04", "loaf", 0, "");
    order(w, "2027-05-04", "bun", 7, "");
    struct demand *typical = typical_demands(&w->reckoning, day_of(day), w->demands,
                                             w->demand_count, &count);
    cr_assert_not_null(typical);
    cr_assert_eq(count, 3);
    cr_expect_eq(typical[at_product(w, "loaf")].pieces, 11);
    cr_expect_eq(typical[at_product(w, "bun")].pieces, 7);
    cr_expect_eq(typical[at_product(w, "never")].pieces, 12, "one load of two places");
    for (size_t i = 0; i < count; i++) {
        cr_expect_eq(typical[i].product, i);
        cr_expect_eq(typical[i].bread_day, day_of(day));
        cr_expect_eq(typical[i].ready_at, NO_CLOCK);
    }
    world_free(w);
}
