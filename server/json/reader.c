/* Objects and lists of a body: opening, taking members, and what was not asked for.
 *
 * Invariant: an object whose node has no value was reported when it was opened, or is absent and
 * optional; all its members then read absent without a further fault, and closing it is false.
 */
#include "json/reader.h"

#include "base/arena.h"
#include "base/fail.h"
#include "json/place.h"

#include <assert.h>
#include <stdarg.h>
#include <string.h>

/* --- faults and where they are --- */

const char *json_path(const struct json_object *object, const char *name)
{
    const char *path = pointer_member(object->node.arena, object->node.path, name);
    if (*path == '\0') fail_memory(object->node.fails);
    return path;
}

struct json_place json_place_of(const struct json_object *object, const char *name)
{
    return (struct json_place){.arena = object->node.arena,
                               .fails = object->node.fails,
                               .path = object->node.path,
                               .name = name};
}

static bool fault_v(struct json_place place, const char *format, va_list args)
{
    const char *path = place.path;
    /* On a full list the place is not needed: a body of nothing but faults must not fill the arena.
     */
    if (place.name != NULL && place.fails->count < FAILS_MAX) {
        path = pointer_member(place.arena, path, place.name);
        if (*path == '\0') return fail_memory(place.fails);
    }
    return fail_add_v(place.fails, FAIL_INVALID, path, format, args);
}

bool json_place_fault(struct json_place place, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    fault_v(place, format, args);
    va_end(args);
    return false;
}

bool json_fault(const struct json_object *object, const char *name, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    fault_v(json_place_of(object, name), format, args);
    va_end(args);
    return false;
}

/* --- objects --- */

void json_object_open(struct json_object *object, struct json_node node)
{
    *object = (struct json_object){.node = node, .faults_before = node.fails->found};
    if (json_is_object(node.value)) return;
    object->node.value = NULL;
    /* A node without a value is a body that could not be parsed: that is reported already. */
    if (node.value != NULL || !fails_any(node.fails)) {
        fail_add(node.fails, FAIL_INVALID, node.path, "must be an object");
    }
}

static bool was_read(const struct json_object *object, const char *name)
{
    for (size_t i = 0; i < object->read_count; i++) {
        if (strcmp(object->read[i], name) == 0) return true;
    }
    return false;
}

/* The member, counted as read; NULL when absent or null. */
static json_t *look_up(struct json_object *object, const char *name)
{
    if (object->node.value == NULL) return NULL;
    if (!was_read(object, name)) {
        assert(object->read_count < OBJECT_MEMBERS_MAX);
        /* Without asserts the member counts as unknown, which every test of its reader would show.
         */
        if (object->read_count < OBJECT_MEMBERS_MAX) object->read[object->read_count++] = name;
    }
    json_t *value = json_object_get(object->node.value, name);
    return json_is_null(value) ? NULL : value;
}

json_t *json_take(struct json_object *object, const char *name, enum json_need need)
{
    json_t *value = look_up(object, name);
    if (value == NULL && need == JSON_REQUIRED && object->node.value != NULL) {
        json_fault(object, name, "is required");
    }
    return value;
}

bool json_has(struct json_object *object, const char *name)
{
    return look_up(object, name) != NULL;
}

/* The node of a member that is there. */
static struct json_node member_node(const struct json_object *object, const char *name,
                                    json_t *value)
{
    return (struct json_node){.arena = object->node.arena,
                              .fails = object->node.fails,
                              .value = value,
                              .path = json_path(object, name)};
}

bool json_object_member(struct json_object *object, const char *name, enum json_need need,
                        struct json_object *member)
{
    json_t *value = json_take(object, name, need);
    if (value == NULL) {
        *member = (struct json_object){.node = object->node};
        member->node.value = NULL;
        member->node.path = json_path(object, name);
        member->faults_before = object->node.fails->found;
        return false;
    }
    json_object_open(member, member_node(object, name, value));
    return member->node.value != NULL;
}

bool json_object_close(struct json_object *object)
{
    const struct json_node *node = &object->node;
    if (node->value == NULL) return false;
    const char *name;
    json_t *value;
    json_object_foreach(node->value, name, value)
    {
        if (!was_read(object, name)) json_fault(object, name, "is not a member that is known here");
    }
    return node->fails->found == object->faults_before;
}

/* --- lists --- */

void json_list_member(struct json_object *object, const char *name, enum json_need need, size_t min,
                      size_t max, struct json_list *list)
{
    *list = (struct json_list){.node = object->node};
    list->node.value = NULL;
    json_t *value = json_take(object, name, need);
    if (value == NULL) return;
    size_t length = json_array_size(value); /* 0 of what is no list */
    if (!json_is_array(value)) {
        json_fault(object, name, "must be a list");
    } else if (length < min || length > max) {
        json_fault(object, name, "must have %zu to %zu items, not %zu", min, max, length);
    } else {
        list->node = member_node(object, name, value);
        list->length = length;
    }
}

bool json_list_next(struct json_list *list, struct json_node *item)
{
    if (list->index >= list->length) return false;
    *item = list->node;
    item->value = json_array_get(list->node.value, list->index);
    item->path = pointer_index(list->node.arena, list->node.path, list->index);
    list->index++;
    if (*item->path == '\0') fail_memory(list->node.fails);
    return true;
}
