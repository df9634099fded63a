/* The service of the tests. */
#include "bakehouse.h"

#include "base/arena.h"
#include "base/log.h"
#include "http/secret.h"

#include <criterion/criterion.h>
#include <ftw.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

struct daemon *bakehouse;
int bakehouse_port;
struct daemon_settings bakehouse_settings = {
    .address = "127.0.0.1:0", .readers = 2, .writers = 2, .queue_max = 500, .receive_s = 20};
atomic_int bakehouse_performed, bakehouse_inside, bakehouse_open;
atomic_bool bakehouse_shut;
struct bakehouse_seen bakehouse_seen;

static void nap(void)
{
    nanosleep(&(struct timespec){.tv_nsec = 2000000}, NULL);
}

/* --- handlers --- */

static bool get_loaf(struct request *request)
{
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_text(json, "code", request_param(request, "code"));
    json_close(json);
    reply_revision(request, 7);
    return true;
}

static bool put_loaf(struct request *request)
{
    struct json_node root;
    if (!request_json(request, &root)) return false;
    get_loaf(request);
    request->reply.status = 201;
    reply_location(request, "/api/v1/loaves/%s", request_param(request, "code"));
    return true;
}

static bool delete_loaf(struct request *request)
{
    reply_nothing(request);
    return true;
}

static bool wait_for_oven(struct request *request)
{
    while (atomic_load(&bakehouse_shut))
        nap();
    return get_loaf(request);
}

/* A long answer: {"crumbs": "ooo…"}. */
static bool get_crumbs(struct request *request)
{
    struct json_writer *json = reply_json(request, 200);
    size_t length = (size_t)strtoul(request_param(request, "code"), NULL, 10);
    char *crumbs = arena_alloc(request->arena, length + 1);
    if (crumbs == NULL) return fail_memory(&request->fails);
    memset(crumbs, 'o', length);
    json_open_object(json, NULL);
    json_put_text(json, "crumbs", crumbs);
    json_close(json);
    return true;
}

/* Fails the n-th allocation of what a worker does from here on. */
static bool get_starved(struct request *request)
{
    arena_fail_nth(strtol(request_param(request, "code"), NULL, 10));
    return get_loaf(request);
}

static bool get_nothing_done(struct request *request)
{
    (void)request;
    return true;
}

static bool get_broken(struct request *request)
{
    return fail_add(&request->fails, FAIL_INTERNAL, "", "the secret of the house");
}

static bool sign_in(struct request *request)
{
    get_loaf(request);
    request->reply.set_cookie = "morrowloaf_session=fresh; HttpOnly";
    return true;
}

static bool get_locked(struct request *request)
{
    request->reply.retry_after_s = 33;
    return fail_add(&request->fails, FAIL_TOO_MANY, "", "wait");
}

static const struct route routes[] = {
    {"GET", "/api/v1", ROLE_COUNTER, ROUTE_READ, 0, get_loaf, ""},
    {"POST", "/api/v1/loaves", ROLE_COUNTER, ROUTE_WRITE, 200, put_loaf, ""},
    {"GET", "/api/v1/loaves/{code}", ROLE_COUNTER, ROUTE_READ, 0, get_loaf, ""},
    {"PUT", "/api/v1/loaves/{code}", ROLE_COUNTER, ROUTE_WRITE, 200, put_loaf, ""},
    {"DELETE", "/api/v1/loaves/{code}", ROLE_COUNTER, ROUTE_WRITE, 0, delete_loaf, ""},
    {"GET", "/api/v1/ovens/{code}", ROLE_COUNTER, ROUTE_READ, 0, wait_for_oven, ""},
    {"POST", "/api/v1/ovens/{code}", ROLE_COUNTER, ROUTE_WRITE, 200, wait_for_oven, ""},
    {"GET", "/api/v1/crumbs/{code}", ROLE_COUNTER, ROUTE_READ, 0, get_crumbs, ""},
    {"GET", "/api/v1/starved/{code}", ROLE_COUNTER, ROUTE_READ, 0, get_starved, ""},
    {"GET", "/api/v1/undone", ROLE_COUNTER, ROUTE_READ, 0, get_nothing_done, ""},
    {"GET", "/api/v1/broken", ROLE_COUNTER, ROUTE_READ, 0, get_broken, ""},
    {"GET", "/api/v1/locked", ROLE_COUNTER, ROUTE_READ, 0, get_locked, ""},
    {"POST", "/api/v1/sessions", ROLE_NONE, ROUTE_SIGN_IN, 200, sign_in, ""},
    {.method = NULL}};

/* --- the service --- */

static void *open_worker(void *context)
{
    (void)context;
    atomic_fetch_add(&bakehouse_open, 1);
    return calloc(1, 1);
}

