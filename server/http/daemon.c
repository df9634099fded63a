/* The server as a whole: libmicrohttpd's callbacks, start and stop.
 *
 * libmicrohttpd calls, all on the one epoll thread: on_connection when a connection begins and
 * ends; on_target with the request line; on_request with the head, then with each piece of the
 * body, then without a piece when all of it is there, and once more after a suspended connection is
 * resumed; on_complete when the answer is sent or the client is gone.
 *
 * Invariants: nothing here blocks. An answer is given with the head or after the whole body, never
 * in between; one that is given while a body is still to come ends the connection.
 */
#include "http/daemon.h"

#include "base/log.h"
#include "http/answer.h"
#include "http/etag.h"
#include "http/headers.h"
#include "http/intake.h"
#include "http/listener.h"
#include "http/server.h"
#include "http/static_files.h"
#include "http/workers.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>
#include <unistd.h>

enum {
    IDLE_S = 60,      /* a connection may be silent that long */
    SENDING_S = 120,  /* an answer must be taken within */
    FINISHING_S = 10, /* at the end, for the requests under way */
    CONNECTION_MEMORY = 32 * 1024,
    CONNECTIONS_MAX = 4000,
    OTHER_DESCRIPTORS = 100 /* not connections */
};

/* --- answering --- */

static enum MHD_Result answer(struct exchange *exchange)
{
    if (atomic_load(&exchange->daemon->stopping)) exchange->close = true;
    if (exchange->close) reaper_linger(exchange->watch);
    reaper_set(exchange->watch, SENDING_S);
    return answer_send(exchange);
}

static enum MHD_Result refuse(struct exchange *exchange)
{
    exchange_finish(exchange);
    return answer(exchange);
}

static bool has_body(const struct exchange *exchange)
{
    const char *length = header(exchange, "Content-Length");
    return (length != NULL && strcmp(length, "0") != 0) ||
           header(exchange, "Transfer-Encoding") != NULL;
}

static enum MHD_Result answer_file(struct exchange *exchange)
{
    struct request *request = &exchange->request;
    const struct static_file *file = static_files_find(exchange->daemon->files, request->path);
    if (file == NULL) {
        fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is nothing at %s", request->path);
        return refuse(exchange);
    }
    if (strcmp(request->method, "GET") != 0 && strcmp(request->method, "HEAD") != 0) {
        request->allow = "GET, HEAD";
        fail_add(&request->fails, FAIL_METHOD, "", "a page can only be read");
        return refuse(exchange);
    }
    const char *held = request->if_none_match;
    bool unmoved = held != NULL && etag_listed(held, file->etag);
    reaper_set(exchange->watch, SENDING_S);
    return MHD_queue_response(exchange->connection, unmoved ? 304 : 200,
                              unmoved ? file->unmoved : file->whole);
}

/* --- the stages of a request --- */

/* To answer with the head ends the connection in this libmicrohttpd, body or none. So only a body
 * that nobody wants is answered there; everything else waits for the call that says all is in. */
static enum MHD_Result take_head(struct exchange *exchange, const char *method, const char *path)
{
    const struct route *routes = exchange->daemon->service->routes;
    if (!intake_head(exchange, routes, method, path) && has_body(exchange)) {
        exchange->close = true;
        return refuse(exchange);
    }
    exchange->stage = EXCHANGE_RECEIVING;
    return MHD_YES;
}

static enum MHD_Result take_body(struct exchange *exchange, const char *bytes, size_t *length)
{
    intake_body(exchange, bytes, *length);
    *length = 0;
    return MHD_YES;
}

/* From workers_queue() on the exchange is the worker's: nothing may touch it here. */
static enum MHD_Result put_to_work(struct exchange *exchange)
{
    exchange->stage = EXCHANGE_AT_WORK;
    reaper_pause(exchange->watch);
    if (workers_queue(exchange->daemon->workers, exchange)) return MHD_YES;
    fail_add(&exchange->request.fails, FAIL_UNAVAILABLE, "", "%s",
             atomic_load(&exchange->daemon->stopping)
                 ? "the server is being stopped; try again"
                 : "the server has too much to do at the moment; try again");
    return refuse(exchange);
}

