/* Lots through starters and preferments into batches. */
#include "told.h"

#include <criterion/criterion.h>

TestSuite(lot_flow, .timeout = 60);

Test(lot_flow, preferments_carry_lots_on)
{
    struct told *told = told_new();
    told_three_levels(told);
    cr_expect_eq(told_grams(told, 1, 2), 20 * FIXED_ONE);
    cr_expect_eq(told_grams(told, 3, 1), 50 * FIXED_ONE);
    cr_expect_eq(told_grams(told, 3, 2), 2 * FIXED_ONE);
    cr_expect_eq(told_grams(told, 3, 3), 50 * FIXED_ONE);
    cr_expect_eq(told_grams(told, 4, 1), 1010 * FIXED_ONE);
    cr_expect_eq(told_grams(told, 4, 2), 4 * FIXED_ONE / 10);
    cr_expect_eq(told_grams(told, 4, 3), 10 * FIXED_ONE);
    cr_expect_eq(told_grams(told, 4, 4), 200 * FIXED_ONE);
    told_free(told);
}

Test(lot_flow, the_order_of_posting_does_not_matter)
{
    struct told *told = told_new();
    told_mixed(told, "country", "2027-03-02", 2002);
    told_part(told, "sponge", "2027-03-02", 402);
    told_mixed(told, "sponge", "2027-03-02", 2010);
    told_part(told, "poolish", "2027-03-01", 210);
    told_mixed(told, "poolish", "2027-03-01", 2100);
    told_lot(told, "wheat", 1, 1000);
    told_flows(told);
    cr_expect_eq(told_grams(told, 1, 1), 20 * FIXED_ONE);
    told_free(told);
}

Test(lot_flow, no_more_is_carried_than_went_in)
{
    struct told *told = told_new();
    told_mixed(told, "poolish", "2027-03-01", 1000);
    told_lot(told, "wheat", 1, 500);
    for (int n = 0; n < 3; n++) {
        told_mixed(told, "country", "2027-03-02", 2000);
        told_part(told, "poolish", "2027-03-01", 500);
    }
    told_flows(told);
    fixed sum = 0;
    for (int64_t posting = 2; posting <= 4; posting++)
        sum += told_grams(told, posting, 1);
    cr_expect_leq(sum, 500 * FIXED_ONE);
    cr_expect_geq(sum, 500 * FIXED_ONE - 3);
    told_free(told);
}

Test(lot_flow, two_lines_of_one_taking_are_one_pouring)
{
    struct told *told = told_new();
    told_mixed(told, "country", "2027-03-02", 100);
    told_levain(told, 7, 60, 1, 20 * FIXED_ONE);
    told_weighed(told, LINE_STARTER, "levain", 40)->log_entry = 7;
    told_flows(told);
    cr_expect_eq(told_grams(told, 1, 1), 20 * FIXED_ONE);
    told_free(told);
}

/* A dough that takes half of what was left over of it the same night, and nothing at all. */
Test(lot_flow, a_mix_that_takes_of_itself_ends)
{
    struct told *told = told_new();
    told_mixed(told, "country", "2027-03-02", 1000);
    told_lot(told, "wheat", 1, 600);
    told_mixed(told, "country", "2027-03-02", 1000);
    told_lot(told, "wheat", 2, 500);
    told_part(told, "country", "2027-03-02", 500);
    told_part(told, "sponge", "2027-03-02", 0);
    told_flows(told);
    cr_expect_eq(told_grams(told, 2, 1), 150 * FIXED_ONE, "a quarter of the mix");
    told_free(told);
}

Test(lot_flow, short_memory_is_told)
{
    struct told *told = told_new();
    told_three_levels(told);
    bool done = false;
    for (long n = 1; !done && n < 200; n++) {
        arena_fail_nth(n);
        done = flow_of(&told->w->reckoning, &told->flow, &told->parts);
        arena_fail_nth(0);
        if (!done) cr_expect_eq(fails_code(&told->w->fails), FAIL_UNAVAILABLE);
        fails_reset(&told->w->fails, 0);
        if (done) cr_expect_gt(n, 10);
    }
    cr_expect(done);
    told_free(told);
}
