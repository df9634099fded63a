/* Feeding plans: cases that a baker works out on the fingers. */
#include "bakery/feeding.h"

#include "feeding_case.h"

#include <criterion/criterion.h>
#include <stdio.h>

TestSuite(feeding, .timeout = 120);

/* --- what a baker would do --- */

Test(feeding, one_mix_at_ten)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "12:00", "36:00", 60);
    case_mix(c, "22:00", 2000);
    struct feeding_plan plan = case_possible(c);
    cr_assert_eq(plan.feed_count, 1);
    case_expect_feed(c, &plan.feeds[0], "16:00", 440, 880, 880);
    cr_expect_eq(plan.feeds[0].before_mg, 500000);
    cr_expect_eq(plan.feeds[0].discard_mg, 60000);
    cr_expect_str_eq(case_clock(c, plan.feeds[0].ripe_from), "22:00");
    cr_expect_str_eq(case_clock(c, plan.feeds[0].ripe_until), "24:00");
    cr_expect_eq(plan.takes[0].left_mg, 200000);
    cr_expect_eq(plan.waste_mg, 60000);
    cr_expect_eq(plan.left_mg, 200000);
    case_free(c);
}

/* The second mix takes what the first has left, fed at the hour of the first: the mix comes first.
 */
Test(feeding, two_mixes_at_different_hours)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "12:00", "36:00", 60);
    case_mix(c, "20:00", 1000);
    case_mix(c, "26:00", 1500);
    struct feeding_plan plan = case_possible(c);
    cr_assert_eq(plan.feed_count, 2);
    case_expect_feed(c, &plan.feeds[0], "14:00", 268, 536, 536);
    case_expect_feed(c, &plan.feeds[1], "20:00", 340, 680, 680);
    cr_expect_eq(plan.takes[0].feed, 0);
    cr_expect_eq(plan.takes[1].feed, 1);
    cr_expect_eq(plan.waste_mg, 232000);
    case_free(c);
}

Test(feeding, two_mixes_of_one_feed)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "12:00", "36:00", 60);
    case_mix(c, "20:00", 800);
    case_mix(c, "21:30", 1000);
    struct feeding_plan plan = case_possible(c);
    cr_assert_eq(plan.feed_count, 1);
    case_expect_feed(c, &plan.feeds[0], "14:00", 400, 800, 800);
    case_free(c);
}

Test(feeding, what_is_ripe_already_needs_no_feed)
{
    struct feeding_case *c = case_usual();
    c->problem.ripens = true;
    c->problem.ripe_from = case_at(c, "11:00");
    c->problem.ripe_until = case_at(c, "13:00");
    case_slots(c, "12:00", "36:00", 60);
    case_mix(c, "13:00", 250);
    struct feeding_plan plan = case_possible(c);
    cr_expect_eq(plan.feed_count, 0);
    cr_expect_eq(plan.takes[0].feed, NOT_FOUND);
    cr_expect_eq(plan.waste_mg, 50000);
    cr_expect_eq(plan.left_mg, 250000);
    case_free(c);
}

/* The leaner feed grows more out of less, so more of what is there is thrown away before it. */
Test(feeding, the_ratio_that_throws_least_away)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "12:00", "36:00", 60);
    case_ratio(c, 1, 5, 5, 9);
    case_mix(c, "22:00", 2000);
    struct feeding_plan plan = case_possible(c);
    cr_expect_eq(plan.feeds[0].ratio, 0);
    c->problem.on_hand_mg = 300000; /* not enough for 1 : 2 : 2 now */
    plan = case_possible(c);
    cr_assert_eq(plan.feed_count, 1);
    case_expect_feed(c, &plan.feeds[0], "13:00", 200, 1000, 1000);
    case_free(c);
}

Test(feeding, after_the_cold_it_is_fed_twice)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "12:00", "36:00", 60);
    c->problem.feeds_to_wake = 2;
    case_mix(c, "30:00", 2000);
    struct feeding_plan plan = case_possible(c);
    cr_assert_eq(plan.feed_count, 2);
    case_expect_feed(c, &plan.feeds[0], "18:00", 88, 176, 176);
    case_expect_feed(c, &plan.feeds[1], "24:00", 440, 880, 880);
    c->problem.demand_count = 0;
    case_mix(c, "22:00", 2000);
    struct feeding_short shortfall = case_short(c, 0);
    cr_expect_eq(shortfall.most_mg, 0);
    cr_assert(shortfall.has_later);
    cr_expect_str_eq(case_clock(c, shortfall.later), "24:00");
    case_free(c);
}

