/* From a bread day back to lots: what it asks for, batch by batch and line by line; and both ways
 * when memory is short. */
#include "bakery/day_trace.h"
#include "bakery/trace_gaps.h"
#include "told.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(day_trace, .timeout = 60);

static const struct trace_purpose purposes[] = {{.posting = 4, .product = "loaf"},
                                                {.posting = 9, .product = "loaf"},
                                                {.posting = 4, .product = "roll"}};

Test(day_trace, products_and_batches_of_a_day_are_told_once)
{
    struct told *told = told_new();
    const char *const ordered[] = {"bun", "loaf"};
    const char **products;
    int64_t *postings;
    size_t count;
    cr_assert(day_trace_products(&told->w->reckoning, purposes, 3, ordered, 2, &products, &count));
    cr_assert_eq(count, 3);
    cr_expect_str_eq(products[0], "bun");
    cr_expect_str_eq(products[1], "loaf");
    cr_expect_str_eq(products[2], "roll");
    cr_assert(day_trace_postings(&told->w->reckoning, purposes, 3, &postings, &count));
    cr_assert_eq(count, 2);
    cr_expect_eq(postings[0], 4);
    cr_expect_eq(postings[1], 9);
    cr_assert(day_trace_products(&told->w->reckoning, purposes, 0, ordered, 0, &products, &count));
    cr_expect_eq(count, 0);
    told_free(told);
}

Test(day_trace, lots_are_those_that_went_in_and_those_that_are_told_of)
{
    struct told *told = told_new();
    const struct trace_share shares[] = {{.lot = 2}, {.lot = 8}};
    int64_t *numbers;
    size_t count;
    told_three_levels(told);
    cr_assert(day_trace_numbers(&told->w->reckoning, &told->flow, shares, 2, &numbers, &count));
    cr_assert_eq(count, 5);
    for (size_t i = 0; i < 4; i++)
        cr_expect_eq(numbers[i], (int64_t)i + 1);
    cr_expect_eq(numbers[4], 8);
    const struct trace_lot lots[] = {{.lot = 1}, {.lot = 3}, {.lot = 8}};
    cr_expect_eq(day_trace_lot(lots, 3, 3), &lots[1]);
    cr_expect_null(day_trace_lot(lots, 3, 4));
    cr_expect_null(day_trace_lot(lots, 0, 1));
    told_free(told);
}

Test(day_trace, batches_come_by_date_formula_and_number)
{
    struct told *told = told_new();
    const struct flow_batch **batches;
    told_mixed(told, "sponge", "2027-03-02", 10);
    told_mixed(told, "country", "2027-03-02", 10);
    told_mixed(told, "poolish", "2027-03-01", 10);
    told_mixed(told, "country", "2027-03-02", 10);
    cr_assert_not_null(batches = day_trace_batches(&told->w->reckoning, &told->flow));
    const int64_t order[] = {3, 2, 4, 1};
    for (size_t i = 0; i < 4; i++)
        cr_expect_eq(batches[i]->posting, order[i]);
    told_free(told);
}

/* Two lots of wheat in two lines, and the sponge with what it holds of lots 1 to 4: a fifth of 60
 * g, 2 g, 50 g (a tenth of the poolish's) and 1000 g. */
Test(day_trace, lines_of_one_thing_are_told_as_one_with_all_its_lots)
{
    struct told *told = told_new();
    const struct trace_lot lots[] = {{.lot = 1, .ingredient = at_ingredient(told->w, "wheat")},
                                     {.lot = 2, .ingredient = at_ingredient(told->w, "wheat")},
                                     {.lot = 3, .ingredient = at_ingredient(told->w, "wheat")},
                                     {.lot = 4, .ingredient = at_ingredient(told->w, "rye")},
                                     {.lot = 5, .ingredient = at_ingredient(told->w, "wheat")}};
    struct day_line *lines;
    size_t count;
    told_three_levels(told);
    told->flow.pool_count = 0;
    memset(told->pools, 0, sizeof told->pools);
    told_lot(told, "wheat", 5, 200);
    told_flows(told);
    cr_assert(day_trace_lines(&told->w->reckoning, &told->flow, told->parts[3], 4, lots, 5, &lines,
                              &count));
    cr_assert_eq(count, 3);
    cr_expect_str_eq(lines[0].code, "wheat");
    cr_expect_eq(lines[0].mg, 1200000);
    cr_assert_eq(lines[0].part_count, 2);
    cr_expect_eq(lines[0].parts[0]->grams, 1000 * FIXED_ONE);
    cr_expect_eq(lines[0].parts[1]->lot, 5);
    cr_expect_str_eq(lines[1].code, "salt");
    cr_expect_eq(lines[1].part_count, 0);
    cr_expect_str_eq(lines[2].code, "sponge");
    cr_expect(lines[2].has_part_date && lines[2].part_date == day_of("2027-03-02"));
    cr_assert_eq(lines[2].part_count, 4);
    fixed sum = 0;
    for (size_t i = 0; i < 4; i++)
        sum += lines[2].parts[i]->grams;
    cr_expect_leq(sum, fixed_from(220400, 3));
    cr_expect_geq(sum, fixed_from(220400, 3) - 10);
    told_free(told);
}

