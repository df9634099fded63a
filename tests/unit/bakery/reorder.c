/* What to order and when: service levels against published tables, reorder points against the
 * literature, and amounts against days that are lived through one by one. */
#include "csv.h"

#include "bakery/reorder.h"

#include "base/arena.h"
#include "base/decimal.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

TestSuite(reorder, .timeout = 60);

/* --- published check values --- */

static const char *cell(const struct csv *table, const char *name, const char *column)
{
    for (size_t n = 0; n < table->count; n++)
        if (strcmp(csv_cell(table, n, "case"), name) == 0) return csv_cell(table, n, column);
    cr_assert_fail("no case %s", name);
    return "";
}

/* The number that stands behind some words in a cell. */
static double number_after(const char *text, const char *words)
{
    const char *at = strstr(text, words);
    cr_assert_not_null(at, "%s in %s", words, text);
    return strtod(at + strlen(words), NULL);
}

static int64_t level_of(double area)
{
    return (int64_t)round(area * 1e6);
}

Test(reorder, z_is_that_of_published_tables)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "08_normal.csv");
    cr_assert_geq(table.count, 10);
    for (size_t n = 0; n < table.count; n++) {
        double area = number_after(csv_cell(&table, n, "given"), "area below z ");
        double z = strtod(csv_cell(&table, n, "expected"), NULL);
        double tolerance = strtod(csv_cell(&table, n, "tolerance"), NULL);
        cr_expect_leq(fabs(service_z(level_of(area)) - z), tolerance, "%s: %.10f",
                      csv_cell(&table, n, "case"), service_z(level_of(area)));
    }
    arena_free(arena);
}

/* The area above z by Simpson's rule, without any function of the library but exp. */
static double area_above(double z)
{
    enum { STEPS = 4000 };
    double step = 12.0 / STEPS, sum = 0;
    for (int i = 0; i <= STEPS; i++) {
        double x = z + i * step;
        sum += exp(-x * x / 2) * (i == 0 || i == STEPS ? 1 : i % 2 == 1 ? 4 : 2);
    }
    return sum * step / 3 / sqrt(2 * acos(-1));
}

/* An error of the area is one of z times the density there. */
Test(reorder, z_is_exact_to_nine_decimals)
{
    static const int64_t levels[] = {500001, 510000, 600000, 750000, 900000, 950000,
                                     980000, 990000, 999000, 999900, 999990, 999999};
    for (size_t i = 0; i < sizeof levels / sizeof *levels; i++) {
        double z = service_z(levels[i]), tail = (double)(1000000 - levels[i]) / 1e6;
        double density = exp(-z * z / 2) / sqrt(2 * acos(-1));
        cr_expect_lt(fabs(area_above(z) - tail) / density, 1e-9, "%ld", (long)levels[i]);
        if (i > 0) cr_expect_gt(z, service_z(levels[i - 1]));
    }
    cr_expect_lt(fabs(service_z(500000)), 1e-15);
}

Test(reorder, the_newsvendor_s_quantity)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "08_costing_inventory.csv");
    const char *expected = cell(&table, "newsvendor-normal", "expected");
    double z = service_z(level_of(number_after(expected, "CR ")));
    cr_expect_leq(fabs(z - number_after(expected, "z ")), 0.000005);
    cr_expect_leq(fabs(1000 + 200 * z - number_after(expected, "Q* ")), 0.01);
    /* The trap: below one half z is negative, and the wrong answer has it positive. */
    const char *given = cell(&table, "newsvendor-wrong", "given");
    const char *right = cell(&table, "newsvendor-wrong", "expected");
    double below = service_z(level_of(number_after(given, "CR ")));
    cr_expect_leq(fabs(below - number_after(right, "z = ")), 0.0005);
    cr_expect_leq(fabs(80 + 30 * below - number_after(right, "Q = ")), 0.1);
    cr_expect_gt(fabs(80 + 30 * below - number_after(right, "NOT ")), 20);
    cr_expect_eq(safety_stock(353000, 30000, 1), 0, "a stock is never less safe than its use");
    arena_free(arena);
}

static struct course_day *even_course(struct arena *arena, date today, size_t days, int64_t use)
{
    struct course_day *course = arena_array(arena, days, sizeof *course);
    for (size_t i = 0; i < days; i++)
        course[i] = (struct course_day){.date = today + (date)i, .use = use};
    return course;
}

