/* Faults as problems, without any connection. */
#include "base/arena.h"
#include "base/log.h"
#include "http/daemon.h"

#include <criterion/criterion.h>

#include <string.h>

static struct request request;

static void begin(void)
{
    log_set_level(LOG_QUIET);
    request = (struct request){.arena = arena_new(0), .method = "GET", .path = "/x"};
    fails_init(&request.fails, request.arena);
}

static void end(void)
{
    arena_free(request.arena);
}

TestSuite(problem, .timeout = 20, .init = begin, .fini = end);
TestSuite(finish, .timeout = 20, .init = begin, .fini = end);

Test(problem, has_every_member_and_all_faults)
{
    fail_add(&request.fails, FAIL_INVALID, "/lines/0/pct", "too much");
    fail_add(&request.fails, FAIL_INVALID, "/name", "say \"something\"");
    reply_problem(&request);
    cr_expect_eq(request.reply.status, 422);
    cr_expect_str_eq(request.reply.content_type, "application/problem+json");
    cr_expect_str_eq(request.reply.body.data,
                     "{\"type\":\"about:blank\",\"title\":\"Unprocessable Content\",\"status\":422,"
                     "\"detail\":\"too much (one of 2 faults)\",\"errors\":["
                     "{\"pointer\":\"/lines/0/pct\",\"detail\":\"too much\"},"
                     "{\"pointer\":\"/name\",\"detail\":\"say \\\"something\\\"\"}]}");
}

Test(problem, every_code_has_its_status)
{
    static const int statuses[FAIL_CODES] = {
        [FAIL_MALFORMED] = 400,  [FAIL_KEY_MISSING] = 400, [FAIL_UNAUTHENTICATED] = 401,
        [FAIL_FORBIDDEN] = 403,  [FAIL_NOT_FOUND] = 404,   [FAIL_METHOD] = 405,
        [FAIL_CONFLICT] = 409,   [FAIL_LENGTH] = 411,      [FAIL_PRECONDITION] = 412,
        [FAIL_TOO_LARGE] = 413,  [FAIL_MEDIA_TYPE] = 415,  [FAIL_INVALID] = 422,
        [FAIL_KEY_REUSED] = 422, [FAIL_TOO_MANY] = 429,    [FAIL_INTERNAL] = 500,
        [FAIL_UNAVAILABLE] = 503};
    for (enum fail_code code = FAIL_MALFORMED; code < FAIL_CODES; code++) {
        fails_init(&request.fails, request.arena);
        fail_add(&request.fails, code, "", "words");
        reply_problem(&request);
        cr_expect_eq(request.reply.status, statuses[code], "code %d: %d", code,
                     request.reply.status);
    }
}

Test(problem, the_gravest_fault_decides)
{
    fail_add(&request.fails, FAIL_INVALID, "/a", "wrong");
    fail_add(&request.fails, FAIL_UNAVAILABLE, "", "the database is away");
    fail_add(&request.fails, FAIL_CONFLICT, "/b", "in use");
    reply_problem(&request);
    cr_expect_eq(request.reply.status, 503);
    cr_expect_gt(request.reply.retry_after_s, 0);
    cr_expect_not_null(strstr(request.reply.body.data, "the database is away (one of 3 faults)"));
}

Test(problem, a_half_made_answer_is_forgotten)
{
    json_open_object(reply_json(&request, 201), NULL);
    reply_revision(&request, 3);
    reply_location(&request, "/somewhere");
    request.reply.set_cookie = "a=b";
    fail_add(&request.fails, FAIL_CONFLICT, "", "in use");
    reply_problem(&request);
    cr_expect_null(request.reply.location);
    cr_expect_null(request.reply.set_cookie);
    cr_expect_null(reply_finish(&request));
    cr_expect_eq(request.reply.retry_after_s, 0);
}

Test(problem, what_went_wrong_inside_stays_inside)
{
    fail_add(&request.fails, FAIL_INTERNAL, "/x", "relation morrowloaf.person does not exist");
    reply_problem(&request);
    cr_expect_eq(request.reply.status, 500);
    cr_expect_null(strstr(request.reply.body.data, "person"), "%s", request.reply.body.data);
}

Test(problem, attempts_say_when_to_come_again)
{
    request.reply.retry_after_s = 17;
    fail_add(&request.fails, FAIL_TOO_MANY, "", "wait");
    reply_problem(&request);
    cr_expect_eq(request.reply.retry_after_s, 17);
}

/* Whatever allocation fails while a fault is added and told, the answer is a whole 503. */
Test(problem, short_memory_is_503_from_static_text)
{
    int starved = 0;
    for (long n = 1;; n++) {
        end();
        begin();
        arena_fail_nth(n);
        fail_add(&request.fails, FAIL_INVALID, "/lines/0/pct", "too much");
        fail_add(&request.fails, FAIL_INVALID, "/name", "too little");
        reply_problem(&request);
        arena_fail_nth(0);
        if (request.reply.status == 422) break;
        starved++;
        cr_expect_eq(request.reply.status, 503);
        cr_expect_eq(request.reply.body.length, strlen(request.reply.body.data));
        cr_expect_not_null(strstr(request.reply.body.data, "short of memory"));
        cr_expect_str_eq(request.reply.content_type, "application/problem+json");
        cr_expect_gt(request.reply.retry_after_s, 0);
    }
    cr_expect_gt(starved, 4);
}

static const char *make_loaf(int64_t revision)
{
    reply_json(&request, 200);
    text_add_string(&request.reply.body, "{}");
    if (revision > 0)
        reply_revision(&request, revision);
    else
        reply_etag(&request);
    return reply_finish(&request);
}

Test(finish, the_etag_stands_for_revision_and_body)
{
    const char *tag = make_loaf(5);
    cr_assert_not_null(tag);
    cr_expect_eq(strncmp(tag, "\"5.", 3), 0);
    cr_expect_eq(request.reply.status, 200);
    cr_expect_eq(request.reply.body.length, 2);
    cr_expect_eq(strncmp(make_loaf(0), "\"0.", 3), 0);
}

Test(finish, a_client_that_has_it_gets_304)
{
    request.if_none_match = arena_copy(request.arena, make_loaf(5));
    cr_expect_str_eq(make_loaf(5), request.if_none_match);
    cr_expect_eq(request.reply.status, 304);
    cr_expect_eq(request.reply.body.length, 0);
    cr_expect_null(request.reply.content_type);
    make_loaf(6);
    cr_expect_eq(request.reply.status, 200);
}

Test(finish, only_reading_is_ever_304)
{
    request.if_none_match = "*";
    request.method = "PUT";
    make_loaf(5);
    cr_expect_eq(request.reply.status, 200);
    request.method = "HEAD";
    make_loaf(5);
    cr_expect_eq(request.reply.status, 304);
}

Test(finish, an_answer_without_one_has_none)
{
    reply_nothing(&request);
    cr_expect_null(reply_finish(&request));
    cr_expect_eq(request.reply.status, 204);
}
