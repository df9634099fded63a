/* What went wrong with a request: one list, filled by whoever finds a fault.
 *
 * Functions return false and add to the list; nobody below http/ knows a status. All faults of a
 * body are on the list together, each with the JSON pointer (RFC 6901) of its place.
 */
#ifndef MORROWLOAF_BASE_FAIL_H
#define MORROWLOAF_BASE_FAIL_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

struct arena;

enum fail_code {
    FAIL_NONE,
    FAIL_MALFORMED,       /* not JSON, or a request that cannot be understood */
    FAIL_KEY_MISSING,     /* a POST without Idempotency-Key */
    FAIL_UNAUTHENTICATED, /* no token or session, or one that is not known */
    FAIL_FORBIDDEN,       /* the role may not do this */
    FAIL_NOT_FOUND,
    FAIL_METHOD,       /* the resource has no such method */
    FAIL_CONFLICT,     /* in use, or would break something that is stored */
    FAIL_LENGTH,       /* a body of unknown length */
    FAIL_PRECONDITION, /* If-Match or If-None-Match does not hold */
    FAIL_TOO_LARGE,
    FAIL_MEDIA_TYPE,
    FAIL_INVALID,     /* well-formed, but against the rules */
    FAIL_KEY_REUSED,  /* an Idempotency-Key that came with another request */
    FAIL_TOO_MANY,    /* too many attempts to sign in */
    FAIL_INTERNAL,    /* a defect of ours */
    FAIL_UNAVAILABLE, /* memory or the database: nothing wrong with the request, try again */
    FAIL_CODES
};

struct fail {
    enum fail_code code;
    const char *path; /* JSON pointer, "" for the whole; owned by the arena */
    const char *text; /* a plain sentence without a full stop; owned by the arena */
};

enum { FAILS_MAX = 100 }; /* further faults are counted, not kept */

struct fails {
    struct arena *arena;
    struct fail items[FAILS_MAX];
    size_t count; /* of items */
    size_t found; /* all, also those not kept */
};

void fails_init(struct fails *fails, struct arena *arena);

/* Adds a fault. Always returns false, so that callers can write `return fail_add(...)`. The path is
 * copied. When memory is short the fault becomes FAIL_UNAVAILABLE. */
bool fail_add(struct fails *fails, enum fail_code code, const char *path, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
bool fail_add_v(struct fails *fails, enum fail_code code, const char *path, const char *format,
                va_list args);

/* Adds FAIL_UNAVAILABLE for an allocation that failed; false, and needs no memory itself. */
bool fail_memory(struct fails *fails);

bool fails_any(const struct fails *fails);

/* The code that decides the answer: the gravest (last in enum order) of the list; FAIL_NONE when
 * empty. */
enum fail_code fails_code(const struct fails *fails);

/* Forgets what was added after count was noted: for the second try of a transaction. */
void fails_reset(struct fails *fails, size_t count);

/* "/lines/3" and such: a pointer built in the arena; name is escaped (~0, ~1). "" when memory is
 * short. */
const char *pointer_member(struct arena *arena, const char *parent, const char *name);
const char *pointer_index(struct arena *arena, const char *parent, size_t index);

#endif
