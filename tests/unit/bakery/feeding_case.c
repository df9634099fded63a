/* Random feeding problems and the simulation of a pot. */
#include "feeding_case.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>

static const instant NOON = 1809518400; /* 2027-05-05T12:00:00Z */

struct feeding_case *case_new(void)
{
    struct feeding_case *c = calloc(1, sizeof *c);
    cr_assert_not_null(c);
    c->arena = arena_new(0);
    cr_assert_not_null(c->arena);
    fails_init(&c->fails, c->arena);
    c->reckoning = (struct reckoning){.arena = c->arena, .fails = &c->fails};
    c->problem = (struct feeding_problem){.now = NOON,
                                          .slots = c->slots,
                                          .ratios = c->ratios,
                                          .demands = c->demands,
                                          .may_feed_at_once = true,
                                          .step_mg = 1,
                                          .stays_ripe_minutes = 120,
                                          .feed_within_minutes = 1440,
                                          .until = NOON};
    return c;
}

void case_free(struct feeding_case *c)
{
    arena_free(c->arena);
    free(c);
}

struct feeding_plan case_plan(struct feeding_case *c)
{
    struct feeding_plan plan;
    cr_assert(feeding_plan_of(&c->reckoning, &c->problem, &plan));
    cr_assert_not(fails_any(&c->fails));
    return plan;
}

/* --- drawing --- */

static bool one_in(struct dice *dice, int64_t n)
{
    return roll(dice, 1, n) == 1;
}

/* Every so many minutes, often not at night, sometimes leaving some out. */
static void draw_slots(struct feeding_case *c, struct dice *dice, int64_t hours, bool small)
{
    static const int64_t grids[] = {15, 30, 60};
    int64_t grid = small ? 30 : grids[roll(dice, 0, 2)];
    int64_t leave_out = small ? hours * 60 / grid / roll(dice, 8, 16) : roll(dice, 1, 2);
    bool sleeps = one_in(dice, 2);
    for (int64_t minute = 0; minute < hours * 60; minute += grid) {
        int64_t clock = (12 * 60 + minute) % MINUTES_PER_DAY / 60;
        if (sleeps && (clock >= 23 || clock < 5)) continue;
        if (leave_out > 1 && !one_in(dice, leave_out)) continue;
        if (c->problem.slot_count == (small ? 18 : CASE_SLOTS)) return;
        c->slots[c->problem.slot_count++] = NOON + minute * CASE_MINUTE;
    }
}

static void draw_ratios(struct feeding_case *c, struct dice *dice, bool small)
{
    static const int64_t parts[] = {1, 2, 3, 4, 5, 10};
    int64_t hydration = roll(dice, 5, 12);
    c->problem.ratio_count = (size_t)roll(dice, 1, small ? 3 : CASE_RATIOS);
    for (size_t r = 0; r < c->problem.ratio_count; r++) {
        int64_t part = parts[roll(dice, 0, CASE_RATIOS - 1)];
        int64_t minutes = 180 + 60 * part + roll(dice, 0, 60);
        c->ratios[r] = (struct feed_ratio){10, part * 10, part * hydration, minutes};
        if (!small && one_in(dice, 10)) c->ratios[r].ripe_minutes = -1;
    }
}

static int by_time(const void *left, const void *right)
{
    const struct feeding_demand *a = left, *b = right;
    return (a->at > b->at) - (a->at < b->at);
}

/* Mixes come in the small hours of each night, and sometimes at noon. */
static void draw_demands(struct feeding_case *c, struct dice *dice, int64_t hours, bool small)
{
    size_t most = (size_t)roll(dice, 1, small ? 2 : 13);
    for (int64_t night = 0; night * 24 + 6 < hours && !one_in(dice, 5); night++) {
        instant begin = NOON + (night * 24 + roll(dice, 6, 16)) * CASE_HOUR;
        for (size_t i = 0; i < most && c->problem.demand_count < CASE_DEMANDS; i++)
            c->demands[c->problem.demand_count++] = (struct feeding_demand){
                begin + roll(dice, 0, 20) * 5 * CASE_MINUTE, roll(dice, 20000, 1500000)};
    }
    qsort(c->demands, c->problem.demand_count, sizeof *c->demands, by_time);
}

