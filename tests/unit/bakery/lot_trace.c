/* Lots through starters and preferments into batches, and what is told of that both ways. */
#include "bakery/day_trace.h"
#include "bakery/trace_gaps.h"
#include "random_world.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

TestSuite(lot_trace, .timeout = 60);

enum { ROOM = 64 };

/* A flow that is told line by line; postings count up from 1. */
struct told {
    struct world *w;
    struct flow flow;
    struct flow_batch batches[ROOM];
    struct flow_line lines[4 * ROOM];
    struct flow_move moves[4 * ROOM];
    struct flow_pool pools[ROOM];
    struct flow_taking takings[ROOM];
    struct pot_lot taken[ROOM];
    struct flow_part **parts;
};

static struct told *told_new(void)
{
    struct told *told = calloc(1, sizeof *told);
    cr_assert_not_null(told);
    told->w = world_new();
    starter(told->w, "levain", "100", "wheat 100");
    formula(told->w, "poolish", BASIS_FINAL, "wheat 100, water 100, starter levain 10");
    formula(told->w, "sponge", BASIS_FINAL, "rye 100, water 80, formula poolish 20");
    formula(told->w, "country", BASIS_FINAL, "wheat 100, water 60, salt 2, formula sponge 30");
    product(told->w, "loaf", "country 900, seeds 10");
    open_world(told->w);
    told->flow = (struct flow){.batches = told->batches,
                               .lines = told->lines,
                               .moves = told->moves,
                               .pools = told->pools,
                               .takings = told->takings};
    return told;
}

static void told_free(struct told *told)
{
    world_free(told->w);
    free(told);
}

/* A batch of so many grams; its posting. */
static int64_t mixed(struct told *told, const char *code, const char *day, int64_t grams)
{
    struct flow_batch *batch = &told->batches[told->flow.batch_count++];
    int64_t number = 1;
    for (size_t i = 0; i + 1 < told->flow.batch_count; i++)
        number += strcmp(told->batches[i].formula, code) == 0 &&
                  told->batches[i].mixing_date == day_of(day);
    *batch = (struct flow_batch){.posting = (int64_t)told->flow.batch_count,
                                 .mixing_date = day_of(day),
                                 .formula = code,
                                 .batch = number,
                                 .dough_mg = grams * 1000};
    return batch->posting;
}

static struct flow_line *weighed(struct told *told, enum line_kind kind, const char *code,
                                 int64_t grams)
{
    struct flow_line *line = &told->lines[told->flow.line_count++];
    *line = (struct flow_line){
        .posting = (int64_t)told->flow.batch_count, .kind = kind, .code = code, .mg = grams * 1000};
    return line;
}

static void of_lot(struct told *told, const char *code, int64_t lot, int64_t grams)
{
    weighed(told, LINE_INGREDIENT, code, grams);
    told->moves[told->flow.move_count++] = (struct flow_move){(int64_t)told->flow.batch_count, lot,
                                                              grams * 1000};
}

static void of_part(struct told *told, const char *code, const char *day, int64_t grams)
{
    struct flow_line *line = weighed(told, LINE_FORMULA, code, grams);
    line->has_part_date = true;
    line->part_date = day_of(day);
}

/* Taken of the levain, with so much of a lot; entries ascend. */
static void of_levain(struct told *told, int64_t entry, int64_t grams, int64_t lot, fixed carried)
{
    weighed(told, LINE_STARTER, "levain", grams)->log_entry = entry;
    size_t n = told->flow.taking_count++;
    told->taken[n] = (struct pot_lot){lot, carried};
    told->takings[n] = (struct flow_taking){
        "levain", {.entry = entry, .mg = grams * 1000, .lots = &told->taken[n], .lot_count = 1}};
}

static int by_pool(const void *a, const void *b)
{
    const struct flow_pool *left = a, *right = b;
    int order = strcmp(left->part, right->part);
    return order != 0 ? order : left->mixing_date - right->mixing_date;
}

/* The pools that lines name, as the store tells them. */
static void make_pools(struct told *told)
{
    for (size_t i = 0; i < told->flow.line_count; i++) {
        const struct flow_line *line = &told->lines[i];
        struct flow_pool pool = {.part = line->code, .mixing_date = line->part_date};
        size_t k = 0;
        if (line->kind != LINE_FORMULA || !line->has_part_date) continue;
        while (k < told->flow.pool_count && by_pool(&told->pools[k], &pool) != 0)
            k++;
        if (k == told->flow.pool_count) {
            for (size_t b = 0; b < told->flow.batch_count; b++)
                if (strcmp(told->batches[b].formula, line->code) == 0 &&
                    told->batches[b].mixing_date == line->part_date)
                    pool.posted_mg += told->batches[b].dough_mg;
            told->pools[told->flow.pool_count++] = pool;
        }
        told->pools[k].taken_mg += line->mg;
    }
    qsort(told->pools, told->flow.pool_count, sizeof *told->pools, by_pool);
}

static void flows(struct told *told)
{
    make_pools(told);
    cr_assert(flow_of(&told->w->reckoning, &told->flow, &told->parts));
}

static fixed grams_in(const struct told *told, int64_t posting, int64_t lot)
{
    return flow_grams(told->parts[posting - 1], lot);
}

/* --- flow --- */

/* Poolish: 500 g of lot 1, 500 g water, 50 g levain with 20 g of lot 2; a second batch of 500 g of
 * lot 3 and 550 g water: 2100 g in all. Sponge: 1000 g of lot 4, 800 g water, 210 g poolish (a
 * tenth): 2010 g. Country: 1000 g of lot 1, 600 g water, 402 g sponge (a fifth). */
