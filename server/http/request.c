/* What a handler asks of its request, and how it begins its answer. */
#include "http/request.h"

#include "base/arena.h"

#include <stdarg.h>
#include <string.h>

enum { ANSWER_MAX = 32 * 1024 * 1024 };

static const char *find(const struct param *params, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++)
        if (strcmp(params[i].name, name) == 0) return params[i].value;
    return NULL;
}

const char *request_param(const struct request *request, const char *name)
{
    const char *value = find(request->params, request->param_count, name);
    return value != NULL ? value : "";
}

const char *request_query(const struct request *request, const char *name)
{
    return find(request->query, request->query_count, name);
}

bool request_date(struct request *request, const char *name, date *out)
{
    const char *value = request_param(request, name);
    if (date_parse(value, out)) return true;
    return fail_add(&request->fails, FAIL_INVALID, "",
                    "%s is not a day of the calendar (YYYY-MM-DD)", value);
}

bool request_json(struct request *request, struct json_node *root)
{
    const char *body = request->body != NULL ? request->body : "";
    return json_parse(request->arena, &request->fails, body, request->body_length, root);
}

/* --- answers --- */

struct json_writer *reply_json(struct request *request, int status)
{
    struct reply *reply = &request->reply;
    reply->status = status;
    reply->content_type = "application/json";
    text_init(&reply->body, request->arena, ANSWER_MAX);
    json_writer_init(&reply->json, &reply->body);
    return &reply->json;
}

void reply_revision(struct request *request, int64_t revision)
{
    request->reply.has_etag = true;
    request->reply.revision = revision;
}

void reply_etag(struct request *request)
{
    reply_revision(request, 0);
}

void reply_nothing(struct request *request)
{
    reply_json(request, 204);
    request->reply.content_type = NULL;
}

void reply_location(struct request *request, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    request->reply.location = arena_vprintf(request->arena, format, args);
    va_end(args);
}