/* The year's demand is what its source takes to be 46.03 in 7 of 365 days. */
Test(reorder, the_published_reorder_point)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "08_costing_inventory.csv");
    const char *given = cell(&table, "rop-rw", "given");
    const char *expected = cell(&table, "rop-rw", "expected");
    int64_t spread = (int64_t)(number_after(given, "daily sd ") * 1e6);
    int64_t lead = (int64_t)number_after(given, "lead ");
    int64_t level = (int64_t)(number_after(given, "365 d, ") * 1e4);
    double year = round(number_after(expected, "R = ") * 365 / (double)lead);
    cr_assert_eq(lead, 7);
    cr_assert_eq(level, 980000);
    double sigma = (double)spread / 1e6 * sqrt((double)lead);
    cr_expect_leq(fabs(sigma - number_after(expected, "sigma_L ")), 0.0005);
    cr_expect_leq(fabs(service_z(level) - number_after(given, "(z ")), 0.005);
    struct usual_week usual = {.known = true, .spread = spread};
    struct course_day *course = even_course(arena, 20000, 42, (int64_t)round(year * 1e6 / 365));
    struct reorder_case of = {
        .course = course, .course_days = 42, .usual = &usual, .service_pct = level};
    struct delivery_days when = delivery_days_of(0xfe, lead, 20000);
    struct reorder got;
    cr_assert(reorder_of(&of, &when, &got));
    double point = (double)got.reorder_point / 1e6;
    double exact = number_after(cell(&table, "rop-rw", "note"), "gives ");
    cr_expect_leq(fabs(point - exact), 0.005, "%.4f", point);
    /* With the z of two decimals that the book looks up it is the book's. */
    double books = point + (number_after(given, "(z ") - service_z(level)) * sigma;
    cr_expect_leq(fabs(books - number_after(expected, "21.70 = ")), 0.02, "%.4f", books);
    arena_free(arena);
}

Test(reorder, a_stock_is_as_safe_as_it_is_asked_to_be)
{
    cr_expect_eq(safety_stock(500000, 1000, 7), 0);
    cr_expect_eq(safety_stock(950000, 0, 7), 0);
    cr_expect_eq(safety_stock(950000, 1000, 0), 0);
    cr_expect_eq(safety_stock(950000, 1000, 1), 1645, "1.64485, rounded up");
    cr_expect_eq(safety_stock(950000, 1000, 4), 3290, "twice that in four times the days");
    cr_expect_eq(safety_stock(950000, INT64_MAX, 400), INT64_MAX, "it does not fit");
}

/* --- days --- */

static bool takes_orders(unsigned days, date day)
{
    return (days >> date_weekday(day) & 1) == 1;
}

Test(reorder, orders_are_given_on_order_days_and_come_after_the_lead)
{
    for (unsigned days = 2; days < 256; days += 2)
        for (int lead = 0; lead <= 14; lead++)
            for (date on = 20000; on < 20007; on++) {
                struct delivery_days when = delivery_days_of(days, lead, on);
                int given = 0;
                date due[2] = {0, 0};
                for (date day = on; given < 2; day++)
                    if (takes_orders(days, day)) due[given++] = day + lead;
                cr_assert_eq(when.order_on + lead, when.due_on);
                cr_assert_eq(when.due_on, due[0]);
                cr_assert_eq(when.next_due, due[1]);
            }
}

/* --- amounts --- */

struct dice {
    uint64_t state;
};

static int64_t roll(struct dice *dice, int64_t below)
{
    dice->state = dice->state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
    return (int64_t)((dice->state >> 33) % (uint64_t)below);
}

enum { DAYS = 42, BEYOND = 70 };

/* A bakery with one ingredient: its use of every day, and what is on the way. */
struct store {
    struct usual_week usual;
    struct course_day course[DAYS];
    int64_t use[BEYOND], coming[BEYOND]; /* from today on */
    struct reorder_case of;
};

static void random_store(struct store *store, struct dice *dice, date today)
{
    *store = (struct store){.usual = {.known = true, .spread = roll(dice, 5000)}};
    for (int weekday = 1; weekday <= 7; weekday++)
        store->usual.mean[weekday] = roll(dice, 20000);
    store->of = (struct reorder_case){.usable = roll(dice, 200000),
                                      .course = store->course,
                                      .course_days = DAYS,
                                      .usual = &store->usual,
                                      .service_pct = 500000 + roll(dice, 500000),
                                      .pack = roll(dice, 3) == 0 ? 0 : 1 + roll(dice, 60000)};
    for (int i = 0; i < BEYOND; i++) {
        store->use[i] = i < DAYS ? roll(dice, 20000)
                                 : store->usual.mean[date_weekday(today + (date)i)];
        store->coming[i] = i < DAYS && roll(dice, 10) == 0 ? roll(dice, 50000) : 0;
        store->of.on_order += store->coming[i];
        if (i < DAYS)
            store->course[i] = (struct course_day){
                .date = today + (date)i, .use = store->use[i], .delivered = store->coming[i]};
    }
}

