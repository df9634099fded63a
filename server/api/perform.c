/* Performing a request.
 *
 * Everything that a request reads or writes happens in one transaction, with its Idempotency-Key
 * and its answer: either all of it is stored or nothing. A handler that returns true is committed,
 * also when it left faults (a failed attempt to sign in is counted and is still refused); one that
 * returns false is rolled back.
 */
#include "api/perform.h"

#include "api/sign_in.h"
#include "base/arena.h"
#include "base/log.h"
#include "http/secret.h"
#include "store/access.h"
#include "store/book.h"
#include "store/idempotency.h"

#include <stdlib.h>
#include <string.h>

struct worker {
    const struct api_context *context;
    struct book *book;
};

struct job {
    struct worker *worker;
    struct request *request;
    const char *local_actor; /* NULL: a request from outside */
};

void *api_worker_open(void *context)
{
    struct worker *worker = calloc(1, sizeof *worker);
    if (worker == NULL) return NULL;
    worker->context = context;
    worker->book = book_open(worker->context->conninfo, worker->context->deadline_ms);
    if (worker->book != NULL) return worker;
    free(worker);
    return NULL;
}

void api_worker_close(void *worker)
{
    if (worker == NULL) return;
    book_close(((struct worker *)worker)->book);
    free(worker);
}

static bool unknown_place(struct request *request)
{
    if (request->allow != NULL)
        return fail_add(&request->fails, FAIL_METHOD, "", "%s is not possible here; %s is",
                        request->method, request->allow);
    return fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is nothing at %s", request->path);
}

static bool identify(struct job *job, struct tx *tx)
{
    struct request *request = job->request;
    if (job->local_actor == NULL)
        return sign_in_identify(request, tx, job->worker->context->bakery_id);
    request->role = ROLE_OWNER;
    request->actor = job->local_actor;
    request->bakery_id = job->worker->context->bakery_id;
    if (!book_enter(tx, job->worker->context->bakery_id)) return false;
    book_signed_by(tx, job->local_actor);
    return true;
}

static bool admit(struct request *request)
{
    const struct route *route = request->route;
    if (route == NULL) return unknown_place(request);
    if (request->role < route->role)
        return fail_add(&request->fails, FAIL_FORBIDDEN, "",
                        "this is for a role that may do more than yours");
    if (route->kind == ROUTE_WRITE && strcmp(route->method, "POST") == 0 &&
        request->idempotency_key == NULL)
        return fail_add(&request->fails, FAIL_KEY_MISSING, "",
                        "a POST needs an Idempotency-Key, so that it can be repeated safely");
    return true;
}

/* The request as it must come again with the same key: who, what and every byte of the body. */
static const char *request_digest(const struct request *request)
{
    struct text whole;
    text_init(&whole, request->arena, 1024 * 1024);
    text_addf(&whole, "%s\n%s\n%s\n", request->actor, request->method, request->path);
    text_add(&whole, request->body, request->body_length);
    char *digest = arena_alloc(request->arena, DIGEST_TEXT_SIZE);
    if (!text_ok(&whole) || digest == NULL) return NULL;
    digest_text(digest, whole.data, whole.length);
    return digest;
}

static bool replay(struct request *request, const struct idempotency *claim)
{
    reply_json(request, (int)claim->status);
    text_add_string(&request->reply.body, claim->body);
    request->reply.location = claim->location;
    return true;
}

static bool perform_once(struct request *request, struct tx *tx)
{
    struct idempotency claim = {.key = request->idempotency_key};
    claim.digest = request_digest(request);
    if (claim.digest == NULL) return fail_memory(&request->fails);
    if (!idempotency_claim(tx, &claim)) return false;
    if (claim.replay) return replay(request, &claim);
    if (claim.reused)
        return fail_add(&request->fails, FAIL_KEY_REUSED, "",
                        "this Idempotency-Key came before with another request");
    if (!request->route->handler(request)) return false;
    const struct reply *reply = &request->reply;
    claim.status = reply->status;
    claim.location = reply->location;
    claim.body = reply->replay_body != NULL ? reply->replay_body : reply->body.data;
    return idempotency_remember(tx, &claim);
}

static bool perform(struct tx *tx, void *context)
{
    struct job *job = context;
    struct request *request = job->request;
    request->tx = tx;
    request->secure_cookie = job->worker->context->secure_cookie;
    request->reply = (struct reply){0};
    if (!identify(job, tx) || !admit(request)) return false;
    bool once = request->route->kind == ROUTE_WRITE && request->idempotency_key != NULL &&
                strcmp(request->route->method, "POST") == 0;
    return once ? perform_once(request, tx) : request->route->handler(request);
}

static void run(struct job *job)
{
    struct request *request = job->request;
    bool reads = request->route == NULL || request->route->kind == ROUTE_READ;
    bool done = (reads ? book_read : book_write)(job->worker->book, request->arena, &request->fails,
                                                 perform, job);
    request->tx = NULL;
    if (fails_any(&request->fails) || (done && request->reply.status != 0)) return;
    if (arena_failed(request->arena)) {
        fail_memory(&request->fails);
        return;
    }
    log_error("%s %s was performed without an answer", request->method, request->path);
    fail_add(&request->fails, FAIL_INTERNAL, "", "the server made no answer");
}

void api_perform(void *worker, struct request *request)
{
    struct job job = {.worker = worker, .request = request};
    run(&job);
}

void api_perform_local(void *worker, struct request *request, const char *actor)
{
    struct job job = {.worker = worker, .request = request, .local_actor = actor};
    route_find(api_routes, request);
    run(&job);
}

static bool tidy_bakery(struct tx *tx, void *context)
{
    const struct worker *worker = context;
    return book_enter(tx, worker->context->bakery_id) && idempotency_forget_old(tx) &&
           access_forget_sessions(tx);
}

void api_tidy(void *worker)
{
    struct arena *arena = arena_new(0);
    struct fails fails;
    fails_init(&fails, arena);
    if (arena == NULL ||
        !book_write(((struct worker *)worker)->book, arena, &fails, tidy_bakery, worker))
        log_warning("what has expired could not be cleared away");
    arena_free(arena);
}
