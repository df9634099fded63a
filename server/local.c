/* Performs requests in process. */
#include "local.h"

#include "base/arena.h"
#include "base/log.h"
#include "settings.h"

#include <stdio.h>
#include <string.h>

bool local_open(struct local *local, const struct settings *settings, const char *actor)
{
    *local = (struct local){
        .context = {.conninfo = settings->conninfo,
                    .deadline_ms = settings->deadline_ms,
                    .secure_cookie = settings->secure_cookie,
                    .bakery_id = settings->bakery_id},
        .actor = actor,
    };
    local->worker = api_worker_open(&local->context);
    if (local->worker == NULL) log_error("memory is short");
    return local->worker != NULL;
}

void local_close(struct local *local)
{
    api_worker_close(local->worker);
    local->worker = NULL;
}

struct request *local_perform(struct local *local, struct arena *arena,
                              const struct local_call *call)
{
    struct request *request = arena_alloc(arena, sizeof *request);
    if (request == NULL) return NULL;
    request->arena = arena;
    fails_init(&request->fails, arena);
    request->method = call->method;
    request->path = call->path;
    request->body = call->body != NULL ? call->body : "";
    request->body_length = strlen(request->body);
    request->idempotency_key = call->idempotency_key;
    request->client = "local";
    request->trusted_origin = true;
    api_perform_local(local->worker, request, local->actor);
    return request;
}

void local_tell(const struct local_call *call, const struct request *request)
{
    if (request == NULL) {
        log_error("memory is short");
        return;
    }
    fprintf(stderr, "morrowloaf: %s %s was refused:\n", call->method, call->path);
    for (size_t i = 0; i < request->fails.count; i++) {
        const struct fail *fail = &request->fails.items[i];
        fprintf(stderr, "  %s%s%s\n", fail->path, fail->path[0] != '\0' ? ": " : "", fail->text);
    }
}

struct request *local_demand(struct local *local, struct arena *arena,
                             const struct local_call *call)
{
    struct request *request = local_perform(local, arena, call);
    if (request != NULL && !fails_any(&request->fails)) return request;
    local_tell(call, request);
    return NULL;
}

bool local_answer(struct request *request, struct json_node *root)
{
    const struct text *body = &request->reply.body;
    return json_parse(request->arena, &request->fails, body->data, body->length, root);
}
