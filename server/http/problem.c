/* Faults as RFC 9457 problems: the one table from what went wrong to what the client is told.
 *
 * Invariants: the gravest fault decides the status; all faults that were kept are told. What went
 * wrong inside (500) is for the log and not for the client. When there is no memory to write a
 * problem into, the answer is a 503 from static text, whatever the fault was.
 */
#include "http/problem.h"

#include "base/arena.h"
#include "base/log.h"
#include "http/daemon.h"

#include <string.h>

static const struct {
    int status;
    const char *title;
} answers[FAIL_CODES] = {
    [FAIL_NONE] = {500, "Internal Server Error"},
    [FAIL_MALFORMED] = {400, "Bad Request"},
    [FAIL_KEY_MISSING] = {400, "Bad Request"},
    [FAIL_UNAUTHENTICATED] = {401, "Unauthorized"},
    [FAIL_FORBIDDEN] = {403, "Forbidden"},
    [FAIL_NOT_FOUND] = {404, "Not Found"},
    [FAIL_METHOD] = {405, "Method Not Allowed"},
    [FAIL_CONFLICT] = {409, "Conflict"},
    [FAIL_LENGTH] = {411, "Length Required"},
    [FAIL_PRECONDITION] = {412, "Precondition Failed"},
    [FAIL_TOO_LARGE] = {413, "Content Too Large"},
    [FAIL_MEDIA_TYPE] = {415, "Unsupported Media Type"},
    [FAIL_INVALID] = {422, "Unprocessable Content"},
    [FAIL_KEY_REUSED] = {422, "Unprocessable Content"},
    [FAIL_TOO_MANY] = {429, "Too Many Requests"},
    [FAIL_INTERNAL] = {500, "Internal Server Error"},
    [FAIL_UNAVAILABLE] = {503, "Service Unavailable"},
};

enum { WAIT_AFTER_ATTEMPTS_S = 60 };

char problem_of_memory[] =
    "{\"type\":\"about:blank\",\"title\":\"Service Unavailable\",\"status\":503,"
    "\"detail\":\"the server is short of memory; nothing is wrong with the request, try again\","
    "\"errors\":[]}";

static void write_errors(struct json_writer *json, const struct fails *fails)
{
    json_open_list(json, "errors");
    for (size_t i = 0; i < fails->count; i++) {
        json_open_object(json, NULL);
        json_put_text(json, "pointer", fails->items[i].path);
        json_put_text(json, "detail", fails->items[i].text);
        json_close(json);
    }
    json_close(json);
}

/* The sentence of the fault that decides, and how many more there are. */
static void write_detail(struct json_writer *json, struct request *request, enum fail_code code)
{
    const struct fails *fails = &request->fails;
    const char *detail = answers[code].title;
    for (size_t i = fails->count; i > 0; i--)
        if (fails->items[i - 1].code == code) detail = fails->items[i - 1].text;
    if (fails->found > 1)
        detail = arena_printf(request->arena, "%s (one of %zu faults)", detail, fails->found);
    json_put_text(json, "detail", detail);
}

/* A defect of ours: the words go to the log, the client gets none of them. */
static void hide_inside(struct request *request)
{
    struct fails *fails = &request->fails;
    for (size_t i = 0; i < fails->count; i++)
        log_error("%s %s: %s", request->method, request->path, fails->items[i].text);
    fails_init(fails, request->arena);
    fail_add(fails, FAIL_INTERNAL, "", "something went wrong in the server; its log says what");
}

static void write_problem(struct request *request, enum fail_code code)
{
    struct json_writer *json = reply_json(request, answers[code].status);
    json_open_object(json, NULL);
    json_put_text(json, "type", "about:blank");
    json_put_text(json, "title", answers[code].title);
    json_put_whole(json, "status", answers[code].status);
    write_detail(json, request, code);
    write_errors(json, &request->fails);
    json_close(json);
}

static int wait_of(enum fail_code code, int wanted_s)
{
    if (code == FAIL_UNAVAILABLE) return RETRY_AFTER_S;
    if (code == FAIL_TOO_MANY) return wanted_s > 0 ? wanted_s : WAIT_AFTER_ATTEMPTS_S;
    return 0;
}

void reply_problem(struct request *request)
{
    struct reply *reply = &request->reply;
    int wanted_s = reply->retry_after_s;
    enum fail_code code = fails_code(&request->fails);
    if (code == FAIL_INTERNAL || code == FAIL_NONE) {
        hide_inside(request);
        code = fails_code(&request->fails);
    }
    *reply = (struct reply){0};
    write_problem(request, code);
    if (arena_failed(request->arena) || !text_ok(&reply->body)) {
        code = FAIL_UNAVAILABLE;
        reply->status = answers[code].status;
        reply->body = (struct text){.data = problem_of_memory, .length = strlen(problem_of_memory)};
    }
    reply->content_type = PROBLEM_TYPE;
    reply->retry_after_s = wait_of(code, wanted_s);
}
