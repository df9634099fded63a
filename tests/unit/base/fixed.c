/* Fixed point: products and quotients against Python's integers (fixed_cases.h), against identities
 * that __int128 can check by itself, and at every edge.
 */
#include "base/fixed.h"

#include <criterion/criterion.h>

struct fixed_case {
    uint64_t a1, a0, b1, b0, c1, c0;
    enum rounding rounding;
    bool fits;
    uint64_t result1, result0;
};

/* clang-format off */
#include "fixed_cases.h"
/* clang-format on */

TestSuite(fixed, .timeout = 20);

static const fixed lowest = -FIXED_MAX - 1;

static fixed join(uint64_t upper, uint64_t lower)
{
    return (fixed)((unsigned __int128)upper << 64 | lower);
}

Test(fixed, agrees_with_integers_without_limit)
{
    size_t count = sizeof fixed_cases / sizeof fixed_cases[0];
    size_t fitting = 0;
    for (size_t i = 0; i < count; i++) {
        const struct fixed_case *one = &fixed_cases[i];
        fixed out = 4711;
        bool fits = fixed_muldiv(join(one->a1, one->a0), join(one->b1, one->b0),
                                 join(one->c1, one->c0), one->rounding, &out);
        fitting += fits;
        cr_assert_eq(fits, one->fits, "case %zu", i);
        cr_assert(out == (fits ? join(one->result1, one->result0) : 4711), "case %zu", i);
    }
    cr_assert_gt(fitting, count / 2);
    cr_assert_lt(fitting, count);
}

static void gives(fixed a, fixed b, fixed c, enum rounding rounding, fixed expected)
{
    fixed out = 4711;
    cr_assert(fixed_muldiv(a, b, c, rounding, &out));
    cr_assert(out == expected, "%lld * %lld / %lld (%d) gave %lld", (long long)a, (long long)b,
              (long long)c, (int)rounding, (long long)out);
}

static void does_not_fit(fixed a, fixed b, fixed c, enum rounding rounding)
{
    fixed out = 4711;
    cr_assert_not(fixed_muldiv(a, b, c, rounding, &out));
    cr_assert(out == 4711);
}

Test(fixed, halves_to_even)
{
    gives(5, 1, 2, ROUND_HALF_EVEN, 2);
    gives(7, 1, 2, ROUND_HALF_EVEN, 4);
    gives(-5, 1, 2, ROUND_HALF_EVEN, -2);
    gives(5, -1, 2, ROUND_HALF_EVEN, -2);
    gives(7, 1, -2, ROUND_HALF_EVEN, -4);
    gives(-7, -1, 2, ROUND_HALF_EVEN, 4);
    gives(-1, 1, 2, ROUND_HALF_EVEN, 0);
    gives(9, 1, 4, ROUND_HALF_EVEN, 2);
    gives(11, 1, 4, ROUND_HALF_EVEN, 3);
}

Test(fixed, halves_away_from_zero)
{
    gives(5, 1, 2, ROUND_HALF_UP, 3);
    gives(-5, 1, 2, ROUND_HALF_UP, -3);
    gives(1, 1, 2, ROUND_HALF_UP, 1);
    gives(9, 1, 4, ROUND_HALF_UP, 2);
    gives(-11, 1, 4, ROUND_HALF_UP, -3);
}

Test(fixed, up_is_towards_plus_infinity)
{
    gives(1, 1, 1000, ROUND_UP, 1);
    gives(-1, 1, 1000, ROUND_UP, 0);
    gives(-1999, 1, 1000, ROUND_UP, -1);
    gives(-1999, -1, 1000, ROUND_UP, 2);
    gives(2000, 1, 1000, ROUND_UP, 2);
    gives(0, 7, 1000, ROUND_UP, 0);
}

Test(fixed, a_half_of_odd_divisors_is_judged_exactly)
{
    /* With c = 2^127 - 1 twice the remainder does not fit a signed number any more. */
    gives(FIXED_MAX / 2, 1, FIXED_MAX, ROUND_HALF_EVEN, 0);
    gives(FIXED_MAX / 2 + 1, 1, FIXED_MAX, ROUND_HALF_EVEN, 1);
    gives((fixed)1 << 126, 1, lowest, ROUND_HALF_EVEN, 0);
    gives((fixed)1 << 126, 1, lowest, ROUND_HALF_UP, -1);
    gives((fixed)1 << 126, 3, lowest, ROUND_HALF_EVEN, -2);
}

Test(fixed, the_ends)
{
    gives(FIXED_MAX, FIXED_MAX, FIXED_MAX, ROUND_HALF_EVEN, FIXED_MAX);
    gives(lowest, lowest, lowest, ROUND_HALF_EVEN, lowest);
    gives(lowest, FIXED_MAX, FIXED_MAX, ROUND_HALF_EVEN, lowest);
    gives(lowest, 1, 1, ROUND_HALF_EVEN, lowest);
    does_not_fit(lowest, 1, -1, ROUND_HALF_EVEN);
    does_not_fit(lowest, lowest, FIXED_MAX, ROUND_HALF_EVEN);
    does_not_fit(FIXED_MAX, 2, 1, ROUND_HALF_EVEN);
    does_not_fit(FIXED_MAX, FIXED_MAX, 1, ROUND_HALF_EVEN);
    does_not_fit(lowest, lowest, 1, ROUND_HALF_EVEN);
    gives(FIXED_MAX, 3, 3, ROUND_UP, FIXED_MAX);
    does_not_fit((fixed)1 << 126, 4, 2, ROUND_UP);
    does_not_fit(FIXED_MAX, (fixed)4 << 64, ((fixed)4 << 64) - 1, ROUND_UP);
}

