/* What is told of lots that went through starters and preferments into batches, both ways. */
#include "bakery/day_trace.h"
#include "bakery/trace_gaps.h"
#include "told.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(lot_trace, .timeout = 60);

/* --- both ways --- */

Test(lot_trace, less_than_a_microgram_is_left_out_both_ways)
{
    struct told *told = told_new();
    told_mixed(told, "country", "2027-03-02", 1000);
    told_levain(told, 7, 100, 1, TRACE_LEAST);
    told_mixed(told, "country", "2027-03-02", 1000);
    told_levain(told, 8, 100, 2, TRACE_LEAST - 1);
    told_flows(told);
    struct trace_carrier *carriers;
    struct trace_share *shares;
    size_t count, left_out;
    const int64_t postings[] = {1, 2};
    for (int64_t lot = 1; lot <= 2; lot++) {
        cr_assert(trace_carriers(&told->w->reckoning, &told->flow, told->parts, lot, &carriers,
                                 &count, &left_out));
        cr_expect_eq(count, lot == 1);
        cr_expect_eq(left_out, lot == 2);
    }
    cr_assert(trace_shares(&told->w->reckoning, &told->flow, told->parts, postings, 2, &shares,
                           &count, &left_out));
    cr_assert_eq(count, 1);
    cr_expect_eq(shares[0].lot, 1);
    cr_expect_eq(left_out, 1);
    told_free(told);
}

Test(lot_trace, shares_are_of_the_batches_that_hold_any)
{
    struct told *told = told_new();
    told_three_levels(told);
    struct trace_share *shares;
    size_t count, left_out;
    const int64_t postings[] = {3, 4};
    cr_assert(trace_shares(&told->w->reckoning, &told->flow, told->parts, postings, 2, &shares,
                           &count, &left_out));
    cr_assert_eq(count, 4);
    cr_expect_eq(shares[0].grams, 1060 * FIXED_ONE);
    /* 1060 / (2010 + 2002) = 26.42073778... % */
    cr_expect_eq(shares[0].share_pct, 264207);
    cr_expect_eq(shares[0].ways.count, 3, "by poolish, by sponge, and directly");
    cr_expect_eq(shares[3].lot, 4);
    cr_expect_eq(shares[3].grams, 1200 * FIXED_ONE);
    told_free(told);
}

Test(lot_trace, the_balance_is_reckoned)
{
    struct trace_balance balance = {.received = 1000,
                                    .mixed = 300,
                                    .fed = 100,
                                    .used = 50,
                                    .wasted = 20,
                                    .returned = 10,
                                    .counted = -5,
                                    .left = 515};
    cr_expect(trace_balanced(&balance));
    balance.left = 516;
    cr_expect_not(trace_balanced(&balance));
    balance = (struct trace_balance){.received = 10, .left = 10, .moved = 1};
    cr_expect_not(trace_balanced(&balance));
    balance = (struct trace_balance){.received = INT64_MAX, .counted = 1, .left = INT64_MIN};
    cr_expect_not(trace_balanced(&balance));
}

Test(lot_trace, sums_of_a_starter_come_to_what_was_fed)
{
    struct told *told = told_new();
    const fixed third = 100 * FIXED_ONE / 3;
    const struct pot_carried entries[] = {
        {3, POT_TAKEN, third}, {4, POT_FED, third}, {5, POT_TAKEN, third / 2}};
    struct trace_starter sums = {.starter = "levain",
                                 .fed_mg = 100000,
                                 .entries = entries,
                                 .entry_count = 3,
                                 .still_in = 100 * FIXED_ONE - 2 * third - third / 2};
    told_mixed(told, "country", "2027-03-02", 1000);
    told_weighed(told, LINE_STARTER, "levain", 100)->log_entry = 3;
    cr_assert(trace_starter_sums(&told->w->reckoning, &sums));
    cr_assert(trace_astray(&told->w->reckoning, &told->flow, &sums));
    cr_expect_eq(sums.carried_ug + sums.discarded_ug + sums.still_in_ug, 100000000);
    cr_expect_eq(sums.discarded, third);
    cr_expect_eq(sums.carried, third + third / 2);
    cr_expect_eq(sums.astray, third / 2);
    told_free(told);
}

/* --- gaps --- */

static void expect_gaps(const struct trace_gaps *gaps, const char *const *texts, size_t count)
{
    cr_expect_eq(gaps->count, count, "%zu gaps", gaps->count);
    for (size_t i = 0; i < gaps->count; i++)
        cr_expect_str_eq(gaps->items[i], i < count ? texts[i] : "nothing");
}

