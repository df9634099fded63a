/* The plan of a starter from the book: what is taken when, when somebody can feed, and why nothing
 * can be planned. */
#include "bakery/starter_plan.h"

#include "world.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(starter_plan, .timeout = 30);

/* --- a bakery with one starter --- */

static struct ripening seen[] = {{10000, 20000, 20000, 24 * 10000, 360},
                                 {20000, 40000, 40000, 26 * 10000, 300},
                                 {10000, 50000, 50000, 24 * 10000, 600}};

/* Its doughs begin 12 hours before they are ready at 06:30. */
static struct world *levain_bakery(void)
{
    struct world *w = world_new();
    w->catalogue.bakery.feed_from = w->catalogue.bakery.feed_to = NO_CLOCK;
    starter(w, "levain", "100", "wheat 80, rye 20");
    struct starter *levain = the_starter(w, "levain");
    levain->keep_mg = mg("100");
    levain->ripenings = seen;
    levain->ripening_count = sizeof seen / sizeof *seen;
    levain->stays_ripe_minutes = 180;
    levain->stands_c = 24 * 10000;
    levain->feed_within_minutes = 1440;
    levain->rest_feed_days = 7;
    levain->wake_feeds = 2;
    formula(w, "country", BASIS_FINAL, "wheat 100, water 70, starter levain 20, salt 2");
    stages(w, "country", "bulk 720");
    product(w, "loaf", "country 960");
    open_world(w);
    return w;
}

static instant at_clock(const struct world *w, const char *day, const char *clock)
{
    int minutes = 0;
    cr_assert(clock_parse(clock, &minutes));
    return zone_instant(w->reckoning.zone, day_of(day), minutes);
}

/* A pot that was begun then and has been at work since. */
static struct pot_state begun(instant at, const char *grams)
{
    return (struct pot_state){.entries = 1, .last_at = at, .on_hand_mg = mg(grams)};
}

/* Fed at an instant, one part to two and two, seen ripe at once when told so. */
static struct pot_state fed(instant at, const char *grams)
{
    struct pot_state state = begun(at, grams);
    int64_t part = mg(grams) / 5;
    state.entries = 2;
    state.fed = true;
    state.feeds_awake = 2;
    state.feed = (struct pot_entry){.number = 2,
                                    .kind = POT_FED,
                                    .at = at,
                                    .on_hand_mg = mg(grams),
                                    .seed_mg = part,
                                    .flour_mg = 2 * part,
                                    .water_mg = 2 * part,
                                    .has_c = true,
                                    .c = 24 * 10000};
    return state;
}

struct taken {
    struct starter_taking *list;
    size_t count;
};

static struct taken taken_from(struct world *w, instant now)
{
    struct starter_taking *lists[4] = {NULL};
    size_t counts[4] = {0};
    const struct starter_nights nights = {
        .now = now, .demands = w->demands, .demand_count = w->demand_count};
    cr_assert(starter_takings_of(&w->reckoning, &nights, lists, counts));
    return (struct taken){lists[0], counts[0]};
}

static struct starter_plan plan_with(struct world *w, const struct pot_state *state, instant now)
{
    struct starter_plan out;
    struct taken taken = taken_from(w, now);
    cr_assert(starter_plan_of(&w->reckoning, 0, state, taken.list, taken.count, now, &out));
    return out;
}

/* --- takings --- */

Test(starter_plan, a_taking_is_what_is_weighed_in_all_batches)
{
    struct world *w = levain_bakery();
    mixer(w, "spiral", "0", "50000");
    order(w, "2027-05-12", "loaf", 121, "");
    struct taken taken = taken_from(w, at_clock(w, "2027-05-11", "13:00"));
    cr_assert_eq(taken.count, 1);
    cr_expect_eq(taken.list[0].mg, 3 * mg("4033"), "a third of 12,100 g by a scale of 1 g");
    cr_expect_str_eq(clock_text(w, taken.list[0].at), "2027-05-11T18:30:00+01:00");
    cr_expect_str_eq(day_text(taken.list[0].mixing_date), "2027-05-11");
    world_free(w);
}

Test(starter_plan, takings_of_three_nights_stand_by_time)
{
    struct world *w = levain_bakery();
    const char *const days[] = {"2027-05-15", "2027-05-13", "2027-05-14", "2027-05-12"};
    for (size_t i = 0; i < sizeof days / sizeof *days; i++)
        order(w, days[i], "loaf", 10 + (int64_t)i, "");
    struct taken taken = taken_from(w, at_clock(w, "2027-05-11", "13:00"));
    cr_assert_eq(taken.count, 3, "the fourth night is not looked at");
    cr_expect_eq(taken.list[0].mg, mg("1300"));
    cr_expect_eq(taken.list[1].mg, mg("1100"));
    cr_expect_eq(taken.list[2].mg, mg("1200"));
    world_free(w);
}

