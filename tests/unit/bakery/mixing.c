/* The mixing list: what is mixed on a date, joined, batched, weighed; and its horizon. */
#include "world.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(mixing, .timeout = 30);

/* A country bread: levain build 12 h before the dough, soaker 8 h, dough 14 h before it is ready.
 */
static struct world *country_bakery(void)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 80, rye 20");
    the_starter(w, "levain")->keep_mg = mg("500");
    formula(w, "build", BASIS_FINAL, "wheat 100, water 100, starter levain 50");
    stages(w, "build", "ferment 720");
    formula(w, "soaker", BASIS_FINAL, "seeds 100, water 100");
    the_formula(w, "soaker")->by_hand = true;
    stages(w, "soaker", "soak 480");
    formula(w, "country", BASIS_FINAL,
            "wheat 100, water 60, salt 2, formula build 50, formula soaker 38");
    stages(w, "country", "mix 20, bulk 180, proof 600, bake 40");
    product(w, "loaf", "country 1000");
    open_world(w);
    return w;
}

Test(mixing, a_dough_is_divided_by_its_percentages)
{
    struct world *w = country_bakery();
    order(w, "2027-05-10", "loaf", 25, "");
    struct mixing_list list = list_on(w, "2027-05-09");
    cr_assert_eq(list.mix_count, 1);
    const struct mix *mix = &list.mixes[0];
    cr_expect_eq(mix->dough_mg, mg("25000"));
    cr_expect_eq(mix->batches, 1);
    cr_expect_eq(mix->batch_mg, mg("25000"));
    cr_expect_null(mix->mixer);
    cr_expect_not(mix->under_minimum);
    cr_expect_eq(mix->lines[0].exact_mg, mg("10000"));
    cr_expect_eq(mix->lines[0].pct, pct("100"));
    cr_expect_eq(mix->lines[3].exact_mg, mg("5000"));
    cr_expect_eq(mix->lines[3].pct, pct("50"));
    cr_expect_str_eq(clock_text(w, mix->begins), "2027-05-09T16:30:00+01:00");
    world_free(w);
}

Test(mixing, preferments_are_on_the_list_of_their_own_date)
{
    struct world *w = country_bakery();
    order(w, "2027-05-10", "loaf", 25, "");
    struct mixing_list list = list_on(w, "2027-05-08");
    cr_assert_eq(list.mix_count, 2);
    const struct mix *build = &list.mixes[0];
    cr_expect_eq(build->formula, at_formula(w, "build"), "by begin");
    cr_expect_str_eq(clock_text(w, build->begins), "2027-05-09T04:30:00+01:00",
                     "ready when the dough begins");
    cr_expect_eq(build->dough_mg, mg("5000"));
    cr_expect_str_eq(day_text(build->bread_days[0]), "2027-05-10");
    const struct mix *soaker = &list.mixes[1];
    cr_expect_str_eq(clock_text(w, soaker->begins), "2027-05-09T08:30:00+01:00");
    cr_expect_eq(soaker->dough_mg, mg("3800"));
    cr_assert_eq(list.starter_count, 1);
    cr_expect_eq(list.starters[0].mg, mg("1000"));
    cr_expect_eq(list.starters[0].keep_mg, mg("500"));
    cr_expect_eq(list.starters[0].total_mg, mg("1500"));
    cr_assert_eq(list.pieces_count, 1);
    cr_expect_eq(list.pieces[0].pieces, 25);
    cr_expect_eq(list_on(w, "2027-05-07").mix_count, 0);
    cr_expect_eq(list_on(w, "2027-05-10").mix_count, 0);
    world_free(w);
}

Test(mixing, a_preferments_own_loss_makes_more_of_it)
{
    struct world *w = country_bakery();
    the_formula(w, "build")->handling_loss_pct = pct("20");
    the_formula(w, "country")->handling_loss_pct = pct("50");
    order(w, "2027-05-10", "loaf", 25, "");
    struct mixing_list list = list_on(w, "2027-05-09");
    cr_expect_eq(mix_of(w, &list, "country")->dough_mg, mg("50000"));
    cr_expect_eq(mix_of(w, &list, "country")->lines[3].exact_mg, mg("10000"),
                 "the line weighs what comes out");
    list = list_on(w, "2027-05-08");
    cr_expect_eq(mix_of(w, &list, "build")->dough_mg, mg("12500"));
    cr_expect_eq(mix_of(w, &list, "soaker")->dough_mg, mg("7600"));
    world_free(w);
}

