/* A text that grows up to a cap.
 *
 * Invariants: data is never NULL and data[length] is NUL; length <= cap; once failed, nothing
 * changes any more. An addition that does not fit is not begun, so what is there is always whole.
 */
#include "base/text.h"

#include "base/arena.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum { CAPACITY_FIRST = 256 };

/* What data points to before the first addition. Never written. */
static char nothing[1] = "";

void text_init(struct text *text, struct arena *arena, size_t cap)
{
    *text = (struct text){.arena = arena, .data = nothing, .cap = cap};
}

/* Room for more bytes and the NUL behind what is there; false when that cannot be. */
static bool reserve(struct text *text, size_t more)
{
    if (text->failed) return false;
    if (more > text->cap - text->length) {
        text->failed = true;
        return false;
    }
    size_t needed = text->length + more;
    if (needed < text->capacity) return true;

    size_t capacity = text->capacity == 0 ? CAPACITY_FIRST : text->capacity * 2;
    if (capacity <= needed) capacity = needed + 1;
    char *data = arena_alloc(text->arena, capacity);
    if (data == NULL) {
        text->failed = true;
        return false;
    }
    memcpy(data, text->data, text->length);
    text->data = data;
    text->capacity = capacity;
    return true;
}

char *text_room(struct text *text, size_t length)
{
    if (!reserve(text, length)) return NULL;
    char *room = text->data + text->length;
    text->length += length;
    text->data[text->length] = '\0';
    return room;
}

void text_add(struct text *text, const char *bytes, size_t length)
{
    if (length == 0) return;
    char *room = text_room(text, length);
    if (room != NULL) memcpy(room, bytes, length);
}

void text_add_string(struct text *text, const char *string)
{
    text_add(text, string, strlen(string));
}

void text_add_char(struct text *text, char c)
{
    text_add(text, &c, 1);
}

void text_addf(struct text *text, const char *format, ...)
{
    va_list args, again;
    va_start(args, format);
    va_copy(again, args);
    int length = vsnprintf(NULL, 0, format, args);
    if (length < 0) {
        text->failed = true;
    } else if (length > 0 && reserve(text, (size_t)length)) {
        vsnprintf(text->data + text->length, (size_t)length + 1, format, again);
        text->length += (size_t)length;
    }
    va_end(again);
    va_end(args);
}

bool text_ok(const struct text *text)
{
    return !text->failed;
}
