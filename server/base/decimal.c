/* Exact decimal numbers: text <-> int64_t in a fixed unit.
 *
 * A number is read as its significant digits (without zeros at either end) and a power of ten; it
 * is then plain whether it is a whole number of units and whether it fits. No intermediate can
 * overflow: 19 digits fit uint64_t, and exponents are held to a bound far beyond any length.
 */
#include "base/decimal.h"

#include <stdbool.h>

enum { DIGITS_MAX = 19 }; /* of INT64_MAX */

static const int64_t EXPONENT_BOUND = INT64_C(1000000000000000);

/* A number as it stands in the text: digits[0..count) with the point after the first `whole`. */
struct parts {
    bool negative;
    const char *whole;
    size_t whole_count;
    const char *fraction;
    size_t fraction_count;
    int64_t exponent;
};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static size_t count_digits(const char *text, const char *end)
{
    size_t count = 0;
    while (text + count < end && is_digit(text[count]))
        count++;
    return count;
}

/* Reads [+-]digits; false when it is anything else. */
static bool read_exponent(const char *text, const char *end, int64_t *exponent)
{
    bool negative = text < end && *text == '-';
    if (text < end && (*text == '-' || *text == '+')) text++;
    if (text == end || count_digits(text, end) != (size_t)(end - text)) return false;
    int64_t value = 0;
    for (; text < end; text++) {
        if (value < EXPONENT_BOUND) value = value * 10 + (*text - '0');
    }
    *exponent = negative ? -value : value;
    return true;
}

static bool split(const char *text, size_t length, struct parts *parts)
{
    const char *end = text + length;
    *parts = (struct parts){.negative = length > 0 && *text == '-'};
    if (parts->negative) text++;
    parts->whole = text;
    parts->whole_count = count_digits(text, end);
    if (parts->whole_count == 0) return false;
    text += parts->whole_count;
    if (text < end && *text == '.') {
        parts->fraction = ++text;
        parts->fraction_count = count_digits(text, end);
        if (parts->fraction_count == 0) return false;
        text += parts->fraction_count;
    }
    if (text == end) return true;
    return (*text == 'e' || *text == 'E') && read_exponent(text + 1, end, &parts->exponent);
}

static char digit_at(const struct parts *parts, size_t i)
{
    return i < parts->whole_count ? parts->whole[i] : parts->fraction[i - parts->whole_count];
}

/* digits [first, end) times 10^shift, when it fits. */
static bool assemble(const struct parts *parts, size_t first, size_t end, int64_t shift,
                     int64_t *value)
{
    if ((int64_t)(end - first) + shift > DIGITS_MAX) return false;
    uint64_t sum = 0;
    for (size_t i = first; i < end; i++)
        sum = sum * 10 + (uint64_t)(digit_at(parts, i) - '0');
    for (int64_t i = 0; i < shift; i++)
        sum *= 10;
    if (sum > (uint64_t)INT64_MAX + parts->negative) return false;
    *value = parts->negative ? (int64_t)(0 - sum) : (int64_t)sum;
    return true;
}

enum decimal_result decimal_parse(const char *text, size_t length, int places, int64_t *value)
{
    struct parts parts;
    if (!split(text, length, &parts)) return DECIMAL_MALFORMED;
    size_t first = 0;
    size_t end = parts.whole_count + parts.fraction_count;
    int64_t shift = parts.exponent - (int64_t)parts.fraction_count + places;
    while (first < end && digit_at(&parts, first) == '0')
        first++;
    for (; first < end && digit_at(&parts, end - 1) == '0'; end--)
        shift++;

    if (first == end) {
        *value = 0;
        return DECIMAL_OK;
    }
    if (shift < 0) return DECIMAL_TOO_PRECISE;
    return assemble(&parts, first, end, shift, value) ? DECIMAL_OK : DECIMAL_OUT_OF_RANGE;
}

/* How many decimals a number needs: those that are left without the zeros at its end. */
static int decimals_needed(uint64_t magnitude, int places)
{
    if (magnitude == 0) return 0;
    int needed = places;
    for (; needed > 0 && magnitude % 10 == 0; magnitude /= 10)
        needed--;
    return needed;
}

size_t decimal_print(char *out, int64_t value, int places, int min_places)
{
    uint64_t magnitude = value < 0 ? 0 - (uint64_t)value : (uint64_t)value;
    int decimals = decimals_needed(magnitude, places);
    if (decimals < min_places) decimals = min_places;

    char digits[DIGITS_MAX + 1]; /* the last first */
    int count = 0;
    for (uint64_t rest = magnitude; rest > 0; rest /= 10)
        digits[count++] = (char)('0' + rest % 10);

    char *at = out;
    const char *last = out + DECIMAL_TEXT_SIZE - 1; /* where at the latest the NUL stands */
    if (value < 0) *at++ = '-';
    for (int i = count > places ? count - 1 : places; i >= places - decimals; i--) {
        if (i == places - 1 && at < last) *at++ = '.';
        if (at < last) *at++ = i >= 0 && i < count ? digits[i] : '0';
    }
    *at = '\0';
    return (size_t)(at - out);
}
