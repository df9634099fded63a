/* The simple values: every limit, and the sentence that tells it. */
#include "body.h"

#include "base/decimal.h"

#include <stdio.h>

TestSuite(value, .timeout = 20);

/* One member "v" in an object of its own. */
static struct body body;
static struct json_object object;

static void with(const char *value)
{
    char text[16384];
    snprintf(text, sizeof text, "{\"v\":%s}", value);
    body_open(&body, text);
    cr_assert(body.parsed, "%s", text);
    json_object_open(&object, body.root);
}

/* Ends the object: a fault with these words at /v, or none at all when words is NULL. */
static void done(const char *words)
{
    cr_assert_eq(json_object_close(&object), words == NULL, "fault: %s",
                 body.fails.count > 0 ? body.fails.items[0].text : "none");
    cr_assert_eq(body.fails.found, words == NULL ? 0 : 1);
    if (words != NULL) expect_fault(&body, "/v", words);
    body_close(&body);
}

/* --- text --- */

static void text_is(const char *value, const char *expected, const char *words)
{
    with(value);
    const char *text = json_text(&object, "v", JSON_REQUIRED, 5);
    if (expected == NULL) {
        cr_assert_null(text, "%s", value);
    } else {
        cr_assert_str_eq(text, expected);
    }
    done(words);
}

Test(value, texts)
{
    text_is("\"bread\"", "bread", NULL);
    text_is("\" a \"", " a ", NULL);
    text_is("\"a\\nb\\t\"", "a\nb\t", NULL);
    text_is("\"\xc3\xa4\xe2\x82\xac\xf0\x9f\x8d\x9e\\u00f6x\"",
            "\xc3\xa4\xe2\x82\xac\xf0\x9f\x8d\x9e\xc3\xb6x", NULL);
    text_is("\"breads\"", NULL, "must be text of 1 to 5 characters, not 6");
    text_is("\"\"", NULL, "must not be empty");
    text_is("\"  \\n\\t\"", NULL, "must not be empty");
    text_is("\"\\u00a0\\u3000\"", NULL, "must not be empty");
    text_is("\"a\\u0007\"", NULL, "must not hold control characters");
    text_is("\"a\\r\\nb\"", NULL, "must not hold control characters");
    text_is("\"a\\u007f\"", NULL, "must not hold control characters");
    text_is("\"a\\u0085\"", NULL, "must not hold control characters");
    text_is("7", NULL, "must be text of 1 to 5 characters");
    text_is("true", NULL, "must be text of 1 to 5 characters");
    text_is("[\"a\"]", NULL, "must be text of 1 to 5 characters");
}

static void name_is(const char *value, const char *expected, const char *words)
{
    with(value);
    const char *text = json_name(&object, "v", JSON_REQUIRED);
    if (expected == NULL) {
        cr_assert_null(text, "%s", value);
    } else {
        cr_assert_str_eq(text, expected);
    }
    done(words);
}

Test(value, names)
{
    name_is("\"Corner Caf\xc3\xa9\"", "Corner Caf\xc3\xa9", NULL);
    name_is("\"  Rye \\u00a0 80 \\u3000\"", "Rye \xc2\xa0 80", NULL);
    name_is("\"   \"", NULL, "must not be empty");
    name_is("\"\"", NULL, "must not be empty");
    name_is("\"a\\nb\"", NULL, "must be one line without control characters");
    name_is("\"a\\u2028b\"", NULL, "must be one line without control characters");
    name_is("\"a\\u001bb\"", NULL, "must be one line without control characters");
    name_is("12", NULL, "must be text of 1 to 200 characters");
}

Test(value, names_have_200_characters_without_their_ends)
{
    char text[1000] = "\"   ";
    char name[1000] = "";
    for (int i = 0; i < NAME_MAX_CHARACTERS; i++)
        strcat(name, "\xc3\xa4");
    strcat(text, name);
    strcat(text, "  \"");
    name_is(text, name, NULL);
    text[strlen(text) - 2] = 'x';
    name_is(text, NULL, "must be text of 1 to 200 characters, not 202");
}

static const char *const bases[] = {"final", "total", NULL};

static void word_is(const char *value, int expected, const char *words)
{
    with(value);
    cr_assert_eq(json_word(&object, "v", JSON_REQUIRED, bases, -3), expected, "%s", value);
    done(words);
}

Test(value, words_codes_and_truths)
{
    word_is("\"final\"", 0, NULL);
    word_is("\"total\"", 1, NULL);
    word_is("\"Total\"", -3, "must be one of: final, total");
    word_is("1", -3, "must be one of: final, total");
    with("\"rye-80\"");
    cr_assert_str_eq(json_code(&object, "v", JSON_REQUIRED), "rye-80");
    done(NULL);
    with("\"Rye 80\"");
    cr_assert_null(json_code(&object, "v", JSON_REQUIRED));
    done("must be a code of 1 to 63 lower-case letters, digits and hyphens");
    with("true");
    cr_assert(json_bool(&object, "v", JSON_REQUIRED, false));
    done(NULL);
    with("false");
    cr_assert_not(json_bool(&object, "v", JSON_REQUIRED, true));
    done(NULL);
    with("0");
    cr_assert(json_bool(&object, "v", JSON_REQUIRED, true));
    done("must be true or false");
}

