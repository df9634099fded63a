/* 128-bit fixed point: the numbers between what is stored and what is printed.
 *
 * A quantity (grams, currency) is a count of 10^-15 of its unit; a share of a whole is a count of
 * 10^-24. Both leave many more digits than are printed, so that errors of the last place, added
 * over eight levels of preferment, never reach a printed digit. Products are taken in 256 bits;
 * what does not fit is an error (false), never a wrap.
 */
#ifndef MORROWLOAF_BASE_FIXED_H
#define MORROWLOAF_BASE_FIXED_H

#include <stdbool.h>
#include <stdint.h>

typedef __int128 fixed;

#define FIXED_MAX ((fixed)(((unsigned __int128)1 << 127) - 1))

enum { FIXED_PLACES = 15, SHARE_PLACES = 24 };

#define FIXED_ONE ((fixed)1000000000000000)              /* one gram, one unit of currency */
#define SHARE_ONE ((fixed)1000000000000 * 1000000000000) /* the whole */

enum rounding { ROUND_HALF_EVEN, ROUND_HALF_UP, ROUND_UP /* towards +infinity */ };

/* *out = a * b / c, rounded; halves are judged exactly. False when c is 0 or the result does not
 * fit. ROUND_HALF_UP takes halves away from zero. */
bool fixed_muldiv(fixed a, fixed b, fixed c, enum rounding rounding, fixed *out);

/* *out = a + b; false when it does not fit. */
bool fixed_add(fixed a, fixed b, fixed *out);

/* A stored number in units of 10^-places as a quantity. Always fits. */
fixed fixed_from(int64_t value, int places);

/* A quantity in units of 10^-places, rounded half to even. False when it does not fit int64_t. */
bool fixed_to(fixed value, int places, int64_t *out);

/* 10^exponent, 0 <= exponent <= 38. */
fixed fixed_power10(int exponent);

#endif
