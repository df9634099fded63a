/* The one list of what went wrong with a request.
 *
 * Invariants: count <= FAILS_MAX, count <= found; every path and text lives in the arena or is a
 * literal. The gravest fault is always among the items kept, since it decides the answer.
 */
#include "base/fail.h"

#include "base/arena.h"

#include <string.h>

static const struct fail out_of_memory = {
    .code = FAIL_UNAVAILABLE,
    .path = "",
    .text = "the server is short of memory; nothing is wrong with the request, try again",
};

void fails_init(struct fails *fails, struct arena *arena)
{
    fails->arena = arena;
    fails->count = 0;
    fails->found = 0;
}

/* Keeps a fault. When the list is full it only takes the last place, and only when it is graver
 * than all that are there. */
static void keep(struct fails *fails, struct fail fail)
{
    fails->found++;
    if (fails->count < FAILS_MAX) {
        fails->items[fails->count++] = fail;
    } else if (fail.code > fails_code(fails)) {
        fails->items[FAILS_MAX - 1] = fail;
    }
}

bool fail_add_v(struct fails *fails, enum fail_code code, const char *path, const char *format,
                va_list args)
{
    if (fails->count == FAILS_MAX && code <= fails_code(fails)) {
        fails->found++;
        return false;
    }
    struct fail fail = {.code = code,
                        .path = arena_copy(fails->arena, path),
                        .text = arena_vprintf(fails->arena, format, args)};
    keep(fails, fail.path == NULL || fail.text == NULL ? out_of_memory : fail);
    return false;
}

bool fail_add(struct fails *fails, enum fail_code code, const char *path, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    fail_add_v(fails, code, path, format, args);
    va_end(args);
    return false;
}

bool fail_memory(struct fails *fails)
{
    keep(fails, out_of_memory);
    return false;
}

bool fails_any(const struct fails *fails)
{
    return fails->found > 0;
}

enum fail_code fails_code(const struct fails *fails)
{
    enum fail_code gravest = FAIL_NONE;
    for (size_t i = 0; i < fails->count; i++) {
        if (fails->items[i].code > gravest) gravest = fails->items[i].code;
    }
    return gravest;
}

void fails_reset(struct fails *fails, size_t count)
{
    if (count > fails->count) return;
    fails->count = count;
    /* With room left in the list none had gone unkept at that time. */
    if (count < FAILS_MAX) fails->found = count;
}

/* --- pointers --- */

/* Copies name with ~ and / escaped (RFC 6901, section 3); returns the end. */
static char *escape(char *out, const char *name)
{
    for (; *name != '\0'; name++) {
        if (*name != '~' && *name != '/') {
            *out++ = *name;
            continue;
        }
        *out++ = '~';
        *out++ = *name == '~' ? '0' : '1';
    }
    return out;
}

const char *pointer_member(struct arena *arena, const char *parent, const char *name)
{
    size_t length = strlen(parent);
    char *pointer = arena_alloc(arena, length + 1 + 2 * strlen(name) + 1);
    if (pointer == NULL) return "";
    memcpy(pointer, parent, length);
    pointer[length] = '/';
    *escape(pointer + length + 1, name) = '\0';
    return pointer;
}

const char *pointer_index(struct arena *arena, const char *parent, size_t index)
{
    char digits[24];
    char *first = digits + sizeof digits - 1;
    *first = '\0';
    do {
        *--first = (char)('0' + index % 10);
        index /= 10;
    } while (index > 0);
    return pointer_member(arena, parent, first);
}