Test(feeding, without_mixes_it_is_kept_alive)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "12:00", "84:00", 60);
    c->problem.has_feed_by = true;
    c->problem.feed_by = case_at(c, "20:00");
    c->problem.until = case_at(c, "20:00");
    cr_expect_eq(case_possible(c).feed_count, 0);
    c->problem.until = case_at(c, "44:00");
    struct feeding_plan plan = case_possible(c);
    cr_assert_eq(plan.feed_count, 1);
    case_expect_feed(c, &plan.feeds[0], "20:00", 40, 80, 80);
    cr_expect_eq(plan.waste_mg, 460000);
    c->problem.until = case_at(c, "44:01");
    plan = case_possible(c);
    cr_assert_eq(plan.feed_count, 2);
    cr_expect_str_eq(case_clock(c, plan.feeds[0].at), "20:00");
    cr_expect_str_eq(case_clock(c, plan.feeds[1].at), "44:00");
    case_free(c);
}

Test(feeding, it_may_be_fed_as_long_as_it_is_ripe)
{
    struct feeding_case *c = case_usual();
    c->problem.feed_within_minutes = 60;
    c->problem.has_feed_by = true;
    c->problem.feed_by = case_at(c, "12:00");
    case_slots(c, "12:00", "12:00", 60);
    case_slots(c, "20:00", "20:00", 60);
    c->problem.until = case_at(c, "28:00");
    cr_expect_eq(case_possible(c).feed_count, 2);
    c->slots[1] = case_at(c, "20:01");
    cr_expect_not(case_plan(c).possible);
    case_free(c);
}

Test(feeding, a_first_feed_waits_until_it_is_ripe)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "12:00", "36:00", 60);
    c->problem.ripens = true;
    c->problem.ripe_from = case_at(c, "15:00");
    c->problem.ripe_until = case_at(c, "17:00");
    c->problem.may_feed_at_once = false;
    case_mix(c, "20:00", 1000);
    struct feeding_short shortfall = case_short(c, 0);
    cr_expect_eq(shortfall.most_mg, 0);
    cr_expect_str_eq(case_clock(c, shortfall.later), "21:00");
    c->problem.may_feed_at_once = true;
    case_possible(c);
    c->problem.may_feed_at_once = false;
    c->problem.ripens = false; /* there is nothing to wait for */
    case_possible(c);
    case_free(c);
}

Test(feeding, less_than_the_mother_is_fed_up)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "12:00", "36:00", 60);
    c->problem.on_hand_mg = 150000;
    case_mix(c, "22:00", 400);
    struct feeding_plan plan = case_possible(c);
    cr_expect_eq(plan.feeds[0].seed_mg, 120000);
    cr_expect_eq(plan.waste_mg, 30000);
    c->problem.ripens = true;
    c->problem.ripe_from = c->problem.now;
    c->problem.ripe_until = case_at(c, "14:00");
    c->problem.demand_count = 0;
    case_mix(c, "12:00", 0);
    cr_expect_eq(case_short(c, 0).most_mg, 0);
    case_free(c);
}

/* 1 : 4 : 4 once is as much as 1 : 1 : 1 twice. */
Test(feeding, rather_one_feed_than_two)
{
    struct feeding_case *c = case_usual();
    c->problem.ratio_count = 0;
    case_slots(c, "12:00", "36:00", 60);
    case_ratio(c, 1, 1, 1, 3);
    case_ratio(c, 1, 4, 4, 8);
    case_mix(c, "22:00", 2050);
    struct feeding_plan plan = case_possible(c);
    cr_assert_eq(plan.feed_count, 1);
    case_expect_feed(c, &plan.feeds[0], "14:00", 250, 1000, 1000);
    case_free(c);
}

