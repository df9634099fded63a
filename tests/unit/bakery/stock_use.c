/* What is usual and how long it lasts: worked out by hand, against published deviations, and
 * against a second reckoning day by day. */
#include "bakery/stock_use.h"

#include "bakery/stock_past.h"
#include "csv.h"
#include "random_world.h"
#include "world.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

TestSuite(stock_use, .timeout = 30);

/* Monday. */
static date monday(void)
{
    return day_of("2027-03-01");
}

/* --- the usual week --- */

/* Three weeks: Mondays 7, 8, 9; one Saturday 10; all else nothing. */
Test(stock_use, the_usual_week_is_the_mean_of_every_weekday)
{
    date first = monday();
    struct day_use uses[] = {
        {first, 0, 7}, {first + 7, 0, 8}, {first + 12, 0, 10}, {first + 14, 0, 9}};
    struct usual_week usual = usual_week_of(first, first + 20, uses, 4);
    cr_assert(usual.known);
    cr_expect_eq(usual.mean[1], 8);
    cr_expect_eq(usual.mean[6], 4, "10 / 3, rounded up");
    cr_expect_eq(usual.mean[2] + usual.mean[3] + usual.mean[4] + usual.mean[5] + usual.mean[7], 0);
    cr_expect_eq(usual.week, 12);
    cr_expect_eq(usual.mean_day, 2, "34 / 21, rounded up");
    /* Mondays 1 + 0 + 1; Saturdays 100 - 100 / 3; over 21 - 7: sqrt(68.67 / 14) = 2.21 */
    cr_expect_eq(usual.spread, 3);
}

Test(stock_use, days_out_of_the_span_are_passed_over)
{
    date first = monday();
    struct day_use uses[] = {{first - 7, 0, 700}, {first, 0, 7}, {first + 21, 0, 700}};
    struct usual_week usual = usual_week_of(first, first + 20, uses, 3);
    cr_expect_eq(usual.mean[1], 3);
    cr_expect_eq(usual.week, 3);
}

Test(stock_use, a_weekday_that_was_not_seen_has_the_mean_of_all_days)
{
    date first = monday() + 3; /* Thursday to Saturday */
    struct day_use uses[] = {{first, 0, 30}, {first + 2, 0, 60}};
    struct usual_week usual = usual_week_of(first, first + 2, uses, 2);
    cr_expect_eq(usual.mean[4], 30);
    cr_expect_eq(usual.mean[5], 0);
    cr_expect_eq(usual.mean[6], 60);
    cr_expect_eq(usual.mean[1], 30);
    cr_expect_eq(usual.mean[7], 30);
    cr_expect_eq(usual.week, 90 + 4 * 30);
    cr_expect_eq(usual.spread, 30, "about the mean of all days: sqrt(1800 / 2)");
}

Test(stock_use, without_use_nothing_is_usual)
{
    date first = monday();
    struct day_use none = {first, 0, 0};
    cr_expect_not(usual_week_of(first, first + 20, NULL, 0).known);
    cr_expect_not(usual_week_of(first, first + 20, &none, 1).known);
    cr_expect_not(usual_week_of(first, first - 1, NULL, 0).known, "no day at all");
    struct day_use one = {first, 0, 5};
    struct usual_week usual = usual_week_of(first, first, &one, 1);
    cr_expect_eq(usual.week, 35);
    cr_expect_eq(usual.spread, 0, "one day alone tells of no spread");
}

Test(stock_use, amounts_beyond_all_measure_do_not_wrap)
{
    date first = monday();
    struct day_use uses[] = {{first, 0, INT64_MAX}, {first + 1, 0, INT64_MAX}};
    struct usual_week usual = usual_week_of(first, first + 1, uses, 2);
    cr_expect_eq(usual.mean[1], INT64_MAX);
    cr_expect_eq(usual.week, INT64_MAX);
    cr_expect_eq(usual.spread, 0);
}

/* NIST StRD, univariate summary statistics, data set NumAcc1
 * (https://www.itl.nist.gov/div898/strd): mean 10000002, sample standard deviation 1, both
 * certified as exact. */