static void draw_pot(struct feeding_case *c, struct dice *dice)
{
    struct feeding_problem *p = &c->problem;
    p->keep_mg = roll(dice, 30000, 800000);
    p->on_hand_mg = p->keep_mg + roll(dice, 0, 3000000);
    if (one_in(dice, 8)) p->on_hand_mg = roll(dice, 1000, p->keep_mg);
    if (one_in(dice, 4)) p->pot_mg = roll(dice, 4000000, 20000000);
    p->ripens = !one_in(dice, 5);
    p->ripe_from = NOON + roll(dice, -4, 6) * CASE_HOUR;
    p->stays_ripe_minutes = roll(dice, 90, 480);
    p->ripe_until = p->ripe_from + p->stays_ripe_minutes * CASE_MINUTE;
    p->may_feed_at_once = one_in(dice, 4);
    p->has_feed_by = !one_in(dice, 4);
    p->feed_by = NOON + roll(dice, 4, 24) * CASE_HOUR;
    p->feed_within_minutes = roll(dice, 600, 1440);
    p->feeds_to_wake = one_in(dice, 4) ? roll(dice, 1, 3) : 0;
}

struct feeding_case *case_random(uint64_t seed, bool small)
{
    static const int64_t steps[] = {1, 100, 1000, 5000};
    struct dice dice = {seed * 2654435761u + 88172645463325252u};
    struct feeding_case *c = case_new();
    int64_t hours = roll(&dice, small ? 20 : 12, small ? 48 : 72);
    draw_slots(c, &dice, hours, small);
    draw_ratios(c, &dice, small);
    draw_demands(c, &dice, hours, small);
    draw_pot(c, &dice);
    if (!small) c->problem.step_mg = steps[roll(&dice, 0, 3)];
    c->problem.until = NOON + roll(&dice, 0, small ? hours : hours / 2) * CASE_HOUR;
    if (c->problem.demand_count > 0 &&
        c->problem.until < c->demands[c->problem.demand_count - 1].at)
        c->problem.until = c->demands[c->problem.demand_count - 1].at;
    return c;
}

/* --- the pot --- */

struct simulated_pot {
    const struct feeding_problem *problem;
    const struct feeding_plan *plan;
    int64_t weight;
    size_t taken, fed;
    int64_t waste;
};

static const struct feed_ratio *last_ratio(const struct simulated_pot *pot)
{
    return &pot->problem->ratios[pot->plan->feeds[pot->fed - 1].ratio];
}

static const char *take(struct simulated_pot *pot)
{
    const struct feeding_problem *p = pot->problem;
    const struct feeding_demand *demand = &p->demands[pot->taken];
    const struct feeding_take *told = &pot->plan->takes[pot->taken];
    instant from = p->ripe_from, until = p->ripe_until;
    if (pot->fed > 0) {
        from = pot->plan->feeds[pot->fed - 1].at + last_ratio(pot)->ripe_minutes * CASE_MINUTE;
        until = from + p->stays_ripe_minutes * CASE_MINUTE;
    } else if (!p->ripens) {
        return "taken from what does not ripen";
    }
    if (demand->at < from) return "taken before it is ripe";
    if (demand->at > until) return "taken when it is not ripe any more";
    if ((int64_t)pot->fed < p->feeds_to_wake) return "taken before it is awake";
    pot->weight -= demand->mg;
    if (pot->weight < p->keep_mg) return "the mother was taken";
    if (told->demand != pot->taken || told->left_mg != pot->weight ||
        told->feed != (pot->fed > 0 ? pot->fed - 1 : NOT_FOUND))
        return "a taking is told wrongly";
    pot->taken++;
    return NULL;
}

