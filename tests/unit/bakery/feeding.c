/* Feeding plans: cases that a baker works out on the fingers, and three hundred at random, each
 * walked through by a simulated pot. */
#include "bakery/feeding.h"

#include "feeding_case.h"

#include <criterion/criterion.h>
#include <stdio.h>

TestSuite(feeding, .timeout = 120);

/* --- telling cases --- */

/* Noon is the now of every case; "34:00" is ten in the morning of the next day. */
static instant at(const struct feeding_case *c, const char *clock)
{
    int hours, minutes;
    cr_assert_eq(sscanf(clock, "%d:%d", &hours, &minutes), 2);
    return c->problem.now + ((hours - 12) * 60 + minutes) * CASE_MINUTE;
}

/* The other way round; static, overwritten by the fourth call after. */
static const char *clock_at(const struct feeding_case *c, instant when)
{
    static char texts[4][32];
    static int turn;
    char *text = texts[turn++ % 4];
    int64_t minutes = (when - c->problem.now) / CASE_MINUTE + 12 * 60;
    snprintf(text, sizeof texts[0], "%02ld:%02ld", minutes / 60, minutes % 60);
    return text;
}

static void slots_every(struct feeding_case *c, const char *from, const char *to, int64_t minutes)
{
    for (instant when = at(c, from); when <= at(c, to); when += minutes * CASE_MINUTE)
        c->slots[c->problem.slot_count++] = when;
}

static void ratio(struct feeding_case *c, int64_t seed, int64_t flour, int64_t water, int64_t hours)
{
    c->ratios[c->problem.ratio_count++] = (struct feed_ratio){seed, flour, water, hours * 60};
}

static void mix(struct feeding_case *c, const char *clock, int64_t grams)
{
    c->demands[c->problem.demand_count++] = (struct feeding_demand){at(c, clock), grams * 1000};
    if (c->problem.until < at(c, clock)) c->problem.until = at(c, clock);
}

/* Half a kilo at work, of which 200 g are always kept; it is used to 1 : 2 : 2, ripe in six hours,
 * and stays ripe for two; somebody can feed at every hour from noon to noon. */
static struct feeding_case *usual_case(void)
{
    struct feeding_case *c = case_new();
    c->problem.on_hand_mg = 500000;
    c->problem.keep_mg = 200000;
    ratio(c, 1, 2, 2, 6);
    return c;
}

static struct feeding_plan sound_plan(struct feeding_case *c)
{
    struct feeding_plan plan = plan_of(c);
    size_t n = plan.possible ? c->problem.demand_count : plan.shortfall.demand;
    const char *wrong = simulate(&c->problem, &plan, n);
    cr_assert_null(wrong, "%s", wrong);
    return plan;
}

static struct feeding_plan possible_plan(struct feeding_case *c)
{
    struct feeding_plan plan = sound_plan(c);
    cr_assert(plan.possible);
    cr_assert_eq(plan.shortfall.demand, NOT_FOUND);
    return plan;
}

static struct feeding_short short_plan(struct feeding_case *c, size_t demand)
{
    struct feeding_plan plan = sound_plan(c);
    cr_assert_not(plan.possible);
    cr_assert_eq(plan.shortfall.demand, demand);
    return plan.shortfall;
}

static void expect_feed(const struct feeding_case *c, const struct feed *feed, const char *clock,
                        int64_t seed, int64_t flour, int64_t water)
{
    cr_expect_str_eq(clock_at(c, feed->at), clock);
    cr_expect_eq(feed->seed_mg, seed * 1000, "seed %ld", feed->seed_mg);
    cr_expect_eq(feed->flour_mg, flour * 1000, "flour %ld", feed->flour_mg);
    cr_expect_eq(feed->water_mg, water * 1000, "water %ld", feed->water_mg);
}

/* --- what a baker would do --- */