Test(stock_use, the_spread_of_a_short_time_is_the_sample_standard_deviation)
{
    date first = monday();
    struct day_use uses[] = {
        {first, 0, 10000001}, {first + 1, 0, 10000003}, {first + 2, 0, 10000002}};
    struct usual_week usual = usual_week_of(first, first + 2, uses, 3);
    cr_expect_eq(usual.mean_day, 10000002);
    cr_expect_eq(usual.spread, 1);
}

/* NIST StRD, analysis of variance, data set SiRstv: five instruments, here five weekdays of five
 * weeks; the sum of squares within instruments is certified as 2.16636560000000E-01. Saturdays and
 * Sundays, on which nothing is used, add nothing to it, and two to the seven means of 35 days. */
Test(stock_use, the_spread_is_the_deviation_from_the_weekdays_mean)
{
    static const int64_t siRstv[5][5] = {{1963052, 1961240, 1961890, 1962569, 1963403},
                                         {1963042, 1963825, 1961669, 1963257, 1960422},
                                         {1961303, 1962005, 1962889, 1960343, 1961811},
                                         {1962795, 1961748, 1961494, 1961485, 1959885},
                                         {1962119, 1961051, 1961850, 1960052, 1962090}};
    static const int64_t fine = 100000; /* of 10^-4: amounts are 10^-9 */
    struct day_use uses[25];
    date first = monday();
    for (int day = 0; day < 5; day++)
        for (int week = 0; week < 5; week++)
            uses[5 * day + week] = (struct day_use){first + 7 * week + day, 0,
                                                    fine * siRstv[day][week]};
    struct usual_week usual = usual_week_of(first, first + 34, uses, 25);
    double within = (double)usual.spread * (double)usual.spread * (35 - 7) * 1e-18;
    cr_expect(fabs(within - 2.16636560000000e-01) < 1e-8, "%.12f", within);
    cr_expect_eq(usual.mean[1], fine / 5 * (1963052 + 1961240 + 1961890 + 1962569 + 1963403));
}

/* --- today --- */

Test(stock_use, of_today_what_was_used_already_is_not_expected_again)
{
    date first = monday();
    struct day_use uses[] = {{first, 0, 100}};
    struct usual_week usual = usual_week_of(first, first + 6, uses, 1);
    cr_expect_eq(use_left_of(&usual, first + 7, 0, 0), 100);
    cr_expect_eq(use_left_of(&usual, first + 7, 0, 30), 70);
    cr_expect_eq(use_left_of(&usual, first + 7, 0, 130), 0);
    cr_expect_eq(use_left_of(&usual, first + 7, 90, 30), 90, "more is planned");
    cr_expect_eq(use_left_of(&usual, first + 7, 0, -5), 100, "a reversal of yesterday's");
    cr_expect_eq(use_left_of(&usual, first + 8, 12, 0), 12);
}

/* --- the course --- */

static bool course(struct world *w, int64_t on_hand, size_t days, const int64_t *planned,
                   const struct usual_week *usual, date settled, const struct delivery *deliveries,
                   size_t count, struct course_day **out, bool *runs, date *runs_out)
{
    return course_of(w->arena, &w->fails, on_hand, monday(), days, planned, usual, settled,
                     deliveries, count, out, runs, runs_out);
}

Test(stock_use, a_course_by_hand)
{
    struct world *w = world_new();
    date first = monday();
    struct usual_week usual = {.known = true, .mean = {0, 10, 10, 10, 10, 10, 10, 10}, .week = 70};
    int64_t planned[] = {4, 25, 0, 0, 0};
    struct delivery deliveries[] = {{first + 3, 8}, {first - 2, 1}};
    struct course_day *days;
    bool runs;
    date runs_out;
    cr_assert(course(w, 40, 5, planned, &usual, first + 1, deliveries, 2, &days, &runs, &runs_out));
    int64_t left[] = {37, 12, 2, 0, 0}, lacking[] = {0, 0, 0, 0, 10}, use[] = {4, 25, 10, 10, 10};
    for (int i = 0; i < 5; i++) {
        cr_expect_eq(days[i].date, first + i);
        cr_expect_eq(days[i].use, use[i]);
        cr_expect_eq(days[i].left, left[i], "day %d", i);
        cr_expect_eq(days[i].lacking, lacking[i], "day %d", i);
    }
    cr_expect_eq(days[0].delivered, 1, "overdue");
    cr_expect(runs);
    cr_expect_eq(runs_out, first + 4);
    world_free(w);
}

