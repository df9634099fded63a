/* Memory that lives as long as one request.
 *
 * Everything that a request needs is taken from its arena and given back at once when the request
 * is complete: no free() on any path, so no leak on any path. What an arena cannot own (a PGresult,
 * a json_t) registers its disposal with arena_defer(). A failed allocation is sticky: the arena
 * remembers it, so that a caller may build a whole answer and ask once (arena_failed).
 */
#ifndef MORROWLOAF_BASE_ARENA_H
#define MORROWLOAF_BASE_ARENA_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

struct arena;

/* An empty arena that will never hold more than limit bytes (0: no limit of its own).
 * NULL when memory is short. Caller frees with arena_free(). */
struct arena *arena_new(size_t limit);

/* Runs the deferred disposals, last first, then frees everything. NULL is allowed. */
void arena_free(struct arena *arena);

/* size bytes, zeroed, aligned for any object; size 0 gives a valid pointer. NULL when memory or the
 * limit is exhausted, which arena_failed() then remembers. Owned by the arena. */
void *arena_alloc(struct arena *arena, size_t size);

/* arena_alloc(count * size) with the product checked for overflow. */
void *arena_array(struct arena *arena, size_t count, size_t size);

/* Copies, NUL-terminated, owned by the arena; NULL when memory is short. */
char *arena_copy(struct arena *arena, const char *text);
char *arena_copy_n(struct arena *arena, const char *text, size_t length);
char *arena_printf(struct arena *arena, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
char *arena_vprintf(struct arena *arena, const char *format, va_list args);

/* Calls dispose(what) when the arena is freed. When that cannot be remembered, disposes at once and
 * returns false: the caller never has anything left to free. */
bool arena_defer(struct arena *arena, void (*dispose)(void *what), void *what);

/* Whether any allocation of this arena has failed. */
bool arena_failed(const struct arena *arena);

/* Tests only: the n-th allocation of this thread from now on fails (1: the next), once. 0 switches
 * it off. Counted are arena_new(), every allocation of an arena (whether or not it needs a new
 * chunk), and those of others that ask arena_fail_now(). */
void arena_fail_nth(long n);

/* For allocators that are not arenas but must fail along with them (Jansson's): counts one
 * allocation; true when it is the one that has to fail. */
bool arena_fail_now(void);

#endif