/* --- numbers --- */

static const int64_t otherwise = -4711;

static void whole_is(const char *value, int64_t expected)
{
    with(value);
    int64_t number = json_whole(&object, "v", JSON_REQUIRED, -10, 1000000, otherwise);
    cr_assert_eq(number, expected, "%s gave %lld", value, (long long)number);
    done(expected == otherwise ? "must be a whole number from -10 to 1000000" : NULL);
}

Test(value, whole_numbers)
{
    whole_is("1", 1);
    whole_is("-10", -10);
    whole_is("1000000", 1000000);
    whole_is("2.0", 2);
    whole_is("1e2", 100);
    whole_is("1.5e1", 15);
    whole_is("-0", 0);
    whole_is("-0.0", 0);
    whole_is("2.5", otherwise);
    whole_is("-11", otherwise);
    whole_is("1000001", otherwise);
    whole_is("1e300", otherwise);
    whole_is("1e-3", otherwise);
    whole_is("1.00000000000001", otherwise);
    whole_is("9223372036854775807", otherwise);
    whole_is("\"1\"", otherwise);
    whole_is("true", otherwise);
    whole_is("[]", otherwise);
}

Test(value, whole_numbers_of_every_size)
{
    with("9223372036854775807");
    cr_assert_eq(json_whole(&object, "v", JSON_REQUIRED, 0, INT64_MAX, 0), INT64_MAX);
    done(NULL);
    with("-9223372036854775808");
    cr_assert_eq(json_whole(&object, "v", JSON_REQUIRED, INT64_MIN, 0, 0), INT64_MIN);
    done(NULL);
    with("5000000000");
    cr_assert_eq(json_whole(&object, "v", JSON_REQUIRED, 0, INT64_MAX, 0), INT64_C(5000000000));
    done(NULL);
}

/* A percentage from 0 to 100. */
static void percent_is(const char *value, int64_t expected, const char *words)
{
    with(value);
    int64_t number = json_decimal(&object, "v", JSON_REQUIRED, PERCENT_PLACES, 0, 1000000,
                                  otherwise);
    cr_assert_eq(number, expected, "%s gave %lld", value, (long long)number);
    done(words);
}

Test(value, decimals)
{
    percent_is("68", 680000, NULL);
    percent_is("68.5", 685000, NULL);
    percent_is("1.10", 11000, NULL);
    percent_is("0.0001", 1, NULL);
    percent_is("100", 1000000, NULL);
    percent_is("1e2", 1000000, NULL);
    percent_is("100.0", 1000000, NULL);
    percent_is("0", 0, NULL);
    percent_is("-0.0", 0, NULL);
    percent_is("\"68.5\"", 685000, NULL);
    percent_is("\"99.9999\"", 999999, NULL);
    percent_is("\"100.00000000\"", 1000000, NULL);
}

Test(value, decimals_out_of_range)
{
    static const char *const range = "must be a number from 0 to 100 with at most 4 decimals";
    percent_is("100.0001", otherwise, range);
    percent_is("-0.0001", otherwise, range);
    percent_is("1e30", otherwise, range);
    percent_is("9223372036854775807", otherwise, range);
    percent_is("\"-1\"", otherwise, range);
    percent_is("\"99999999999999999999999999999\"", otherwise, range);
    percent_is("\"\"", otherwise, range);
    percent_is("\"12,5\"", otherwise, range);
    percent_is("\"1e1\"", otherwise, range);
    percent_is("\"NaN\"", otherwise, range);
    percent_is("\" 1\"", otherwise, range);
    percent_is("true", otherwise, range);
    percent_is("{}", otherwise, range);
}

Test(value, decimals_that_are_too_precise)
{
    percent_is("0.00001", otherwise, "must have at most 4 decimals");
    percent_is("68.12345", otherwise, "must have at most 4 decimals");
    percent_is("\"68.12345\"", otherwise, "must have at most 4 decimals");
    percent_is("1e-10", otherwise, "must have at most 4 decimals");
    percent_is("1e-310", otherwise, "must have at most 4 decimals");
    percent_is("0.30000000000000004", otherwise, "must have at most 4 decimals");
}

