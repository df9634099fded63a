/* Growth against its published anchors; monotone; nothing at the ends. */
#include "bakery/growth.h"
#include "csv.h"

#include "base/arena.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

TestSuite(growth, .timeout = 30);

enum { TENTH = 1000, ONE = 10000 };

typedef double growth(int64_t c);

/* Temperatures between least and most at which a microbe grows fastest. */
static void fastest(growth *of, double *least, double *most)
{
    double best = 0;
    for (int64_t c = 0; c <= 50 * ONE; c += TENTH)
        best = fmax(best, of(c));
    *least = 100;
    for (int64_t c = 0; c <= 50 * ONE; c += TENTH) {
        if (of(c) < best) continue;
        *least = fmin(*least, (double)c / ONE);
        *most = (double)c / ONE;
    }
}

/* The numbers in a cell such as "20 C and 37 C" or "32-33 C"; how many. */
static size_t numbers(const char *cell, double out[2])
{
    char *end;
    size_t count = 0;
    while (*cell != '\0' && count < 2) {
        double value = strtod(cell, &end);
        if (end != cell) out[count++] = fabs(value);
        cell = end != cell ? end : cell + 1;
    }
    return count;
}

/* "factor 2 (accept 1.7-2.3)" */
static void accepted(const char *cell, double out[2])
{
    const char *from = strstr(cell, "accept");
    cr_assert_not_null(from, "%s", cell);
    cr_assert_eq(numbers(from, out), 2);
}

static const struct csv *anchors_of(const struct csv *table, const char *name, size_t *n)
{
    for (*n = 0; *n < table->count; ++*n)
        if (strcmp(csv_cell(table, *n, "case"), name) == 0) return table;
    cr_assert_fail("no row %s", name);
    return NULL;
}

static void check_optimum(const struct csv *table, const char *name, growth *of)
{
    size_t n;
    double least, most = 0, told[2];
    anchors_of(table, name, &n);
    size_t count = numbers(csv_cell(table, n, "expected"), told);
    double tolerance = strtod(csv_cell(table, n, "tolerance"), NULL);
    cr_assert_geq(count, 1);
    fastest(of, &least, &most);
    cr_expect_leq(fabs(least - told[0]), tolerance, "%s", name);
    cr_expect_leq(fabs(most - told[count - 1]), tolerance, "%s", name);
}

static void check_slowed(const struct csv *table, const char *name, growth *of)
{
    size_t n;
    double told[2], range[2];
    anchors_of(table, name, &n);
    cr_assert_eq(numbers(csv_cell(table, n, "expected"), told), 2);
    accepted(csv_cell(table, n, "tolerance"), range);
    for (size_t i = 0; i < 2; i++) {
        double slowed = 1 / of((int64_t)(told[i] * ONE));
        cr_expect(slowed >= range[0] && slowed <= range[1], "%s at %g C: %g", name, told[i],
                  slowed);
    }
}

static void check_none(const struct csv *table, const char *name, growth *of)
{
    size_t n;
    double told[2];
    anchors_of(table, name, &n);
    cr_assert_eq(numbers(csv_cell(table, n, "expected"), told), 2);
    int64_t cold = (int64_t)fmin(told[0], told[1]) * ONE,
            hot = (int64_t)fmax(told[0], told[1]) * ONE;
    cr_expect(of(cold) <= 0 && of(hot) <= 0, "%s", name);
    cr_expect(of(cold + TENTH) > 0 && of(hot - TENTH) > 0, "%s: it grows between", name);
    for (int64_t c = -60 * ONE; c <= cold; c += TENTH)
        cr_expect(of(c) <= 0);
    for (int64_t c = hot; c <= 100 * ONE; c += TENTH)
        cr_expect(of(c) <= 0);
}

/* tests/sources/03_fermentation_anchors.csv: M. Gaenzle with M. Brandt, rec.food.sourdough FAQ,
 * question 39; Brandt, Hammes and Gaenzle 2004. The rows lab-ph to yeast-acetic and rule-7F are not
 * of growth at a temperature; yeast-opt-broth is of broth, not dough. */
