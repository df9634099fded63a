/* What is told about a request before anybody performs it, and in which order. */
#include "bakehouse.h"
#include "wire.h"

#include <criterion/criterion.h>

#include <stdio.h>
#include <string.h>
#include <unistd.h>

TestSuite(intake, .timeout = 60, .init = bakehouse_start, .fini = bakehouse_stop);

#define PUT(path) "PUT " path " HTTP/1.1\r\n" HOST
#define LOAF      "/api/v1/loaves/rye"
#define LARGE     "Content-Length: 100000\r\n"
#define SMALL     "Content-Length: 2\r\n"

static int ask(const char *text)
{
    return wire_ask(bakehouse_port, text)->status;
}

static int performed(void)
{
    return atomic_load(&bakehouse_performed);
}

Test(intake, a_good_request_is_performed)
{
    const struct answer *answer = wire_ask(bakehouse_port, PUT(LOAF) TOKEN JSON SMALL "\r\n{}");
    cr_expect_eq(answer->status, 201, "%s", answer->head);
    cr_expect_str_eq(answer_header(answer, "Location"), "/api/v1/loaves/rye");
    cr_expect_str_eq(answer->body, "{\"code\":\"rye\"}");
    cr_expect_str_eq(bakehouse_seen.params, "code=rye;");
    cr_expect_str_eq(bakehouse_seen.body, "{}");
    cr_expect_str_eq(bakehouse_seen.client, "127.0.0.1");
}

/* Each line has one fault more than the line below it. */
Test(intake, the_first_fault_in_order_is_told)
{
    const char chunked[] = "Transfer-Encoding: chunked\r\n";
    char text[600];
    snprintf(text, sizeof text, "%s%s%s%s\r\n", PUT(LOAF), HOST, LARGE, chunked);
    cr_expect_eq(ask(text), 400);
    snprintf(text, sizeof text, "%s%s%s\r\n", PUT(LOAF), LARGE, chunked);
    cr_expect_eq(ask(text), 401);
    snprintf(text, sizeof text, "%s%s%s\r\n", PUT(LOAF) TOKEN, LARGE, chunked);
    cr_expect_eq(ask(text), 413);
    snprintf(text, sizeof text, "%s%s\r\n", PUT(LOAF) TOKEN "Content-Type: text/plain\r\n",
             chunked);
    cr_expect_eq(ask(text), 411);
    cr_expect_eq(ask(PUT(LOAF) TOKEN
                     "Content-Type: text/plain\r\nIdempotency-Key: \xc3\xa9\r\n" SMALL "\r\n{}"),
                 415);
    cr_expect_eq(ask(PUT(LOAF) TOKEN JSON "Idempotency-Key: \xc3\xa9\r\n" SMALL "\r\n{}"), 400);
    cr_expect_eq(performed(), 0);
    cr_expect_eq(ask(PUT("/api/v1/no") "Authorization: Bearer bad\r\n" JSON SMALL "\r\n{}"), 401);
    cr_expect_eq(ask(PUT("/api/v1/no") TOKEN JSON SMALL "\r\n{}"), 404);
    cr_expect_eq(ask("PATCH " LOAF " HTTP/1.1\r\n" HOST TOKEN JSON SMALL "\r\n{}"), 405);
    cr_expect_eq(performed(), 3);
}

Test(intake, no_credentials_are_401_wherever)
{
    cr_expect_eq(ask(PUT(LOAF) "\r\n"), 401);
    cr_expect_eq(ask(PUT("/api/v1/no") "\r\n"), 401);
    cr_expect_eq(ask(PUT("/api") "\r\n"), 401);
    cr_expect_eq(ask("PATCH " LOAF " HTTP/1.1\r\n" HOST "\r\n"), 401);
    cr_expect_eq(ask(PUT(LOAF) "Authorization: Basic YTpi\r\n\r\n"), 401);
    cr_expect_eq(ask(PUT(LOAF) "Authorization: Bearer \r\n\r\n"), 401);
    cr_expect_eq(ask(PUT(LOAF) "Authorization: Bearer\r\n\r\n"), 401);
    cr_expect_eq(ask(PUT(LOAF) "Cookie: other=good\r\n\r\n"), 401);
    cr_expect_eq(ask(PUT(LOAF) "Cookie: morrowloaf_session=\r\n\r\n"), 401);
    cr_expect_eq(performed(), 0);
    const struct answer *answer = wire_ask(bakehouse_port, PUT(LOAF) "\r\n");
    cr_expect_str_eq(answer_header(answer, "WWW-Authenticate"), "Bearer");
}

Test(intake, bearer_may_be_written_in_any_case_and_a_cookie_does_too)
{
    cr_expect_eq(ask("GET " LOAF " HTTP/1.1\r\n" HOST "authorization: bEARER  good\r\n\r\n"), 200);
    cr_expect_eq(
        ask("GET " LOAF " HTTP/1.1\r\n" HOST "Cookie: a=b; morrowloaf_session=good\r\n\r\n"), 200);
    cr_expect_str_eq(bakehouse_seen.cookie, "good");
}