static enum MHD_Result take_end(struct exchange *exchange)
{
    if (fails_any(&exchange->request.fails) || !intake_end(exchange)) return refuse(exchange);
    return exchange->for_api ? put_to_work(exchange) : answer_file(exchange);
}

/* --- libmicrohttpd's callbacks --- */

static void count_open(struct daemon *daemon, int change)
{
    pthread_mutex_lock(&daemon->lock);
    if (change > 0)
        daemon->open++;
    else
        daemon->open--;
    pthread_cond_signal(&daemon->changed);
    pthread_mutex_unlock(&daemon->lock);
}

static void *on_target(void *context, const char *target, struct MHD_Connection *connection)
{
    struct daemon *daemon = context;
    struct exchange *exchange = exchange_begin(daemon, connection, target);
    count_open(daemon, 1);
    if (exchange != NULL) reaper_tighten(exchange->watch, daemon->receive_s);
    return exchange;
}

static enum MHD_Result on_request(void *context, struct MHD_Connection *connection,
                                  const char *path, const char *method, const char *version,
                                  const char *bytes, size_t *length, void **exchange_place)
{
    struct daemon *daemon = context;
    struct exchange *exchange = *exchange_place;
    (void)version;
    if (exchange == NULL) return MHD_queue_response(connection, 503, daemon->no_memory);
    switch (exchange->stage) {
    case EXCHANGE_BEGUN:
        return take_head(exchange, method, path);
    case EXCHANGE_RECEIVING:
        return *length > 0 ? take_body(exchange, bytes, length) : take_end(exchange);
    case EXCHANGE_AT_WORK:
        return answer(exchange);
    }
    return MHD_NO;
}

/* The next request line may come as late as a silent connection is kept, and then as slowly as any
 * request. */
static void on_complete(void *context, struct MHD_Connection *connection, void **exchange_place,
                        enum MHD_RequestTerminationCode why)
{
    struct daemon *daemon = context;
    struct exchange *exchange = *exchange_place;
    (void)connection;
    (void)why;
    if (exchange != NULL) reaper_set(exchange->watch, IDLE_S + daemon->receive_s);
    exchange_end(exchange);
    *exchange_place = NULL;
    count_open(daemon, -1);
}

static void on_connection(void *context, struct MHD_Connection *connection, void **watch_place,
                          enum MHD_ConnectionNotificationCode what)
{
    struct daemon *daemon = context;
    if (what == MHD_CONNECTION_NOTIFY_CLOSED) {
        reaper_remove(*watch_place);
        *watch_place = NULL;
        return;
    }
    int socket = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD)->connect_fd;
    *watch_place = reaper_add(daemon->reaper, socket, daemon->receive_s);
    if (*watch_place == NULL) shutdown(socket, SHUT_RDWR); /* none goes unwatched */
}

static void on_log(void *context, const char *format, va_list args)
{
    char line[400];
    (void)context;
    vsnprintf(line, sizeof line, format, args);
    line[strcspn(line, "\n")] = '\0';
    log_info("connection: %s", line);
}

/* --- start --- */

static unsigned connections_max(void)
{
    struct rlimit files;
    if (getrlimit(RLIMIT_NOFILE, &files) != 0 || files.rlim_cur <= OTHER_DESCRIPTORS) return 100;
    rlim_t left = files.rlim_cur - OTHER_DESCRIPTORS;
    return left < CONNECTIONS_MAX ? (unsigned)left : CONNECTIONS_MAX;
}

