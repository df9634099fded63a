/* Matching a request with the route table.
 *
 * Invariants: the first route in the table that fits path and method is taken; without one, allow
 * lists the methods of all routes that fit the path, each once, and is NULL when none does. Short
 * memory leaves no route: the arena remembers it, and the daemon answers 503.
 */
#include "http/router.h"

#include "base/arena.h"

#include <string.h>

enum { ALLOW_MAX = 200 };

static bool add_param(struct request *request, const char *name, size_t name_length,
                      const char *value, size_t value_length)
{
    if (request->param_count == PARAMS_MAX || value_length == 0) return false;
    struct param *param = &request->params[request->param_count];
    param->name = arena_copy_n(request->arena, name, name_length);
    param->value = arena_copy_n(request->arena, value, value_length);
    if (param->name == NULL || param->value == NULL) return false;
    request->param_count++;
    return true;
}

/* Whether one segment of the path fits that of the pattern; a {name} takes it as a parameter. */
static bool segment_fits(struct request *request, const char *pattern, size_t wanted,
                         const char *path, size_t length)
{
    if (wanted > 2 && pattern[0] == '{')
        return add_param(request, pattern + 1, wanted - 2, path, length);
    return wanted == length && memcmp(pattern, path, length) == 0;
}

static bool path_fits(struct request *request, const char *pattern)
{
    const char *path = request->path;
    request->param_count = 0;
    for (;;) {
        size_t wanted = strcspn(pattern, "/"), length = strcspn(path, "/");
        if (!segment_fits(request, pattern, wanted, path, length)) return false;
        pattern += wanted;
        path += length;
        if (*pattern == '\0' || *path == '\0') return *pattern == *path;
        pattern++;
        path++;
    }
}

/* GET brings HEAD with it. */
static void allow(struct text *allowed, const char *method)
{
    if (strstr(allowed->data, method) != NULL) return;
    if (allowed->length > 0) text_add_string(allowed, ", ");
    text_add_string(allowed, method);
    if (strcmp(method, "GET") == 0) text_add_string(allowed, ", HEAD");
}

void route_find(const struct route *table, struct request *request)
{
    const char *method = strcmp(request->method, "HEAD") == 0 ? "GET" : request->method;
    struct text allowed;
    text_init(&allowed, request->arena, ALLOW_MAX);
    request->route = NULL;
    request->allow = NULL;
    for (const struct route *route = table; route->method != NULL; route++) {
        if (!path_fits(request, route->pattern)) continue;
        if (strcmp(route->method, method) == 0) {
            request->route = route;
            return;
        }
        allow(&allowed, route->method);
    }
    request->param_count = 0;
    if (allowed.length > 0) request->allow = allowed.data;
}
