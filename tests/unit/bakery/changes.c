/* What has changed since a print. */
#include "bakery/changes.h"

#include "base/arena.h"

#include <criterion/criterion.h>

TestSuite(changes, .timeout = 30);

#define AMOUNTS(list) ((struct amounts){(list), sizeof(list) / sizeof(list)[0]})

Test(changes, more_less_new_and_gone)
{
    struct amount before[] = {
        {2, "rye", "Rye", 10}, {1, "rye", "Rye", 5}, {1, "bun", "Bun", 60}, {1, "tin", "Tin", 7}};
    struct amount now[] = {
        {1, "bun", "Bun", 72}, {1, "tin", "Tin", 7}, {2, "rye", "Rye", 4}, {1, "pie", "Pie", 3}};
    struct amounts old = AMOUNTS(before), new = AMOUNTS(now);
    static const struct change expected[] = {{1, "bun", "Bun", 60, 72},
                                             {1, "pie", "Pie", 0, 3},
                                             {1, "rye", "Rye", 5, 0},
                                             {2, "rye", "Rye", 10, 4}};
    struct arena *arena = arena_new(0);
    struct change *changes;
    size_t count;
    cr_assert(changes_of(arena, &old, &new, &changes, &count));
    cr_assert_eq(count, sizeof expected / sizeof expected[0]);
    for (size_t i = 0; i < count; i++) {
        cr_expect_eq(changes[i].day, expected[i].day);
        cr_expect_str_eq(changes[i].code, expected[i].code);
        cr_expect_str_eq(changes[i].name, expected[i].name);
        cr_expect_eq(changes[i].before, expected[i].before);
        cr_expect_eq(changes[i].now, expected[i].now);
    }
    arena_free(arena);
}

Test(changes, of_nothing)
{
    struct arena *arena = arena_new(0);
    struct amounts old = {0}, new = {0};
    struct change *changes;
    size_t count = 9;
    cr_assert(changes_of(arena, &old, &new, &changes, &count));
    cr_expect_eq(count, 0);
    arena_fail_nth(1);
    cr_expect_not(changes_of(arena, &old, &new, &changes, &count));
    arena_fail_nth(0);
    arena_free(arena);
}