Test(mixing, steps_follow_each_other_in_elapsed_time)
{
    struct world *w = country_bakery();
    order(w, "2027-10-31", "loaf", 1, "06:30");
    struct mixing_list list = list_on(w, "2027-10-30");
    const struct mix *mix = mix_of(w, &list, "country");
    cr_expect_str_eq(clock_text(w, mix->begins), "2027-10-30T17:30:00+01:00", "an hour is won");
    cr_expect_eq(mix->steps[0].begins, mix->begins);
    for (size_t n = 1; n < 4; n++)
        cr_expect_eq(mix->steps[n].begins, mix->steps[n - 1].ends);
    cr_expect_str_eq(clock_text(w, mix->steps[3].ends), "2027-10-31T06:30:00+00:00");
    world_free(w);
}

Test(mixing, without_stages_a_mix_begins_when_it_must_be_ready)
{
    struct world *w = world_new();
    formula(w, "pancake", BASIS_FINAL, "wheat 100, milk 200");
    product(w, "pancakes", "pancake 80");
    open_world(w);
    order(w, "2027-05-10", "pancakes", 10, "12:30");
    struct mixing_list list = list_on(w, "2027-05-10");
    cr_assert_eq(list.mix_count, 1);
    cr_expect_str_eq(clock_text(w, list.mixes[0].begins), "2027-05-10T12:30:00+01:00");
    world_free(w);
}

/* --- joining --- */

Test(mixing, doughs_of_one_working_day_are_one_mix)
{
    struct world *w = country_bakery();
    order(w, "2027-05-10", "loaf", 10, "06:30");
    order(w, "2027-05-10", "loaf", 20, "04:00");
    order(w, "2027-05-11", "loaf", 5, "01:00");
    struct mixing_list list = list_on(w, "2027-05-09");
    const struct mix *mix = mix_of(w, &list, "country");
    cr_expect_eq(mix->dough_mg, mg("35000"));
    cr_expect_str_eq(clock_text(w, mix->begins), "2027-05-09T14:00:00+01:00", "the earliest");
    cr_assert_eq(mix->bread_day_count, 2);
    cr_expect_str_eq(day_text(mix->bread_days[0]), "2027-05-10");
    cr_expect_str_eq(day_text(mix->bread_days[1]), "2027-05-11");
    cr_assert_eq(list.pieces_count, 2);
    cr_expect_eq(list.pieces[0].pieces, 30);
    cr_expect_eq(list.pieces[1].pieces, 5);
    /* One mix has one build, ready at its begin. */
    list = list_on(w, "2027-05-08");
    cr_expect_eq(mix_of(w, &list, "build")->dough_mg, mg("7000"));
    cr_expect_str_eq(clock_text(w, mix_of(w, &list, "build")->begins), "2027-05-09T02:00:00+01:00");
    world_free(w);
}

Test(mixing, the_next_working_day_begins_another_mix)
{
    struct world *w = country_bakery();
    order(w, "2027-05-10", "loaf", 1, "01:59");
    order(w, "2027-05-10", "loaf", 2, "02:00");
    struct mixing_list list = list_on(w, "2027-05-08");
    cr_expect_eq(mix_of(w, &list, "country")->dough_mg, mg("1000"), "begins 11:59");
    cr_expect_eq(list.pieces[0].pieces, 3, "the other's preferments are on the list");
    list = list_on(w, "2027-05-09");
    cr_expect_eq(mix_of(w, &list, "country")->dough_mg, mg("2000"), "begins 12:00");
    cr_expect_eq(list.pieces[0].pieces, 2);
    world_free(w);
}

Test(mixing, a_formula_that_is_sold_and_is_a_preferment_is_mixed_once)
{
    struct world *w = country_bakery();
    product(w, "starter-pot", "build 250");
    open_world(w);
    order(w, "2027-05-10", "loaf", 25, "");
    order(w, "2027-05-10", "starter-pot", 8, "06:30");
    order(w, "2027-05-09", "starter-pot", 4, "18:00");
    struct mixing_list list = list_on(w, "2027-05-08");
    cr_expect_eq(mix_of(w, &list, "build")->dough_mg, mg("6000"), "5000 and four pots");
    cr_expect_eq(mix_of(w, &list, "build")->bread_day_count, 2);
    list = list_on(w, "2027-05-09");
    cr_expect_eq(mix_of(w, &list, "build")->dough_mg, mg("2000"));
    cr_expect_eq(list.starter_count, 1);
    world_free(w);
}