Test(starter_plan, a_mix_that_has_begun_takes_nothing_more)
{
    struct world *w = levain_bakery();
    order(w, "2027-05-12", "loaf", 10, "");
    cr_expect_eq(taken_from(w, at_clock(w, "2027-05-11", "18:30")).count, 1);
    cr_expect_eq(taken_from(w, at_clock(w, "2027-05-11", "18:30") + 1).count, 0);
    world_free(w);
}

/* Three batches of a mix: one that was posted has taken its part, whenever that was. */
Test(starter_plan, a_batch_that_was_posted_takes_nothing_more)
{
    struct world *w = levain_bakery();
    mixer(w, "spiral", "100", "4000");
    open_world(w);
    order(w, "2027-05-12", "loaf", 10, "");
    struct taken all = taken_from(w, at_clock(w, "2027-05-11", "13:00"));
    struct posted_batch posted[] = {{day_of("2027-05-11"), at_formula(w, "country"), 2, 0},
                                    {day_of("2027-05-10"), at_formula(w, "country"), 1, 0}};
    const struct starter_nights nights = {.now = at_clock(w, "2027-05-11", "13:00"),
                                          .demands = w->demands,
                                          .demand_count = w->demand_count,
                                          .posted = posted,
                                          .posted_count = 2};
    struct starter_taking *lists[4] = {NULL};
    size_t counts[4] = {0};
    cr_assert(starter_takings_of(&w->reckoning, &nights, lists, counts));
    cr_assert_eq(all.count, 1);
    cr_assert_eq(counts[0], 1);
    struct mixing_list list = list_on(w, "2027-05-11");
    cr_assert_gt(list.mixes[0].batches, 1);
    cr_expect_eq(lists[0][0].mg,
                 all.list[0].mg / list.mixes[0].batches * (list.mixes[0].batches - 1));
    world_free(w);
}

Test(starter_plan, two_lines_of_one_starter_are_one_taking)
{
    struct world *w = levain_bakery();
    formula(w, "country", BASIS_FINAL,
            "wheat 100, water 70, starter levain 20, starter levain 8, salt 2");
    stages(w, "country", "bulk 720");
    open_world(w);
    order(w, "2027-05-12", "loaf", 200, "");
    struct taken taken = taken_from(w, at_clock(w, "2027-05-11", "13:00"));
    cr_assert_eq(taken.count, 1);
    cr_expect_eq(taken.list[0].mg, mg("26880"));
    world_free(w);
}

Test(starter_plan, the_horizon_holds_all_that_the_nights_ask_for)
{
    struct world *w = levain_bakery();
    date first;
    date last;
    instant now = at_clock(w, "2027-05-11", "11:59");
    starter_plan_span(&w->reckoning, now, &first, &last);
    cr_expect_str_eq(day_text(first), "2027-05-10", "the working day begins at noon");
    cr_expect_str_eq(day_text(last), "2027-05-12");
    starter_plan_horizon(&w->reckoning, now, &first, &last);
    cr_expect_leq(first, day_of("2027-05-11"));
    cr_expect_geq(last, day_of("2027-05-13"));
    for (const char *const *day = (const char *const[]){"2027-05-11", "2027-05-13", NULL}; *day;
         day++)
        order(w, *day, "loaf", 10, "");
    cr_expect_eq(taken_from(w, at_clock(w, "2027-05-10", "12:00")).count, 2);
    world_free(w);
}

/* --- hours to feed --- */

static size_t slots_of_day(const struct world *w, const struct feeding_problem *problem,
                           const char *day)
{
    size_t count = 0;
    for (size_t i = 0; i < problem->slot_count; i++) {
        date on;
        int minutes;
        zone_wall(w->reckoning.zone, problem->slots[i], &on, &minutes);
        cr_expect_eq(minutes % FEED_SLOT_MINUTES, 0);
        if (i > 0) cr_expect_gt(problem->slots[i], problem->slots[i - 1]);
        count += on == day_of(day);
    }
    return count;
}

Test(starter_plan, slots_lie_on_the_quarters_of_the_clock)
{
    struct world *w = levain_bakery();
    instant now = at_clock(w, "2027-05-11", "13:07");
    struct pot_state state = fed(now, "500");
    struct starter_plan plan = plan_with(w, &state, now);
    cr_expect_str_eq(clock_text(w, plan.problem.slots[0]), "2027-05-11T13:15:00+01:00");
    cr_expect_eq(slots_of_day(w, &plan.problem, "2027-05-12"), 96);
    cr_expect_str_eq(clock_text(w, plan.problem.slots[plan.problem.slot_count - 1]),
                     "2027-05-14T11:45:00+01:00");
    cr_expect_str_eq(clock_text(w, plan.problem.until), "2027-05-14T12:00:00+01:00");
    world_free(w);
}

