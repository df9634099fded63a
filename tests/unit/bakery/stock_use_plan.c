/* What lists and orders take: held against the weights of the mixing lists themselves. */
#include "bakery/stock_plan.h"

#include "random_world.h"
#include "world.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(stock_use_plan, .timeout = 60);

enum { ROOM = 64 };

/* A levain of which the pot may hold some; the loaf carries seeds and a bag. Its dough begins at
 * 16:30 of the day before. */
static struct world *loaf_world(void)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 80, rye 20");
    formula(w, "build", BASIS_FINAL, "wheat 100, water 100, starter levain 50");
    stages(w, "build", "ferment 720");
    formula(w, "country", BASIS_FINAL, "wheat 90, rye 10, water 68, salt 2, formula build 30");
    stages(w, "country", "mix 20, bulk 180, proof 600, bake 40");
    product(w, "loaf", "country 1000, seeds 15");
    packaging(w, "loaf", "bag", 1);
    mixer(w, "spiral", "1000", "20000");
    open_world(w);
    return w;
}

static const struct pot_state no_log[ROOM] = {{.entries = 0}};

static struct stock_plan plan_of(struct world *w, const char *first, size_t days)
{
    return (struct stock_plan){.reckoning = &w->reckoning,
                               .first = day_of(first),
                               .days = days,
                               .demands = w->demands,
                               .demand_count = w->demand_count,
                               .pots = no_log};
}

static int64_t *rows(struct world *w, size_t days)
{
    return arena_array(w->arena, days * w->catalogue.ingredient_count, sizeof(int64_t));
}

/* What is planned of an ingredient on a day. */
static int64_t at(const struct world *w, const int64_t *amounts, size_t day, const char *code)
{
    return amounts[day * w->catalogue.ingredient_count + at_ingredient(w, code)];
}

/* --- lists --- */

Test(stock_use_plan, a_list_takes_what_it_weighs)
{
    struct world *w = loaf_world();
    int64_t lines[ROOM] = {0}, starters[ROOM] = {0}, exact[ROOM] = {0};
    order(w, "2027-05-11", "loaf", 47, "");
    struct mixing_list list = list_on(w, "2027-05-10");
    const struct mix *mix = mix_of(w, &list, "country");
    cr_assert(list_use_of(&w->reckoning, &list, lines, starters));
    cr_expect_eq(mix->batches, 3);
    cr_expect_eq(lines[at_ingredient(w, "wheat")], 3 * mix->lines[0].weigh_mg);
    cr_expect_eq(lines[at_ingredient(w, "rye")], 3 * mix->lines[1].weigh_mg);
    cr_expect_eq(lines[at_ingredient(w, "seeds")], 0, "stands in no list");
    cr_expect_eq(starters[0], 0, "the build stands in the list of its own date");
    cr_assert(list_theory_of(&w->reckoning, &list, exact));
    cr_expect_eq(exact[at_ingredient(w, "wheat")], mg("21150"), "90 of 200 of 47 kg");
    cr_expect_eq(exact[at_ingredient(w, "rye")], mg("2350"));
    world_free(w);
}

Test(stock_use_plan, of_starters_a_list_takes_their_flours)
{
    struct world *w = loaf_world();
    int64_t lines[ROOM] = {0}, starters[ROOM] = {0}, flours[ROOM] = {0}, exact[ROOM] = {0};
    order(w, "2027-05-11", "loaf", 50, "");
    struct mixing_list list = list_on(w, "2027-05-09");
    cr_assert(list_use_of(&w->reckoning, &list, lines, starters));
    cr_expect_eq(starters[0], mg("1500"), "50 of 250 of 7.5 kg");
    cr_expect_eq(lines[at_ingredient(w, "wheat")], mg("3000"));
    cr_assert(starters_use_of(&w->reckoning, starters, flours));
    cr_expect_eq(flours[at_ingredient(w, "wheat")], mg("600"));
    cr_expect_eq(flours[at_ingredient(w, "rye")], mg("150"));
    cr_expect_eq(flours[at_ingredient(w, "water")], mg("750"));
    cr_assert(list_theory_of(&w->reckoning, &list, exact));
    cr_expect_eq(exact[at_ingredient(w, "wheat")], mg("3600"));
    cr_expect_eq(exact[at_ingredient(w, "rye")], mg("150"));
    world_free(w);
}

/* Random bakeries, every list of two weeks: each amount is the sum of the totals of its lines, and
 * the theory is no further off than the scale and half a milligram a line can make it. */