/* --- short memory --- */

static bool back(struct told *told)
{
    const struct reckoning *reckoning = &told->w->reckoning;
    const struct trace_lot lots[] = {{.lot = 1, .ingredient = at_ingredient(told->w, "wheat")},
                                     {.lot = 4, .ingredient = at_ingredient(told->w, "rye")}};
    struct trace_gaps_backward from = {.flow = &told->flow, .lots = lots, .lot_count = 2};
    struct trace_share *shares;
    struct trace_gaps gaps;
    struct day_line *lines;
    const char **products;
    int64_t *postings, *numbers;
    size_t count, left_out;
    if (!day_trace_products(reckoning, purposes, 3, NULL, 0, &products, &from.product_count) ||
        !day_trace_postings(reckoning, purposes, 3, &postings, &count) ||
        !flow_of(reckoning, &told->flow, &told->parts) ||
        !trace_shares(reckoning, &told->flow, told->parts, postings, count, &shares, &count,
                      &left_out) ||
        !day_trace_numbers(reckoning, &told->flow, shares, count, &numbers, &count) ||
        day_trace_batches(reckoning, &told->flow) == NULL ||
        !day_trace_lines(reckoning, &told->flow, told->parts[3], 4, lots, 2, &lines, &count))
        return false;
    from.products = products;
    return trace_gaps_backward_of(reckoning, &from, &gaps) && gaps.count > 0;
}

static bool forth(struct told *told)
{
    const struct reckoning *reckoning = &told->w->reckoning;
    const struct trace_lot lot = {.lot = 1, .ingredient = at_ingredient(told->w, "wheat")};
    const struct trace_balance balance = {.used = 1250000};
    const struct pot_carried entry = {7, POT_TAKEN, 20 * FIXED_ONE};
    struct trace_starter levain = {
        .starter = "levain", .fed_mg = 20000, .entries = &entry, .entry_count = 1};
    struct trace_carrier *carriers;
    struct trace_goals goals;
    struct trace_gaps gaps;
    struct flow flow = {0};
    size_t count, left_out;
    if (!trace_starter_sums(reckoning, &levain) ||
        !trace_takings_of(reckoning, &levain, 1, 1, &flow) ||
        !trace_astray(reckoning, &told->flow, &levain) ||
        !flow_of(reckoning, &told->flow, &told->parts) ||
        !trace_carriers(reckoning, &told->flow, told->parts, 1, &carriers, &count, &left_out) ||
        !trace_goals_of(reckoning, purposes, 3, &goals) ||
        trace_formulas_with(reckoning, lot.ingredient, &left_out) == NULL ||
        trace_starters_with(reckoning, lot.ingredient, &left_out) == NULL)
        return false;
    struct trace_gaps_forward from = {.lot = &lot,
                                      .balance = &balance,
                                      .starters = &levain,
                                      .starter_count = 1,
                                      .flow = &told->flow,
                                      .carriers = carriers,
                                      .carrier_count = count};
    return trace_gaps_forward_of(reckoning, &from, &gaps) && gaps.count > 0;
}

/* Each time with a bakery of its own: an arena that once was short says so ever after. */
static void expect_told(bool (*way)(struct told *told), long least)
{
    bool done = false;
    for (long n = 1; !done && n < 500; n++) {
        struct told *told = told_new();
        told_three_levels(told);
        arena_fail_nth(n);
        done = way(told);
        arena_fail_nth(0);
        cr_assert_eq(done, !fails_any(&told->w->fails), "allocation %ld", n);
        if (!done) cr_assert_eq(fails_code(&told->w->fails), FAIL_UNAVAILABLE, "allocation %ld", n);
        if (done) cr_assert_gt(n, least, "only %ld allocations failed", n - 1);
        told_free(told);
    }
    cr_assert(done);
}

Test(day_trace, short_memory_is_told_on_the_way_back)
{
    expect_told(back, 30);
}

Test(day_trace, short_memory_is_told_on_the_way_forth)
{
    expect_told(forth, 25);
}