Test(intake, signing_in_needs_no_credentials)
{
    const struct answer *answer = wire_ask(
        bakehouse_port, "POST /api/v1/sessions HTTP/1.1\r\n" HOST JSON SMALL "\r\n{}");
    cr_expect_eq(answer->status, 200);
    cr_expect_str_eq(answer_header(answer, "Set-Cookie"), "morrowloaf_session=fresh; HttpOnly");
    cr_expect_eq(ask("GET /api/v1/sessions HTTP/1.1\r\n" HOST "\r\n"), 401);
}

/* The server does not wait for what it will not take. */
Test(intake, a_body_that_is_too_large_is_told_before_it_is_sent)
{
    int wire = wire_open(bakehouse_port);
    wire_send(wire, PUT(LOAF) TOKEN JSON "Content-Length: 201\r\nExpect: 100-continue\r\n\r\n");
    const struct answer *answer = wire_answer(wire);
    cr_expect_eq(answer->status, 413);
    cr_expect_str_eq(answer_header(answer, "Connection"), "close");
    cr_expect(answer_holds(answer, "200 bytes"), "%s", answer->body);
    cr_expect(wire_ended(wire, 5000));
    close(wire);
}

Test(intake, a_body_as_large_as_the_limit_is_taken)
{
    char text[600], body[201];
    memset(body, ' ', 200);
    memcpy(body, "{}", 2);
    body[200] = '\0';
    snprintf(text, sizeof text, "%s%s", PUT(LOAF) TOKEN JSON "Content-Length: 200\r\n\r\n", body);
    cr_expect_eq(ask(text), 201);
}

/* Many clients send all they have before they read: an answer that comes meanwhile must not break
 * their connection. */
Test(intake, a_client_that_sends_everything_first_still_gets_its_413)
{
    static char piece[10001];
    memset(piece, 'x', sizeof piece - 1);
    for (int i = 0; i < 10; i++) {
        int wire = wire_open(bakehouse_port);
        wire_send(wire, PUT(LOAF) TOKEN JSON LARGE "\r\n");
        for (int sent = 0; sent < 100000; sent += 10000) {
            usleep(3000);
            cr_expect(wire_send(wire, piece), "cut off after %d bytes", sent);
        }
        cr_expect_eq(wire_answer(wire)->status, 413);
        cr_expect(wire_ended(wire, 5000));
        close(wire);
    }
}

Test(intake, continue_is_said_to_those_who_ask)
{
    int wire = wire_open(bakehouse_port);
    wire_send(wire, PUT(LOAF) TOKEN JSON SMALL "Expect: 100-continue\r\n\r\n");
    cr_expect_eq(wire_answer(wire)->status, 100);
    wire_send(wire, "{}");
    cr_expect_eq(wire_answer(wire)->status, 201);
    close(wire);
}

Test(intake, a_body_where_none_is_wanted_is_413)
{
    cr_expect_eq(ask("GET " LOAF " HTTP/1.1\r\n" HOST TOKEN JSON SMALL "\r\n{}"), 413);
    cr_expect_eq(ask("DELETE " LOAF " HTTP/1.1\r\n" HOST TOKEN JSON SMALL "\r\n{}"), 413);
    cr_expect_eq(ask("DELETE " LOAF " HTTP/1.1\r\n" HOST TOKEN "Content-Length: 0\r\n\r\n"), 204);
}

Test(intake, media_types)
{
    static const struct {
        const char *type;
        int status;
    } cases[] = {{"application/json", 201},
                 {"Application/JSON", 201},
                 {"application/json;charset=utf-8", 201},
                 {"application/json ; charset=utf-8", 201},
                 {"application/jsonx", 415},
                 {"application/json+x", 415},
                 {"application/merge-patch+json", 415},
                 {"text/plain", 415},
                 {"", 415}};
    char text[300];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        snprintf(text, sizeof text, "%sContent-Type: %s\r\n%s\r\n{}", PUT(LOAF) TOKEN,
                 cases[i].type, SMALL);
        cr_expect_eq(ask(text), cases[i].status, "%s", cases[i].type);
    }
    cr_expect_eq(ask(PUT(LOAF) TOKEN SMALL "\r\n{}"), 415);
    cr_expect_eq(ask(PUT(LOAF) TOKEN "\r\n"), 400, "without a body the JSON is what is missing");
}

Test(intake, unknown_places_have_a_limit_too)
{
    cr_expect_eq(ask(PUT("/api/v1/no") TOKEN JSON "Content-Length: 64001\r\n\r\n"), 413);
    cr_expect_eq(ask(PUT("/api/v1/no") TOKEN SMALL "\r\n{}"), 415);
}

