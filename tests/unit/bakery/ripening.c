/* Ripening times: what was seen wins, exponential growth between and beyond it, and the log
 * corrects it all. */
#include "bakery/ripening.h"

#include "bakery/growth.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>

TestSuite(ripening, .timeout = 60);

enum { DEGREE_C = 10000, PART = 10000, GRAM = 1000 };

/* Parts and degrees in whole numbers. */
static struct ripening seen(int seed, int flour, int water, double c, int minutes)
{
    return (struct ripening){(int64_t)seed * PART, (int64_t)flour * PART, (int64_t)water * PART,
                             (int64_t)lround(c * DEGREE_C), minutes};
}

static struct ripening_logged logged(int seed, int flour, int water, double c, int minutes)
{
    return (struct ripening_logged){(int64_t)seed * GRAM, (int64_t)flour * GRAM,
                                    (int64_t)water * GRAM, (int64_t)lround(c * DEGREE_C), minutes};
}

static struct starter with(struct ripening *rows, size_t count)
{
    return (struct starter){.code = "levain", .ripenings = rows, .ripening_count = count};
}

static int64_t minutes(const struct starter *starter, int seed, int flour, int water, double c)
{
    return ripening_of(starter, NULL, 0, seed, flour, water, (int64_t)lround(c * DEGREE_C)).minutes;
}

/* --- what was seen --- */

Test(ripening, an_observation_is_given_back_exactly)
{
    struct ripening rows[] = {seen(1, 2, 2, 24, 361), seen(1, 5, 5, 24, 547),
                              seen(1, 2, 2, 18, 611), seen(1, 10, 10, 28, 703),
                              seen(1, 1, 1, 33, 187), seen(1, 5, 5, 12, 2881)};
    struct starter levain = with(rows, 6);
    for (size_t i = 0; i < 6; i++) {
        cr_expect_eq(
            ripening_of(&levain, NULL, 0, rows[i].seed, rows[i].flour, rows[i].water, rows[i].c)
                .minutes,
            rows[i].minutes, "row %zu", i);
        cr_expect_eq(ripening_of(&levain, NULL, 0, rows[i].seed / 50, rows[i].flour / 50,
                                 rows[i].water / 50, rows[i].c)
                         .minutes,
                     rows[i].minutes, "by weight");
    }
}

Test(ripening, an_observation_seen_twice_is_its_mean)
{
    struct ripening rows[] = {seen(1, 2, 2, 24, 360), seen(2, 4, 4, 24, 400)};
    struct starter levain = with(rows, 2);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 24), 380);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 20),
                 lround(380 * growth_starter(24 * DEGREE_C) / growth_starter(20 * DEGREE_C)));
}

/* 1:2:2 multiplies by 5, 1:5:5 by 11: exponential growth takes ln(11)/ln(5) of the time. */
Test(ripening, one_observation_grows_exponentially)
{
    struct ripening rows[] = {seen(1, 2, 2, 24, 360)};
    struct starter levain = with(rows, 1);
    cr_expect_eq(minutes(&levain, 1, 5, 5, 24), lround(360 * log(11) / log(5)));
    cr_expect_eq(minutes(&levain, 1, 5, 5, 24), 536);
    cr_expect_eq(minutes(&levain, 1, 1, 1, 24), lround(360 * log(3) / log(5)));
    cr_expect_eq(minutes(&levain, 4, 1, 1, 24), lround(360 * log(1.5) / log(5)));
    for (int times = 2; times <= 64; times *= 2) /* each doubling of the multiplication: as long */
        cr_expect_leq(labs(minutes(&levain, 1, 2 * times - 1, 0, 24) -
                           minutes(&levain, 1, times - 1, 0, 24) - lround(360 * log(2) / log(5))),
                      1);
}

/* tests/sources/03_fermentation_anchors.csv by growth_starter(): half as fast at 20, a quarter at
 * 15. */
Test(ripening, temperature_follows_growth)
{
    struct ripening rows[] = {seen(1, 2, 2, 28, 240)};
    struct starter levain = with(rows, 1);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 30), 240);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 20), 480);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 15), 960);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 37), 480);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 4), RIPENING_NEVER);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 41), RIPENING_NEVER);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 0), RIPENING_NEVER);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 60), RIPENING_NEVER);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 4.01), RIPENING_MOST);
}

