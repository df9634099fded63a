/* The common handlers of catalogue things.
 *
 * Whoever changes the catalogue holds the bakery's lock from before the old state is read until the
 * new one is committed: preconditions and checks still hold when it is stored. A PUT that changes
 * nothing stores nothing and keeps the revision.
 */
#include "api/resource.h"

#include "api/page.h"
#include "api/zone.h"
#include "base/arena.h"
#include "base/code.h"
#include "store/bakery.h"
#include "store/history.h"
#include "store/reference.h"

#include <string.h>

enum { REVISIONS_SHOWN = 200 };

static const char *code_of(const void *thing)
{
    return *(const char *const *)thing;
}

static int64_t revision_of(const struct resource *resource, const void *thing)
{
    int64_t revision;
    memcpy(&revision, (const char *)thing + resource->revision_at, sizeof revision);
    return revision;
}

static bool find(struct request *request, const struct resource *resource, const char *code,
                 void **thing)
{
    struct selection one = {.code = code};
    void *items;
    size_t count;
    if (!resource->select(request->tx, &one, &items, &count)) return false;
    *thing = count > 0 ? items : NULL;
    return true;
}

static bool not_found(struct request *request, const struct resource *resource, const char *code)
{
    return fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no %s %s", resource->kind, code);
}

bool precondition_holds(struct request *request, bool exists, int64_t revision)
{
    const struct precondition *wanted = &request->precondition;
    if (wanted->must_not_exist && exists)
        return fail_add(&request->fails, FAIL_PRECONDITION, "", "it exists already");
    if (wanted->must_exist && !exists)
        return fail_add(&request->fails, FAIL_PRECONDITION, "", "it does not exist any more");
    if (wanted->must_exist && wanted->revision != 0 && wanted->revision != revision)
        return fail_add(&request->fails, FAIL_PRECONDITION, "",
                        "it was changed since you read it; read it again");
    return true;
}

static bool answer(struct request *request, const struct resource *resource, int status,
                   const void *thing)
{
    struct json_writer *json = reply_json(request, status);
    json_open_object(json, NULL);
    resource->write(json, thing);
    if (resource->write_derived != NULL && !resource->write_derived(request, json, thing))
        return false;
    json_close(json);
    reply_revision(request, revision_of(resource, thing));
    return true;
}

/* A thing as history keeps it. NULL when memory is short. */
static const char *describe(struct request *request, const struct resource *resource,
                            const void *thing)
{
    struct text text;
    struct json_writer json;
    text_init(&text, request->arena, 1024 * 1024);
    json_writer_init(&json, &text);
    json_open_object(&json, NULL);
    resource->write(&json, thing);
    json_close(&json);
    return text_ok(&text) ? text.data : NULL;
}

bool resource_list(struct request *request, const struct resource *resource)
{
    struct page page;
    void *items;
    size_t count;
    if (!page_read(request, &page)) return false;
    struct selection selection = {.after = page.after, .limit = page.limit + 1};
    if (!resource->select(request->tx, &selection, &items, &count)) return false;
    struct json_writer *json = page_open(request);
    for (size_t i = 0; i < count; i++) {
        const void *thing = (const char *)items + i * resource->size;
        if (!page_takes(&page, code_of(thing))) break;
        json_open_object(json, NULL);
        resource->write(json, thing);
        json_close(json);
    }
    page_close(request, &page);
    return true;
}

bool resource_get(struct request *request, const struct resource *resource)
{
    const char *code = request_param(request, "code");
    void *thing;
    if (!find(request, resource, code, &thing)) return false;
    if (thing == NULL) return not_found(request, resource, code);
    return answer(request, resource, 200, thing);
}

static bool read_checked(struct request *request, const struct resource *resource, void *thing,
                         const void *old)
{
    struct json_node body;
    struct json_object object;
    if (!request_json(request, &body)) return false;
    json_object_open(&object, body);
    resource->read(&object, thing);
    json_object_close(&object);
    if (resource->check != NULL && !resource->check(request, thing, old)) return false;
    return !fails_any(&request->fails);
}

static bool store(struct request *request, const struct resource *resource, void *thing,
                  const void *old)
{
    const char *now = describe(request, resource, thing);
    const char *before = old != NULL ? describe(request, resource, old) : "";
    if (now == NULL || before == NULL) return fail_memory(&request->fails);
    if (strcmp(now, before) == 0) { /* nothing changed */
        memcpy((char *)thing + resource->revision_at, (const char *)old + resource->revision_at,
               sizeof(int64_t));
        return true;
    }
    return resource->put(request->tx, thing) &&
           history_add(request->tx, resource->kind, code_of(thing), revision_of(resource, thing),
                       now);
}

bool resource_put(struct request *request, const struct resource *resource)
{
    const char *code = request_param(request, "code");
    void *old, *thing = arena_alloc(request->arena, resource->size);
    if (!code_valid(code))
        return fail_add(&request->fails, FAIL_INVALID, "",
                        "a code has 1 to 63 of a-z, 0-9 and -, and does not begin with -");
    if (thing == NULL) return fail_memory(&request->fails);
    *(const char **)thing = code;
    return bakery_lock(request->tx) && find(request, resource, code, &old) &&
           precondition_holds(request, old != NULL, old != NULL ? revision_of(resource, old) : 0) &&
           read_checked(request, resource, thing, old) && store(request, resource, thing, old) &&
           answer(request, resource, old != NULL ? 200 : 201, thing);
}

static bool unused(struct request *request, const struct resource *resource, const char *code)
{
    const char *users;
    if (!reference_users(request->tx, resource->kind, code, &users)) return false;
    if (users == NULL) return true;
    return fail_add(&request->fails, FAIL_CONFLICT, "", "%s %s is in use by %s", resource->kind,
                    code, users);
}

bool resource_delete(struct request *request, const struct resource *resource)
{
    const char *code = request_param(request, "code");
    void *old;
    if (!bakery_lock(request->tx) || !find(request, resource, code, &old)) return false;
    if (old == NULL) return not_found(request, resource, code);
    if (!precondition_holds(request, true, revision_of(resource, old)) ||
        !unused(request, resource, code) || !resource->remove(request->tx, code) ||
        !history_add(request->tx, resource->kind, code, 0, NULL))
        return false;
    reply_nothing(request);
    return true;
}

static void write_entry(struct json_writer *json, const struct history_entry *entry,
                        const struct zone *zone)
{
    json_open_object(json, NULL);
    json_put_whole(json, "revision", entry->revision);
    json_put_instant(json, "at", entry->at, zone);
    json_put_text(json, "by", entry->actor);
    json_put_raw(json, "changed", entry->changed);
    json_put_bool(json, "deleted", entry->body == NULL);
    if (entry->body != NULL)
        json_put_raw(json, "body", entry->body);
    else
        json_put_null(json, "body");
    json_close(json);
}

bool resource_revisions(struct request *request, const struct resource *resource)
{
    const char *code = request_param(request, "code");
    struct history_entry *entries;
    size_t count;
    const struct zone *zone;
    struct page page = {.limit = REVISIONS_SHOWN};
    if (!request_zone(request, &zone) ||
        !history_select(request->tx, resource->kind, code, REVISIONS_SHOWN, &entries, &count))
        return false;
    if (count == 0) return not_found(request, resource, code);
    struct json_writer *json = page_open(request);
    for (size_t i = 0; i < count; i++)
        write_entry(json, &entries[i], zone);
    page_close(request, &page);
    return true;
}
