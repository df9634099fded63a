/* The list of faults: what it keeps, which fault decides, and short memory. */
#include "base/fail.h"

#include "base/arena.h"

#include <criterion/criterion.h>

#include <stdio.h>
#include <string.h>

TestSuite(fail, .timeout = 20);

static struct arena *arena;
static struct fails fails;

static void begin(void)
{
    arena = arena_new(0);
    fails_init(&fails, arena);
}

static void end(void)
{
    arena_free(arena);
}

Test(fail, collects_in_order, .init = begin, .fini = end)
{
    cr_assert_not(fails_any(&fails));
    cr_assert_eq(fails_code(&fails), FAIL_NONE);
    char path[] = "/lines/2/pct";
    cr_assert_not(fail_add(&fails, FAIL_INVALID, path, "must be %d or more", 0));
    path[1] = 'x';
    cr_assert_not(fail_add(&fails, FAIL_INVALID, "", "and so on"));
    cr_assert(fails_any(&fails));
    cr_assert_eq(fails.count, 2);
    cr_assert_eq(fails.found, 2);
    cr_assert_str_eq(fails.items[0].path, "/lines/2/pct", "the path is a copy");
    cr_assert_str_eq(fails.items[0].text, "must be 0 or more");
    cr_assert_str_eq(fails.items[1].path, "");
}

Test(fail, the_gravest_decides, .init = begin, .fini = end)
{
    fail_add(&fails, FAIL_INVALID, "/a", "a");
    fail_add(&fails, FAIL_UNAVAILABLE, "", "b");
    fail_add(&fails, FAIL_NOT_FOUND, "", "c");
    cr_assert_eq(fails_code(&fails), FAIL_UNAVAILABLE);
}

Test(fail, counts_what_it_does_not_keep, .init = begin, .fini = end)
{
    for (int i = 0; i < FAILS_MAX + 50; i++)
        fail_add(&fails, FAIL_INVALID, "/a", "fault %d", i);
    cr_assert_eq(fails.count, FAILS_MAX);
    cr_assert_eq(fails.found, FAILS_MAX + 50);
    cr_assert_str_eq(fails.items[FAILS_MAX - 1].text, "fault 99");
}

Test(fail, a_full_list_still_keeps_a_graver_fault, .init = begin, .fini = end)
{
    for (int i = 0; i < FAILS_MAX; i++)
        fail_add(&fails, FAIL_INVALID, "/a", "fault %d", i);
    fail_add(&fails, FAIL_UNAVAILABLE, "", "the database is away");
    cr_assert_eq(fails_code(&fails), FAIL_UNAVAILABLE);
    fail_add(&fails, FAIL_INVALID, "/b", "one more");
    cr_assert_eq(fails_code(&fails), FAIL_UNAVAILABLE);
    cr_assert_eq(fails.count, FAILS_MAX);
    cr_assert_eq(fails.found, FAILS_MAX + 2);
}

Test(fail, reset_forgets_what_came_later, .init = begin, .fini = end)
{
    fail_add(&fails, FAIL_INVALID, "/a", "a");
    size_t noted = fails.count;
    fail_add(&fails, FAIL_CONFLICT, "/b", "b");
    fail_add(&fails, FAIL_CONFLICT, "/c", "c");
    fails_reset(&fails, noted);
    cr_assert_eq(fails.count, 1);
    cr_assert_eq(fails.found, 1);
    cr_assert_eq(fails_code(&fails), FAIL_INVALID);
    fails_reset(&fails, 5);
    cr_assert_eq(fails.count, 1, "a count to come is not taken");
    fails_reset(&fails, 0);
    cr_assert_not(fails_any(&fails));
}

/* A fault has two copies to make; when either fails, memory is the fault. */
Test(fail, short_memory_becomes_unavailable, .init = begin, .fini = end)
{
    for (long n = 1; n <= 2; n++) {
        fails_reset(&fails, 0);
        arena_fail_nth(n);
        cr_assert_not(fail_add(&fails, FAIL_INVALID, "/a", "a"));
        cr_assert_eq(fails.count, 1);
        cr_assert_eq(fails.items[0].code, FAIL_UNAVAILABLE, "allocation %ld", n);
        cr_assert_str_eq(fails.items[0].path, "");
        cr_assert_gt(strlen(fails.items[0].text), 10u);
    }
    fails_reset(&fails, 0);
    cr_assert_not(fail_memory(&fails));
    cr_assert_eq(fails_code(&fails), FAIL_UNAVAILABLE);
}

Test(fail, pointers_are_escaped, .init = begin, .fini = end)
{
    cr_assert_str_eq(pointer_member(arena, "", "date"), "/date");
    cr_assert_str_eq(pointer_member(arena, "/lines/0", "a/b~c"), "/lines/0/a~1b~0c");
    cr_assert_str_eq(pointer_member(arena, "", ""), "/");
    cr_assert_str_eq(pointer_member(arena, "", "~1"), "/~01");
    cr_assert_str_eq(pointer_index(arena, "/lines", 12), "/lines/12");
    arena_fail_nth(1);
    cr_assert_str_eq(pointer_member(arena, "/a", "b"), "");
    arena_fail_nth(1);
    cr_assert_str_eq(pointer_index(arena, "/a", 1), "");
}