Test(ripening, two_ratios_make_a_line_with_its_lag)
{
    struct ripening rows[] = {seen(1, 2, 2, 24, 360), seen(1, 5, 5, 24, 480)};
    struct starter levain = with(rows, 2);
    double slope = (480 - 360) / (log(11) - log(5));
    cr_expect_eq(minutes(&levain, 1, 3, 3, 24), lround(360 + slope * (log(7) - log(5))));
    cr_expect_eq(minutes(&levain, 1, 20, 20, 24), lround(360 + slope * (log(41) - log(5))));
    cr_expect_eq(minutes(&levain, 1, 1, 1, 24), lround(360 + slope * (log(3) - log(5))));
    rows[1].minutes = 700;
    cr_expect_eq(minutes(&levain, 1, 1, 1, 24), lround(360 * log(3) / log(5)),
                 "never faster than without a lag");
    rows[1].minutes = 330;
    cr_expect_eq(minutes(&levain, 1, 20, 20, 24), 330, "never falling with a leaner feed");
    cr_expect_eq(minutes(&levain, 1, 1, 1, 24), 360);
}

Test(ripening, nearly_equal_ratios_tell_no_slope)
{
    struct ripening rows[] = {seen(100, 200, 200, 24, 360), seen(100, 200, 202, 24, 370)};
    struct starter levain = with(rows, 2);
    cr_expect_eq(minutes(&levain, 1, 10, 10, 24), lround(370 * log(21) / log(5.02)));
}

Test(ripening, two_temperatures_at_one_ratio_are_both_met)
{
    struct ripening rows[] = {seen(1, 2, 2, 20, 600), seen(1, 2, 2, 26, 300),
                              seen(1, 2, 2, 37, 900)};
    struct starter levain = with(rows, 3);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 20), 600);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 26), 300);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 37), 900);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 15), 1200, "beyond them by growth: half of 20");
    int64_t between = minutes(&levain, 1, 2, 2, 23);
    cr_expect(between < 600 && between > 300, "%lld", (long long)between);
    cr_expect_eq(minutes(&levain, 1, 5, 5, 20), lround(600 * log(11) / log(5)));
}

/* One side of the optimum says nothing of the other: what was seen in the heat must not make the
 * cold side rise with warmth. */
Test(ripening, the_bend_stays_on_its_side)
{
    struct ripening across[] = {seen(1, 2, 2, 20, 300), seen(1, 2, 2, 37, 1500)};
    struct starter levain = with(across, 2);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 28), 150);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 30), lround(150 * sqrt(5)));
    cr_expect_eq(minutes(&levain, 1, 2, 2, 32), 750);
    struct ripening up_to_it[] = {seen(1, 2, 2, 20, 600), seen(1, 2, 2, 30, 240)};
    levain = with(up_to_it, 2);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 28), 240);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 37), 480);
    struct ripening from_it[] = {seen(1, 2, 2, 30, 240), seen(1, 2, 2, 37, 960)};
    levain = with(from_it, 2);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 32), 240);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 20), 480);
    struct ripening within_it[] = {seen(1, 2, 2, 28, 200), seen(1, 2, 2, 32, 288)};
    levain = with(within_it, 2);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 30), 240);
}

Test(ripening, the_cold_is_believed_where_it_was_seen_and_nowhere_else)
{
    struct ripening rows[] = {seen(1, 2, 2, 24, 360), seen(1, 2, 2, 4, 10080),
                              seen(1, 5, 5, 3, 20160)};
    struct starter levain = with(rows, 3);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 4), 10080);
    cr_expect_eq(minutes(&levain, 1000, 2003, 1998, 3.7), 10080, "nearly that feed");
    cr_expect_eq(minutes(&levain, 1, 3, 3, 4), RIPENING_NEVER);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 20), lround(360 * growth_starter(24 * DEGREE_C) / .5));
    cr_expect_eq(minutes(&levain, 1, 5, 5, 24), lround(360 * log(11) / log(5)));
}

Test(ripening, nothing_seen_is_never)
{
    struct starter levain = with(NULL, 0);
    cr_expect_eq(minutes(&levain, 1, 2, 2, 24), RIPENING_NEVER);
    struct ripening rows[] = {seen(0, 2, 2, 24, 360), seen(1, 2, 2, 24, 0), seen(1, 0, 0, 24, 10)};
    levain = with(rows, 3);
    cr_expect_eq(minutes(&levain, 1, 3, 3, 24), RIPENING_NEVER, "rows that tell nothing");
    struct ripening sound[] = {seen(1, 2, 2, 24, 360)};
    levain = with(sound, 1);
    cr_expect_eq(minutes(&levain, 0, 2, 2, 24), RIPENING_NEVER, "no seed");
    cr_expect_eq(minutes(&levain, 1000000, 1, 0, 24), 1, "hardly fed: a minute");
    double work = 360 * growth_starter(24 * DEGREE_C) * 64 * log(2) / log(5);
    cr_expect_eq(ripening_of(&levain, NULL, 0, 1, INT64_MAX, INT64_MAX, 15 * DEGREE_C).minutes,
                 lround(work / .25), "2^64-fold");
}

/* --- properties of random books --- */

static int drawn(int least, int most)
{
    return least + (int)(random() % (most - least + 1));
}

