/* Feeding plans at random: each is walked through by a simulated pot, and each shortfall is tried
 * out. */
#include "bakery/feeding_front.h"
#include "feeding_case.h"

#include <criterion/criterion.h>

TestSuite(feeding_random, .timeout = 120);

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

Test(feeding_random, three_hundred_at_random)
{
    size_t possible = 0, nothing = 0, later = 0, less = 0, feeds = 0, woken = 0, large = 0;
    for (uint64_t seed = 1; seed <= 300; seed++) {
        struct feeding_case *c = case_random(seed, false);
        struct feeding_plan plan = case_plan(c);
        if (!plan.possible && plan.shortfall.demand == NOT_FOUND) {
            cr_assert_not(can_do(c, 0));
            nothing++;
        } else {
            size_t n = plan.possible ? c->problem.demand_count : plan.shortfall.demand;
            const char *wrong = case_simulate(&c->problem, &plan, n);
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

/* Hardly any mother, to the milligram: more ways than are kept. Plans stay sound. */
Test(feeding_random, more_ways_than_are_kept)
{
    struct dice dice = {4711};
    size_t possible = 0;
    for (size_t i = 0; i < 12; i++) {
        struct feeding_case *c = case_new();
        struct feeding_problem *p = &c->problem;
        for (size_t k = 0; k < 288; k++)
            c->slots[p->slot_count++] = p->now + (instant)k * 15 * CASE_MINUTE;
        for (int64_t part = 1; part <= 6; part++)
            c->ratios[p->ratio_count++] = (struct feed_ratio){1, part, part, 150 + 40 * part};
        for (instant day = 1; day <= 3; day++)
            c->demands[p->demand_count++] = (struct feeding_demand){p->now + day * 22 * CASE_HOUR,
                                                                    roll(&dice, 100000, 2000000)};
        p->until = c->demands[2].at;
        p->keep_mg = 100;
        p->on_hand_mg = roll(&dice, 50000, 4000000);
        p->stays_ripe_minutes = 480;
        struct feeding_plan plan = case_plan(c);
        const char *wrong = case_simulate(p, &plan, p->demand_count);
        cr_assert_null(wrong, "%s", wrong);
        possible += plan.possible;
        case_free(c);
    }
    cr_expect_eq(possible, 12);
}

/* A long front is thinned evenly: the one that needs least stays, and none is far from one that
 * needs no more. */
Test(feeding_random, a_front_is_thinned_evenly)
{
    struct feeding_case *c = case_new();
    struct feed_front front = {.count = 0};
    struct dice dice = {99};
    enum { LONG = 20 * FEED_FRONT_MOST };
    static int64_t used[LONG];
    int64_t cost = 1000000000;
    for (int64_t i = 0; i < LONG; i++) {
        used[i] = cost -= roll(&dice, 1, 2000);
        struct feed_label label = {.need_mg = i, .used_mg = cost};
        cr_assert(feed_front_push(&c->reckoning, &front, &label));
    }
    cr_assert_eq(front.count, LONG);
    feed_front_thin(&front);
    cr_expect_leq(front.count, FEED_FRONT_MOST + 1);
    cr_expect_geq(front.count, FEED_FRONT_MOST * 9 / 10);
    int64_t apart = (used[0] - used[LONG - 1]) / FEED_FRONT_MOST + 1;
    for (int64_t i = 0; i < LONG; i++) {
        const struct feed_label *instead = feed_front_within(&front, i);
        cr_assert_not_null(instead);
        cr_assert_lt(instead->used_mg - used[i], apart);
    }
    case_free(c);
}

Test(feeding_random, memory_that_runs_out)
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