Test(mixing, two_doughs_share_a_preferment)
{
    struct world *w = country_bakery();
    formula(w, "white", BASIS_FINAL, "wheat 100, water 50, formula build 50");
    stages(w, "white", "all 600");
    product(w, "tin", "white 800");
    open_world(w);
    order(w, "2027-05-10", "loaf", 25, "");
    order(w, "2027-05-10", "tin", 10, "");
    struct mixing_list list = list_on(w, "2027-05-08");
    cr_expect_eq(mix_of(w, &list, "build")->dough_mg, mg("7000"));
    cr_expect_str_eq(clock_text(w, mix_of(w, &list, "build")->begins), "2027-05-09T04:30:00+01:00");
    cr_expect_eq(list.pieces_count, 2);
    world_free(w);
}

/* A mix of a later date whose preferment begins on the date asked for. */
Test(mixing, three_levels_over_three_dates)
{
    struct world *w = world_new();
    formula(w, "first", BASIS_FINAL, "wheat 100, water 100");
    formula(w, "second", BASIS_FINAL, "wheat 100, water 100, formula first 100");
    formula(w, "third", BASIS_FINAL, "wheat 100, water 50, formula second 150");
    stages(w, "first", "a 1440");
    stages(w, "second", "b 1440");
    stages(w, "third", "c 1440");
    product(w, "bun", "third 300");
    open_world(w);
    order(w, "2027-05-10", "bun", 10, "13:00");
    cr_expect_eq(list_on(w, "2027-05-09").mixes[0].formula, at_formula(w, "third"));
    cr_expect_eq(list_on(w, "2027-05-08").mixes[0].formula, at_formula(w, "second"));
    struct mixing_list list = list_on(w, "2027-05-07");
    cr_assert_eq(list.mix_count, 1);
    cr_expect_eq(list.mixes[0].formula, at_formula(w, "first"));
    cr_expect_eq(list.mixes[0].dough_mg, mg("500"));
    cr_expect_eq(list.pieces[0].pieces, 10);
    world_free(w);
}

/* --- mixers --- */

Test(mixing, batches_are_identical_and_lines_are_of_one)
{
    struct world *w = country_bakery();
    mixer(w, "small", "1000", "8000");
    mixer(w, "spiral", "9000", "12000");
    open_world(w);
    order(w, "2027-05-10", "loaf", 25, "");
    struct mixing_list list = list_on(w, "2027-05-09");
    const struct mix *mix = mix_of(w, &list, "country");
    cr_expect_str_eq(mix->mixer->code, "spiral", "the largest");
    cr_expect_eq(mix->batches, 3);
    cr_expect_eq(mix->batch_mg, 8333333);
    cr_expect(mix->under_minimum);
    cr_expect_eq(mix->lines[0].exact_mg, 3333333);
    cr_expect_eq(mix->lines[0].weigh_mg, mg("3333"));
    cr_expect_eq(mix->lines[3].exact_mg, 1666667);
    world_free(w);
}

Test(mixing, a_formula_may_name_its_mixer_or_be_made_by_hand)
{
    struct world *w = country_bakery();
    mixer(w, "small", "1000", "8000");
    mixer(w, "spiral", "9000", "12000");
    the_formula(w, "country")->mixer = "small";
    open_world(w);
    order(w, "2027-05-10", "loaf", 32, "");
    struct mixing_list list = list_on(w, "2027-05-09");
    cr_expect_str_eq(mix_of(w, &list, "country")->mixer->code, "small");
    cr_expect_eq(mix_of(w, &list, "country")->batches, 4);
    cr_expect_not(mix_of(w, &list, "country")->under_minimum);
    list = list_on(w, "2027-05-08");
    cr_expect_null(mix_of(w, &list, "soaker")->mixer);
    cr_expect_eq(mix_of(w, &list, "soaker")->batches, 1);
    cr_expect_not(mix_of(w, &list, "soaker")->under_minimum);
    cr_expect_str_eq(mix_of(w, &list, "build")->mixer->code, "spiral");
    cr_expect(mix_of(w, &list, "build")->under_minimum);
    world_free(w);
}

/* Exactly full mixers by way of a loss that has no end in decimals: 97 kg / 0.97 = 100 kg. */
Test(mixing, full_mixers_stay_full)
{
    struct world *w = country_bakery();
    mixer(w, "spiral", "50000", "50000");
    the_formula(w, "country")->handling_loss_pct = pct("3");
    product(w, "thirds", "country 333.333");
    product(w, "rest", "country 0.001");
    open_world(w);
    order(w, "2027-05-10", "loaf", 96, "");
    order(w, "2027-05-10", "thirds", 3, "05:00");
    order(w, "2027-05-10", "rest", 1, "04:00");
    struct mixing_list list = list_on(w, "2027-05-09");
    const struct mix *mix = mix_of(w, &list, "country");
    cr_expect_eq(mix->dough_mg, mg("100000"));
    cr_expect_eq(mix->batches, 2);
    cr_expect_not(mix->under_minimum);
    world_free(w);
}

