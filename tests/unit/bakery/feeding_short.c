/* Shortfalls of feeding plans: what cannot be done, and how near one comes. */
#include "feeding_case.h"

#include <criterion/criterion.h>

TestSuite(feeding_short, .timeout = 60);

Test(feeding_short, the_pot_is_too_small)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "12:00", "16:00", 60);
    c->problem.pot_mg = 2000000;
    case_mix(c, "22:00", 1800);
    case_possible(c);
    c->demands[0].mg = 3000000;
    struct feeding_short shortfall = case_short(c, 0);
    cr_expect_eq(shortfall.most_mg, 1800000);
    cr_expect_not(shortfall.has_later);
    case_free(c);
}

Test(feeding_short, nobody_is_there_at_night)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "12:00", "20:00", 60);
    case_slots(c, "30:00", "36:00", 60);
    case_mix(c, "30:00", 2000); /* would be fed between ten and midnight */
    struct feeding_short shortfall = case_short(c, 0);
    cr_expect_eq(shortfall.most_mg, 0);
    cr_assert(shortfall.has_later);
    cr_expect_str_eq(case_clock(c, shortfall.later), "36:00");
    case_ratio(c, 1, 5, 5, 10);
    struct feeding_plan plan = case_possible(c);
    case_expect_feed(c, &plan.feeds[plan.feed_count - 1], "20:00", 200, 1000, 1000);
    case_free(c);
}

Test(feeding_short, mix_at_ten_past_eleven_instead)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "17:10", "17:10", 60);
    case_mix(c, "22:00", 2000);
    struct feeding_short shortfall = case_short(c, 0);
    cr_expect_eq(shortfall.most_mg, 0);
    cr_assert(shortfall.has_later);
    cr_expect_str_eq(case_clock(c, shortfall.later), "23:10");
    c->slots[0] = case_at(c, "17:07"); /* at a whole five minutes */
    cr_expect_str_eq(case_clock(c, case_short(c, 0).later), "23:10");
    c->demands[0].mg = 2300001;
    cr_expect_not(case_short(c, 0).has_later);
    case_free(c);
}

Test(feeding_short, fourteen_kilos_instead_of_seventeen)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "16:00", "28:00", 60);
    c->problem.on_hand_mg = 3000000;
    c->problem.keep_mg = 1000000;
    c->problem.step_mg = 5000;
    case_mix(c, "22:00", 14000);
    case_possible(c);
    c->demands[0].mg = 17000000;
    struct feeding_short shortfall = case_short(c, 0);
    cr_expect_eq(shortfall.most_mg, 14000000);
    cr_assert(shortfall.has_later); /* fed once more at ten */
    cr_expect_str_eq(case_clock(c, shortfall.later), "28:00");
    case_free(c);
}

/* Also from what is in the pot now, and a seed for the next feed is left. */
Test(feeding_short, as_much_as_there_is)
{
    struct feeding_case *c = case_usual();
    c->problem.ripens = true;
    c->problem.ripe_from = case_at(c, "11:00");
    c->problem.ripe_until = case_at(c, "14:00");
    case_mix(c, "13:00", 400);
    cr_expect_eq(case_short(c, 0).most_mg, 300000);
    c->problem.keep_mg = 0;
    c->problem.step_mg = 5000;
    c->problem.has_feed_by = true;
    c->problem.feed_by = case_at(c, "20:00");
    c->problem.until = case_at(c, "36:00");
    c->demands[0].mg = 500000;
    case_slots(c, "16:00", "20:00", 60);
    struct feeding_short shortfall = case_short(c, 0);
    cr_expect_eq(shortfall.most_mg, 495000);
    cr_assert(shortfall.has_later);
    cr_expect_str_eq(case_clock(c, shortfall.later), "22:00");
    case_free(c);
}

/* It has to be fed at ten, or it would starve: what is mixed at eleven comes too late for one feed
 * and too early for the next. */
Test(feeding_short, later_is_later)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "12:00", "16:00", 60);
    case_slots(c, "22:00", "22:00", 60);
    case_mix(c, "23:00", 300);
    c->problem.until = case_at(c, "44:00");
    struct feeding_short shortfall = case_short(c, 0);
    cr_expect_eq(shortfall.most_mg, 0);
    cr_assert(shortfall.has_later);
    cr_expect_str_eq(case_clock(c, shortfall.later), "28:00");
    case_free(c);
}

/* What could be had later must not take from the mixes before, nor starve the pot. */
Test(feeding_short, what_is_met_stays_met)
{
    struct feeding_case *c = case_usual();
    case_slots(c, "12:00", "36:00", 60);
    case_mix(c, "20:00", 1000);
    case_mix(c, "21:00", 1300);
    case_mix(c, "21:30", 100);
    case_mix(c, "22:00", 100);
    struct feeding_plan plan = case_sound(c);
    cr_assert_not(plan.possible);
    cr_assert_eq(plan.shortfall.demand, 2);
    cr_expect_eq(plan.shortfall.most_mg, 0);
    cr_expect_str_eq(case_clock(c, plan.shortfall.later), "27:00");
    cr_expect_eq(plan.takes[1].feed, 0);
    cr_expect_eq(plan.takes[1].left_mg, 200000);
    cr_expect_eq(plan.takes[3].left_mg, -1);
    case_free(c);
}

Test(feeding_short, it_starves_whatever_is_done)
{
    struct feeding_case *c = case_usual();
    c->problem.has_feed_by = true;
    c->problem.feed_by = case_at(c, "14:00");
    case_slots(c, "15:00", "36:00", 60);
    case_mix(c, "22:00", 100);
    struct feeding_plan plan = case_plan(c);
    cr_expect_not(plan.possible);
    cr_expect_eq(plan.shortfall.demand, NOT_FOUND);
    cr_expect_eq(plan.feed_count, 0);
    cr_expect_eq(plan.left_mg, 500000);
    cr_expect_eq(plan.takes[0].left_mg, -1);
    case_free(c);
}
