/* 128-bit fixed point with 256-bit products.
 *
 * Signs are taken off first and put back last; between, all is unsigned. A 256-bit number is two
 * halves, high and low. The long division works in two digits of 64 bits.
 */
#include "base/fixed.h"

#include <assert.h>
#include <stddef.h>

typedef unsigned __int128 u128;

static const u128 LIMB = (u128)1 << 64; /* one more than the largest 64-bit digit */

static u128 magnitude(fixed value)
{
    return value < 0 ? 0 - (u128)value : (u128)value;
}

/* Of magnitudes, which are at most 2^127, so that neither of the sums in the middle overflows. */
static void multiply(u128 a, u128 b, u128 *high, u128 *low)
{
    u128 a1 = a >> 64, a0 = (uint64_t)a;
    u128 b1 = b >> 64, b0 = (uint64_t)b;
    u128 middle = a1 * b0 + (a0 * b1 + ((a0 * b0) >> 64));
    *high = a1 * b1 + (middle >> 64);
    *low = middle << 64 | (uint64_t)(a0 * b0);
}

/* One digit of the long division: (rest * 2^64 + next) / divisor, with rest < divisor and the top
 * bit of divisor set. The first guess, from the upper digit of the divisor alone, is at most two
 * too large (Knuth, The Art of Computer Programming, volume 2, 4.3.1, theorem B). */
static uint64_t divide_digit(u128 *rest, uint64_t next, u128 divisor)
{
    u128 upper = divisor >> 64, lower = (uint64_t)divisor;
    u128 digit = *rest / upper;
    u128 left = *rest % upper;
    while (digit >= LIMB || digit * lower > (left << 64 | next)) {
        digit--;
        left += upper;
        if (left >= LIMB) break;
    }
    *rest = (*rest << 64 | next) - digit * divisor; /* exact modulo 2^128, and the rest fits */
    return (uint64_t)digit;
}

/* (high * 2^128 + low) / divisor with high < divisor, so that the quotient fits. */
static u128 divide(u128 high, u128 low, u128 divisor, u128 *remainder)
{
    if (high == 0) {
        *remainder = low % divisor;
        return low / divisor;
    }
    uint64_t top = (uint64_t)(divisor >> 64);
    int shift = top != 0 ? __builtin_clzll(top) : 64 + __builtin_clzll((uint64_t)divisor);
    u128 rest = high;
    if (shift > 0) {
        divisor <<= shift;
        rest = high << shift | low >> (128 - shift);
        low <<= shift;
    }
    uint64_t first = divide_digit(&rest, (uint64_t)(low >> 64), divisor);
    uint64_t second = divide_digit(&rest, (uint64_t)low, divisor);
    *remainder = rest >> shift;
    return (u128)first << 64 | second;
}

/* Whether the magnitude of the quotient goes one up. */
static bool rounds_up(u128 quotient, u128 remainder, u128 divisor, bool negative,
                      enum rounding rounding)
{
    if (remainder == 0) return false;
    if (rounding == ROUND_UP) return !negative;
    u128 other = divisor - remainder; /* compared with remainder: which neighbour is nearer */
    if (remainder != other) return remainder > other;
    return rounding == ROUND_HALF_UP || (quotient & 1) != 0;
}

bool fixed_muldiv(fixed a, fixed b, fixed c, enum rounding rounding, fixed *out)
{
    if (c == 0) return false;
    bool negative = (a < 0) != (b < 0) ? c > 0 : c < 0;
    u128 divisor = magnitude(c);
    u128 high, low, remainder;
    multiply(magnitude(a), magnitude(b), &high, &low);
    if (high >= divisor) return false;
    u128 quotient = divide(high, low, divisor, &remainder);
    u128 most = (u128)FIXED_MAX + negative;
    if (quotient > most) return false;
    if (rounds_up(quotient, remainder, divisor, negative, rounding) && quotient++ == most) {
        return false;
    }
    *out = negative ? (fixed)(0 - quotient) : (fixed)quotient;
    return true;
}

bool fixed_add(fixed a, fixed b, fixed *out)
{
    fixed sum;
    if (__builtin_add_overflow(a, b, &sum)) return false;
    *out = sum;
    return true;
}

fixed fixed_power10(int exponent)
{
    assert(exponent >= 0 && exponent <= 38);
    fixed power = 1;
    for (int i = 0; i < exponent; i++)
        power *= 10;
    return power;
}

fixed fixed_from(int64_t value, int places)
{
    assert(places >= 0 && places <= FIXED_PLACES);
    return (fixed)value * fixed_power10(FIXED_PLACES - places);
}

bool fixed_to(fixed value, int places, int64_t *out)
{
    assert(places >= 0 && places <= FIXED_PLACES);
    fixed rounded;
    if (!fixed_muldiv(value, 1, fixed_power10(FIXED_PLACES - places), ROUND_HALF_EVEN, &rounded)) {
        return false;
    }
    if (rounded < INT64_MIN || rounded > INT64_MAX) return false;
    *out = (int64_t)rounded;
    return true;
}
