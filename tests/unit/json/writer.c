/* The writer: exact bytes for every kind of value, and that a half answer is never a whole one. */
#include "json/writer.h"

#include "base/arena.h"
#include "base/zone.h"
#include "body.h"

TestSuite(writer, .timeout = 20);

static struct arena *arena;
static struct text text;
static struct json_writer writer;

static void begin(void)
{
    arena = arena_new(0);
    text_init(&text, arena, 1000000);
    json_writer_init(&writer, &text);
}

static void end(void)
{
    arena_free(arena);
}

Test(writer, objects_and_lists, .init = begin, .fini = end)
{
    json_open_object(&writer, NULL);
    json_open_list(&writer, "empty");
    json_close(&writer);
    json_open_object(&writer, "nothing");
    json_close(&writer);
    json_open_list(&writer, "items");
    json_put_whole(&writer, NULL, 1);
    json_open_object(&writer, NULL);
    json_put_bool(&writer, "a", true);
    json_put_bool(&writer, "b", false);
    json_close(&writer);
    json_open_list(&writer, NULL);
    json_put_null(&writer, NULL);
    json_put_null(&writer, NULL);
    json_close(&writer);
    json_close(&writer);
    json_put_null(&writer, "next");
    json_close(&writer);
    cr_assert(text_ok(&text));
    cr_assert_str_eq(text.data,
                     "{\"empty\":[],\"nothing\":{},\"items\":[1,{\"a\":true,\"b\":false},"
                     "[null,null]],\"next\":null}");
}

Test(writer, numbers_are_exact, .init = begin, .fini = end)
{
    json_open_list(&writer, NULL);
    json_put_whole(&writer, NULL, INT64_MIN);
    json_put_whole(&writer, NULL, INT64_MAX);
    json_put_whole(&writer, NULL, 0);
    json_put_decimal(&writer, NULL, 1100, 3);
    json_put_decimal(&writer, NULL, 1000, 3);
    json_put_decimal(&writer, NULL, -1, 4);
    json_put_decimal(&writer, NULL, INT64_MAX, 3);
    json_put_decimal(&writer, NULL, 0, 3);
    json_put_money(&writer, NULL, 3450000, 2);
    json_put_money(&writer, NULL, 3000000, 2);
    json_put_money(&writer, NULL, 3456789, 2);
    json_put_money(&writer, NULL, 500000000, 0);
    json_put_money(&writer, NULL, -10000, 2);
    json_close(&writer);
    cr_assert_str_eq(text.data,
                     "[-9223372036854775808,9223372036854775807,0,1.1,1,-0.0001,"
                     "9223372036854775.807,0,\"3.45\",\"3.00\",\"3.456789\",\"500\",\"-0.01\"]");
}

Test(writer, every_control_character_is_escaped, .init = begin, .fini = end)
{
    char controls[33];
    for (int i = 1; i <= 32; i++)
        controls[i - 1] = (char)i;
    controls[32] = '\0';
    json_put_text(&writer, NULL, controls);
    cr_assert_str_eq(text.data,
                     "\"\\u0001\\u0002\\u0003\\u0004\\u0005\\u0006\\u0007\\b\\t\\n\\u000b\\f\\r"
                     "\\u000e\\u000f\\u0010\\u0011\\u0012\\u0013\\u0014\\u0015\\u0016\\u0017\\u0018"
                     "\\u0019\\u001a\\u001b\\u001c\\u001d\\u001e\\u001f \"");
}

static void writes(const char *value, const char *expected)
{
    begin();
    json_put_text(&writer, NULL, value);
    cr_assert(text_ok(&text));
    cr_assert_str_eq(text.data, expected);
    end();
}

Test(writer, texts)
{
    writes(NULL, "null");
    writes("", "\"\"");
    writes("plain", "\"plain\"");
    writes("a \"b\" \\ c/d", "\"a \\\"b\\\" \\\\ c/d\"");
    writes("\x7f", "\"\x7f\"");
    writes("\xc3\xa4\xe2\x82\xac\xf0\x9f\x8d\x9e", "\"\xc3\xa4\xe2\x82\xac\xf0\x9f\x8d\x9e\"");
}