Test(growth, runs_through_the_published_anchors)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "03_fermentation_anchors.csv");
    check_optimum(&table, "lab-opt", growth_lactobacilli);
    check_slowed(&table, "lab-x2", growth_lactobacilli);
    check_slowed(&table, "lab-x4", growth_lactobacilli);
    check_none(&table, "lab-none", growth_lactobacilli);
    check_optimum(&table, "lab-opt-brandt", growth_lactobacilli);
    check_optimum(&table, "yeast-opt-dough", growth_yeast);
    check_optimum(&table, "yeast-opt-broth", growth_yeast);
    check_slowed(&table, "yeast-x2", growth_yeast);
    check_slowed(&table, "yeast-x4", growth_yeast);
    check_none(&table, "yeast-none", growth_yeast);
    arena_free(arena);
}

/* The starter's own, as the headers and the growers say: fastest at 28-32, half at 20, a quarter at
 * 15, none at 4 and 41. */
Test(growth, of_a_starter_runs_through_its_anchors)
{
    static const double anchors[][2] = {{4, 0},  {15, .25}, {20, .5},  {28, 1}, {30, 1},
                                        {32, 1}, {37, .5},  {39, .25}, {41, 0}};
    for (size_t i = 0; i < sizeof anchors / sizeof *anchors; i++)
        cr_expect_leq(fabs(growth_starter((int64_t)(anchors[i][0] * ONE)) - anchors[i][1]), 1e-12,
                      "%g C", anchors[i][0]);
    cr_expect(growth_starter(STARTER_BEST_FROM_C) >= 1 && growth_starter(STARTER_BEST_TO_C) >= 1);
    cr_expect(growth_starter(STARTER_BEST_FROM_C - 1) < 1);
    cr_expect(growth_starter(STARTER_BEST_TO_C + 1) < 1);
    cr_expect(growth_starter(INT64_MIN) <= 0 && growth_starter(INT64_MAX) <= 0);
}

static void check_monotone(growth *of, int least, int best_from, int best_to, int most)
{
    for (int64_t c = least * ONE; c < best_from * ONE; c += TENTH)
        cr_expect_lt(of(c), of(c + TENTH), "%lld", (long long)c);
    for (int64_t c = best_from * ONE; c <= best_to * ONE; c += TENTH)
        cr_expect_geq(of(c), 1);
    for (int64_t c = best_to * ONE; c < most * ONE; c += TENTH)
        cr_expect_gt(of(c), of(c + TENTH), "%lld", (long long)c);
}

Test(growth, rises_to_its_optimum_and_falls_after_it)
{
    check_monotone(growth_lactobacilli, 4, 32, 33, 41);
    check_monotone(growth_yeast, 8, 28, 28, 35);
    check_monotone(growth_starter, 4, 28, 32, 41);
}

Test(growth, has_no_jumps)
{
    for (int64_t c = 0; c < 45 * ONE; c++) {
        cr_expect_lt(fabs(growth_starter(c + 1) - growth_starter(c)), 1e-4);
        cr_expect_lt(fabs(growth_lactobacilli(c + 1) - growth_lactobacilli(c)), 1e-4);
        cr_expect_lt(fabs(growth_yeast(c + 1) - growth_yeast(c)), 1e-4);
    }
}

Test(growth, time_lengthens_as_growth_slows)
{
    cr_expect_eq(growth_time(10, 30 * ONE), 10);
    cr_expect_eq(growth_time(10, 20 * ONE), 20);
    cr_expect_eq(growth_time(10, 15 * ONE), 40);
    cr_expect_eq(growth_time(10, 39 * ONE), 40);
    cr_expect_eq(growth_time(0, 20 * ONE), 0);
    cr_expect_eq(growth_time(1, 4 * ONE), GROWTH_NEVER);
    cr_expect_eq(growth_time(1, 41 * ONE), GROWTH_NEVER);
    cr_expect_eq(growth_time(GROWTH_LONGEST, 30 * ONE), GROWTH_NEVER);
    cr_expect_eq(growth_time(INT64_MAX, 20 * ONE), GROWTH_NEVER);
}