Test(starter_plan, hours_may_go_over_midnight)
{
    struct world *w = levain_bakery();
    instant now = at_clock(w, "2027-05-11", "13:00");
    struct pot_state state = fed(now, "500");
    w->catalogue.bakery.feed_from = 20 * 60;
    w->catalogue.bakery.feed_to = 4 * 60;
    struct starter_plan plan = plan_with(w, &state, now);
    cr_expect_str_eq(clock_text(w, plan.problem.slots[0]), "2027-05-11T20:00:00+01:00");
    cr_expect_eq(slots_of_day(w, &plan.problem, "2027-05-12"), 17 + 16);
    w->catalogue.bakery.feed_from = 6 * 60;
    w->catalogue.bakery.feed_to = 22 * 60;
    plan = plan_with(w, &state, now);
    cr_expect_eq(slots_of_day(w, &plan.problem, "2027-05-12"), 65);
    world_free(w);
}

Test(starter_plan, a_clock_change_takes_or_gives_an_hour)
{
    struct world *w = levain_bakery();
    instant now = at_clock(w, "2027-03-27", "13:00");
    struct pot_state state = fed(now, "500");
    struct starter_plan plan = plan_with(w, &state, now);
    cr_expect_eq(slots_of_day(w, &plan.problem, "2027-03-28"), 92, "23 hours");
    now = at_clock(w, "2027-10-30", "13:00");
    state = fed(now, "500");
    plan = plan_with(w, &state, now);
    cr_expect_eq(slots_of_day(w, &plan.problem, "2027-10-31"), 100, "25 hours");
    world_free(w);
}

/* --- ratios --- */

Test(starter_plan, ratios_are_told_once_each)
{
    struct world *w = levain_bakery();
    instant now = at_clock(w, "2027-05-11", "13:00");
    struct pot_state state = fed(now, "500");
    struct starter_plan plan = plan_with(w, &state, now);
    cr_assert_eq(plan.problem.ratio_count, 2);
    cr_expect_eq(plan.problem.ratios[0].ripe_minutes, 360, "as seen where it stands");
    cr_expect_eq(plan.problem.ratios[1].ripe_minutes, 600);
    cr_expect_eq(plan.problem.step_mg, mg("1"));
    world_free(w);
}

/* --- the plan --- */

Test(starter_plan, tonights_mix_finds_it_ripe)
{
    struct world *w = levain_bakery();
    order(w, "2027-05-12", "loaf", 200, "");
    instant now = at_clock(w, "2027-05-11", "07:00");
    struct pot_state state = fed(at_clock(w, "2027-05-11", "00:30"), "5000");
    struct starter_plan plan = plan_with(w, &state, now);
    cr_expect_null(plan.impossible);
    cr_assert(plan.plan.possible);
    cr_assert_geq(plan.plan.feed_count, 1);
    const struct feeding_take *take = &plan.plan.takes[0];
    cr_assert_neq(take->feed, NOT_FOUND);
    const struct feed *feed = &plan.plan.feeds[take->feed];
    cr_expect_leq(feed->ripe_from, plan.takings[0].at);
    cr_expect_geq(feed->ripe_until, plan.takings[0].at);
    cr_expect_geq(feed->after_mg, plan.takings[0].mg + mg("100"));
    world_free(w);
}

Test(starter_plan, without_mixes_it_is_kept_alive)
{
    struct world *w = levain_bakery();
    instant now = at_clock(w, "2027-05-11", "13:00");
    struct pot_state state = fed(now - 3600, "500");
    struct starter_plan plan = plan_with(w, &state, now);
    cr_assert(plan.plan.possible);
    cr_assert_geq(plan.plan.feed_count, 2, "three days, once a day");
    for (size_t i = 0; i < plan.plan.feed_count; i++) {
        instant before = i == 0 ? now - 3600 : plan.plan.feeds[i - 1].at;
        cr_expect_leq(plan.plan.feeds[i].at, before + 24 * 3600);
    }
    world_free(w);
}

static struct pot_state asleep_since(instant at, const char *grams)
{
    struct pot_state state = fed(at - 6 * 3600, grams);
    state.entries = 3;
    state.last_at = at;
    state.asleep = true;
    state.asleep_since = at;
    return state;
}

