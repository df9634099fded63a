/* A chunked bump allocator.
 *
 * Invariants: the first chunk of the list is the one being filled; every byte of a chunk beyond
 * `used` is zero (chunks come from calloc and nothing is ever taken back), so an allocation needs
 * no clearing; `held` is the sum of the sizes of all chunks and never exceeds `limit`. `failed` is
 * never reset.
 *
 * Under the address sanitizer each allocation is followed by a poisoned gap, so that an overflow
 * inside a chunk is found as one outside would be.
 */
#include "base/arena.h"

#include <stdalign.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#if defined(__SANITIZE_ADDRESS__)
#define ARENA_POISON 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define ARENA_POISON 1
#endif
#endif

#ifdef ARENA_POISON
#include <sanitizer/asan_interface.h>
enum { GAP = 16 };
#else
enum { GAP = 0 };
#define ASAN_POISON_MEMORY_REGION(address, size)   ((void)(address), (void)(size))
#define ASAN_UNPOISON_MEMORY_REGION(address, size) ((void)(address), (void)(size))
#endif

enum { ALIGNMENT = alignof(max_align_t), CHUNK_FIRST = 4096, CHUNK_LARGEST = 256 * 1024 };

struct chunk {
    struct chunk *next;
    size_t size; /* of data */
    size_t used;
    alignas(max_align_t) unsigned char data[];
};

struct disposal {
    struct disposal *next;
    void (*dispose)(void *what);
    void *what;
};

struct arena {
    struct chunk *chunks;
    struct disposal *disposals; /* last first */
    size_t limit;               /* SIZE_MAX: none */
    size_t held;
    size_t chunk_size; /* of the next ordinary chunk */
    bool failed;
};

/* Allocations left until one fails; 0: none has to. */
static _Thread_local long fail_countdown;

void arena_fail_nth(long n)
{
    fail_countdown = n;
}

bool arena_fail_now(void)
{
    if (fail_countdown <= 0) return false;
    return --fail_countdown == 0;
}

struct arena *arena_new(size_t limit)
{
    if (arena_fail_now()) return NULL;
    struct arena *arena = calloc(1, sizeof *arena);
    if (arena == NULL) return NULL;
    arena->limit = limit == 0 ? SIZE_MAX : limit;
    arena->chunk_size = CHUNK_FIRST;
    return arena;
}

void arena_free(struct arena *arena)
{
    if (arena == NULL) return;
    /* A disposal may defer another: the list is read anew each time. */
    while (arena->disposals != NULL) {
        struct disposal *first = arena->disposals;
        arena->disposals = first->next;
        first->dispose(first->what);
    }
    while (arena->chunks != NULL) {
        struct chunk *first = arena->chunks;
        arena->chunks = first->next;
        ASAN_UNPOISON_MEMORY_REGION(first->data, first->size);
        free(first);
    }
    free(arena);
}

/* A new chunk with room for at least size bytes, or NULL. An allocation too large for the ordinary
 * chunk gets one of its own behind the first, so that the first is filled further. */
static struct chunk *add_chunk(struct arena *arena, size_t size)
{
    size_t room = arena->limit - arena->held;
    if (size > room || size > SIZE_MAX - sizeof(struct chunk)) return NULL;
    bool ordinary = size <= arena->chunk_size / 2;
    size_t wanted = ordinary ? arena->chunk_size : size;
    if (wanted > room) wanted = room;

    struct chunk *chunk = calloc(1, sizeof *chunk + wanted);
    if (chunk == NULL) return NULL;
    chunk->size = wanted;
    arena->held += wanted;
    ASAN_POISON_MEMORY_REGION(chunk->data, wanted);
    struct chunk **place = ordinary || arena->chunks == NULL ? &arena->chunks
                                                             : &arena->chunks->next;
    chunk->next = *place;
    *place = chunk;
    if (ordinary && arena->chunk_size < CHUNK_LARGEST) arena->chunk_size *= 2;
    return chunk;
}

void *arena_alloc(struct arena *arena, size_t size)
{
    if (arena_fail_now() || size > SIZE_MAX - ALIGNMENT - GAP) {
        arena->failed = true;
        return NULL;
    }
    size_t exact = size == 0 ? 1 : size;
    size_t taken = (exact + ALIGNMENT - 1) / ALIGNMENT * ALIGNMENT + GAP;
    struct chunk *chunk = arena->chunks;
    if (chunk == NULL || chunk->size - chunk->used < taken) chunk = add_chunk(arena, taken);
    if (chunk == NULL) {
        arena->failed = true;
        return NULL;
    }
    unsigned char *memory = chunk->data + chunk->used;
    chunk->used += taken;
    ASAN_UNPOISON_MEMORY_REGION(memory, exact);
    return memory;
}

void *arena_array(struct arena *arena, size_t count, size_t size)
{
    size_t product;
    if (__builtin_mul_overflow(count, size, &product)) {
        arena->failed = true;
        return NULL;
    }
    return arena_alloc(arena, product);
}

char *arena_copy_n(struct arena *arena, const char *text, size_t length)
{
    if (length == SIZE_MAX) {
        arena->failed = true;
        return NULL;
    }
    char *copy = arena_alloc(arena, length + 1);
    if (copy != NULL && length > 0) memcpy(copy, text, length);
    return copy;
}

char *arena_copy(struct arena *arena, const char *text)
{
    return arena_copy_n(arena, text, strlen(text));
}

char *arena_vprintf(struct arena *arena, const char *format, va_list args)
{
    va_list again;
    va_copy(again, args);
    int length = vsnprintf(NULL, 0, format, again);
    va_end(again);
    if (length < 0) {
        arena->failed = true;
        return NULL;
    }
    char *out = arena_alloc(arena, (size_t)length + 1);
    if (out != NULL) vsnprintf(out, (size_t)length + 1, format, args);
    return out;
}

char *arena_printf(struct arena *arena, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    char *out = arena_vprintf(arena, format, args);
    va_end(args);
    return out;
}

bool arena_defer(struct arena *arena, void (*dispose)(void *what), void *what)
{
    struct disposal *disposal = arena_alloc(arena, sizeof *disposal);
    if (disposal == NULL) {
        dispose(what);
        return false;
    }
    *disposal = (struct disposal){.next = arena->disposals, .dispose = dispose, .what = what};
    arena->disposals = disposal;
    return true;
}

bool arena_failed(const struct arena *arena)
{
    return arena->failed;
}
