/* Parsing: what the parser refuses and how it says so, sizes and depths, and texts given back. */
#include "body.h"

#include <stdio.h>
#include <stdlib.h>

TestSuite(parse, .timeout = 60);

static void refuses_bytes(const char *text, size_t length, const char *words)
{
    struct body body;
    body.arena = arena_new(0);
    fails_init(&body.fails, body.arena);
    cr_assert_not(json_parse(body.arena, &body.fails, text, length, &body.root), "%s", text);
    cr_assert_eq(body.fails.count, 1);
    cr_assert_eq(body.fails.items[0].code, FAIL_MALFORMED, "%s", text);
    expect_fault(&body, "", words);
    cr_assert_null(body.root.value);
    body_close(&body);
}

static void refuses(const char *text, const char *words)
{
    refuses_bytes(text, strlen(text), words);
}

Test(parse, refuses_what_is_not_json)
{
    refuses("", "ends before its value is complete");
    refuses("   ", "ends before its value is complete");
    refuses("{", "ends before");
    refuses("{\"a\":1", "ends before");
    refuses("{\"a\" 1}", "is not JSON");
    refuses("{'a':1}", "is not JSON");
    refuses("{\"a\":1,}", "is not JSON");
    refuses("[1,]", "is not JSON");
    refuses("[01]", "is not JSON");
    refuses("[+1]", "is not JSON");
    refuses("[.5]", "is not JSON");
    refuses("[1.]", "is not JSON");
    refuses("[NaN]", "is not JSON");
    refuses("[Infinity]", "is not JSON");
    refuses("[-Infinity]", "is not JSON");
    refuses("{} {}", "something follows");
    refuses("{}x", "something follows");
    refuses("[\"a\nb\"]", "is not JSON");
    refuses("\xef\xbb\xbf{}", "is not JSON");
}

Test(parse, refuses_what_no_number_holds)
{
    refuses("{\"a\": 9223372036854775808}", "a number is too large");
    refuses("{\"a\": -9223372036854775809}", "a number is too large");
    refuses("{\"a\": 1e400}", "a number is too large");
    refuses("{\"a\": -1e400}", "a number is too large");
}

Test(parse, refuses_bad_text)
{
    refuses("[\"\xff\"]", "is not UTF-8");
    refuses("[\"\xc3\"]", "is not UTF-8");
    refuses("[\"\xc0\xaf\"]", "is not UTF-8");
    refuses("[\"\xed\xa0\x80\"]", "is not UTF-8");
    refuses("[\"\xf4\x90\x80\x80\"]", "is not UTF-8");
    refuses("[\"\\ud800\"]", "is not JSON");
    refuses("[\"\\u0000\"]", "NUL");
    refuses("{\"a\\u0000b\": 1}", "NUL");
    refuses_bytes("[\"a\0b\"]", 7, "is not JSON");
    refuses_bytes("{}\0", 3, "something follows");
}

Test(parse, refuses_a_member_that_comes_twice)
{
    refuses("{\"a\":1,\"b\":2,\"a\":3}", "the same member twice");
    refuses("{\"lines\":[{\"pct\":1,\"pct\":1}]}", "the same member twice");
    refuses("{\"a\":1,\"\\u0061\":2}", "the same member twice");
}

Test(parse, tells_line_and_column)
{
    refuses("{\n  \"a\": 1,\n  \"b\": x\n}", "is not valid JSON at line 3, column 8: ");
    refuses("[1, 2", "at line 1, column 5: ");
    refuses("", "at line 1, column 0: ");
}

Test(parse, a_body_that_is_not_there_is_incomplete)
{
    refuses_bytes(NULL, 0, "ends before");
}

Test(parse, reading_on_after_a_failure_adds_nothing)
{
    struct body body;
    body_open(&body, "{oops");
    struct json_object object;
    json_object_open(&object, body.root);
    cr_assert_null(json_name(&object, "name", JSON_REQUIRED));
    cr_assert_not(json_object_close(&object));
    cr_assert_eq(body.fails.found, 1);
    cr_assert_eq(fails_code(&body.fails), FAIL_MALFORMED);
    body_close(&body);
}