Test(stock_use_plan, lists_at_random_take_what_they_weigh)
{
    size_t lists = 0;
    for (uint64_t seed = 1; seed <= 20; seed++) {
        struct world *w = random_world(seed);
        struct dice dice = {seed};
        random_orders(w, &dice, "2027-05-10", 7, 40);
        for (int d = 0; d < 14; d++) {
            int64_t lines[ROOM] = {0}, starters[ROOM] = {0}, theory[ROOM] = {0}, sums[ROOM] = {0};
            int64_t slack[ROOM] = {0};
            struct mixing_list list;
            cr_assert_leq(w->catalogue.ingredient_count, (size_t)ROOM);
            cr_assert(mixing_list_of(&w->reckoning, day_of("2027-05-03") + d, w->demands,
                                     w->demand_count, &list));
            cr_assert(list_use_of(&w->reckoning, &list, lines, starters));
            cr_assert(list_theory_of(&w->reckoning, &list, theory));
            cr_assert(starters_use_of(&w->reckoning, starters, lines));
            for (size_t i = 0; i < list.starter_count; i++)
                cr_assert_eq(starters[list.starters[i].starter], list.starters[i].mg);
            for (size_t i = 0; i < list.mix_count; i++) {
                const struct mix *mix = &list.mixes[i];
                lists++;
                for (size_t n = 0; n < w->catalogue.formulas[mix->formula].line_count; n++) {
                    const struct mix_line *line = &mix->lines[n];
                    int64_t off = llabs(line->weigh_mg - line->exact_mg) + 1;
                    if (line->line->kind == LINE_INGREDIENT)
                        sums[line->line->index] += mix_line_total_mg(mix, line);
                    for (size_t k = 0; k < w->catalogue.ingredient_count; k++)
                        slack[k] += line->line->kind == LINE_FORMULA ? 0 : off * mix->batches + 2;
                }
            }
            for (size_t k = 0; k < w->catalogue.ingredient_count; k++) {
                int64_t flours[ROOM] = {0};
                cr_assert(starters_use_of(&w->reckoning, starters, flours));
                cr_assert_eq(lines[k] - flours[k], sums[k]);
                cr_assert_leq(llabs(theory[k] - lines[k]), slack[k]);
            }
        }
        world_free(w);
    }
    cr_expect_gt(lists, (size_t)100);
}

/* --- planned --- */

Test(stock_use_plan, orders_are_planned_by_the_working_day_that_takes_them)
{
    struct world *w = loaf_world();
    order(w, "2027-05-11", "loaf", 40, "");
    order(w, "2027-05-13", "loaf", 10, "");
    struct stock_plan plan = plan_of(w, "2027-05-09", 5);
    int64_t *amounts = rows(w, 5);
    cr_assert(planned_use_of(&plan, amounts));
    cr_expect_eq(at(w, amounts, 0, "wheat"), mg("2880"), "the build of 6 kg: 2.4, levain 0.48");
    cr_expect_eq(at(w, amounts, 0, "rye"), mg("120"));
    cr_expect_eq(at(w, amounts, 1, "wheat"), mg("18000"));
    cr_expect_eq(at(w, amounts, 1, "salt"), mg("400"));
    cr_expect_eq(at(w, amounts, 1, "seeds"), mg("600"));
    cr_expect_eq(at(w, amounts, 1, "bag"), 40);
    cr_expect_eq(at(w, amounts, 2, "wheat"), mg("720"));
    cr_expect_eq(at(w, amounts, 3, "wheat"), mg("4500"));
    cr_expect_eq(at(w, amounts, 3, "bag"), 10);
    cr_expect_eq(at(w, amounts, 4, "wheat"), 0);
    world_free(w);
}

Test(stock_use_plan, what_is_in_the_pot_needs_no_more_flour)
{
    struct world *w = loaf_world();
    struct pot_state pot = {.entries = 3, .on_hand_mg = mg("1300")};
    order(w, "2027-05-11", "loaf", 40, "");
    order(w, "2027-05-13", "loaf", 10, "");
    struct stock_plan plan = plan_of(w, "2027-05-09", 5);
    int64_t *amounts = rows(w, 5);
    plan.pots = &pot;
    cr_assert(planned_use_of(&plan, amounts));
    cr_expect_eq(at(w, amounts, 0, "wheat"), mg("2400"), "all 1.2 kg of levain are there");
    cr_expect_eq(at(w, amounts, 0, "rye"), 0);
    cr_expect_eq(at(w, amounts, 2, "wheat"), mg("680"), "0.1 of 0.3 kg: 0.6 and 0.08");
    cr_expect_eq(at(w, amounts, 2, "rye"), mg("20"));
    world_free(w);
}