/* 174.25 g of a dough of 170 %: flour 102.5 g, though 100 / 170 has no end. */
Test(mixing, halves_of_endless_shares_are_weighed_up)
{
    struct world *w = world_new();
    w->catalogue.bakery.scale_mg = 5000;
    formula(w, "white", BASIS_FINAL, "wheat 100, water 67, salt 2, yeast 1");
    product(w, "one", "white 174.25");
    product(w, "two", "white 1");
    the_product(w, "two")->parts[0].mg = 85;
    open_world(w);
    order(w, "2027-05-10", "one", 1, "");
    struct mixing_list list = list_on(w, "2027-05-09");
    cr_expect_eq(list.mixes[0].lines[0].exact_mg, mg("102.5"));
    cr_expect_eq(list.mixes[0].lines[0].weigh_mg, mg("105"));
    /* 174.335 g: water 68.7085, a half of the last printed digit, to even. */
    order(w, "2027-05-10", "two", 1, "");
    list = list_on(w, "2027-05-09");
    cr_expect_eq(list.mixes[0].lines[0].exact_mg, mg("102.55"));
    cr_expect_eq(list.mixes[0].lines[1].exact_mg, 68708, "68.7085");
    cr_expect_eq(list.mixes[0].lines[2].exact_mg, mg("2.051"));
    cr_expect_eq(list.mixes[0].lines[3].exact_mg, 1026, "1.0255");
    world_free(w);
}

Test(mixing, own_scales_and_starters_sum_what_is_weighed)
{
    struct world *w = world_new();
    w->catalogue.bakery.scale_mg = 5000;
    the_ingredient(w, "water")->scale_mg = 100000;
    mixer(w, "spiral", "0", "10000");
    starter(w, "levain", "100", "wheat 100");
    formula(w, "dough", BASIS_FINAL, "wheat 100, water 60, starter levain 40");
    formula(w, "other", BASIS_FINAL, "wheat 100, water 60, starter levain 40");
    product(w, "loaf", "dough 1000, other 17");
    open_world(w);
    order(w, "2027-05-10", "loaf", 11, "");
    struct mixing_list list = list_on(w, "2027-05-09");
    cr_assert_eq(list.mix_count, 2);
    cr_expect_eq(list.mixes[0].batches, 2);
    cr_expect_eq(list.mixes[0].lines[1].exact_mg, mg("1650"));
    cr_expect_eq(list.mixes[0].lines[1].weigh_mg, mg("1700"));
    cr_expect_eq(list.mixes[0].lines[2].weigh_mg, mg("1100"));
    cr_expect_eq(list.mixes[1].lines[2].weigh_mg, mg("35"), "37.4 at 5 g");
    cr_assert_eq(list.starter_count, 1);
    cr_expect_eq(list.starters[0].mg, mg("2235"));
    cr_expect_eq(list.starters[0].total_mg, mg("2235"));
    world_free(w);
}

Test(mixing, mixes_stand_by_begin_then_code)
{
    struct world *w = world_new();
    static const char *const codes[] = {"d", "a", "c", "b"};
    for (size_t i = 0; i < 4; i++) {
        formula(w, codes[i], BASIS_FINAL, "wheat 100, water 65");
        product(w, codes[i], "wheat 1");
        the_product(w, codes[i])->parts[0] = (struct part){LINE_FORMULA, codes[i], NOT_FOUND, 1000};
    }
    open_world(w);
    order(w, "2027-05-10", "c", 1, "05:00");
    order(w, "2027-05-10", "d", 1, "");
    order(w, "2027-05-10", "a", 1, "");
    order(w, "2027-05-10", "b", 1, "04:00");
    struct mixing_list list = list_on(w, "2027-05-09");
    cr_assert_eq(list.mix_count, 4);
    static const char *const expected[] = {"b", "c", "a", "d"};
    for (size_t i = 0; i < 4; i++)
        cr_expect_eq(list.mixes[i].formula, at_formula(w, expected[i]));
    world_free(w);
}

Test(mixing, a_product_of_ingredients_alone_has_no_mix)
{
    struct world *w = world_new();
    product(w, "jar", "seeds 400");
    open_world(w);
    order(w, "2027-05-10", "jar", 3, "");
    for (date d = day_of("2027-05-07"); d < day_of("2027-05-12"); d++) {
        struct mixing_list list = list_on(w, day_text(d));
        cr_expect_eq(list.mix_count, 0);
        cr_expect_eq(list.pieces_count, 0);
    }
    world_free(w);
}