Test(stock_use, what_suffices_to_the_last_gram_does_not_run_out)
{
    struct world *w = world_new();
    struct usual_week unknown = {.known = false};
    int64_t planned[] = {4, 6};
    struct course_day *days;
    bool runs;
    date runs_out;
    cr_assert(course(w, 10, 2, planned, &unknown, monday(), NULL, 0, &days, &runs, &runs_out));
    cr_expect_not(runs);
    cr_assert(course(w, 9, 2, planned, &unknown, monday(), NULL, 0, &days, &runs, &runs_out));
    cr_expect(runs);
    cr_expect_eq(runs_out, monday() + 1);
    cr_expect_eq(days[1].lacking, 1);
    world_free(w);
}

/* A second reckoning, from the words of the header: one day at a time, in a barrel. */
static void live_through(int64_t on_hand, const int64_t *planned, const struct usual_week *usual,
                         date settled, const struct delivery *deliveries, size_t count,
                         const struct course_day *told, size_t days, bool runs, date runs_out)
{
    int64_t barrel = on_hand;
    bool dry = false;
    for (size_t i = 0; i < days; i++) {
        date day = monday() + (date)i;
        int64_t came = 0, wanted = planned[i];
        for (size_t k = 0; k < count; k++)
            came += deliveries[k].due == day || (i == 0 && deliveries[k].due < day)
                        ? deliveries[k].amount
                        : 0;
        if (day >= settled && usual->known && usual->mean[date_weekday(day)] > wanted)
            wanted = usual->mean[date_weekday(day)];
        barrel += came;
        for (int64_t grams = wanted; grams > 0 && barrel > 0; grams--, barrel--)
            wanted--;
        cr_assert_eq(told[i].delivered, came);
        cr_assert_eq(told[i].left, barrel, "day %zu", i);
        cr_assert_eq(told[i].lacking, wanted, "day %zu", i);
        if (wanted > 0 && !dry) {
            dry = true;
            cr_assert(runs);
            cr_assert_eq(runs_out, day);
        }
    }
    cr_assert_eq(runs, dry);
}

Test(stock_use, courses_at_random_are_as_they_are_lived)
{
    struct dice dice = {20270301};
    size_t ran = 0;
    for (int n = 0; n < 400; n++) {
        struct world *w = world_new();
        struct usual_week usual = {.known = roll(&dice, 0, 3) > 0};
        struct delivery deliveries[5];
        int64_t planned[30];
        for (int day = 1; day <= 7; day++)
            usual.mean[day] = roll(&dice, 0, 20);
        for (size_t i = 0; i < 30; i++)
            planned[i] = roll(&dice, 0, 1) ? roll(&dice, 0, 30) : 0;
        for (size_t i = 0; i < 5; i++)
            deliveries[i] = (struct delivery){monday() + (date)roll(&dice, -3, 35),
                                              roll(&dice, 1, 120)};
        size_t days = (size_t)roll(&dice, 1, 30), count = (size_t)roll(&dice, 0, 5);
        date settled = monday() + (date)roll(&dice, 0, 4), runs_out = 0;
        int64_t on_hand = roll(&dice, 0, 400);
        struct course_day *told;
        bool runs;
        cr_assert(course(w, on_hand, days, planned, &usual, settled, deliveries, count, &told,
                         &runs, &runs_out));
        live_through(on_hand, planned, &usual, settled, deliveries, count, told, days, runs,
                     runs_out);
        ran += runs;
        world_free(w);
    }
    cr_expect(ran > 100 && ran < 350, "both happen: %zu of 400 ran out", ran);
}