static const char *feed_in_time(const struct simulated_pot *pot, const struct feed *feed)
{
    const struct feeding_problem *p = pot->problem;
    bool slot = false;
    for (size_t k = 0; k < p->slot_count; k++)
        slot = slot || p->slots[k] == feed->at;
    if (!slot) return "nobody is there to feed";
    if (pot->fed == 0) {
        if (p->ripens && !p->may_feed_at_once && feed->at < p->ripe_from) return "fed too early";
        return p->has_feed_by && feed->at > p->feed_by ? "fed too late" : NULL;
    }
    int64_t after = (feed->at - pot->plan->feeds[pot->fed - 1].at) / CASE_MINUTE;
    int64_t ripe = last_ratio(pot)->ripe_minutes;
    if (after < ripe) return "fed before it is ripe";
    return after > p->feed_within_minutes && after > ripe + p->stays_ripe_minutes ? "starved"
                                                                                  : NULL;
}

/* Parts by the ratio, each no more than a step above it. */
static const char *feed_by_ratio(const struct simulated_pot *pot, const struct feed *feed)
{
    const struct feed_ratio *ratio = &pot->problem->ratios[feed->ratio];
    int64_t step = pot->problem->step_mg;
    if (ratio->ripe_minutes < 0) return "a ratio that is not to be used";
    if (feed->seed_mg % step || feed->flour_mg % step || feed->water_mg % step)
        return "not by the scale";
    if (feed->seed_mg <= 0 || feed->flour_mg <= 0) return "nothing is fed";
    int64_t off = feed->flour_mg * ratio->seed - feed->seed_mg * ratio->flour;
    if (off >= step * ratio->seed || -off >= step * ratio->flour) return "not by the ratio";
    off = feed->water_mg * ratio->flour - feed->flour_mg * ratio->water;
    return off < 0 || off >= step * ratio->flour ? "not by the hydration" : NULL;
}

static const char *feed_pot(struct simulated_pot *pot)
{
    const struct feeding_problem *p = pot->problem;
    const struct feed *feed = &pot->plan->feeds[pot->fed];
    const char *wrong = feed_in_time(pot, feed);
    if (!wrong) wrong = feed_by_ratio(pot, feed);
    if (wrong) return wrong;
    if (feed->before_mg != pot->weight) return "another weight before the feed";
    if (pot->weight < p->keep_mg && (pot->taken > 0 || pot->fed > 0)) return "no mother left";
    if (feed->seed_mg > pot->weight) return "more seed than there is";
    if (feed->discard_mg != pot->weight - feed->seed_mg) return "another discard";
    pot->waste += pot->weight - feed->seed_mg;
    pot->weight = feed->seed_mg + feed->flour_mg + feed->water_mg;
    if (feed->after_mg != pot->weight) return "another weight after the feed";
    if (p->pot_mg > 0 && pot->weight > p->pot_mg) return "the pot runs over";
    pot->fed++;
    if (feed->ripe_from != feed->at + last_ratio(pot)->ripe_minutes * CASE_MINUTE ||
        feed->ripe_until != feed->ripe_from + p->stays_ripe_minutes * CASE_MINUTE)
        return "other ripe hours";
    return NULL;
}

static const char *end_well(const struct simulated_pot *pot)
{
    const struct feeding_problem *p = pot->problem;
    int64_t over = pot->weight > p->keep_mg ? pot->weight - p->keep_mg : 0;
    if (pot->plan->left_mg != pot->weight) return "another weight is left";
    if (pot->plan->waste_mg != pot->waste + over) return "another waste";
    if (pot->fed == 0)
        return p->has_feed_by && p->feed_by < p->until ? "starves before the end" : NULL;
    if (pot->weight < p->keep_mg) return "no mother left at the end";
    int64_t after = (p->until - pot->plan->feeds[pot->fed - 1].at) / CASE_MINUTE;
    return after > p->feed_within_minutes &&
                   after > last_ratio(pot)->ripe_minutes + p->stays_ripe_minutes
               ? "starves before the end"
               : NULL;
}