Test(lot_trace, what_cannot_be_traced_back)
{
    struct told *told = told_new();
    const struct trace_lot lots[] = {{.lot = 1, .ingredient = at_ingredient(told->w, "wheat")}};
    const char *const products[] = {"loaf"};
    const char *const texts[] = {
        "no batch of country was posted for loaf",
        "seeds goes on loaf without a batch: of which lots is not in the book",
        "12 g of poolish of 2027-03-01 of which no batch was posted",
        "of 2 kg of sponge of 2027-03-02 that were taken only 1.5 kg were posted as mixed",
        "9 g of levain of which no log was kept",
        "of 120 g of levain 35 g came in before the book was kept",
        "20 g of salt of which no stock was kept",
        "400 g of wheat of which no stock was kept"};
    struct trace_gaps_backward from = {.flow = &told->flow,
                                       .lots = lots,
                                       .lot_count = 1,
                                       .products = products,
                                       .product_count = 1};
    struct trace_gaps gaps;
    told_mixed(told, "sponge", "2027-03-02", 1500);
    told_mixed(told, "country", "2027-03-02", 4000);
    told_lot(told, "wheat", 1, 600);
    told_weighed(told, LINE_INGREDIENT, "wheat", 400);
    told_weighed(told, LINE_INGREDIENT, "salt", 20);
    told_weighed(told, LINE_INGREDIENT, "water", 500);
    told_part(told, "poolish", "2027-03-01", 12);
    told_part(told, "sponge", "2027-03-02", 2000);
    told_levain(told, 3, 120, 1, 10 * FIXED_ONE);
    told->takings[0].taken.unknown = 35 * FIXED_ONE;
    told_weighed(told, LINE_STARTER, "levain", 9);
    told_pools(told);
    cr_assert(trace_gaps_backward_of(&told->w->reckoning, &from, &gaps));
    expect_gaps(&gaps, texts, sizeof texts / sizeof *texts);
    told_free(told);
}

Test(lot_trace, what_cannot_be_traced_forward)
{
    struct told *told = told_new();
    const struct trace_lot lot = {.lot = 1, .ingredient = at_ingredient(told->w, "wheat")};
    const struct trace_balance balance = {.used = 1250000, .counted = -3000};
    const struct trace_starter levain = {.starter = "levain", .astray = 5 * FIXED_ONE / 2};
    const struct trace_blank unposted = {"poolish", day_of("2027-03-01"), 12000};
    const struct trace_blank unlogged = {"levain", 0, 7000};
    struct trace_carrier carriers[2];
    const char *const texts[] = {
        "1.25 kg were used otherwise than in batches and feeds",
        "3 g were missing when it was counted",
        "2.5 g of it were taken with levain for no batch",
        ("12 g of poolish of 2027-03-01 of which no batch was posted,"
         " which may hold some of this lot"),
        "7 g of levain of which no log was kept, which may hold some of this lot",
        "1 batch of country for no bread day in the book"};
    told_mixed(told, "country", "2027-03-02", 1000);
    told_mixed(told, "country", "2027-03-02", 1000);
    carriers[0] = (struct trace_carrier){.batch = &told->batches[0]};
    carriers[1] = (struct trace_carrier){.batch = &told->batches[1]};
    const struct trace_purpose purpose = {2, day_of("2027-03-03"), "loaf"};
    struct trace_gaps_forward from = {.lot = &lot,
                                      .balance = &balance,
                                      .starters = &levain,
                                      .starter_count = 1,
                                      .flow = &told->flow,
                                      .carriers = carriers,
                                      .carrier_count = 2,
                                      .purposes = &purpose,
                                      .purpose_count = 1,
                                      .unposted = &unposted,
                                      .unposted_count = 1,
                                      .unlogged = &unlogged,
                                      .unlogged_count = 1};
    struct trace_gaps gaps;
    cr_assert(trace_gaps_forward_of(&told->w->reckoning, &from, &gaps));
    expect_gaps(&gaps, texts, sizeof texts / sizeof *texts);
    told_free(told);
}

Test(lot_trace, what_may_hold_an_ingredient)
{
    struct told *told = told_new();
    size_t count;
    const char **codes = trace_formulas_with(&told->w->reckoning, at_ingredient(told->w, "rye"),
                                             &count);
    cr_assert_eq(count, 2);
    cr_expect_str_eq(codes[0], "country");
    cr_expect_str_eq(codes[1], "sponge");
    codes = trace_starters_with(&told->w->reckoning, at_ingredient(told->w, "wheat"), &count);
    cr_assert_eq(count, 1);
    cr_expect_str_eq(codes[0], "levain");
    trace_starters_with(&told->w->reckoning, at_ingredient(told->w, "rye"), &count);
    cr_expect_eq(count, 0);
    told_free(told);
}