Test(feeding, one_mix_at_ten)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "12:00", "36:00", 60);
    mix(c, "22:00", 2000);
    struct feeding_plan plan = possible_plan(c);
    cr_assert_eq(plan.feed_count, 1);
    expect_feed(c, &plan.feeds[0], "16:00", 440, 880, 880);
    cr_expect_eq(plan.feeds[0].before_mg, 500000);
    cr_expect_eq(plan.feeds[0].discard_mg, 60000);
    cr_expect_str_eq(clock_at(c, plan.feeds[0].ripe_from), "22:00");
    cr_expect_str_eq(clock_at(c, plan.feeds[0].ripe_until), "24:00");
    cr_expect_eq(plan.takes[0].left_mg, 200000);
    cr_expect_eq(plan.waste_mg, 60000);
    cr_expect_eq(plan.left_mg, 200000);
    case_free(c);
}

/* The second mix takes what the first has left, fed at the hour of the first: the mix comes first.
 */
Test(feeding, two_mixes_at_different_hours)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "12:00", "36:00", 60);
    mix(c, "20:00", 1000);
    mix(c, "26:00", 1500);
    struct feeding_plan plan = possible_plan(c);
    cr_assert_eq(plan.feed_count, 2);
    expect_feed(c, &plan.feeds[0], "14:00", 268, 536, 536);
    expect_feed(c, &plan.feeds[1], "20:00", 340, 680, 680);
    cr_expect_eq(plan.takes[0].feed, 0);
    cr_expect_eq(plan.takes[1].feed, 1);
    cr_expect_eq(plan.waste_mg, 232000);
    case_free(c);
}

Test(feeding, two_mixes_of_one_feed)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "12:00", "36:00", 60);
    mix(c, "20:00", 800);
    mix(c, "21:30", 1000);
    struct feeding_plan plan = possible_plan(c);
    cr_assert_eq(plan.feed_count, 1);
    expect_feed(c, &plan.feeds[0], "14:00", 400, 800, 800);
    case_free(c);
}

Test(feeding, what_is_ripe_already_needs_no_feed)
{
    struct feeding_case *c = usual_case();
    c->problem.ripens = true;
    c->problem.ripe_from = at(c, "11:00");
    c->problem.ripe_until = at(c, "13:00");
    slots_every(c, "12:00", "36:00", 60);
    mix(c, "13:00", 250);
    struct feeding_plan plan = possible_plan(c);
    cr_expect_eq(plan.feed_count, 0);
    cr_expect_eq(plan.takes[0].feed, NOT_FOUND);
    cr_expect_eq(plan.waste_mg, 50000);
    cr_expect_eq(plan.left_mg, 250000);
    case_free(c);
}

/* The leaner feed grows more out of less, so more of what is there is thrown away before it. */
Test(feeding, the_ratio_that_throws_least_away)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "12:00", "36:00", 60);
    ratio(c, 1, 5, 5, 9);
    mix(c, "22:00", 2000);
    struct feeding_plan plan = possible_plan(c);
    cr_expect_eq(plan.feeds[0].ratio, 0);
    c->problem.on_hand_mg = 300000; /* not enough for 1 : 2 : 2 now */
    plan = possible_plan(c);
    cr_assert_eq(plan.feed_count, 1);
    expect_feed(c, &plan.feeds[0], "13:00", 200, 1000, 1000);
    case_free(c);
}

Test(feeding, after_the_cold_it_is_fed_twice)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "12:00", "36:00", 60);
    c->problem.feeds_to_wake = 2;
    mix(c, "30:00", 2000);
    struct feeding_plan plan = possible_plan(c);
    cr_assert_eq(plan.feed_count, 2);
    expect_feed(c, &plan.feeds[0], "18:00", 88, 176, 176);
    expect_feed(c, &plan.feeds[1], "24:00", 440, 880, 880);
    c->problem.demand_count = 0;
    mix(c, "22:00", 2000);
    struct feeding_short shortfall = short_plan(c, 0);
    cr_expect_eq(shortfall.most_mg, 0);
    cr_assert(shortfall.has_later);
    cr_expect_str_eq(clock_at(c, shortfall.later), "24:00");
    case_free(c);
}