Test(intake, keys_have_a_form)
{
    char key[300], text[600];
    memset(key, 'k', sizeof key);
    key[255] = '\0';
    snprintf(text, sizeof text, "%sIdempotency-Key: %s\r\n%s\r\n{}", PUT(LOAF) TOKEN JSON, key,
             SMALL);
    cr_expect_eq(ask(text), 201);
    cr_expect_str_eq(bakehouse_seen.key, key);
    key[255] = 'k';
    key[256] = '\0';
    snprintf(text, sizeof text, "%sIdempotency-Key: %s\r\n%s\r\n{}", PUT(LOAF) TOKEN JSON, key,
             SMALL);
    cr_expect_eq(ask(text), 400);
    cr_expect_eq(ask(PUT(LOAF) TOKEN JSON "Idempotency-Key: two words\r\n" SMALL "\r\n{}"), 400);
    cr_expect_eq(ask(PUT(LOAF) TOKEN JSON "Idempotency-Key:\r\n" SMALL "\r\n{}"), 400);
}

Test(intake, the_query_is_decoded)
{
    cr_expect_eq(ask("GET " LOAF "?a=b%20c&d=%C3%A9&e&f=1+2 HTTP/1.1\r\n" HOST TOKEN "\r\n"), 200);
    cr_expect_str_eq(bakehouse_seen.query, "a=b c;d=\xc3\xa9;e=;f=1 2;");
}

Test(intake, an_address_that_is_not_text_is_400)
{
    cr_expect_eq(ask("GET /api/v1/loaves/%ff HTTP/1.1\r\n" HOST TOKEN "\r\n"), 400);
    cr_expect_eq(ask("GET " LOAF "?a=%c0%80 HTTP/1.1\r\n" HOST TOKEN "\r\n"), 400);
    cr_expect_eq(ask("GET " LOAF "?%ff=1 HTTP/1.1\r\n" HOST TOKEN "\r\n"), 400);
    cr_expect_eq(ask("GET /api/v1/loaves%2Frye HTTP/1.1\r\n" HOST TOKEN "\r\n"), 400);
    cr_expect_eq(ask("GET /api/v1/loaves/rye%00x HTTP/1.1\r\n" HOST TOKEN "\r\n"), 400);
    cr_expect_eq(performed(), 0);
}

Test(intake, twelve_parameters_and_no_more)
{
    cr_expect_eq(ask("GET " LOAF "?a&b&c&d&e&f&g&h&i&j&k&l HTTP/1.1\r\n" HOST TOKEN "\r\n"), 200);
    cr_expect_eq(ask("GET " LOAF "?a&b&c&d&e&f&g&h&i&j&k&l&m HTTP/1.1\r\n" HOST TOKEN "\r\n"), 400);
    cr_expect_eq(ask("GET " LOAF "?a&b&c&d&e&f&g&h&i&j&k&l&m&n HTTP/1.1\r\n" HOST TOKEN "\r\n"),
                 400);
}

static bool trusted(const char *origin)
{
    char text[300];
    snprintf(text, sizeof text, "GET %s HTTP/1.1\r\nHost: house:8480\r\n%s%s\r\n", LOAF, TOKEN,
             origin);
    cr_assert_eq(ask(text), 200);
    return bakehouse_seen.trusted_origin;
}

Test(intake, whose_page_sends)
{
    cr_expect(trusted(""));
    cr_expect(trusted("Origin: http://house:8480\r\n"));
    cr_expect(trusted("Origin: https://HOUSE:8480\r\n"));
    cr_expect_not(trusted("Origin: http://house\r\n"));
    cr_expect_not(trusted("Origin: http://house:8481\r\n"));
    cr_expect_not(trusted("Origin: http://house:8480.elsewhere\r\n"));
    cr_expect_not(trusted("Origin: http://elsewhere\r\n"));
    cr_expect_not(trusted("Origin: null\r\n"));
    cr_expect_not(trusted("Origin: house:8480\r\n"));
    cr_expect_not(trusted("Origin:\r\n"));
}

static struct precondition condition(const char *headers)
{
    char text[300];
    snprintf(text, sizeof text, "GET %s HTTP/1.1\r\n%s%s\r\n", LOAF, HOST TOKEN, headers);
    cr_assert_eq(ask(text), 200);
    return bakehouse_seen.precondition;
}

Test(intake, preconditions)
{
    struct precondition none = condition("");
    cr_expect_not(none.must_exist);
    cr_expect_not(none.must_not_exist);
    struct precondition any = condition("If-Match: *\r\n");
    cr_expect(any.must_exist);
    cr_expect_eq(any.revision, 0);
    struct precondition one = condition("If-Match: \"12.0123456789abcdef\"\r\n");
    cr_expect(one.must_exist);
    cr_expect_eq(one.revision, 12);
    struct precondition foreign = condition("If-Match: \"12\"\r\n");
    cr_expect(foreign.must_exist);
    cr_expect_eq(foreign.revision, -1);
    cr_expect_eq(condition("If-Match:\r\n").revision, -1);
    struct precondition new = condition("If-None-Match: \"1.0123456789abcdef\"\r\n");
    cr_expect_not(new.must_not_exist);
}