static void three_levels(struct told *told)
{
    mixed(told, "poolish", "2027-03-01", 1050);
    of_lot(told, "wheat", 1, 500);
    weighed(told, LINE_INGREDIENT, "water", 500);
    of_levain(told, 7, 50, 2, 20 * FIXED_ONE);
    mixed(told, "poolish", "2027-03-01", 1050);
    of_lot(told, "wheat", 3, 500);
    mixed(told, "sponge", "2027-03-02", 2010);
    of_lot(told, "rye", 4, 1000);
    of_part(told, "poolish", "2027-03-01", 210);
    mixed(told, "country", "2027-03-02", 2002);
    of_lot(told, "wheat", 1, 1000);
    weighed(told, LINE_INGREDIENT, "salt", 20);
    of_part(told, "sponge", "2027-03-02", 402);
    flows(told);
}

Test(lot_trace, preferments_carry_lots_on)
{
    struct told *told = told_new();
    three_levels(told);
    cr_expect_eq(grams_in(told, 1, 2), 20 * FIXED_ONE);
    cr_expect_eq(grams_in(told, 3, 1), 50 * FIXED_ONE);
    cr_expect_eq(grams_in(told, 3, 2), 2 * FIXED_ONE);
    cr_expect_eq(grams_in(told, 3, 3), 50 * FIXED_ONE);
    cr_expect_eq(grams_in(told, 4, 1), 1010 * FIXED_ONE);
    cr_expect_eq(grams_in(told, 4, 2), 4 * FIXED_ONE / 10);
    cr_expect_eq(grams_in(told, 4, 3), 10 * FIXED_ONE);
    cr_expect_eq(grams_in(told, 4, 4), 200 * FIXED_ONE);
    told_free(told);
}

Test(lot_trace, the_order_of_posting_does_not_matter)
{
    struct told *told = told_new();
    mixed(told, "country", "2027-03-02", 2002);
    of_part(told, "sponge", "2027-03-02", 402);
    mixed(told, "sponge", "2027-03-02", 2010);
    of_part(told, "poolish", "2027-03-01", 210);
    mixed(told, "poolish", "2027-03-01", 2100);
    of_lot(told, "wheat", 1, 1000);
    flows(told);
    cr_expect_eq(grams_in(told, 1, 1), 20 * FIXED_ONE);
    told_free(told);
}

Test(lot_trace, no_more_is_carried_than_went_in)
{
    struct told *told = told_new();
    mixed(told, "poolish", "2027-03-01", 1000);
    of_lot(told, "wheat", 1, 500);
    for (int n = 0; n < 3; n++) {
        mixed(told, "country", "2027-03-02", 2000);
        of_part(told, "poolish", "2027-03-01", 500);
    }
    flows(told);
    fixed sum = 0;
    for (int64_t posting = 2; posting <= 4; posting++)
        sum += grams_in(told, posting, 1);
    cr_expect_leq(sum, 500 * FIXED_ONE);
    cr_expect_geq(sum, 500 * FIXED_ONE - 3);
    told_free(told);
}

Test(lot_trace, two_lines_of_one_taking_are_one_pouring)
{
    struct told *told = told_new();
    mixed(told, "country", "2027-03-02", 100);
    of_levain(told, 7, 60, 1, 20 * FIXED_ONE);
    weighed(told, LINE_STARTER, "levain", 40)->log_entry = 7;
    flows(told);
    cr_expect_eq(grams_in(told, 1, 1), 20 * FIXED_ONE);
    told_free(told);
}

/* A dough that takes half of what was left over of it the same night, and nothing at all. */
Test(lot_trace, a_mix_that_takes_of_itself_ends)
{
    struct told *told = told_new();
    mixed(told, "country", "2027-03-02", 1000);
    of_lot(told, "wheat", 1, 600);
    mixed(told, "country", "2027-03-02", 1000);
    of_lot(told, "wheat", 2, 500);
    of_part(told, "country", "2027-03-02", 500);
    of_part(told, "sponge", "2027-03-02", 0);
    flows(told);
    cr_expect_eq(grams_in(told, 2, 1), 150 * FIXED_ONE, "a quarter of the mix");
    told_free(told);
}

Test(lot_trace, short_memory_is_told)
{
    struct told *told = told_new();
    three_levels(told);
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

/* --- both ways --- */

Test(lot_trace, less_than_a_microgram_is_left_out_both_ways)
{
    struct told *told = told_new();
    mixed(told, "country", "2027-03-02", 1000);
    of_levain(told, 7, 100, 1, TRACE_LEAST);
    mixed(told, "country", "2027-03-02", 1000);
    of_levain(told, 8, 100, 2, TRACE_LEAST - 1);
    flows(told);
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
    three_levels(told);
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
    mixed(told, "country", "2027-03-02", 1000);
    weighed(told, LINE_STARTER, "levain", 100)->log_entry = 3;
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
    mixed(told, "sponge", "2027-03-02", 1500);
    mixed(told, "country", "2027-03-02", 4000);
    of_lot(told, "wheat", 1, 600);
    weighed(told, LINE_INGREDIENT, "wheat", 400);
    weighed(told, LINE_INGREDIENT, "salt", 20);
    weighed(told, LINE_INGREDIENT, "water", 500);
    of_part(told, "poolish", "2027-03-01", 12);
    of_part(told, "sponge", "2027-03-02", 2000);
    of_levain(told, 3, 120, 1, 10 * FIXED_ONE);
    told->takings[0].taken.unknown = 35 * FIXED_ONE;
    weighed(told, LINE_STARTER, "levain", 9);
    make_pools(told);
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
    mixed(told, "country", "2027-03-02", 1000);
    mixed(told, "country", "2027-03-02", 1000);
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