Test(fixed, rounding_past_the_end_is_an_error)
{
    /* a * b = 2^128 - 1, so that the quotient by 2 is FIXED_MAX and a half. */
    fixed a = ((fixed)1 << 64) - 1;
    fixed b = ((fixed)1 << 64) + 1;
    does_not_fit(a, b, 2, ROUND_HALF_EVEN);
    does_not_fit(a, b, 2, ROUND_HALF_UP);
    does_not_fit(a, b, 2, ROUND_UP);
    gives(-a, b, 2, ROUND_UP, -FIXED_MAX);
    gives(-a, b, 2, ROUND_HALF_UP, lowest);
    gives(-a, b, 2, ROUND_HALF_EVEN, lowest);
}

Test(fixed, division_by_zero_is_an_error)
{
    does_not_fit(1, 1, 0, ROUND_HALF_EVEN);
    does_not_fit(0, 0, 0, ROUND_UP);
}

static uint64_t next_random(uint64_t *state)
{
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    return *state;
}

/* a * b / b is a, however large the product; and (a * b + r) / b leaves r, checked by products that
 * fit. */
Test(fixed, identities)
{
    uint64_t state = 88172645463325252u;
    for (int i = 0; i < 200000; i++) {
        uint64_t upper = next_random(&state), lower = next_random(&state);
        fixed a = join(upper, lower) >> (lower % 120);
        upper = next_random(&state);
        lower = next_random(&state);
        fixed b = join(upper, lower) >> (upper % 120);
        if (b == 0) b = 1;
        fixed out = 0;
        cr_assert(fixed_muldiv(a, b, b, (enum rounding)(i % 3), &out));
        cr_assert(out == a, "round %d", i);

        fixed small_a = a >> 66, small_b = b >> 66;
        fixed divisor = (fixed)(int64_t)lower | 1;
        fixed product = small_a * small_b;
        fixed quotient = product / divisor;
        bool upwards = product % divisor != 0 && (product < 0) == (divisor < 0);
        cr_assert(fixed_muldiv(small_a, small_b, divisor, ROUND_UP, &out));
        cr_assert(out == quotient + upwards, "round %d", i);
    }
}

Test(fixed, sums)
{
    fixed out = 4711;
    cr_assert(fixed_add(FIXED_MAX - 1, 1, &out));
    cr_assert(out == FIXED_MAX);
    cr_assert_not(fixed_add(FIXED_MAX, 1, &out));
    cr_assert(out == FIXED_MAX, "left alone");
    cr_assert(fixed_add(lowest, FIXED_MAX, &out));
    cr_assert(out == -1);
    cr_assert_not(fixed_add(lowest, -1, &out));
}

Test(fixed, stored_numbers_there_and_back)
{
    static const int64_t values[] = {0, 1, -1, 999, 1000000, INT64_MAX, INT64_MIN, 123456789012345};
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        for (int places = 0; places <= FIXED_PLACES; places++) {
            int64_t back = 4711;
            cr_assert(fixed_to(fixed_from(values[i], places), places, &back));
            cr_assert_eq(back, values[i]);
        }
    }
    cr_assert(fixed_from(1, 3) == FIXED_ONE / 1000);
    cr_assert(fixed_from(1000, 3) == FIXED_ONE);
}

Test(fixed, rounds_to_stored_numbers_half_to_even)
{
    int64_t out = 4711;
    cr_assert(fixed_to(FIXED_ONE / 1000 * 5 / 2, 3, &out)); /* 0.0025 */
    cr_assert_eq(out, 2);
    cr_assert(fixed_to(FIXED_ONE / 1000 * 7 / 2, 3, &out)); /* 0.0035 */
    cr_assert_eq(out, 4);
    cr_assert(fixed_to(FIXED_ONE / 1000 * 5 / 2 + 1, 3, &out));
    cr_assert_eq(out, 3);
    cr_assert(fixed_to(-(FIXED_ONE / 1000 * 5 / 2), 3, &out));
    cr_assert_eq(out, -2);
}

Test(fixed, too_large_to_be_stored)
{
    int64_t out = 4711;
    cr_assert_not(fixed_to(fixed_from(INT64_MAX, 0) + FIXED_ONE, 0, &out));
    cr_assert_not(fixed_to(fixed_from(INT64_MIN, 0) - FIXED_ONE, 0, &out));
    cr_assert_not(fixed_to(fixed_from(INT64_MAX, 0) + FIXED_ONE / 2, 0, &out));
    cr_assert_not(fixed_to(fixed_from(INT64_MAX, 0), 6, &out));
    cr_assert_not(fixed_to(FIXED_MAX, 6, &out));
    cr_assert_eq(out, 4711);
    cr_assert(fixed_to(fixed_from(INT64_MAX, 0) + FIXED_ONE / 2 - 1, 0, &out));
    cr_assert_eq(out, INT64_MAX);
}

Test(fixed, powers_of_ten)
{
    cr_assert(fixed_power10(0) == 1);
    cr_assert(fixed_power10(15) == FIXED_ONE);
    cr_assert(fixed_power10(24) == SHARE_ONE);
    cr_assert(fixed_power10(38) == fixed_power10(19) * fixed_power10(19));
    cr_assert(fixed_power10(38) / fixed_power10(37) == 10);
}
