/* From bytes to a tree of values and back (Jansson).
 *
 * Jansson reports an allocation that fails inside of it as one or another fault of syntax. Its
 * allocations therefore go through a function of ours that remembers a failure, and when there was
 * one the outcome is FAIL_UNAVAILABLE whatever Jansson says. The sentences are ours too: Jansson's
 * quote the body and may be cut in the middle of a character.
 */
#include "base/arena.h"
#include "base/fail.h"
#include "json/reader.h"

#include <jansson.h>

#include <stdlib.h>
#include <threads.h>

/* Whether an allocation of Jansson failed on this thread since this was last set to false. */
static _Thread_local bool short_of_memory;

static void *allocate(size_t size)
{
    void *memory = arena_fail_now() ? NULL : malloc(size);
    if (memory == NULL) short_of_memory = true;
    return memory;
}

static void use_our_allocator(void)
{
    json_set_alloc_funcs(allocate, free);
}

static void dispose(void *value)
{
    json_decref(value);
}

static const char *sentence(enum json_error_code code)
{
    switch (code) {
    case json_error_stack_overflow:
        return "lists and objects are nested too deeply";
    case json_error_invalid_utf8:
        return "the text is not UTF-8";
    case json_error_premature_end_of_input:
        return "the text ends before its value is complete";
    case json_error_end_of_input_expected:
        return "something follows after the end of the value";
    case json_error_null_character:
    case json_error_null_byte_in_key:
        return "the text holds a NUL character";
    case json_error_duplicate_key:
        return "an object has the same member twice";
    case json_error_numeric_overflow:
        return "a number is too large";
    default:
        return "the text is not JSON";
    }
}

static bool report(struct fails *fails, const json_error_t *error)
{
    return fail_add(fails, FAIL_MALFORMED, "", "is not valid JSON at line %d, column %d: %s",
                    error->line, error->column, sentence(json_error_code(error)));
}

bool json_parse(struct arena *arena, struct fails *fails, const char *text, size_t length,
                struct json_node *root)
{
    static once_flag once = ONCE_FLAG_INIT;
    call_once(&once, use_our_allocator);
    *root = (struct json_node){.arena = arena, .fails = fails, .path = ""};

    json_error_t error;
    short_of_memory = false;
    json_t *value = json_loadb(text == NULL ? "" : text, text == NULL ? 0 : length,
                               JSON_REJECT_DUPLICATES | JSON_DECODE_ANY, &error);
    if (short_of_memory) {
        json_decref(value);
        return fail_memory(fails);
    }
    if (value == NULL) return report(fails, &error);
    if (!arena_defer(arena, dispose, value)) return fail_memory(fails);
    root->value = value;
    return true;
}

/* Fifteen digits are what a number in a body is exact to; more would print 1.1 as
 * 1.1000000000000001. */
static const size_t dump_flags = JSON_COMPACT | JSON_ENCODE_ANY | JSON_REAL_PRECISION(15);

const char *json_dump(const struct json_node *node)
{
    if (node->value == NULL) return "null";
    short_of_memory = false;
    size_t size = json_dumpb(node->value, NULL, 0, dump_flags);
    char *text = short_of_memory || size == 0 ? NULL : arena_alloc(node->arena, size + 1);
    /* A second run that fails half-way leaves less than was measured. */
    if (text == NULL || json_dumpb(node->value, text, size, dump_flags) != size) {
        fail_memory(node->fails);
        return NULL;
    }
    return text;
}