const char *case_simulate(const struct feeding_problem *problem, const struct feeding_plan *plan,
                          size_t n)
{
    struct simulated_pot pot = {.problem = problem, .plan = plan, .weight = problem->on_hand_mg};
    while (pot.taken < n || pot.fed < plan->feed_count) {
        bool takes = pot.fed == plan->feed_count ||
                     (pot.taken < n && problem->demands[pot.taken].at <= plan->feeds[pot.fed].at);
        const char *wrong = takes ? take(&pot) : feed_pot(&pot);
        if (wrong) return wrong;
    }
    for (size_t i = n; i < problem->demand_count; i++)
        if (plan->takes[i].demand != i || plan->takes[i].left_mg != -1)
            return "something is told of a demand that is not planned";
    return end_well(&pot);
}

/* --- told by hand --- */

instant case_at(const struct feeding_case *c, const char *clock)
{
    int hours, minutes;
    cr_assert_eq(sscanf(clock, "%d:%d", &hours, &minutes), 2);
    return c->problem.now + ((hours - 12) * 60 + minutes) * CASE_MINUTE;
}

const char *case_clock(const struct feeding_case *c, instant when)
{
    static char texts[4][32];
    static int turn;
    char *text = texts[turn++ % 4];
    int64_t minutes = (when - c->problem.now) / CASE_MINUTE + 12 * 60;
    snprintf(text, sizeof texts[0], "%02ld:%02ld", minutes / 60, minutes % 60);
    return text;
}

void case_slots(struct feeding_case *c, const char *from, const char *to, int64_t minutes)
{
    for (instant when = case_at(c, from); when <= case_at(c, to); when += minutes * CASE_MINUTE)
        c->slots[c->problem.slot_count++] = when;
}

void case_ratio(struct feeding_case *c, int64_t seed, int64_t flour, int64_t water, int64_t hours)
{
    c->ratios[c->problem.ratio_count++] = (struct feed_ratio){seed, flour, water, hours * 60};
}

void case_mix(struct feeding_case *c, const char *clock, int64_t grams)
{
    c->demands[c->problem.demand_count++] = (struct feeding_demand){case_at(c, clock),
                                                                    grams * 1000};
    if (c->problem.until < case_at(c, clock)) c->problem.until = case_at(c, clock);
}

struct feeding_case *case_usual(void)
{
    struct feeding_case *c = case_new();
    c->problem.on_hand_mg = 500000;
    c->problem.keep_mg = 200000;
    case_ratio(c, 1, 2, 2, 6);
    return c;
}

struct feeding_plan case_sound(struct feeding_case *c)
{
    struct feeding_plan plan = case_plan(c);
    size_t n = plan.possible ? c->problem.demand_count : plan.shortfall.demand;
    const char *wrong = case_simulate(&c->problem, &plan, n);
    cr_assert_null(wrong, "%s", wrong);
    return plan;
}

struct feeding_plan case_possible(struct feeding_case *c)
{
    struct feeding_plan plan = case_sound(c);
    cr_assert(plan.possible);
    cr_assert_eq(plan.shortfall.demand, NOT_FOUND);
    return plan;
}

struct feeding_short case_short(struct feeding_case *c, size_t demand)
{
    struct feeding_plan plan = case_sound(c);
    cr_assert_not(plan.possible);
    cr_assert_eq(plan.shortfall.demand, demand);
    return plan.shortfall;
}

void case_expect_feed(const struct feeding_case *c, const struct feed *feed, const char *clock,
                      int64_t seed, int64_t flour, int64_t water)
{
    cr_expect_str_eq(case_clock(c, feed->at), clock);
    cr_expect_eq(feed->seed_mg, seed * 1000, "seed %ld", feed->seed_mg);
    cr_expect_eq(feed->flour_mg, flour * 1000, "flour %ld", feed->flour_mg);
    cr_expect_eq(feed->water_mg, water * 1000, "water %ld", feed->water_mg);
}