/* Up to six rows. Ratios and temperatures are drawn from few, so that they meet. Times are honest:
 * longer when leaner, and when colder or hotter than the optimum, by some other law than ours. */
static size_t honest_rows(struct ripening rows[6], bool one_temperature)
{
    static const int parts[] = {1, 2, 3, 5, 8, 12};
    static const double c[] = {8, 14, 18, 22, 26, 29, 31, 34, 38};
    size_t count = (size_t)drawn(1, 6);
    double lag = drawn(0, 120), doubling = drawn(40, 150), power = drawn(50, 180) / 100.0;
    double only = c[drawn(0, 8)];
    for (size_t i = 0; i < count; i++) {
        int flour = parts[drawn(0, 5)];
        double at = one_temperature ? only : c[drawn(0, 8)];
        double growth = growth_starter((int64_t)(at * DEGREE_C));
        double time = (lag + doubling * log2(1 + 2 * flour)) * pow(growth, -power);
        rows[i] = seen(1, flour, flour, at, (int)fmax(fmin(time, 20160), 1));
    }
    return count;
}

static bool within(const struct ripening *rows, size_t count, int flour)
{
    bool richer = false, leaner = false;
    for (size_t i = 0; i < count; i++) {
        richer |= rows[i].flour <= (int64_t)flour * PART;
        leaner |= rows[i].flour >= (int64_t)flour * PART;
    }
    return richer && leaner;
}

Test(ripening, random_books_are_given_back_and_never_absurd)
{
    struct ripening rows[6];
    srandom(3);
    for (int i = 0; i < 3000; i++) {
        size_t count = honest_rows(rows, false);
        struct starter levain = with(rows, count);
        for (size_t k = 0; k < count; k++)
            cr_expect_eq(
                ripening_of(&levain, NULL, 0, rows[k].seed, rows[k].flour, rows[k].water, rows[k].c)
                    .minutes,
                rows[k].minutes);
        int64_t any = minutes(&levain, drawn(1, 20), drawn(1, 90), drawn(0, 90), drawn(5, 40));
        cr_expect(any >= 1 && any <= RIPENING_MOST);
    }
}

Test(ripening, a_leaner_feed_never_ripens_sooner)
{
    struct ripening rows[6];
    srandom(4);
    for (int i = 0; i < 500; i++) {
        struct starter levain = with(rows, honest_rows(rows, true));
        double c = drawn(50, 400) / 10.0;
        for (int flour = 1; flour < 300; flour++)
            cr_expect_leq(minutes(&levain, 10, flour, flour, c),
                          minutes(&levain, 10, flour + 1, flour + 1, c), "10:%d at %g", flour, c);
    }
}

Test(ripening, colder_is_slower_below_the_optimum_and_hotter_above_it)
{
    struct ripening rows[6];
    srandom(5);
    for (int i = 0; i < 2000; i++) {
        size_t count = honest_rows(rows, i % 2 == 0);
        struct starter levain = with(rows, count);
        int flour = drawn(1, 14);
        if (i % 2 != 0 && !within(rows, count, flour)) continue;
        for (int c = 41; c < 280; c++)
            cr_expect_geq(minutes(&levain, 1, flour, flour, c / 10.0),
                          minutes(&levain, 1, flour, flour, (c + 1) / 10.0), "1:%d at %d", flour,
                          c);
        for (int c = 320; c < 409; c++)
            cr_expect_leq(minutes(&levain, 1, flour, flour, c / 10.0),
                          minutes(&levain, 1, flour, flour, (c + 1) / 10.0), "1:%d at %d", flour,
                          c);
    }
}

/* --- the log --- */

static struct ripening_estimate estimate(const struct starter *starter,
                                         const struct ripening_logged *log, size_t count, int flour,
                                         double c)
{
    return ripening_of(starter, log, count, PART, (int64_t)flour * PART, (int64_t)flour * PART,
                       (int64_t)lround(c * DEGREE_C));
}

Test(ripening, two_logged_feeds_change_nothing)
{
    struct ripening rows[] = {seen(1, 2, 2, 24, 360)};
    struct starter levain = with(rows, 1);
    const struct ripening_logged log[] = {logged(100, 200, 200, 24, 500),
                                          logged(100, 200, 200, 24, 500)};
    struct ripening_estimate out = estimate(&levain, log, 2, 2, 24);
    cr_expect_eq(out.minutes, 360);
    cr_expect_not(out.corrected);
    cr_expect_eq(out.off_minutes, 0);
    cr_expect_eq(out.off_pct, 0);
    cr_expect_eq(out.logged_count, 2);
}