Test(writer, bytes_that_are_not_utf8_are_replaced)
{
    writes(
        "a\xff"
        "b",
        "\"a\\ufffdb\"");
    writes("\xc3", "\"\\ufffd\"");
    writes("\xe2\x82", "\"\\ufffd\\ufffd\"");
    writes("\xc0\xaf", "\"\\ufffd\\ufffd\"");
    writes("\xe0\x80\x80", "\"\\ufffd\\ufffd\\ufffd\"");
    writes("\xed\xa0\x80", "\"\\ufffd\\ufffd\\ufffd\"");
    writes("\xf4\x90\x80\x80", "\"\\ufffd\\ufffd\\ufffd\\ufffd\"");
    writes("\xf4\x8f\xbf\xbf", "\"\xf4\x8f\xbf\xbf\"");
    writes("\xf5\x80\x80\x80", "\"\\ufffd\\ufffd\\ufffd\\ufffd\"");
    writes("\x80", "\"\\ufffd\"");
    writes("\xc3\"", "\"\\ufffd\\\"\"");
}

/* Whatever bytes a text has, the reader parses what the writer wrote. */
Test(writer, any_bytes_make_valid_json)
{
    uint64_t state = 88172645463325252u;
    for (int i = 0; i < 20000; i++) {
        char bytes[17];
        for (size_t j = 0; j < sizeof bytes; j++) {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            bytes[j] = (char)(state >> 20);
        }
        bytes[16] = '\0';
        begin();
        json_put_text(&writer, NULL, bytes);
        struct body body;
        body_open(&body, text.data);
        cr_assert(body.parsed, "%s", text.data);
        body_close(&body);
        end();
    }
}

Test(writer, dates_clock_times_and_instants, .init = begin, .fini = end)
{
    const struct zone *zone = zone_load(arena, "Europe/London");
    cr_assert_not_null(zone);
    json_open_object(&writer, NULL);
    json_put_date(&writer, "date", date_from_civil(2027, 3, 28));
    json_put_clock(&writer, "ready_at", 390);
    json_put_clock(&writer, "unset", NO_CLOCK);
    json_put_instant(&writer, "winter", 1806191999, zone);
    json_put_instant(&writer, "summer", 1806195600, zone);
    json_put_raw(&writer, "print", "{\"number\":1}");
    json_put_raw(&writer, "none", NULL);
    json_close(&writer);
    cr_assert_str_eq(text.data,
                     "{\"date\":\"2027-03-28\",\"ready_at\":\"06:30\",\"unset\":null,"
                     "\"winter\":\"2027-03-27T23:59:59+00:00\","
                     "\"summer\":\"2027-03-28T02:00:00+01:00\","
                     "\"print\":{\"number\":1},\"none\":null}");
}

Test(writer, depth_has_an_end, .init = begin, .fini = end)
{
    for (int i = 0; i < JSON_DEPTH_MAX; i++)
        json_open_list(&writer, NULL);
    cr_assert(text_ok(&text));
    json_open_object(&writer, NULL);
    cr_assert_not(text_ok(&text));
}

Test(writer, closing_too_often_is_a_failure, .init = begin, .fini = end)
{
    json_open_object(&writer, NULL);
    json_close(&writer);
    cr_assert(text_ok(&text));
    json_close(&writer);
    cr_assert_not(text_ok(&text));
}

Test(writer, the_cap_and_short_memory_are_failures, .init = begin, .fini = end)
{
    text_init(&text, arena, 10);
    json_open_object(&writer, NULL);
    json_put_text(&writer, "name", "a long name");
    json_close(&writer);
    cr_assert_not(text_ok(&text));
    text_init(&text, arena, 10000);
    json_writer_init(&writer, &text);
    arena_fail_nth(1);
    json_open_object(&writer, NULL);
    json_close(&writer);
    cr_assert_not(text_ok(&text));
}