Test(feeding, without_mixes_it_is_kept_alive)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "12:00", "84:00", 60);
    c->problem.has_feed_by = true;
    c->problem.feed_by = at(c, "20:00");
    c->problem.until = at(c, "20:00");
    cr_expect_eq(possible_plan(c).feed_count, 0);
    c->problem.until = at(c, "44:00");
    struct feeding_plan plan = possible_plan(c);
    cr_assert_eq(plan.feed_count, 1);
    expect_feed(c, &plan.feeds[0], "20:00", 40, 80, 80);
    cr_expect_eq(plan.waste_mg, 460000);
    c->problem.until = at(c, "44:01");
    plan = possible_plan(c);
    cr_assert_eq(plan.feed_count, 2);
    cr_expect_str_eq(clock_at(c, plan.feeds[0].at), "20:00");
    cr_expect_str_eq(clock_at(c, plan.feeds[1].at), "44:00");
    case_free(c);
}

Test(feeding, it_may_be_fed_as_long_as_it_is_ripe)
{
    struct feeding_case *c = usual_case();
    c->problem.feed_within_minutes = 60;
    c->problem.has_feed_by = true;
    c->problem.feed_by = at(c, "12:00");
    slots_every(c, "12:00", "12:00", 60);
    slots_every(c, "20:00", "20:00", 60);
    c->problem.until = at(c, "28:00");
    cr_expect_eq(possible_plan(c).feed_count, 2);
    c->slots[1] = at(c, "20:01");
    cr_expect_not(plan_of(c).possible);
    case_free(c);
}

Test(feeding, a_first_feed_waits_until_it_is_ripe)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "12:00", "36:00", 60);
    c->problem.ripens = true;
    c->problem.ripe_from = at(c, "15:00");
    c->problem.ripe_until = at(c, "17:00");
    c->problem.may_feed_at_once = false;
    mix(c, "20:00", 1000);
    struct feeding_short shortfall = short_plan(c, 0);
    cr_expect_eq(shortfall.most_mg, 0);
    cr_expect_str_eq(clock_at(c, shortfall.later), "21:00");
    c->problem.may_feed_at_once = true;
    possible_plan(c);
    c->problem.may_feed_at_once = false;
    c->problem.ripens = false; /* there is nothing to wait for */
    possible_plan(c);
    case_free(c);
}

Test(feeding, less_than_the_mother_is_fed_up)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "12:00", "36:00", 60);
    c->problem.on_hand_mg = 150000;
    mix(c, "22:00", 400);
    struct feeding_plan plan = possible_plan(c);
    cr_expect_eq(plan.feeds[0].seed_mg, 120000);
    cr_expect_eq(plan.waste_mg, 30000);
    c->problem.ripens = true;
    c->problem.ripe_from = c->problem.now;
    c->problem.ripe_until = at(c, "14:00");
    c->problem.demand_count = 0;
    mix(c, "12:00", 0);
    cr_expect_eq(short_plan(c, 0).most_mg, 0);
    case_free(c);
}

/* 1 : 4 : 4 once is as much as 1 : 1 : 1 twice. */
Test(feeding, rather_one_feed_than_two)
{
    struct feeding_case *c = usual_case();
    c->problem.ratio_count = 0;
    slots_every(c, "12:00", "36:00", 60);
    ratio(c, 1, 1, 1, 3);
    ratio(c, 1, 4, 4, 8);
    mix(c, "22:00", 2050);
    struct feeding_plan plan = possible_plan(c);
    cr_assert_eq(plan.feed_count, 1);
    expect_feed(c, &plan.feeds[0], "14:00", 250, 1000, 1000);
    case_free(c);
}

Test(feeding, as_much_as_can_be_grown)
{
    struct feeding_case *c = usual_case();
    c->problem.ratio_count = 0;
    c->problem.on_hand_mg = 300000;
    slots_every(c, "12:00", "36:00", 60);
    ratio(c, 1, 5, 5, 9);
    ratio(c, 1, 1, 1, 9);
    mix(c, "30:00", 36100); /* 300 g x 11 x 11, and 200 g are kept */
    struct feeding_plan plan = possible_plan(c);
    cr_expect_eq(plan.feed_count, 2);
    cr_expect_eq(plan.waste_mg, 0);
    c->demands[0].mg++;
    cr_expect_eq(short_plan(c, 0).most_mg, 36100000);
    case_free(c);
}

Test(feeding, a_feed_is_never_of_nothing)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "12:00", "36:00", 60);
    c->problem.keep_mg = 0;
    c->problem.step_mg = 5000;
    c->problem.has_feed_by = true;
    c->problem.feed_by = c->problem.now;
    c->problem.until = at(c, "20:00");
    struct feeding_plan plan = possible_plan(c);
    cr_assert_eq(plan.feed_count, 1);
    expect_feed(c, &plan.feeds[0], "12:00", 5, 5, 5);
    case_free(c);
}

