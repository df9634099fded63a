/* The life of an exchange. */
#include "http/exchange.h"

#include "base/arena.h"
#include "base/log.h"
#include "http/daemon.h"
#include "http/guard.h"

#include <inttypes.h>

enum { ARENA_MAX = 128 * 1024 * 1024 };

static struct watch *watch_of(struct MHD_Connection *connection)
{
    const union MHD_ConnectionInfo *info = MHD_get_connection_info(
        connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT);
    return info != NULL ? info->socket_context : NULL;
}

struct exchange *exchange_begin(struct daemon *daemon, struct MHD_Connection *connection,
                                const char *target)
{
    struct watch *watch = watch_of(connection);
    struct arena *arena = arena_new(ARENA_MAX);
    struct exchange *exchange = arena != NULL ? arena_alloc(arena, sizeof *exchange) : NULL;
    if (exchange == NULL) {
        arena_free(arena);
        return NULL;
    }
    exchange->daemon = daemon;
    exchange->connection = connection;
    exchange->watch = watch;
    exchange->target_fault = guard_target(target);
    exchange->begun_ms = monotonic_ms();
    exchange->request.arena = arena;
    exchange->request.actor = "";
    fails_init(&exchange->request.fails, arena);
    return exchange;
}

static void log_request(const struct exchange *exchange)
{
    const struct request *request = &exchange->request;
    if (!exchange->for_api) return;
    log_info("%s %s %d %" PRId64 " ms %s", request->method, request->path, request->reply.status,
             monotonic_ms() - exchange->begun_ms,
             request->actor != NULL && request->actor[0] != '\0' ? request->actor : "-");
}

void exchange_end(struct exchange *exchange)
{
    if (exchange == NULL) return;
    log_request(exchange);
    arena_free(exchange->request.arena);
}

/* Sees to it that an exchange without faults has an answer. */
static void check_answer(struct request *request)
{
    if (fails_any(&request->fails)) return;
    if (arena_failed(request->arena) || !text_ok(&request->reply.body))
        fail_memory(&request->fails);
    else if (request->reply.status == 0)
        fail_add(&request->fails, FAIL_INTERNAL, "", "no answer was made");
}

void exchange_finish(struct exchange *exchange)
{
    struct request *request = &exchange->request;
    check_answer(request);
    if (fails_any(&request->fails)) reply_problem(request);
    reply_finish(request);
}