Test(mixing, allergens_come_with_the_mix)
{
    struct world *w = country_bakery();
    the_ingredient(w, "seeds")->allergens = (const char *const[]){"sesame"};
    the_ingredient(w, "seeds")->allergen_count = 1;
    order(w, "2027-05-10", "loaf", 1, "");
    struct mixing_list list = list_on(w, "2027-05-09");
    cr_assert_eq(mix_of(w, &list, "country")->allergen_count, 1);
    cr_expect_str_eq(mix_of(w, &list, "country")->allergens[0], "sesame");
    list = list_on(w, "2027-05-08");
    cr_expect_eq(mix_of(w, &list, "build")->allergen_count, 0);
    world_free(w);
}

/* --- horizon --- */

static void expect_horizon(struct world *w, const char *day, const char *first, const char *last)
{
    date from;
    date to;
    mixing_horizon(&w->reckoning, day_of(day), &from, &to);
    cr_expect_str_eq(day_text(from), first);
    cr_expect_str_eq(day_text(to), last);
}

Test(mixing, the_horizon_is_as_wide_as_it_must_be)
{
    struct world *w = country_bakery();
    /* The country dough of the 9th, noon to noon, is ready from the 10th at 02:00 to the 11th at
     * 01:59. A soaker of the 9th is ready until the 10th, 19:59, so its dough is of the 10th. */
    expect_horizon(w, "2027-05-09", "2027-05-10", "2027-05-12");
    formula(w, "country", BASIS_FINAL, "wheat 100, water 60");
    stages(w, "country", "all 840");
    open_world(w);
    expect_horizon(w, "2027-05-09", "2027-05-10", "2027-05-11");
    w->catalogue.bakery.day_starts_at = 0;
    expect_horizon(w, "2027-05-09", "2027-05-09", "2027-05-10");
    world_free(w);
}

Test(mixing, without_doughs_the_horizon_is_the_date)
{
    struct world *w = world_new();
    product(w, "jar", "seeds 400");
    open_world(w);
    expect_horizon(w, "2027-05-09", "2027-05-09", "2027-05-09");
    world_free(w);
}

/* Samoa left out 30 December 2011: bread of that date is handed over on the 31st. */
Test(mixing, the_horizon_holds_a_date_that_the_clock_left_out)
{
    struct world *w = world_new();
    set_zone(w, "Pacific/Apia");
    formula(w, "white", BASIS_FINAL, "wheat 100, water 65");
    stages(w, "white", "all 60");
    product(w, "tin", "white 800");
    open_world(w);
    order(w, "2011-12-30", "tin", 1, "15:00");
    date mixed = day_of("2011-12-25");
    while (list_on(w, day_text(mixed)).mix_count == 0)
        mixed++;
    date from;
    date to;
    mixing_horizon(&w->reckoning, mixed, &from, &to);
    cr_expect_leq(from, day_of("2011-12-30"));
    cr_expect_geq(to, day_of("2011-12-30"));
    world_free(w);
}

/* Newfoundland 2010: at 00:01 on 7 November the clock went back to 23:01 of the 6th. A mix of the
 * 5th is ready by 23:30 for the second time, when midnight of the 7th has been already. */
Test(mixing, the_horizon_holds_a_midnight_that_comes_before_the_evening)
{
    struct world *w = world_new();
    set_zone(w, "America/St_Johns");
    formula(w, "white", BASIS_FINAL, "wheat 100, water 65");
    stages(w, "white", "all 750");
    product(w, "tin", "white 800");
    open_world(w);
    order(w, "2010-11-07", "tin", 1, "00:00");
    cr_expect_eq(list_on(w, "2010-11-05").mix_count, 1);
    expect_horizon(w, "2010-11-05", "2010-11-06", "2010-11-07");
    world_free(w);
}

Test(mixing, on_the_last_days_of_the_calendar)
{
    struct world *w = world_new();
    formula(w, "bun", BASIS_FINAL, "wheat 100, water 60");
    stages(w, "bun", "all 600");
    product(w, "bun", "bun 80");
    order(w, "9999-12-31", "bun", 10, "");
    open_world(w);
    date first, last;
    mixing_horizon(&w->reckoning, day_of("9999-12-30"), &first, &last);
    cr_expect_eq(last, DATE_LAST);
    struct mixing_list list = list_on(w, "9999-12-30");
    cr_expect_eq(list.mix_count, 1);
    world_free(w);
}