Test(stock_use_plan, batches_that_are_posted_are_done)
{
    struct world *w = loaf_world();
    order(w, "2027-05-11", "loaf", 40, "");
    size_t country = at_formula(w, "country");
    date day = day_of("2027-05-10");
    struct posted_batch posted[] = {{day - 1, country, 1, 0},
                                    {day, country, 2, mg("20000")},
                                    {day, country, 7, mg("20000")},
                                    {day, at_formula(w, "build"), 1, 0}};
    struct stock_plan plan = plan_of(w, "2027-05-10", 1);
    int64_t *amounts = rows(w, 1);
    plan.posted = posted;
    plan.posted_count = 4;
    cr_assert(planned_use_of(&plan, amounts));
    cr_expect_eq(at(w, amounts, 0, "wheat"), mg("9000"), "one of two; there is no seventh");
    int64_t *theory = rows(w, 1);
    cr_assert(theory_use_of(&plan, theory));
    cr_expect_eq(at(w, theory, 0, "wheat"), mg("18000"), "asked for is what was asked for");
    world_free(w);
}

Test(stock_use_plan, printed_lists_speak_for_what_is_not_posted)
{
    struct world *w = loaf_world();
    size_t country = at_formula(w, "country");
    date day = day_of("2027-05-10");
    struct printed_line lines[] = {{day, country, 3, 0, 100},
                                   {day, country, 3, 1, 7},
                                   {day + 1, country, 2, 0, 1000},
                                   {day, NOT_FOUND, 2, 0, 10000}};
    struct posted_batch posted[] = {{day, country, 1, 0}, {day, country, 3, 0}};
    int64_t amounts[ROOM] = {0};
    cr_assert(printed_use_of(&w->reckoning, lines, 4, posted, 2, amounts));
    cr_expect_eq(amounts[0], 100 + 2000 + 20000);
    cr_expect_eq(amounts[1], 7);
    world_free(w);
}

Test(stock_use_plan, the_theory_of_weeks_is_that_of_their_days)
{
    struct world *w = loaf_world();
    int64_t *weeks, *days = rows(w, 14);
    for (int d = 0; d < 16; d++)
        order(w, day_text(day_of("2027-05-03") + d), "loaf", 5 + d, "");
    struct stock_plan plan = plan_of(w, "2027-05-03", 14);
    weeks = rows(w, 2);
    cr_assert(week_theory_of(&plan, NULL, weeks));
    cr_assert(theory_use_of(&plan, days));
    for (size_t i = 0; i < w->catalogue.ingredient_count; i++)
        for (size_t week = 0; week < 2; week++) {
            int64_t sum = 0;
            for (size_t d = 0; d < 7; d++)
                sum += days[(7 * week + d) * w->catalogue.ingredient_count + i];
            cr_assert_eq(weeks[week * w->catalogue.ingredient_count + i], sum);
        }
    /* Bread days of 4 to 10 May: 6 + ... + 12 loaves, 450 g each of the final dough; builds of 5 to
     * 11 May: 7 + ... + 13, 72 g each. */
    cr_expect_eq(at(w, weeks, 0, "wheat"), 63 * mg("450") + 70 * mg("72"));
    cr_expect_eq(at(w, weeks, 0, "bag"), 63);
    world_free(w);
}

/* --- short memory --- */

Test(stock_use_plan, short_memory_is_told)
{
    bool done = false;
    for (long n = 1; !done; n++) {
        struct world *w = loaf_world();
        order(w, "2027-05-11", "loaf", 40, "");
        struct stock_plan plan = plan_of(w, "2027-05-09", 3);
        int64_t *amounts = rows(w, 3), *weeks = rows(w, 1);
        arena_fail_nth(n);
        done = planned_use_of(&plan, amounts) && week_theory_of(&plan, NULL, weeks);
        arena_fail_nth(0);
        cr_expect_eq(done, !fails_any(&w->fails));
        if (!done) cr_assert_eq(fails_code(&w->fails), FAIL_UNAVAILABLE);
        world_free(w);
        cr_assert_lt(n, 10000);
    }
}

/* A book that begins on the Thursday is held against the rest of that week alone, and one that
 * never began against nothing. */
Test(stock_use_plan, theory_counts_from_the_day_on_which_the_book_begins)
{
    struct world *w = loaf_world();
    size_t count = w->catalogue.ingredient_count, wheat = at_ingredient(w, "wheat");
    int64_t *weeks, *days = rows(w, 14), rest = 0;
    date begun[ROOM] = {0};
    for (int d = 0; d < 16; d++)
        order(w, day_text(day_of("2027-05-03") + d), "loaf", 5 + d, "");
    struct stock_plan plan = plan_of(w, "2027-05-03", 14);
    weeks = rows(w, 2);
    begun[wheat] = day_of("2027-05-06");
    cr_assert(week_theory_of(&plan, begun, weeks));
    cr_assert(theory_use_of(&plan, days));
    for (size_t d = 3; d < 7; d++)
        rest += days[d * count + wheat];
    cr_expect_eq(at(w, weeks, 0, "wheat"), rest);
    cr_expect_gt(at(w, weeks, 1, "wheat"), rest);
    cr_expect_eq(at(w, weeks, 0, "salt") + at(w, weeks, 1, "bag"), 0);
    world_free(w);
}
