/* /people: who may sign in on the page. */
#include "api/handlers.h"
#include "api/page.h"
#include "api/resource.h"
#include "api/sign_in.h"
#include "base/arena.h"
#include "http/secret.h"
#include "store/access.h"
#include "store/bakery.h"

#include <string.h>

enum { PASSWORD_MIN = 10, PASSWORD_MAX = 200, PERSON_NAME_MAX = 63 };

static void write_person(struct json_writer *json, const struct person *person)
{
    json_open_object(json, NULL);
    json_put_text(json, "name", person->name);
    json_put_text(json, "role", person->role);
    json_close(json);
}

bool list_person(struct request *request)
{
    struct person *people;
    size_t count;
    struct page page;
    if (!page_read(request, &page) || !access_select_people(request->tx, NULL, &people, &count))
        return false;
    struct json_writer *json = page_open(request);
    for (size_t i = 0; i < count; i++) {
        if (page.after != NULL && strcmp(people[i].name, page.after) <= 0) continue;
        if (!page_takes(&page, people[i].name)) break;
        write_person(json, &people[i]);
    }
    page_close(request, &page);
    return true;
}

/* *person is NULL when there is none of that name. */
static bool find(struct request *request, struct person **person)
{
    size_t count;
    if (!access_select_people(request->tx, request_param(request, "name"), person, &count))
        return false;
    if (count == 0) *person = NULL;
    return true;
}

static bool answer(struct request *request, int status, const struct person *person)
{
    write_person(reply_json(request, status), person);
    reply_revision(request, person->revision);
    return true;
}

static bool not_found(struct request *request)
{
    return fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is nobody called %s",
                    request_param(request, "name"));
}

bool get_person(struct request *request)
{
    struct person *person;
    if (!find(request, &person)) return false;
    return person != NULL ? answer(request, 200, person) : not_found(request);
}

static bool name_valid(const char *name)
{
    const char *allowed = "abcdefghijklmnopqrstuvwxyz0123456789._-";
    return strlen(name) >= 1 && strlen(name) <= PERSON_NAME_MAX &&
           strspn(name, allowed) == strlen(name) && strchr("._-", name[0]) == NULL;
}

struct person_body {
    const char *role;
    const char *password; /* NULL: stays */
};

static bool read_person(struct request *request, bool is_new, struct person_body *person)
{
    struct json_node root;
    struct json_object body;
    if (!name_valid(request_param(request, "name")))
        return fail_add(&request->fails, FAIL_INVALID, "",
                        "a name has 1 to 63 of a-z, 0-9, ., _ and -, and begins with one of the"
                        " first two");
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    person->role = role_words[json_word(&body, "role", JSON_REQUIRED, role_words, 0)];
    person->password = json_text(&body, "password", is_new ? JSON_REQUIRED : JSON_OPTIONAL,
                                 PASSWORD_MAX);
    if (person->password != NULL && strlen(person->password) < PASSWORD_MIN)
        json_fault(&body, "password", "must have at least %d characters", PASSWORD_MIN);
    return json_object_close(&body);
}

/* Somebody must be able to let others in. */
static bool leaves_an_owner(struct request *request, const struct person *old)
{
    int64_t others = 0;
    if (old == NULL || strcmp(old->role, "owner") != 0) return true;
    if (!access_other_owners(request->tx, old->name, &others)) return false;
    return others > 0 ||
           fail_add(&request->fails, FAIL_CONFLICT, "/role", "%s is the only owner", old->name);
}

static bool store(struct request *request, const struct person_body *person)
{
    char hash[PASSWORD_HASH_SIZE];
    if (person->password != NULL && !password_hash(hash, person->password))
        return fail_memory(&request->fails);
    return access_put_person(request->tx, request_param(request, "name"), person->role,
                             person->password != NULL ? hash : NULL);
}

bool put_person(struct request *request)
{
    struct person *old, *person;
    struct person_body body;
    if (!bakery_lock(request->tx) || !find(request, &old) ||
        !precondition_holds(request, old != NULL, old != NULL ? old->revision : 0) ||
        !read_person(request, old == NULL, &body))
        return false;
    if (strcmp(body.role, "owner") != 0 && !leaves_an_owner(request, old)) return false;
    return store(request, &body) && find(request, &person) && person != NULL &&
           answer(request, old != NULL ? 200 : 201, person);
}

bool delete_person(struct request *request)
{
    struct person *old;
    if (!bakery_lock(request->tx) || !find(request, &old)) return false;
    if (old == NULL) return not_found(request);
    if (!precondition_holds(request, true, old->revision) || !leaves_an_owner(request, old) ||
        !access_delete_person(request->tx, old->name))
        return false;
    reply_nothing(request);
    return true;
}
