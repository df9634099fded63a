/* The arena: alignment, zeroing, the limit, disposals, and allocations that are made to fail. */
#include "base/arena.h"

#include <criterion/criterion.h>

#include <stdalign.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#if defined(__SANITIZE_ADDRESS__)
#define WITH_SANITIZER 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define WITH_SANITIZER 1
#endif
#endif
#ifdef WITH_SANITIZER
#include <sanitizer/asan_interface.h>
#endif

TestSuite(arena, .timeout = 20);

Test(arena, memory_is_zeroed_aligned_and_apart)
{
    struct arena *arena = arena_new(0);
    unsigned char *before = NULL;
    for (size_t size = 0; size < 700; size++) {
        unsigned char *memory = arena_alloc(arena, size);
        cr_assert_not_null(memory);
        cr_assert_eq((uintptr_t)memory % alignof(max_align_t), 0);
        for (size_t i = 0; i < size; i++)
            cr_assert_eq(memory[i], 0, "byte %zu of %zu", i, size);
        memset(memory, 0xff, size);
        cr_assert_neq(memory, before);
        before = memory;
    }
    arena_free(arena);
}

#ifdef WITH_SANITIZER
/* Writing past an allocation is found although the next one follows in the same chunk. */
Test(arena, the_sanitizer_watches_the_gap_between_allocations)
{
    struct arena *arena = arena_new(0);
    char *one = arena_alloc(arena, 16);
    for (size_t size = 1; size < 100; size++) {
        char *other = arena_alloc(arena, size);
        cr_assert_not(__asan_address_is_poisoned(other), "size %zu", size);
        cr_assert_not(__asan_address_is_poisoned(other + size - 1), "size %zu", size);
        cr_assert(__asan_address_is_poisoned(one + (size > 1 ? size - 1 : 16)), "size %zu", size);
        one = other;
    }
    arena_free(arena);
}
#endif

Test(arena, contents_survive_many_chunks)
{
    struct arena *arena = arena_new(0);
    char **copies = arena_array(arena, 20000, sizeof *copies);
    for (size_t i = 0; i < 20000; i++)
        copies[i] = arena_printf(arena, "line %zu", i);
    for (size_t i = 0; i < 20000; i++) {
        cr_assert_eq(strtoul(copies[i] + 5, NULL, 10), i);
    }
    arena_free(arena);
}

Test(arena, a_large_allocation_leaves_the_small_chunk_in_use)
{
    struct arena *arena = arena_new(0);
    char *first = arena_alloc(arena, 16);
    char *large = arena_alloc(arena, 5000000);
    char *second = arena_alloc(arena, 16);
    cr_assert_not_null(large);
    large[4999999] = 'x';
    cr_assert_lt((uintptr_t)(second - first), 4096u);
    arena_free(arena);
}

Test(arena, the_limit_holds_and_its_failure_is_remembered)
{
    struct arena *arena = arena_new(1000);
    cr_assert_not_null(arena_alloc(arena, 300));
    cr_assert_not_null(arena_alloc(arena, 300));
    cr_assert_not(arena_failed(arena));
    cr_assert_null(arena_alloc(arena, 900));
    cr_assert(arena_failed(arena));
    cr_assert_not_null(arena_alloc(arena, 100), "what still fits is still given");
    cr_assert(arena_failed(arena), "the failure is not forgotten");
    arena_free(arena);
}

Test(arena, the_limit_counts_all_chunks)
{
    struct arena *arena = arena_new(100000);
    size_t given = 0;
    while (arena_alloc(arena, 1000) != NULL)
        given += 1000;
    cr_assert_leq(given, 100000u);
    cr_assert_geq(given, 80000u);
    arena_free(arena);
}

Test(arena, sizes_that_overflow_are_refused)
{
    struct arena *arena = arena_new(0);
    cr_assert_null(arena_array(arena, SIZE_MAX / 2, 3));
    cr_assert(arena_failed(arena));
    arena_free(arena);
    arena = arena_new(0);
    cr_assert_null(arena_alloc(arena, SIZE_MAX));
    cr_assert_null(arena_copy_n(arena, "", SIZE_MAX));
    cr_assert(arena_failed(arena));
    arena_free(arena);
}

Test(arena, copies_are_terminated)
{
    struct arena *arena = arena_new(0);
    char source[] = "rye and spelt";
    char *copy = arena_copy(arena, source);
    char *part = arena_copy_n(arena, source, 3);
    source[0] = 'x';
    cr_assert_str_eq(copy, "rye and spelt");
    cr_assert_str_eq(part, "rye");
    cr_assert_str_eq(arena_copy_n(arena, "", 0), "");
    cr_assert_str_eq(arena_printf(arena, "%s/%d", "lines", 12), "lines/12");
    arena_free(arena);
}

/* --- disposals --- */

static char disposed[8];

static void note(void *what)
{
    strncat(disposed, what, 1);
}

static struct arena *reopened;

static void note_and_defer(void *what)
{
    note(what);
    arena_defer(reopened, note, "z");
}

Test(arena, disposals_run_once_last_first)
{
    struct arena *arena = arena_new(0);
    cr_assert(arena_defer(arena, note, "a"));
    cr_assert(arena_defer(arena, note, "b"));
    cr_assert(arena_defer(arena, note, "c"));
    cr_assert_str_eq(disposed, "");
    arena_free(arena);
    cr_assert_str_eq(disposed, "cba");
}

Test(arena, a_disposal_may_defer_another)
{
    reopened = arena_new(0);
    arena_defer(reopened, note, "a");
    arena_defer(reopened, note_and_defer, "b");
    arena_free(reopened);
    cr_assert_str_eq(disposed, "bza");
}

Test(arena, a_disposal_that_cannot_be_remembered_runs_at_once)
{
    struct arena *arena = arena_new(0);
    arena_fail_nth(1);
    cr_assert_not(arena_defer(arena, note, "a"));
    cr_assert_str_eq(disposed, "a");
    cr_assert(arena_failed(arena));
    arena_free(arena);
    cr_assert_str_eq(disposed, "a", "and only once");
}

/* --- failing on demand --- */

Test(arena, the_nth_allocation_fails_once)
{
    struct arena *arena = arena_new(0);
    arena_fail_nth(3);
    cr_assert_not_null(arena_alloc(arena, 1));
    cr_assert_not_null(arena_copy(arena, "x"));
    cr_assert_null(arena_printf(arena, "%d", 1));
    cr_assert(arena_failed(arena));
    cr_assert_not_null(arena_alloc(arena, 1));
    arena_fail_nth(1);
    arena_fail_nth(0);
    cr_assert_not_null(arena_alloc(arena, 1));
    arena_free(arena);
}

Test(arena, the_arena_itself_and_other_allocators_are_counted)
{
    arena_fail_nth(1);
    cr_assert_null(arena_new(0));
    struct arena *arena = arena_new(0);
    cr_assert_not_null(arena);
    arena_fail_nth(2);
    cr_assert_not(arena_fail_now());
    cr_assert(arena_fail_now());
    cr_assert_not(arena_fail_now());
    arena_free(arena);
    arena_free(NULL);
}