static bool start_http(struct daemon *daemon)
{
    unsigned flags = MHD_USE_EPOLL_INTERNAL_THREAD | MHD_ALLOW_SUSPEND_RESUME | MHD_USE_ERROR_LOG;
    daemon->http = MHD_start_daemon(
        flags, 0, NULL, NULL, on_request, daemon, MHD_OPTION_EXTERNAL_LOGGER, on_log, NULL,
        MHD_OPTION_LISTEN_SOCKET, daemon->listener, MHD_OPTION_STRICT_FOR_CLIENT, 1,
        MHD_OPTION_CONNECTION_TIMEOUT, (unsigned)IDLE_S, MHD_OPTION_CONNECTION_LIMIT,
        connections_max(), MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)CONNECTION_MEMORY,
        MHD_OPTION_URI_LOG_CALLBACK, on_target, daemon, MHD_OPTION_NOTIFY_COMPLETED, on_complete,
        daemon, MHD_OPTION_NOTIFY_CONNECTION, on_connection, daemon, MHD_OPTION_END);
    if (daemon->http == NULL) log_error("the HTTP server does not start");
    return daemon->http != NULL;
}

static struct daemon *daemon_new(const struct daemon_settings *settings,
                                 const struct service *service)
{
    pthread_condattr_t monotonic;
    struct daemon *daemon = calloc(1, sizeof *daemon);
    if (daemon == NULL) return NULL;
    daemon->service = service;
    daemon->listener = -1;
    daemon->receive_s = settings->receive_s;
    pthread_mutex_init(&daemon->lock, NULL);
    pthread_condattr_init(&monotonic);
    pthread_condattr_setclock(&monotonic, CLOCK_MONOTONIC);
    pthread_cond_init(&daemon->changed, &monotonic);
    pthread_condattr_destroy(&monotonic);
    return daemon;
}

static void daemon_free(struct daemon *daemon)
{
    if (daemon->listener >= 0) close(daemon->listener);
    workers_free(daemon->workers);
    reaper_stop(daemon->reaper);
    static_files_free(daemon->files);
    if (daemon->no_memory != NULL) MHD_destroy_response(daemon->no_memory);
    pthread_cond_destroy(&daemon->changed);
    pthread_mutex_destroy(&daemon->lock);
    free(daemon);
}

struct daemon *daemon_start(const struct daemon_settings *settings, const struct service *service)
{
    struct daemon *daemon = daemon_new(settings, service);
    if (daemon == NULL) {
        log_error("no memory for the server");
        return NULL;
    }
    if ((daemon->no_memory = answer_no_memory()) != NULL &&
        (daemon->files = static_files_read(settings->static_folder)) != NULL &&
        (daemon->listener = listener_open(settings->address, &daemon->port)) >= 0 &&
        (daemon->reaper = reaper_start()) != NULL &&
        (daemon->workers = workers_start(settings, service)) != NULL && start_http(daemon))
        return daemon;
    if (daemon->workers != NULL) workers_stop(daemon->workers);
    daemon_free(daemon);
    return NULL;
}

int daemon_port(const struct daemon *daemon)
{
    return daemon->port;
}

/* --- stop --- */

/* Waits until every exchange is complete, but not for ever: a client may not want its answer. */
static void wait_for_exchanges(struct daemon *daemon)
{
    struct timespec until;
    int waited = 0;
    clock_gettime(CLOCK_MONOTONIC, &until);
    until.tv_sec += FINISHING_S;
    pthread_mutex_lock(&daemon->lock);
    while (daemon->open > 0 && waited != ETIMEDOUT)
        waited = pthread_cond_timedwait(&daemon->changed, &daemon->lock, &until);
    if (daemon->open > 0) log_warning("%zu requests were cut off", daemon->open);
    pthread_mutex_unlock(&daemon->lock);
}

void daemon_stop(struct daemon *daemon)
{
    if (daemon == NULL) return;
    atomic_store(&daemon->stopping, true);
    MHD_quiesce_daemon(daemon->http);
    workers_stop(daemon->workers);
    wait_for_exchanges(daemon);
    MHD_stop_daemon(daemon->http);
    daemon_free(daemon);
}