/* --- large and deep --- */

static char *repeated(const char *unit, size_t count, size_t *length)
{
    size_t size = strlen(unit);
    char *text = malloc(size * count + 1);
    for (size_t i = 0; i < count; i++)
        memcpy(text + i * size, unit, size);
    text[size * count] = '\0';
    *length = size * count;
    return text;
}

Test(parse, deep_nesting_is_refused_not_followed)
{
    static const char *const units[] = {"[", "{\"a\":", "[{\"a\":["};
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        size_t length;
        char *text = repeated(units[i], 500000, &length);
        refuses_bytes(text, length, "nested too deeply");
        free(text);
    }
}

Test(parse, what_is_deep_but_parsed_is_read_and_given_back)
{
    struct body body;
    char text[4001];
    memset(text, '[', 2000);
    memset(text + 2000, ']', 2000);
    text[4000] = '\0';
    body_open(&body, text);
    cr_assert(body.parsed);
    cr_assert_str_eq(json_dump(&body.root), text);
    struct json_object object;
    json_object_open(&object, body.root);
    cr_assert_not(json_object_close(&object));
    expect_fault(&body, "", "must be an object");
    body_close(&body);
}

Test(parse, large_bodies)
{
    struct body body;
    size_t length;
    char *text = repeated("\xc3\xa4", 4000000, &length);
    text[0] = text[length - 1] = '"';
    text[1] = 'x';
    text[length - 2] = 'y';
    body_open(&body, text);
    cr_assert(body.parsed);
    cr_assert_str_eq(json_dump(&body.root), text);
    body_close(&body);
    free(text);

    text = repeated(",1", 1000000, &length);
    text[0] = '[';
    text[length - 2] = ' ';
    text[length - 1] = ']';
    body_open(&body, text);
    cr_assert(body.parsed);
    cr_assert_eq(strlen(json_dump(&body.root)), length - 1);
    body_close(&body);
    free(text);
}

/* Ten thousand unknown members: a hundred faults are kept, the arena does not swell. */
Test(parse, a_body_of_nothing_but_faults)
{
    struct body body = {.arena = arena_new(100000)};
    fails_init(&body.fails, body.arena);
    char *text = malloc(400000);
    size_t length = 0;
    for (int i = 0; i < 10000; i++) {
        length += (size_t)sprintf(text + length, "%c\"unknown-member-%d\":1", i == 0 ? '{' : ',',
                                  i);
    }
    text[length++] = '}';
    cr_assert(json_parse(body.arena, &body.fails, text, length, &body.root));
    struct json_object object;
    json_object_open(&object, body.root);
    cr_assert_not(json_object_close(&object));
    cr_assert_eq(body.fails.found, 10000);
    cr_assert_eq(fails_code(&body.fails), FAIL_INVALID, "not short of memory");
    cr_assert_not(arena_failed(body.arena));
    body_close(&body);
    free(text);
}

/* --- texts given back --- */

static void gives_back(const char *text, const char *expected)
{
    struct body body;
    body_open(&body, text);
    cr_assert(body.parsed, "%s", text);
    cr_assert_str_eq(json_dump(&body.root), expected);
    body_close(&body);
}

Test(parse, gives_back_compact_text_in_the_order_sent)
{
    gives_back(" { \"z\" : 1 , \"a\" : [ 1.10 , 2.0 , true , null ] } ",
               "{\"z\":1,\"a\":[1.1,2.0,true,null]}");
    gives_back("\"a\\u00e4\\n\\u001f\\/\"", "\"a\xc3\xa4\\n\\u001F/\"");
    gives_back("68.1234", "68.1234");
    gives_back("123456789012.345", "123456789012.345");
    gives_back("null", "null");
    gives_back("9223372036854775807", "9223372036854775807");
    struct json_node nothing = {0};
    cr_assert_str_eq(json_dump(&nothing), "null");
}