Test(feeding, weighed_on_a_coarse_scale)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "12:00", "36:00", 60);
    c->ratios[0] = (struct feed_ratio){3, 7, 5, 360};
    c->problem.step_mg = 50000;
    mix(c, "22:00", 1000); /* 240, 560 and 400 g are needed */
    struct feeding_plan plan = possible_plan(c);
    expect_feed(c, &plan.feeds[0], "16:00", 250, 600, 450);
    cr_expect_eq(plan.left_mg, 300000);
    cr_expect_eq(plan.waste_mg, 350000);
    case_free(c);
}

/* --- what cannot be done, and how near one comes --- */

Test(feeding, the_pot_is_too_small)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "12:00", "16:00", 60);
    c->problem.pot_mg = 2000000;
    mix(c, "22:00", 1800);
    possible_plan(c);
    c->demands[0].mg = 3000000;
    struct feeding_short shortfall = short_plan(c, 0);
    cr_expect_eq(shortfall.most_mg, 1800000);
    cr_expect_not(shortfall.has_later);
    case_free(c);
}

Test(feeding, nobody_is_there_at_night)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "12:00", "20:00", 60);
    slots_every(c, "30:00", "36:00", 60);
    mix(c, "30:00", 2000); /* would be fed between ten and midnight */
    struct feeding_short shortfall = short_plan(c, 0);
    cr_expect_eq(shortfall.most_mg, 0);
    cr_assert(shortfall.has_later);
    cr_expect_str_eq(clock_at(c, shortfall.later), "36:00");
    ratio(c, 1, 5, 5, 10);
    struct feeding_plan plan = possible_plan(c);
    expect_feed(c, &plan.feeds[plan.feed_count - 1], "20:00", 200, 1000, 1000);
    case_free(c);
}

Test(feeding, mix_at_ten_past_eleven_instead)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "17:10", "17:10", 60);
    mix(c, "22:00", 2000);
    struct feeding_short shortfall = short_plan(c, 0);
    cr_expect_eq(shortfall.most_mg, 0);
    cr_assert(shortfall.has_later);
    cr_expect_str_eq(clock_at(c, shortfall.later), "23:10");
    c->slots[0] = at(c, "17:07"); /* at a whole five minutes */
    cr_expect_str_eq(clock_at(c, short_plan(c, 0).later), "23:10");
    c->demands[0].mg = 2300001;
    cr_expect_not(short_plan(c, 0).has_later);
    case_free(c);
}

Test(feeding, fourteen_kilos_instead_of_seventeen)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "16:00", "28:00", 60);
    c->problem.on_hand_mg = 3000000;
    c->problem.keep_mg = 1000000;
    c->problem.step_mg = 5000;
    mix(c, "22:00", 14000);
    possible_plan(c);
    c->demands[0].mg = 17000000;
    struct feeding_short shortfall = short_plan(c, 0);
    cr_expect_eq(shortfall.most_mg, 14000000);
    cr_assert(shortfall.has_later); /* fed once more at ten */
    cr_expect_str_eq(clock_at(c, shortfall.later), "28:00");
    case_free(c);
}

/* Also from what is in the pot now, and a seed for the next feed is left. */
Test(feeding, as_much_as_there_is)
{
    struct feeding_case *c = usual_case();
    c->problem.ripens = true;
    c->problem.ripe_from = at(c, "11:00");
    c->problem.ripe_until = at(c, "14:00");
    mix(c, "13:00", 400);
    cr_expect_eq(short_plan(c, 0).most_mg, 300000);
    c->problem.keep_mg = 0;
    c->problem.step_mg = 5000;
    c->problem.has_feed_by = true;
    c->problem.feed_by = at(c, "20:00");
    c->problem.until = at(c, "36:00");
    c->demands[0].mg = 500000;
    slots_every(c, "16:00", "20:00", 60);
    struct feeding_short shortfall = short_plan(c, 0);
    cr_expect_eq(shortfall.most_mg, 495000);
    cr_assert(shortfall.has_later);
    cr_expect_str_eq(clock_at(c, shortfall.later), "22:00");
    case_free(c);
}