Test(feeding, as_much_as_can_be_grown)
{
    struct feeding_case *c = case_usual();
    c->problem.ratio_count = 0;
    c->problem.on_hand_mg = 300000;
    case_slots(c, "12:00", "36:00", 60);
    case_ratio(c, 1, 5, 5, 9);
    case_ratio(c, 1, 1, 1, 9);
    case_mix(c, "30:00", 36100); /* 300 g x 11 x 11, and 200 g are kept */
    struct feeding_plan plan = case_possible(c);
    cr_expect_eq(plan.feed_count, 2);
    cr_expect_eq(plan.waste_mg, 0);
    c->demands[0].mg++;
    cr_expect_eq(case_short(c, 0).most_mg, 36100000);
    case_free(c);
}

Test(feeding, a_feed_is_never_of_nothing)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "12:00", "36:00", 60);
    c->problem.keep_mg = 0;
    c->problem.step_mg = 5000;
    c->problem.has_feed_by = true;
    c->problem.feed_by = c->problem.now;
    c->problem.until = case_at(c, "20:00");
    struct feeding_plan plan = case_possible(c);
    cr_assert_eq(plan.feed_count, 1);
    case_expect_feed(c, &plan.feeds[0], "12:00", 5, 5, 5);
    case_free(c);
}

Test(feeding, weighed_on_a_coarse_scale)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "12:00", "36:00", 60);
    c->ratios[0] = (struct feed_ratio){3, 7, 5, 360};
    c->problem.step_mg = 50000;
    case_mix(c, "22:00", 1000); /* 240, 560 and 400 g are needed */
    struct feeding_plan plan = case_possible(c);
    case_expect_feed(c, &plan.feeds[0], "16:00", 250, 600, 450);
    cr_expect_eq(plan.left_mg, 300000);
    cr_expect_eq(plan.waste_mg, 350000);
    case_free(c);
}

/* --- the tests' own --- */

/* A plan with a wrong figure in it does not pass. */
Test(feeding, the_simulation_can_fail)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "12:00", "36:00", 60);
    case_mix(c, "20:00", 1000);
    case_mix(c, "26:00", 1500);
    struct feeding_plan plan = case_possible(c);
    struct feed good = plan.feeds[1];
    int64_t *figures[] = {&plan.feeds[1].before_mg, &plan.feeds[1].discard_mg,
                          &plan.feeds[1].seed_mg,   &plan.feeds[1].flour_mg,
                          &plan.feeds[1].water_mg,  &plan.feeds[1].after_mg,
                          &plan.feeds[1].at,        &plan.feeds[1].ripe_from,
                          &plan.waste_mg,           &plan.left_mg,
                          &plan.takes[1].left_mg};
    for (size_t i = 0; i < sizeof figures / sizeof *figures; i++) {
        *figures[i] -= 1;
        cr_expect_not_null(case_simulate(&c->problem, &plan, 2), "figure %zu", i);
        *figures[i] += 1;
    }
    plan.feeds[1].at = case_at(c, "19:00");
    cr_expect_not_null(case_simulate(&c->problem, &plan, 2));
    plan.feeds[1] = good;
    c->problem.keep_mg += 1;
    cr_expect_not_null(case_simulate(&c->problem, &plan, 2));
    case_free(c);
}

/* --- trouble --- */

static void expect_too_large(struct feeding_case *c)
{
    struct feeding_plan plan;
    cr_expect_not(feeding_plan_of(&c->reckoning, &c->problem, &plan));
    cr_expect_eq(fails_code(&c->fails), FAIL_INVALID);
    fails_reset(&c->fails, 0);
}

Test(feeding, weights_beyond_counting)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "12:00", "36:00", 60);
    case_mix(c, "20:00", 1000);
    case_mix(c, "20:00", 1000);
    case_possible(c);
    c->demands[0].mg = c->demands[1].mg = INT64_MAX / 2;
    expect_too_large(c);
    c->demands[1].mg = 1;
    c->problem.step_mg = INT64_MAX / 3;
    expect_too_large(c);
    c->problem.step_mg = 1;
    c->ratios[0] = (struct feed_ratio){INT64_MAX / 2, INT64_MAX / 2, INT64_MAX / 2, 360};
    cr_expect_not(case_plan(c).possible); /* parts that cannot be added up are no ratio */
    case_free(c);
}
