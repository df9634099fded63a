/* Decimal numbers: exact both ways, with every limit. */
#include "base/decimal.h"

#include <criterion/criterion.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

TestSuite(decimal, .timeout = 20);

static const int64_t untouched = 4711;

static void reads(const char *text, int places, int64_t expected)
{
    int64_t value = untouched;
    enum decimal_result result = decimal_parse(text, strlen(text), places, &value);
    cr_assert_eq(result, DECIMAL_OK, "%s gave %d", text, (int)result);
    cr_assert_eq(value, expected, "%s gave %lld", text, (long long)value);
}

static void refuses(const char *text, int places, enum decimal_result expected)
{
    int64_t value = untouched;
    enum decimal_result result = decimal_parse(text, strlen(text), places, &value);
    cr_assert_eq(result, expected, "%s gave %d", text, (int)result);
    cr_assert_eq(value, untouched, "%s changed the value", text);
}

Test(decimal, reads_plain_numbers)
{
    reads("0", 3, 0);
    reads("-0", 3, 0);
    reads("-0.000", 3, 0);
    reads("3.45", MONEY_PLACES, 3450000);
    reads("18.40", MONEY_PLACES, 18400000);
    reads("0.001", WEIGHT_PLACES, 1);
    reads("-0.001", WEIGHT_PLACES, -1);
    reads("007.50", 3, 7500);
    reads("68", PERCENT_PLACES, 680000);
    reads("1.1000000000000000000000000000000000", 1, 11);
}

Test(decimal, reads_exponents_as_json_has_them)
{
    reads("1e2", 0, 100);
    reads("1E+2", 0, 100);
    reads("250e-2", 3, 2500);
    reads("2.5e3", 0, 2500);
    reads("1.5e-3", 4, 15);
    reads("0e99999999999999999999", 3, 0);
    reads("0.0e-99999999999999999999", 3, 0);
    reads("1000e-3", 0, 1);
}

Test(decimal, reads_to_the_very_ends)
{
    reads("9223372036854775807", 0, INT64_MAX);
    reads("-9223372036854775808", 0, INT64_MIN);
    reads("9223372036854775.807", 3, INT64_MAX);
    reads("-9223372036854.775808", 6, INT64_MIN);
    refuses("9223372036854775808", 0, DECIMAL_OUT_OF_RANGE);
    refuses("-9223372036854775809", 0, DECIMAL_OUT_OF_RANGE);
    refuses("9223372036854775.808", 3, DECIMAL_OUT_OF_RANGE);
    refuses("18446744073709551616", 0, DECIMAL_OUT_OF_RANGE);
    refuses("1e400", 3, DECIMAL_OUT_OF_RANGE);
    refuses("1e99999999999999999999", 0, DECIMAL_OUT_OF_RANGE);
    refuses("99999999999999999999999999999999999999", 0, DECIMAL_OUT_OF_RANGE);
}

Test(decimal, refuses_more_places_than_are_kept)
{
    refuses("0.0001", 3, DECIMAL_TOO_PRECISE);
    refuses("1.2345", 3, DECIMAL_TOO_PRECISE);
    refuses("1e-4", 3, DECIMAL_TOO_PRECISE);
    refuses("1e-99999999999999999999", 3, DECIMAL_TOO_PRECISE);
    refuses("1.00000000000000000000000000000001", 6, DECIMAL_TOO_PRECISE);
    refuses("2.5", 0, DECIMAL_TOO_PRECISE);
}

Test(decimal, refuses_what_is_no_number)
{
    static const char *const bad[] = {"",    "-",   ".",     ".5",    "5.",   "+1",    " 1", "1 ",
                                      "1,5", "--1", "1e",    "1e+",   "1e5x", "1.e3",  "e3", "0x10",
                                      "nan", "inf", "1.2.3", "1_000", "12a",  "1e2.5", "٣"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
        refuses(bad[i], 3, DECIMAL_MALFORMED);
}

Test(decimal, reads_only_its_length)
{
    int64_t value = untouched;
    cr_assert_eq(decimal_parse("12.34,5", 5, 2, &value), DECIMAL_OK);
    cr_assert_eq(value, 1234);
    cr_assert_eq(decimal_parse("12.34", 3, 2, &value), DECIMAL_MALFORMED, "\"12.\"");
    cr_assert_eq(decimal_parse("12.34", 0, 2, &value), DECIMAL_MALFORMED, "nothing");
}

Test(decimal, a_very_long_number_is_no_trouble)
{
    size_t length = 1000000;
    char *digits = malloc(length);
    memset(digits, '0', length);
    int64_t value = untouched;
    digits[0] = '7';
    cr_assert_eq(decimal_parse(digits, length, 3, &value), DECIMAL_OUT_OF_RANGE);
    digits[1] = '.';
    cr_assert_eq(decimal_parse(digits, length, 3, &value), DECIMAL_OK);
    cr_assert_eq(value, 7000);
    digits[length - 1] = '1';
    cr_assert_eq(decimal_parse(digits, length, 3, &value), DECIMAL_TOO_PRECISE);
    free(digits);
}

static void prints(int64_t value, int places, int min_places, const char *expected)
{
    char text[DECIMAL_TEXT_SIZE];
    memset(text, '#', sizeof text);
    size_t length = decimal_print(text, value, places, min_places);
    cr_assert_str_eq(text, expected);
    cr_assert_eq(length, strlen(expected));
}

Test(decimal, prints_without_needless_zeros)
{
    prints(0, 0, 0, "0");
    prints(0, 6, 0, "0");
    prints(0, 6, 2, "0.00");
    prints(3450000, 6, 2, "3.45");
    prints(3400000, 6, 2, "3.40");
    prints(3000000, 6, 2, "3.00");
    prints(3456789, 6, 2, "3.456789");
    prints(-1, 3, 0, "-0.001");
    prints(1000, 3, 0, "1");
    prints(1500, 3, 0, "1.5");
    prints(100, 0, 0, "100");
    prints(10, 3, 0, "0.01");
    prints(5, 0, 2, "5.00");
    prints(INT64_MAX, 3, 0, "9223372036854775.807");
    prints(INT64_MIN, 6, 2, "-9223372036854.775808");
    prints(INT64_MIN, 0, 0, "-9223372036854775808");
}

Test(decimal, never_prints_past_its_buffer)
{
    char text[DECIMAL_TEXT_SIZE + 4];
    memset(text, '#', sizeof text);
    size_t length = decimal_print(text, INT64_MIN, 0, 30);
    cr_assert_eq(length, DECIMAL_TEXT_SIZE - 1);
    cr_assert_eq(text[DECIMAL_TEXT_SIZE], '#');
}

Test(decimal, print_and_parse_are_inverse)
{
    uint64_t state = 88172645463325252u; /* xorshift: the same numbers on every run */
    for (int i = 0; i < 200000; i++) {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        int64_t value = (int64_t)state >> (state % 61);
        int places = (int)((state >> 32) % 7);
        char text[DECIMAL_TEXT_SIZE];
        int64_t back = 0;
        size_t length = decimal_print(text, value, places, i % 4);
        cr_assert_eq(decimal_parse(text, length, places, &back), DECIMAL_OK, "%s", text);
        cr_assert_eq(back, value, "%s", text);
    }
}
