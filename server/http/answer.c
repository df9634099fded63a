/* Answers as libmicrohttpd wants them.
 *
 * Invariants: every answer carries the headers of `always`; bodies are borrowed from the request's
 * arena or from static memory, never copied. A header that finds no memory makes the whole answer a
 * 503: half an answer is never sent.
 */
#include "http/answer.h"

#include "http/problem.h"
#include "http/server.h"

#include <stdio.h>
#include <string.h>

static const struct {
    const char *name;
    const char *value;
} always[] = {
    {"Content-Security-Policy",
     "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
     "connect-src 'self'; font-src 'self'; manifest-src 'self'; form-action 'self'; "
     "base-uri 'none'; frame-ancestors 'none'"},
    {"X-Content-Type-Options", "nosniff"},
    {"Referrer-Policy", "no-referrer"},
    {"Cross-Origin-Resource-Policy", "same-origin"},
};

/* True also when there is no value: nothing was to be added. */
static bool add(struct MHD_Response *response, const char *name, const char *value)
{
    return value == NULL || MHD_add_response_header(response, name, value) == MHD_YES;
}

static bool add_seconds(struct MHD_Response *response, const char *name, int seconds)
{
    char text[16];
    if (seconds == 0) return true;
    snprintf(text, sizeof text, "%d", seconds);
    return add(response, name, text);
}

static bool add_always(struct MHD_Response *response)
{
    for (size_t i = 0; i < sizeof always / sizeof always[0]; i++)
        if (!add(response, always[i].name, always[i].value)) return false;
    return true;
}

struct MHD_Response *answer_new(const void *bytes, size_t length, const struct answer_head *head)
{
    struct MHD_Response *response = MHD_create_response_from_buffer(length, (void *)bytes,
                                                                    MHD_RESPMEM_PERSISTENT);
    if (response == NULL) return NULL;
    if (add_always(response) && add(response, "Content-Type", head->content_type) &&
        add(response, "Cache-Control", head->cache_control) && add(response, "ETag", head->etag))
        return response;
    MHD_destroy_response(response);
    return NULL;
}

struct MHD_Response *answer_no_memory(void)
{
    const struct answer_head head = {.content_type = PROBLEM_TYPE, .cache_control = "no-store"};
    struct MHD_Response *response = answer_new(problem_of_memory, strlen(problem_of_memory), &head);
    if (response == NULL) return NULL;
    if (add_seconds(response, "Retry-After", RETRY_AFTER_S) && add(response, "Connection", "close"))
        return response;
    MHD_destroy_response(response);
    return NULL;
}

static bool add_reply(struct MHD_Response *response, const struct exchange *exchange)
{
    const struct request *request = &exchange->request;
    const struct reply *reply = &request->reply;
    return add(response, "Location", reply->location) &&
           add(response, "Set-Cookie", reply->set_cookie) &&
           add_seconds(response, "Retry-After", reply->retry_after_s) &&
           add(response, "Allow", reply->status == 405 ? request->allow : NULL) &&
           add(response, "WWW-Authenticate", reply->status == 401 ? "Bearer" : NULL) &&
           add(response, "Connection", exchange->close ? "close" : NULL);
}

static struct MHD_Response *make(const struct exchange *exchange)
{
    const struct reply *reply = &exchange->request.reply;
    const struct answer_head head = {.content_type = reply->content_type,
                                     .cache_control = "no-store",
                                     .etag = reply->has_etag ? reply->etag : NULL};
    struct MHD_Response *response = answer_new(reply->body.data, reply->body.length, &head);
    if (response == NULL || add_reply(response, exchange)) return response;
    MHD_destroy_response(response);
    return NULL;
}

enum MHD_Result answer_send(struct exchange *exchange)
{
    struct daemon *daemon = exchange->daemon;
    struct reply *reply = &exchange->request.reply;
    struct MHD_Response *response = make(exchange);
    if (response == NULL) {
        reply->status = 503;
        return MHD_queue_response(exchange->connection, 503, daemon->no_memory);
    }
    enum MHD_Result result = MHD_queue_response(exchange->connection, (unsigned)reply->status,
                                                response);
    MHD_destroy_response(response);
    return result;
}