/* It has to be fed at ten, or it would starve: what is mixed at eleven comes too late for one feed
 * and too early for the next. */
Test(feeding, later_is_later)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "12:00", "16:00", 60);
    slots_every(c, "22:00", "22:00", 60);
    mix(c, "23:00", 300);
    c->problem.until = at(c, "44:00");
    struct feeding_short shortfall = short_plan(c, 0);
    cr_expect_eq(shortfall.most_mg, 0);
    cr_assert(shortfall.has_later);
    cr_expect_str_eq(clock_at(c, shortfall.later), "28:00");
    case_free(c);
}

/* What could be had later must not take from the mixes before, nor starve the pot. */
Test(feeding, what_is_met_stays_met)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "12:00", "36:00", 60);
    mix(c, "20:00", 1000);
    mix(c, "21:00", 1300);
    mix(c, "21:30", 100);
    mix(c, "22:00", 100);
    struct feeding_plan plan = sound_plan(c);
    cr_assert_not(plan.possible);
    cr_assert_eq(plan.shortfall.demand, 2);
    cr_expect_eq(plan.shortfall.most_mg, 0);
    cr_expect_str_eq(clock_at(c, plan.shortfall.later), "27:00");
    cr_expect_eq(plan.takes[1].feed, 0);
    cr_expect_eq(plan.takes[1].left_mg, 200000);
    cr_expect_eq(plan.takes[3].left_mg, -1);
    case_free(c);
}

Test(feeding, it_starves_whatever_is_done)
{
    struct feeding_case *c = usual_case();
    c->problem.has_feed_by = true;
    c->problem.feed_by = at(c, "14:00");
    slots_every(c, "15:00", "36:00", 60);
    mix(c, "22:00", 100);
    struct feeding_plan plan = plan_of(c);
    cr_expect_not(plan.possible);
    cr_expect_eq(plan.shortfall.demand, NOT_FOUND);
    cr_expect_eq(plan.feed_count, 0);
    cr_expect_eq(plan.left_mg, 500000);
    cr_expect_eq(plan.takes[0].left_mg, -1);
    case_free(c);
}

/* --- at random --- */

static bool can_do(struct feeding_case *c, size_t demands)
{
    struct feeding_plan plan;
    size_t all = c->problem.demand_count;
    c->problem.demand_count = demands;
    cr_assert(feeding_plan_of(&c->reckoning, &c->problem, &plan));
    c->problem.demand_count = all;
    return plan.possible;
}

/* The most and the later time are tried out, and that neither is more nor earlier. */
static void check_shortfall(struct feeding_case *c, const struct feeding_short *told)
{
    struct feeding_demand *demand = &c->demands[told->demand];
    const struct feeding_demand wanted = *demand;
    size_t n = told->demand + 1;
    cr_assert_not(can_do(c, n));
    cr_assert(can_do(c, n - 1));
    cr_assert_eq(told->most_mg % c->problem.step_mg, 0);
    demand->mg = told->most_mg;
    cr_assert(told->most_mg == 0 || can_do(c, n));
    demand->mg = told->most_mg + c->problem.step_mg;
    cr_assert(demand->mg > wanted.mg || !can_do(c, n));
    *demand = wanted;
    instant last = told->has_later ? told->later : wanted.at + 24 * CASE_HOUR + 1;
    instant grid = 5 * CASE_MINUTE;
    for (instant when = (wanted.at / grid + 1) * grid; when < last; when += 3 * grid) {
        demand->at = when;
        cr_assert_not(can_do(c, n));
    }
    demand->at = told->later;
    cr_assert(!told->has_later || (told->later % grid == 0 && can_do(c, n)));
    *demand = wanted;
}