Test(stock_use, a_course_tells_of_what_does_not_fit_and_of_short_memory)
{
    struct world *w = world_new();
    struct usual_week unknown = {.known = false};
    int64_t planned[] = {0};
    struct delivery deliveries[] = {{monday(), INT64_MAX}, {monday(), 1}};
    struct course_day *days;
    bool runs;
    date runs_out;
    cr_expect_not(
        course(w, 0, 1, planned, &unknown, monday(), deliveries, 2, &days, &runs, &runs_out));
    cr_expect_eq(fails_code(&w->fails), FAIL_INVALID);
    fails_reset(&w->fails, 0);
    cr_expect_not(
        course(w, 1, 1, planned, &unknown, monday(), deliveries, 1, &days, &runs, &runs_out));
    fails_reset(&w->fails, 0);
    arena_fail_nth(1);
    cr_expect_not(course(w, 0, 1, planned, &unknown, monday(), NULL, 0, &days, &runs, &runs_out));
    arena_fail_nth(0);
    cr_expect_eq(fails_code(&w->fails), FAIL_UNAVAILABLE);
    world_free(w);
}

/* --- what was --- */

Test(stock_use, the_past_goes_back_from_what_there_is)
{
    struct world *w = world_new();
    date first = monday();
    struct moved_sum sums[] = {
        {0, first - 1, STOCK_RECEIVED, 1000}, {0, first, STOCK_RECEIVED, 50},
        {0, first, STOCK_MIXED, -30},         {0, first + 1, STOCK_COUNTED, 5},
        {0, first + 1, STOCK_FED, -10},       {0, first + 2, STOCK_COUNTED, -7},
        {0, first + 2, STOCK_RETURNED, -20},  {0, first + 3, STOCK_USED, -8}};
    struct past_day days[3];
    cr_assert(past_course_of(&w->reckoning, 100, sums, 8, first, 3, days));
    int64_t left[] = {140, 135, 108}, in[] = {50, 5, 0}, out[] = {30, 10, 27};
    for (int i = 0; i < 3; i++) {
        cr_expect_eq(days[i].left, left[i], "day %d: %ld", i, days[i].left);
        cr_expect_eq(days[i].in, in[i]);
        cr_expect_eq(days[i].out, out[i]);
        cr_expect_eq(days[i].received, i == 0 ? 50 : 0);
    }
    world_free(w);
}

Test(stock_use, a_week_is_held_against_what_the_formulas_asked_for)
{
    struct world *w = world_new();
    size_t count = w->catalogue.ingredient_count;
    date first = monday();
    struct moved_sum sums[] = {
        {0, first - 1, STOCK_MIXED, -1},      {0, first, STOCK_MIXED, -600},
        {0, first + 1, STOCK_FED, -200},      {0, first + 2, STOCK_USED, -50},
        {0, first + 3, STOCK_WASTED, -30},    {0, first + 6, STOCK_COUNTED, -20},
        {0, first + 6, STOCK_RECEIVED, 5000}, {0, first + 7, STOCK_COUNTED, 9},
        {1, first + 7, STOCK_RETURNED, -4},   {0, first + 14, STOCK_MIXED, -1}};
    int64_t theory[64] = {800};
    struct week_use uses[64] = {{0}};
    cr_assert(week_uses_of(&w->reckoning, sums, 10, first, 2, theory, uses));
    cr_expect_eq(uses[0].posted, 850);
    cr_expect_eq(uses[0].wasted, 30);
    cr_expect_eq(uses[0].counted, -20);
    cr_expect_eq(uses[0].actual, 900);
    cr_expect_eq(uses[0].over, 100);
    cr_expect(uses[0].has_pct);
    cr_expect_eq(uses[0].over_pct, pct("12.5"));
    cr_expect_eq(uses[count].actual, -9, "more was found than was used");
    cr_expect_not(uses[count].has_pct);
    cr_expect(uses[count + 1].any);
    cr_expect_not(uses[1].any);
    world_free(w);
}

/* ISO 8601 week dates of tests/sources/09_iso_week.csv. */
Test(stock_use, weeks_are_those_of_iso_8601)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "09_iso_week.csv");
    cr_assert_gt(table.count, 10);
    for (size_t n = 0; n < table.count; n++) {
        char told[32];
        int year, week;
        date day = day_of(csv_cell(&table, n, "date"));
        iso_week_of(day, &year, &week);
        snprintf(told, sizeof told, "%04d-W%02d-%d", year, week,
                 (int)(day - iso_monday_of(day)) + 1);
        cr_expect_str_eq(told, csv_cell(&table, n, "expected"));
    }
    arena_free(arena);
}
