/* Dividing a whole into wholes. */
#include "random_world.h"

#include "bakery/apportion.h"

#include <criterion/criterion.h>

TestSuite(apportion, .timeout = 30);

enum { MOST = 40 };

static void expect_parts(int64_t total, const fixed *weights, size_t count, const int64_t *expected)
{
    struct arena *arena = arena_new(0);
    int64_t parts[MOST];
    cr_assert(apportion(arena, total, weights, count, parts));
    for (size_t i = 0; i < count; i++)
        cr_expect_eq(parts[i], expected[i], "part %zu of %ld is %ld", i, total, parts[i]);
    arena_free(arena);
}

/* 10 by 5 : 3 : 1: 5.55…, 3.33…, 1.11…: floors sum to 9, the first has the largest remainder. */
Test(apportion, the_largest_remainder_is_served_first)
{
    expect_parts(10, (fixed[]){5, 3, 1}, 3, (int64_t[]){6, 3, 1});
    expect_parts(-10, (fixed[]){5, 3, 1}, 3, (int64_t[]){-6, -3, -1});
}

Test(apportion, of_equal_remainders_the_first)
{
    expect_parts(5, (fixed[]){1, 1, 1}, 3, (int64_t[]){2, 2, 1});
    expect_parts(1, (fixed[]){0, 7, 7}, 3, (int64_t[]){0, 1, 0});
}

Test(apportion, what_divides_is_divided)
{
    expect_parts(12, (fixed[]){1, 2, 3}, 3, (int64_t[]){2, 4, 6});
    expect_parts(0, (fixed[]){1, 2}, 2, (int64_t[]){0, 0});
    expect_parts(INT64_MAX, (fixed[]){0, FIXED_MAX}, 2, (int64_t[]){0, INT64_MAX});
    expect_parts(INT64_MIN, (fixed[]){3, 0}, 2, (int64_t[]){INT64_MIN, 0});
}

/* Remainders that differ in their last digit only: (2^100 + 1) of 2^101 + 1 against 2^100. */
Test(apportion, remainders_are_exact)
{
    fixed large = (fixed)1 << 100;
    expect_parts(1, (fixed[]){large, large + 1}, 2, (int64_t[]){0, 1});
    expect_parts(1000001, (fixed[]){large, large + 1}, 2, (int64_t[]){500000, 500001});
}

Test(apportion, weights_that_are_none_or_too_large)
{
    struct arena *arena = arena_new(0);
    int64_t parts[2];
    cr_expect_not(apportion(arena, 5, (fixed[]){0, 0}, 2, parts));
    cr_expect_not(apportion(arena, 5, (fixed[]){FIXED_MAX, 1}, 2, parts));
    arena_fail_nth(1);
    cr_expect_not(apportion(arena, 5, (fixed[]){1, 1}, 2, parts));
    arena_fail_nth(0);
    arena_free(arena);
}

/* Whatever the weights: parts sum to the total, and each is within one of its exact share. */
Test(apportion, holds_for_random_weights)
{
    struct dice dice = {20270510};
    for (int round = 0; round < 5000; round++) {
        struct arena *arena = arena_new(0);
        fixed weights[MOST];
        int64_t parts[MOST];
        fixed sum = 0;
        int64_t told = 0;
        size_t count = (size_t)roll(&dice, 1, MOST);
        int64_t total = roll(&dice, 0, roll(&dice, 0, 1) ? 50 : INT64_C(1000000000000));
        for (size_t i = 0; i < count; i++)
            sum += weights[i] = roll(&dice, i == 0, 1000) * (fixed)roll(&dice, 1, 1000000000);
        cr_assert(apportion(arena, total, weights, count, parts));
        for (size_t i = 0; i < count; i++) {
            fixed off = parts[i] * sum - total * weights[i];
            cr_assert(off < sum && off > -sum, "round %d", round);
            told += parts[i];
        }
        cr_assert_eq(told, total);
        arena_free(arena);
    }
}
