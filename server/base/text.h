/* A text that grows up to a cap: the buffer into which answers are written.
 *
 * Errors are sticky: after the first failure nothing more is added and text_ok() is false. The data
 * is NUL-terminated after every call. It lives in an arena.
 */
#ifndef MORROWLOAF_BASE_TEXT_H
#define MORROWLOAF_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

struct arena;

struct text {
    struct arena *arena;
    char *data;      /* owned by the arena */
    size_t length;   /* bytes in use, without the NUL */
    size_t capacity; /* bytes allocated */
    size_t cap;      /* length never exceeds this */
    bool failed;     /* memory was short or the cap was hit */
};

/* An empty text in arena of at most cap bytes. */
void text_init(struct text *text, struct arena *arena, size_t cap);

void text_add(struct text *text, const char *bytes, size_t length);
void text_add_string(struct text *text, const char *string);
void text_add_char(struct text *text, char c);
void text_addf(struct text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Adds length bytes that the caller fills at once; NULL when they do not fit. */
char *text_room(struct text *text, size_t length);

bool text_ok(const struct text *text);

#endif