Test(starter_plan, in_the_cold_it_is_left_alone_until_its_feed)
{
    struct world *w = levain_bakery();
    instant now = at_clock(w, "2027-05-11", "13:00");
    struct pot_state state = asleep_since(now - 24 * 3600, "500");
    struct starter_plan plan = plan_with(w, &state, now);
    cr_assert(plan.plan.possible);
    cr_expect_eq(plan.plan.feed_count, 0);
    state = asleep_since(now - 5 * 24 * 3600, "500");
    plan = plan_with(w, &state, now);
    cr_assert(plan.plan.possible);
    cr_expect_eq(plan.plan.feed_count, 1, "one, then it goes back");
    world_free(w);
}

Test(starter_plan, it_is_woken_by_its_feeds_before_a_mix)
{
    struct world *w = levain_bakery();
    order(w, "2027-05-13", "loaf", 10, "");
    instant now = at_clock(w, "2027-05-11", "13:00");
    struct pot_state state = asleep_since(now - 24 * 3600, "500");
    struct starter_plan plan = plan_with(w, &state, now);
    cr_expect(plan.problem.may_feed_at_once);
    cr_expect_eq(plan.problem.feeds_to_wake, 2);
    cr_expect_eq(plan.problem.until, plan.takings[0].at, "then it may go back into the cold");
    cr_assert(plan.plan.possible);
    cr_expect_geq(plan.plan.feed_count, 2);
    world_free(w);
}

/* Ripe from midnight, to be fed by three, nobody up before six. */
Test(starter_plan, what_waits_till_the_morning_is_fed_in_the_morning)
{
    struct world *w = levain_bakery();
    w->catalogue.bakery.feed_from = 6 * 60;
    w->catalogue.bakery.feed_to = 22 * 60;
    the_starter(w, "levain")->feed_within_minutes = 540;
    instant now = at_clock(w, "2027-05-11", "22:30");
    struct pot_state state = fed(at_clock(w, "2027-05-11", "18:00"), "500");
    struct starter_plan plan = plan_with(w, &state, now);
    cr_expect_str_eq(clock_text(w, plan.problem.feed_by), "2027-05-12T06:00:00+01:00");
    world_free(w);
}

/* --- why not --- */

Test(starter_plan, it_says_why_nothing_can_be_planned)
{
    struct world *w = levain_bakery();
    instant now = at_clock(w, "2027-05-11", "13:00");
    struct pot_state state = {.entries = 0};
    cr_expect_not_null(strstr(plan_with(w, &state, now).impossible, "log"));
    state = begun(now, "0");
    cr_expect_not_null(strstr(plan_with(w, &state, now).impossible, "empty"));
    state = fed(now, "500");
    cr_expect_null(plan_with(w, &state, now).impossible);
    the_starter(w, "levain")->stands_c = 2 * 10000;
    cr_expect_not_null(strstr(plan_with(w, &state, now).impossible, "too cold"));
    the_starter(w, "levain")->ripening_count = 0;
    cr_expect_not_null(strstr(plan_with(w, &state, now).impossible, "how long"));
    world_free(w);
}

/* --- trouble --- */

static bool ask(struct world *w)
{
    struct starter_taking *lists[1];
    size_t counts[1];
    struct starter_plan out;
    instant now = day_of("2027-05-11") * (instant)SECONDS_PER_DAY + 12 * 3600;
    struct pot_state state = fed(now - 6 * 3600, "500");
    date first;
    date last;
    const struct starter_nights nights = {
        .now = now, .demands = w->demands, .demand_count = w->demand_count};
    starter_plan_horizon(&w->reckoning, now, &first, &last);
    return !fails_any(&w->fails) && starter_takings_of(&w->reckoning, &nights, lists, counts) &&
           starter_plan_of(&w->reckoning, 0, &state, lists[0], counts[0], now, &out);
}

Test(starter_plan, short_memory_is_told)
{
    for (long n = 1;; n++) {
        struct world *w = levain_bakery();
        order(w, "2027-05-12", "loaf", 10, "");
        arena_fail_nth(n);
        bool done = ask(w);
        arena_fail_nth(0);
        bool failed = arena_failed(w->arena) || fails_any(&w->fails);
        if (failed) {
            cr_expect_not(done, "allocation %ld", n);
            cr_expect_eq(fails_code(&w->fails), FAIL_UNAVAILABLE);
        }
        world_free(w);
        if (!failed) {
            cr_expect(done);
            cr_expect_gt(n, 20);
            break;
        }
    }
}

Test(starter_plan, amounts_beyond_counting_are_told)
{
    struct world *w = levain_bakery();
    the_product(w, "loaf")->parts[0].mg = INT64_MAX;
    order(w, "2027-05-12", "loaf", INT64_MAX, "");
    cr_expect_not(ask(w));
    cr_expect_eq(fails_code(&w->fails), FAIL_INVALID);
    world_free(w);
}
