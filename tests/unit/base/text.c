/* The growing text: always terminated, never over its cap, failing for good. */
#include "base/text.h"

#include "base/arena.h"

#include <criterion/criterion.h>

#include <string.h>

TestSuite(text, .timeout = 20);

Test(text, is_a_string_from_the_start)
{
    struct arena *arena = arena_new(0);
    struct text text;
    text_init(&text, arena, 100);
    cr_assert_str_eq(text.data, "");
    text_add_string(&text, "");
    cr_assert_str_eq(text.data, "");
    text_add_char(&text, 'a');
    text_add(&text, "bcd", 2);
    text_addf(&text, "-%d-%s", 17, "x");
    text_addf(&text, "%s", "");
    cr_assert_str_eq(text.data, "abc-17-x");
    cr_assert_eq(text.length, 8);
    cr_assert(text_ok(&text));
    arena_free(arena);
}

Test(text, grows_over_many_additions)
{
    struct arena *arena = arena_new(0);
    struct text text;
    text_init(&text, arena, 1000000);
    for (int i = 0; i < 100000; i++) {
        text_add_char(&text, (char)('a' + i % 26));
        cr_assert_eq(text.data[text.length], '\0');
    }
    cr_assert(text_ok(&text));
    cr_assert_eq(text.length, 100000);
    for (int i = 0; i < 100000; i++)
        cr_assert_eq(text.data[i], 'a' + i % 26, "byte %d", i);
    arena_free(arena);
}

Test(text, may_be_exactly_as_long_as_its_cap)
{
    struct arena *arena = arena_new(0);
    struct text text;
    text_init(&text, arena, 8);
    text_add_string(&text, "12345678");
    cr_assert(text_ok(&text));
    cr_assert_str_eq(text.data, "12345678");
    text_add_char(&text, '9');
    cr_assert_not(text_ok(&text));
    cr_assert_str_eq(text.data, "12345678");
    arena_free(arena);
}

Test(text, stays_failed)
{
    struct arena *arena = arena_new(0);
    struct text text;
    text_init(&text, arena, 8);
    text_add_string(&text, "1234");
    text_addf(&text, "%s", "56789");
    cr_assert_not(text_ok(&text));
    text_add_char(&text, 'x');
    cr_assert_str_eq(text.data, "1234", "what does not fit is not begun, and nothing follows it");
    arena_free(arena);
}

Test(text, short_memory_is_a_failure)
{
    struct arena *arena = arena_new(0);
    struct text text;
    text_init(&text, arena, 100000);
    arena_fail_nth(1);
    text_add_string(&text, "abc");
    cr_assert_not(text_ok(&text));
    cr_assert_str_eq(text.data, "");

    text_init(&text, arena, 100000);
    text_add_string(&text, "abc");
    char many[5000];
    memset(many, 'm', sizeof many);
    arena_fail_nth(1);
    text_add(&text, many, sizeof many);
    cr_assert_not(text_ok(&text));
    cr_assert_str_eq(text.data, "abc");
    arena_free(arena);
}