/* What is there at the end of the day before until, when amount comes on due: owed when below 0. */
static int64_t live(const struct store *store, date today, date until, date due, int64_t amount)
{
    int64_t left = store->of.usable;
    for (date day = today; day < until; day++) {
        if (day == due) left += amount;
        left += store->coming[day - today] - store->use[day - today];
    }
    return left;
}

static void check_amount(const struct store *store, unsigned days, int lead, date today)
{
    struct delivery_days when = delivery_days_of(days, lead, today);
    struct reorder got;
    cr_assert(reorder_of(&store->of, &when, &got));
    int64_t without = live(store, today, when.next_due, when.due_on, 0);
    int64_t with = live(store, today, when.next_due, when.due_on, got.amount);
    int64_t pack = store->of.pack > 0 ? store->of.pack : 1;
    cr_assert_eq(got.position - got.expected, without);
    cr_assert_geq(with, got.safety, "lasts until the delivery after the next");
    if (got.amount == 0) return;
    cr_assert_lt(without, got.safety, "nothing is ordered that is not needed");
    cr_assert_lt(with - pack, got.safety, "and never a pack too much");
    cr_assert_eq(got.amount % pack, 0);
    cr_assert_eq(got.packs, store->of.pack > 0 ? got.amount / pack : 0);
}

Test(reorder, an_order_lasts_until_the_delivery_after_the_next)
{
    struct dice dice = {.state = 20270302};
    struct store store;
    for (unsigned days = 2; days < 256; days += 2)
        for (int lead = 0; lead <= 14; lead++)
            for (date today = 20000; today < 20007; today++) {
                random_store(&store, &dice, today);
                check_amount(&store, days, lead, today);
            }
}

/* Beyond the days that are looked ahead the usual week goes on. */
Test(reorder, a_long_way_to_the_supplier)
{
    struct dice dice = {.state = 7};
    struct store store;
    for (int lead = 15; lead <= 55; lead++) {
        random_store(&store, &dice, 20000);
        check_amount(&store, 0xfe, lead, 20000);
    }
}

/* Week after week of ordering what is proposed: from the first delivery on nothing is ever owed. */
static void order_for_weeks(unsigned days, int lead, int64_t pack)
{
    enum { WEEKS = 12 * 7, LONGEST = WEEKS + 30 };
    int64_t coming[LONGEST] = {0}, left = 0, on_order = 0;
    struct usual_week usual = {.known = true, .spread = 0};
    struct course_day course[DAYS];
    date first_due = delivery_days_of(days, lead, 20000).due_on;
    for (date today = 20000; today < 20000 + WEEKS; today++) {
        int at = today - 20000;
        left += coming[at];
        on_order -= coming[at];
        for (int i = 0; i < DAYS; i++)
            course[i] = (struct course_day){.date = today + i,
                                            .use = 1000 + 700 * ((today + i) % 7),
                                            .delivered = at + i < LONGEST ? coming[at + i] : 0};
        if (takes_orders(days, today)) {
            struct delivery_days when = delivery_days_of(days, lead, today);
            struct reorder_case of = {left, on_order, course, DAYS, &usual, 950000, pack};
            struct reorder got;
            cr_assert(reorder_of(&of, &when, &got));
            coming[when.due_on - 20000] += got.amount;
            if (lead == 0) left += got.amount;
            if (lead > 0) on_order += got.amount;
        }
        left -= course[0].use;
        if (today >= first_due) cr_assert_geq(left, 0, "days %x, lead %d, day %d", days, lead, at);
    }
}

Test(reorder, a_bakery_that_orders_what_is_proposed_never_runs_out)
{
    for (unsigned days = 2; days < 256; days += 2)
        for (int lead = 0; lead <= 14; lead += 2)
            order_for_weeks(days, lead, lead % 4 == 0 ? 25000 : 0);
}

Test(reorder, amounts_that_do_not_fit_are_told)
{
    struct arena *arena = arena_new(0);
    struct usual_week unknown = {.known = false};
    struct course_day *course = even_course(arena, 20000, 42, INT64_MAX / 2);
    struct reorder_case of = {
        .course = course, .course_days = 42, .usual = &unknown, .service_pct = 950000};
    struct delivery_days when = delivery_days_of(0xfe, 7, 20000);
    struct reorder got;
    cr_expect_not(reorder_of(&of, &when, &got));
    course = even_course(arena, 20000, 42, 1);
    of = (struct reorder_case){.course = course,
                               .course_days = 42,
                               .usual = &unknown,
                               .service_pct = 950000,
                               .pack = INT64_MAX};
    cr_expect(reorder_of(&of, &when, &got));
    cr_expect_eq(got.amount, INT64_MAX);
    of.on_order = of.usable = INT64_MAX;
    cr_expect_not(reorder_of(&of, &when, &got));
    arena_free(arena);
}