static void close_worker(void *worker)
{
    atomic_fetch_sub(&bakehouse_open, 1);
    free(worker);
}

static void keep(char *place, size_t size, const char *value)
{
    snprintf(place, size, "%s", value != NULL ? value : "(none)");
}

/* Several workers may look at once. */
static void look_at(const struct request *request)
{
    static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
    struct bakehouse_seen *seen = &bakehouse_seen;
    pthread_mutex_lock(&lock);
    seen->trusted_origin = request->trusted_origin;
    seen->precondition = request->precondition;
    keep(seen->client, sizeof seen->client, request->client);
    keep(seen->cookie, sizeof seen->cookie, request->cookie);
    keep(seen->key, sizeof seen->key, request->idempotency_key);
    keep(seen->body, sizeof seen->body, request->body);
    seen->query[0] = seen->params[0] = '\0';
    for (size_t i = 0; i < request->query_count; i++)
        snprintf(strchr(seen->query, '\0'), 30, "%.10s=%.10s;", request->query[i].name,
                 request->query[i].value);
    for (size_t i = 0; i < request->param_count; i++)
        snprintf(strchr(seen->params, '\0'), 30, "%.10s=%.10s;", request->params[i].name,
                 request->params[i].value);
    pthread_mutex_unlock(&lock);
}

static bool admit(struct request *request)
{
    bool known = (request->bearer != NULL && strcmp(request->bearer, "good") == 0) ||
                 (request->cookie != NULL && strcmp(request->cookie, "good") == 0) ||
                 (request->route != NULL && request->route->kind == ROUTE_SIGN_IN);
    if (!known) return fail_add(&request->fails, FAIL_UNAUTHENTICATED, "", "who are you");
    request->actor = "anna";
    if (request->route != NULL) return true;
    return fail_add(&request->fails, request->allow != NULL ? FAIL_METHOD : FAIL_NOT_FOUND, "",
                    "not here");
}

static void perform(void *worker, struct request *request)
{
    (void)worker;
    atomic_fetch_add(&bakehouse_inside, 1);
    look_at(request);
    if (admit(request)) request->route->handler(request);
    atomic_fetch_add(&bakehouse_performed, 1);
    atomic_fetch_sub(&bakehouse_inside, 1);
}

static const struct service service = {routes, open_worker, perform, close_worker, NULL};

bool bakehouse_wait_inside(int count)
{
    for (int i = 0; i < 5000 && atomic_load(&bakehouse_inside) != count; i++)
        nap();
    return atomic_load(&bakehouse_inside) == count;
}

/* --- the folder of pages --- */

static char folder[] = "/tmp/bakehouse-XXXXXX";
static char inner[sizeof folder + 10];

static void write_page(const char *name, const char *text)
{
    char path[200];
    snprintf(path, sizeof path, "%s/%s", inner, name);
    FILE *file = fopen(path, "w");
    cr_assert_not_null(file, "%s", path);
    fputs(text, file);
    fclose(file);
}

static void make_folder(const char *name)
{
    char path[200];
    snprintf(path, sizeof path, "%s%s", inner, name);
    cr_assert_eq(mkdir(path, 0700), 0);
}

/* Beside the pages lies a file that must never be served. */
static void write_pages(void)
{
    cr_assert_not_null(mkdtemp(folder));
    snprintf(inner, sizeof inner, "%s/pages", folder);
    make_folder("");
    make_folder("/scripts");
    make_folder("/.hidden");
    write_page("../outside.txt", "outside");
    write_page("index.html", "<!doctype html><title>bread</title>");
    write_page("scripts/order.js", "export const order = 1;\n");
    write_page("empty.css", "");
    write_page(".secret", "secret");
    write_page(".hidden/page.html", "hidden");
    char link[200];
    snprintf(link, sizeof link, "%s/link.txt", inner);
    cr_assert_eq(symlink("../outside.txt", link), 0);
}

static int remove_entry(const char *path, const struct stat *status, int type, struct FTW *walk)
{
    (void)status;
    (void)type;
    (void)walk;
    return remove(path);
}

void bakehouse_start(void)
{
    log_set_level(LOG_QUIET);
    cr_assert(secret_init());
    write_pages();
    bakehouse_settings.static_folder = inner;
    bakehouse = daemon_start(&bakehouse_settings, &service);
    cr_assert_not_null(bakehouse);
    bakehouse_port = daemon_port(bakehouse);
}

void bakehouse_stop(void)
{
    atomic_store(&bakehouse_shut, false);
    daemon_stop(bakehouse);
    bakehouse = NULL;
    nftw(folder, remove_entry, 8, FTW_DEPTH | FTW_PHYS);
}