/* Every stored number of up to 15 digits comes back from its JSON number exactly. */
Test(value, json_numbers_are_exact_to_15_digits)
{
    uint64_t state = 88172645463325252u;
    for (int i = 0; i < 5000; i++) {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        int64_t stored = (int64_t)(state % 1000000000000000u) >> (i % 40);
        char text[DECIMAL_TEXT_SIZE];
        decimal_print(text, stored, WEIGHT_PLACES, i % 4);
        with(text);
        int64_t number = json_decimal(&object, "v", JSON_REQUIRED, WEIGHT_PLACES, 0, INT64_MAX,
                                      otherwise);
        cr_assert_eq(number, stored, "%s gave %lld", text, (long long)number);
        done(NULL);
    }
}

/* With more digits a number might silently be another: it is refused, as text it is taken. */
Test(value, longer_numbers_are_refused_rather_than_changed)
{
    with("9007199254740.993");
    json_decimal(&object, "v", JSON_REQUIRED, WEIGHT_PLACES, 0, INT64_MAX, otherwise);
    done("unless sent as text, at most 15 digits");
    with("\"9007199254740.993\"");
    cr_assert_eq(json_decimal(&object, "v", JSON_REQUIRED, WEIGHT_PLACES, 0, INT64_MAX, otherwise),
                 INT64_C(9007199254740993));
    done(NULL);
}

static void money_is(const char *value, int64_t expected, const char *words)
{
    with(value);
    int64_t number = json_money(&object, "v", JSON_REQUIRED, 0, INT64_C(1000000000000), otherwise);
    cr_assert_eq(number, expected, "%s gave %lld", value, (long long)number);
    done(words);
}

Test(value, money)
{
    static const char *const range =
        "must be an amount in text, such as \"3.45\", from 0 to 1000000 with at most 6 decimals";
    money_is("\"3.45\"", 3450000, NULL);
    money_is("\"18.40\"", 18400000, NULL);
    money_is("\"0.000001\"", 1, NULL);
    money_is("\"1000000\"", INT64_C(1000000000000), NULL);
    money_is("3.45", otherwise, range);
    money_is("3", otherwise, range);
    money_is("\"1000000.000001\"", otherwise, range);
    money_is("\"-0.01\"", otherwise, range);
    money_is("\"3,45\"", otherwise, range);
    money_is("\"$3\"", otherwise, range);
    money_is("\"1e2\"", otherwise, range);
    money_is("\"0.0000001\"", otherwise, "must have at most 6 decimals");
}

/* --- dates and clock times --- */

Test(value, dates_and_clock_times)
{
    date day = 4711;
    with("\"2024-02-29\"");
    cr_assert(json_date(&object, "v", JSON_REQUIRED, &day));
    cr_assert_eq(day, date_from_civil(2024, 2, 29));
    done(NULL);
    static const char *const bad[] = {"\"tomorrow\"", "\"2023-02-29\"", "20240229", "\"\"", "[]"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        with(bad[i]);
        cr_assert_not(json_date(&object, "v", JSON_OPTIONAL, &day));
        done("must be a day of the calendar as YYYY-MM-DD, from 1900-01-01 to 9999-12-31");
    }
    cr_assert_eq(day, date_from_civil(2024, 2, 29));

    int minutes = NO_CLOCK;
    with("\"06:30\"");
    cr_assert(json_clock(&object, "v", JSON_REQUIRED, &minutes));
    cr_assert_eq(minutes, 390);
    done(NULL);
    static const char *const wrong[] = {"\"24:00\"", "\"6:30\"", "390", "\"\""};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        with(wrong[i]);
        cr_assert_not(json_clock(&object, "v", JSON_OPTIONAL, &minutes));
        done("must be a time of day as HH:MM, from 00:00 to 23:59");
    }
    cr_assert_eq(minutes, 390);
}

Test(value, what_is_absent_gives_its_default)
{
    body_open(&body, "{}");
    json_object_open(&object, body.root);
    date day = 4711;
    int minutes = 4711;
    cr_assert_null(json_text(&object, "a", JSON_OPTIONAL, 5));
    cr_assert_null(json_name(&object, "b", JSON_OPTIONAL));
    cr_assert_null(json_code(&object, "c", JSON_OPTIONAL));
    cr_assert_eq(json_word(&object, "d", JSON_OPTIONAL, bases, 1), 1);
    cr_assert(json_bool(&object, "e", JSON_OPTIONAL, true));
    cr_assert_eq(json_whole(&object, "f", JSON_OPTIONAL, 0, 1, 77), 77);
    cr_assert_eq(json_decimal(&object, "g", JSON_OPTIONAL, 3, 0, 1, 78), 78);
    cr_assert_eq(json_money(&object, "h", JSON_OPTIONAL, 0, 1, 79), 79);
    cr_assert_not(json_date(&object, "i", JSON_OPTIONAL, &day));
    cr_assert_not(json_clock(&object, "j", JSON_OPTIONAL, &minutes));
    cr_assert_eq(day, 4711);
    cr_assert_eq(minutes, 4711);
    done(NULL);
}
