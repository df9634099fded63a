/* Reading a JSON body: a cursor with sticky errors.
 *
 * Read every member, then close the object and ask once whether all went well. Whatever is wrong
 * goes on the list of faults with its exact place; the read itself then gives a harmless default,
 * so that all faults of a body are found together. Members that nobody read are unknown and are
 * faults. null is the same as absent.
 *
 *     struct json_object in;
 *     json_object_open(&in, body);
 *     customer.name = json_name(&in, "name", JSON_REQUIRED);
 *     json_clock(&in, "ready_at", JSON_OPTIONAL, &customer.ready_at);
 *     return json_object_close(&in);
 */
#ifndef MORROWLOAF_JSON_READER_H
#define MORROWLOAF_JSON_READER_H

#include "base/date.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct arena;
struct fails;
struct json_t;

enum json_need { JSON_OPTIONAL, JSON_REQUIRED };

enum { NAME_MAX_CHARACTERS = 200, NOTE_MAX_CHARACTERS = 2000, OBJECT_MEMBERS_MAX = 40 };

/* One value of the body and where it stands. All of it lives in the arena of the request. */
struct json_node {
    struct arena *arena;
    struct fails *fails;
    struct json_t *value; /* borrowed from the parsed body; NULL when absent */
    const char *path;     /* its JSON pointer */
};

struct json_object {
    struct json_node node;
    const char *read[OBJECT_MEMBERS_MAX]; /* names asked for so far: what is left over is unknown */
    size_t read_count;
    size_t faults_before;
};

struct json_list {
    struct json_node node;
    size_t index;
    size_t length;
};

/* Parses length bytes as one JSON text. Malformed text, duplicate members, NUL, bad UTF-8 and
 * numbers that no parser holds are FAIL_MALFORMED at "" with line and column; short memory is
 * FAIL_UNAVAILABLE. The value is disposed of with the arena. */
bool json_parse(struct arena *arena, struct fails *fails, const char *text, size_t length,
                struct json_node *root);

/* --- objects --- */

/* Begins reading an object; a value of another type is a fault, and every member then reads absent.
 */
void json_object_open(struct json_object *object, struct json_node node);
/* The object in member name. False (and no further fault) when optional and absent. */
bool json_object_member(struct json_object *object, const char *name, enum json_need need,
                        struct json_object *member);
/* Reports members nobody asked for. True when this object had no fault since it was opened. */
bool json_object_close(struct json_object *object);
/* Whether the member is there and not null; counts as read. */
bool json_has(struct json_object *object, const char *name);
/* The pointer of a member, whether it is there or not. Owned by the arena. */
const char *json_path(const struct json_object *object, const char *name);
/* Adds a fault of FAIL_INVALID at a member; returns false. */
bool json_fault(const struct json_object *object, const char *name, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* --- members: each returns or stores a default when absent or faulty --- */

/* Text of 1 to max characters, no control characters but newline and tab, not only spaces. NULL
 * when absent or faulty. Owned by the arena. */
const char *json_text(struct json_object *object, const char *name, enum json_need need,
                      size_t max);
/* One line of 1 to max characters, spaces at both ends removed. */
const char *json_line(struct json_object *object, const char *name, enum json_need need,
                      size_t max);
/* A name: the same with NAME_MAX_CHARACTERS. */
const char *json_name(struct json_object *object, const char *name, enum json_need need);
/* A code (base/code.h). NULL when absent or faulty. */
const char *json_code(struct json_object *object, const char *name, enum json_need need);
/* One of the words; its index, or otherwise when absent or faulty. words ends with NULL. */
int json_word(struct json_object *object, const char *name, enum json_need need,
              const char *const words[], int otherwise);
bool json_bool(struct json_object *object, const char *name, enum json_need need, bool otherwise);

/* A whole number from min to max (2.0 is whole, 2.5 is not). */
int64_t json_whole(struct json_object *object, const char *name, enum json_need need, int64_t min,
                   int64_t max, int64_t otherwise);

/* A JSON number or a decimal string (without exponent) in units of 10^-places, from min to max in
 * that unit. A number of more than 15 digits, which a double would change, is a fault. */
int64_t json_decimal(struct json_object *object, const char *name, enum json_need need, int places,
                     int64_t min, int64_t max, int64_t otherwise);
/* Money: a decimal string (a JSON number is a fault) in millionths. */
int64_t json_money(struct json_object *object, const char *name, enum json_need need, int64_t min,
                   int64_t max, int64_t otherwise);

/* Leave *out alone when absent or faulty; true when they set it. */
bool json_date(struct json_object *object, const char *name, enum json_need need, date *out);
bool json_clock(struct json_object *object, const char *name, enum json_need need, int *minutes);
bool json_instant(struct json_object *object, const char *name, enum json_need need, instant *out);

/* --- lists --- */

/* The list in member name with min to max items. When absent, faulty or of another type the list
 * reads empty; an absent required list and a wrong length are faults at the list itself. */
void json_list_member(struct json_object *object, const char *name, enum json_need need, size_t min,
                      size_t max, struct json_list *list);
/* The next item; false at the end. */
bool json_list_next(struct json_list *list, struct json_node *item);
/* An item that is a text: as for members. */
const char *json_item_text(const struct json_node *item, size_t max);
/* An item that is a whole number: as for members. */
int64_t json_item_whole(const struct json_node *item, int64_t min, int64_t max, int64_t otherwise);

/* The serialized text of a whole value, compact, members in the order sent; owned by the arena,
 * NULL when memory is short. */
const char *json_dump(const struct json_node *node);

#endif
