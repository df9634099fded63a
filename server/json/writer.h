/* Writing an answer: JSON straight into a growing text, no tree in between.
 *
 * Names are literals of ours and are not escaped; values are. Inside lists pass NULL as the name.
 * Errors (memory, cap) are sticky in the text: ask text_ok() once at the end.
 */
#ifndef MORROWLOAF_JSON_WRITER_H
#define MORROWLOAF_JSON_WRITER_H

#include "base/date.h"
#include "base/text.h"

#include <stdbool.h>
#include <stdint.h>

struct zone;

enum { JSON_DEPTH_MAX = 64 };

struct json_writer {
    struct text *text;
    char closing[JSON_DEPTH_MAX]; /* '}' or ']' for every open level */
    int depth;
    bool comma; /* whether the next value needs one before it */
};

void json_writer_init(struct json_writer *writer, struct text *text);

void json_open_object(struct json_writer *writer, const char *name);
void json_open_list(struct json_writer *writer, const char *name);
void json_close(struct json_writer *writer); /* the innermost open object or list */

void json_put_text(struct json_writer *writer, const char *name,
                   const char *value); /* NULL: null */
void json_put_whole(struct json_writer *writer, const char *name, int64_t value);
void json_put_bool(struct json_writer *writer, const char *name, bool value);
void json_put_null(struct json_writer *writer, const char *name);
/* A JSON number, exact: value in units of 10^-places, no needless zeros. */
void json_put_decimal(struct json_writer *writer, const char *name, int64_t value, int places);
/* A decimal string of millionths with at least min_places decimals. */
void json_put_money(struct json_writer *writer, const char *name, int64_t value, int min_places);
void json_put_date(struct json_writer *writer, const char *name, date value);
/* "HH:MM", or null for NO_CLOCK. */
void json_put_clock(struct json_writer *writer, const char *name, int minutes);
/* RFC 3339 with the zone's offset at that instant. */
void json_put_instant(struct json_writer *writer, const char *name, instant at,
                      const struct zone *zone);
/* The same where the value is known, else null. */
void json_put_whole_or_null(struct json_writer *writer, const char *name, int64_t value,
                            bool known);
void json_put_decimal_or_null(struct json_writer *writer, const char *name, int64_t value,
                              int places, bool known);
void json_put_money_or_null(struct json_writer *writer, const char *name, int64_t value,
                            int min_places, bool known);
void json_put_date_or_null(struct json_writer *writer, const char *name, date value, bool known);
void json_put_instant_or_null(struct json_writer *writer, const char *name, instant at,
                              const struct zone *zone, bool known);
/* A value that is JSON already. */
void json_put_raw(struct json_writer *writer, const char *name, const char *json);
/* Members of an object that are JSON already, with the commas between them: what stood inside the
 * braces of a stored print. */
void json_put_members(struct json_writer *writer, const char *json, size_t length);

#endif