Test(ripening, three_logged_feeds_correct_by_their_geometric_mean)
{
    struct ripening rows[] = {seen(1, 2, 2, 24, 360), seen(1, 5, 5, 24, 480)};
    struct starter levain = with(rows, 2);
    const struct ripening_logged log[] = {logged(100, 200, 200, 24, 432),  /* 1.2 */
                                          logged(50, 250, 250, 24, 528),   /* 1.1 */
                                          logged(100, 200, 200, 24, 540)}; /* 1.5 */
    struct ripening_estimate out = estimate(&levain, log, 3, 3, 20);
    int64_t before = minutes(&levain, 1, 3, 3, 20);
    double factor = cbrt(1.2 * 1.1 * 1.5);
    cr_expect(out.corrected);
    cr_expect_eq(out.logged_count, 3);
    cr_expect_leq(labs(out.minutes - lround((double)before * factor)), 1);
    cr_expect_eq(out.off_minutes, out.minutes - before);
    cr_expect_gt(out.off_minutes, 0, "it takes longer");
    cr_expect_leq(fabs((double)out.off_pct / PERCENT_ONE - (factor - 1) * 100), .1);
}

Test(ripening, a_faster_log_is_off_below_nothing)
{
    struct ripening rows[] = {seen(1, 2, 2, 24, 400)};
    struct starter levain = with(rows, 1);
    const struct ripening_logged log[] = {logged(100, 200, 200, 24, 300),
                                          logged(100, 200, 200, 24, 300),
                                          logged(100, 200, 200, 24, 300)};
    struct ripening_estimate out = estimate(&levain, log, 3, 2, 24);
    cr_expect_eq(out.minutes, 300);
    cr_expect_eq(out.off_minutes, -100);
    cr_expect_eq(out.off_pct, -25 * PERCENT_ONE);
    out = estimate(&levain, log, 3, 2, 20);
    cr_expect_leq(labs(out.minutes * 4 - minutes(&levain, 1, 2, 2, 20) * 3), 4);
}

Test(ripening, the_last_five_count)
{
    struct ripening rows[] = {seen(1, 2, 2, 24, 360)};
    struct starter levain = with(rows, 1);
    struct ripening_logged log[8];
    for (size_t i = 0; i < 8; i++)
        log[i] = logged(100, 200, 200, 24, i < 5 ? 720 : 36);
    struct ripening_estimate out = estimate(&levain, log, 8, 5, 24);
    cr_expect_eq(out.logged_count, 5);
    cr_expect_leq(labs(out.minutes - 2 * minutes(&levain, 1, 5, 5, 24)), 1);
    cr_expect_eq(estimate(&levain, log, 8, 2, 24).minutes, 720, "of the same feed too");
}

Test(ripening, a_feed_of_the_log_itself_gives_its_mean)
{
    struct ripening rows[] = {seen(1, 2, 2, 24, 360)};
    struct starter levain = with(rows, 1);
    const struct ripening_logged log[] = {
        logged(100, 500, 500, 24.4, 600), logged(1000, 2000, 2000, 24, 390),
        logged(1000, 4960, 5040, 23.5, 640), logged(1000, 2000, 2000, 21, 480)};
    struct ripening_estimate out = estimate(&levain, log, 4, 5, 24);
    cr_expect_eq(out.minutes, 620);
    cr_expect_eq(out.logged_count, 2);
    cr_expect_eq(out.off_minutes, 620 - 536);
    cr_expect_eq(estimate(&levain, log, 4, 2, 24).minutes, 390);
    cr_expect_eq(estimate(&levain, log, 4, 2, 21).minutes, 480);
    cr_expect_eq(estimate(&levain, log, 4, 5, 24.91).logged_count, 4, "more than half a degree");
    cr_expect_eq(estimate(&levain, log, 2, 5, 24).minutes, 536, "not before three");
}

Test(ripening, rows_of_the_log_that_tell_nothing_are_passed_over)
{
    struct ripening rows[] = {seen(1, 2, 2, 24, 360)};
    struct starter levain = with(rows, 1);
    const struct ripening_logged log[] = {
        logged(100, 500, 500, 24, 600), logged(0, 200, 200, 24, 700), logged(100, 500, 500, 24, 0),
        logged(100, 200, 200, 2, 9000), logged(100, 500, 500, 24, 600)};
    struct ripening_estimate out = estimate(&levain, log, 5, 2, 24);
    cr_expect_not(out.corrected, "the cold one cannot be compared");
    cr_expect_eq(out.minutes, 360);
    cr_expect_eq(estimate(&levain, log, 5, 2, 2).minutes, 9000, "but was seen");
    cr_expect_eq(estimate(&levain, log, 5, 2, 2).off_minutes, 0);
    cr_expect_eq(estimate(&levain, log, 5, 2, 41).minutes, RIPENING_NEVER);
    cr_expect_not(estimate(&levain, log, 5, 2, 41).corrected);
}
