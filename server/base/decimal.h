/* Exact decimal numbers: text <-> int64_t in a fixed unit. Nothing here is ever floating.
 *
 * The units of the house (design: weights in milligrams, money in millionths, ...) are powers of
 * ten below the unit that is written, so each is told by its number of decimal places.
 */
#ifndef MORROWLOAF_BASE_DECIMAL_H
#define MORROWLOAF_BASE_DECIMAL_H

#include <stddef.h>
#include <stdint.h>

enum decimal_places {
    WEIGHT_PLACES = 3,      /* grams written, milligrams kept */
    PERCENT_PLACES = 4,     /* 1/10,000 of a percent */
    TEMPERATURE_PLACES = 4, /* 1/10,000 of a degree */
    MONEY_PLACES = 6,       /* millionths of the currency unit */
};

enum decimal_result {
    DECIMAL_OK,
    DECIMAL_MALFORMED,   /* not [-]digits[.digits], or an exponent that is not a number's */
    DECIMAL_TOO_PRECISE, /* more decimals than places, other than zeros */
    DECIMAL_OUT_OF_RANGE /* does not fit int64_t in this unit */
};

enum { DECIMAL_TEXT_SIZE = 32 }; /* enough for any int64_t with sign, point and NUL */

/* Reads length bytes of text as a decimal number into units of 10^-places. Accepts an optional
 * minus, digits, an optional point with digits, and an optional exponent (e or E), as a JSON number
 * has it; no plus, no spaces, no leading point. Leaves *value alone on error. */
enum decimal_result decimal_parse(const char *text, size_t length, int places, int64_t *value);

/* Writes value (units of 10^-places) without exponent: at least min_places decimals, no further
 * trailing zeros. out holds DECIMAL_TEXT_SIZE bytes. Returns the length. */
size_t decimal_print(char *out, int64_t value, int places, int min_places);

#endif
