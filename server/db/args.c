/* Arguments of a statement: every value becomes a text in the arena.
 *
 * Errors are sticky: after the first one nothing more is added, and the statement is not sent.
 */
#include "base/arena.h"
#include "db/db.h"

#include <inttypes.h>
#include <string.h>

/* Takes a text that is in the arena already, or NULL for SQL null. */
static void add(struct args *args, const char *value)
{
    if (args->count == ARGS_MAX) args->failed = true;
    if (!args->failed) args->values[args->count++] = value;
}

/* The same, where NULL means that memory was short. */
static void add_made(struct args *args, const char *value)
{
    if (value == NULL) args->failed = true;
    add(args, value);
}

void args_init(struct args *args, struct tx *tx)
{
    *args = (struct args){.arena = tx->arena};
    args_whole(args, tx->bakery_id);
}

void args_text(struct args *args, const char *value)
{
    if (value == NULL) {
        add(args, NULL);
    } else {
        add_made(args, arena_copy(args->arena, value));
    }
}

void args_whole(struct args *args, int64_t value)
{
    add_made(args, arena_printf(args->arena, "%" PRId64, value));
}

void args_whole_or_null(struct args *args, int64_t value, bool present)
{
    if (present) {
        args_whole(args, value);
    } else {
        add(args, NULL);
    }
}

void args_bool(struct args *args, bool value)
{
    add(args, value ? "t" : "f");
}

void args_date(struct args *args, date value)
{
    char text[DATE_TEXT_SIZE];
    date_print(text, value);
    args_text(args, text);
}

void args_date_or_null(struct args *args, date value, bool present)
{
    if (present) {
        args_date(args, value);
    } else {
        add(args, NULL);
    }
}

void args_clock(struct args *args, int minutes)
{
    args_whole_or_null(args, minutes, minutes != NO_CLOCK);
}

/* --- arrays: {"a","b",NULL} --- */

/* What an element takes at most: every byte escaped, quotes around it, a comma behind it. */
static size_t element_room(const char *value)
{
    return (value == NULL ? 4 : 2 * strlen(value) + 2) + 1;
}

/* Writes an element in quotes, with \ before quotes and backslashes; returns the end. */
static char *put_element(char *out, const char *value)
{
    if (value == NULL) {
        memcpy(out, "NULL", 4);
        return out + 4;
    }
    *out++ = '"';
    for (; *value != '\0'; value++) {
        if (*value == '"' || *value == '\\') *out++ = '\\';
        *out++ = *value;
    }
    *out++ = '"';
    return out;
}

void args_texts(struct args *args, const char *const *values, size_t count)
{
    size_t room = 3; /* braces and NUL */
    for (size_t i = 0; i < count; i++)
        room += element_room(values[i]);

    char *array = arena_alloc(args->arena, room);
    if (array != NULL) {
        char *out = array;
        *out++ = '{';
        for (size_t i = 0; i < count; i++) {
            if (i > 0) *out++ = ',';
            out = put_element(out, values[i]);
        }
        memcpy(out, "}", 2);
    }
    add_made(args, array);
}

/* texts NULL: memory was short. */
static void add_texts(struct args *args, const char *const *texts, size_t count)
{
    if (texts == NULL) {
        args->failed = true;
    } else {
        args_texts(args, texts, count);
    }
}

void args_wholes(struct args *args, const int64_t *values, size_t count)
{
    const char **texts = arena_array(args->arena, count, sizeof *texts);
    for (size_t i = 0; texts != NULL && i < count; i++) {
        if (values[i] == INT64_MIN) continue;
        texts[i] = arena_printf(args->arena, "%" PRId64, values[i]);
        if (texts[i] == NULL) args->failed = true;
    }
    add_texts(args, texts, count);
}

void args_dates(struct args *args, const date *values, size_t count)
{
    const char **texts = arena_array(args->arena, count, sizeof *texts);
    for (size_t i = 0; texts != NULL && i < count; i++) {
        char text[DATE_TEXT_SIZE];
        if (values[i] == NO_DATE) continue;
        date_print(text, values[i]);
        texts[i] = arena_copy(args->arena, text);
        if (texts[i] == NULL) args->failed = true;
    }
    add_texts(args, texts, count);
}