Test(feeding, three_hundred_at_random)
{
    size_t possible = 0, nothing = 0, later = 0, less = 0, feeds = 0, woken = 0, large = 0;
    for (uint64_t seed = 1; seed <= 300; seed++) {
        struct feeding_case *c = case_random(seed, false);
        struct feeding_plan plan = plan_of(c);
        if (!plan.possible && plan.shortfall.demand == NOT_FOUND) {
            cr_assert_not(can_do(c, 0));
            nothing++;
        } else {
            size_t n = plan.possible ? c->problem.demand_count : plan.shortfall.demand;
            const char *wrong = simulate(&c->problem, &plan, n);
            cr_assert_null(wrong, "seed %lu: %s", seed, wrong);
            feeds += plan.feed_count;
            possible += plan.possible;
            woken += plan.possible && c->problem.feeds_to_wake > 1 && n > 0;
            large += plan.possible && c->problem.slot_count > 150 && n > 5;
        }
        if (!plan.possible && plan.shortfall.demand != NOT_FOUND) {
            check_shortfall(c, &plan.shortfall);
            later += plan.shortfall.has_later;
            less += plan.shortfall.most_mg > 0;
        }
        case_free(c);
    }
    cr_log_info("%zu possible, %zu starve, %zu later, %zu less, %zu feeds, %zu woken, %zu large",
                possible, nothing, later, less, feeds, woken, large);
    cr_expect_geq(possible, 100);
    cr_expect_leq(nothing, 60);
    cr_expect_geq(later, 30);
    cr_expect_geq(less, 15);
    cr_expect_geq(woken, 5);
    cr_expect_geq(large, 8);
}

/* A plan with a wrong figure in it does not pass. */
Test(feeding, the_simulation_can_fail)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "12:00", "36:00", 60);
    mix(c, "20:00", 1000);
    mix(c, "26:00", 1500);
    struct feeding_plan plan = possible_plan(c);
    struct feed good = plan.feeds[1];
    int64_t *figures[] = {&plan.feeds[1].before_mg, &plan.feeds[1].discard_mg,
                          &plan.feeds[1].seed_mg,   &plan.feeds[1].flour_mg,
                          &plan.feeds[1].water_mg,  &plan.feeds[1].after_mg,
                          &plan.feeds[1].at,        &plan.feeds[1].ripe_from,
                          &plan.waste_mg,           &plan.left_mg,
                          &plan.takes[1].left_mg};
    for (size_t i = 0; i < sizeof figures / sizeof *figures; i++) {
        *figures[i] -= 1;
        cr_expect_not_null(simulate(&c->problem, &plan, 2), "figure %zu", i);
        *figures[i] += 1;
    }
    plan.feeds[1].at = at(c, "19:00");
    cr_expect_not_null(simulate(&c->problem, &plan, 2));
    plan.feeds[1] = good;
    c->problem.keep_mg += 1;
    cr_expect_not_null(simulate(&c->problem, &plan, 2));
    case_free(c);
}

/* --- trouble --- */

Test(feeding, memory_that_runs_out)
{
    long n = 1;
    for (bool done = false; !done; n++) {
        struct feeding_plan plan;
        struct feeding_case *c = case_random(12, false);
        arena_fail_nth(n);
        done = feeding_plan_of(&c->reckoning, &c->problem, &plan);
        arena_fail_nth(0);
        cr_assert_eq(done, !arena_failed(c->arena), "allocation %ld", n);
        cr_assert_eq(fails_code(&c->fails), done ? FAIL_NONE : FAIL_UNAVAILABLE);
        case_free(c);
    }
    cr_expect_gt(n, 15);
}

static void expect_too_large(struct feeding_case *c)
{
    struct feeding_plan plan;
    cr_expect_not(feeding_plan_of(&c->reckoning, &c->problem, &plan));
    cr_expect_eq(fails_code(&c->fails), FAIL_INVALID);
    fails_reset(&c->fails, 0);
}

Test(feeding, weights_beyond_counting)
{
    struct feeding_case *c = usual_case();
    slots_every(c, "12:00", "36:00", 60);
    mix(c, "20:00", 1000);
    mix(c, "20:00", 1000);
    possible_plan(c);
    c->demands[0].mg = c->demands[1].mg = INT64_MAX / 2;
    expect_too_large(c);
    c->demands[1].mg = 1;
    c->problem.step_mg = INT64_MAX / 3;
    expect_too_large(c);
    c->problem.step_mg = 1;
    c->ratios[0] = (struct feed_ratio){INT64_MAX / 2, INT64_MAX / 2, INT64_MAX / 2, 360};
    cr_expect_not(plan_of(c).possible); /* parts that cannot be added up are no ratio */
    case_free(c);
}
