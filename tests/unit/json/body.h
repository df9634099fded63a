/* What the tests of the reader share: a body, parsed, and its faults. */
#ifndef MORROWLOAF_TESTS_JSON_BODY_H
#define MORROWLOAF_TESTS_JSON_BODY_H

#include "base/arena.h"
#include "base/fail.h"
#include "json/reader.h"

#include <criterion/criterion.h>

#include <string.h>

struct body {
    struct arena *arena;
    struct fails fails;
    struct json_node root;
    bool parsed;
};

static inline void body_open(struct body *body, const char *text)
{
    body->arena = arena_new(0);
    fails_init(&body->fails, body->arena);
    body->parsed = json_parse(body->arena, &body->fails, text, strlen(text), &body->root);
}

static inline void body_close(struct body *body)
{
    arena_free(body->arena);
}

/* Whether there is a fault with this pointer whose sentence holds these words. */
static inline bool body_has_fault(const struct body *body, const char *path, const char *words)
{
    for (size_t i = 0; i < body->fails.count; i++) {
        const struct fail *fail = &body->fails.items[i];
        if (strcmp(fail->path, path) == 0 && strstr(fail->text, words) != NULL) return true;
    }
    return false;
}

#define expect_fault(body, where, words)                                                           \
    cr_assert(body_has_fault(body, where, words), "no fault %s \"%s\"; first is %s \"%s\"", where, \
              words, (body)->fails.count > 0 ? (body)->fails.items[0].path : "-",                  \
              (body)->fails.count > 0 ? (body)->fails.items[0].text : "-")

#endif
