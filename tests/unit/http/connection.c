/* Connections and answers: kept, pipelined, many at once, without a body. */
#include "bakehouse.h"
#include "wire.h"

#include <criterion/criterion.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

TestSuite(connection, .timeout = 100, .init = bakehouse_start, .fini = bakehouse_stop);

#define LOAF "/api/v1/loaves/rye"

Test(connection, is_kept_from_request_to_request)
{
    int wire = wire_open(bakehouse_port);
    for (int i = 0; i < 20; i++) {
        wire_send(wire, GET(LOAF) "\r\n");
        cr_expect_eq(wire_answer(wire)->status, 200);
        wire_send(wire, "PUT " LOAF " HTTP/1.1\r\n" HOST TOKEN JSON "Content-Length: 2\r\n\r\n{}");
        cr_expect_eq(wire_answer(wire)->status, 201);
        wire_send(wire, "GET / HTTP/1.1\r\n" HOST "\r\n");
        cr_expect_eq(wire_answer(wire)->status, 200);
        wire_send(wire, "GET " LOAF " HTTP/1.1\r\n" HOST "\r\n");
        cr_expect_eq(wire_answer(wire)->status, 401);
    }
    cr_expect_not(wire_ended(wire, 50));
    close(wire);
}

Test(connection, ends_when_the_client_says_so)
{
    int wire = wire_open(bakehouse_port);
    wire_send(wire, GET(LOAF) "Connection: close\r\n\r\n");
    cr_expect_eq(wire_answer(wire)->status, 200);
    cr_expect(wire_ended(wire, 2000));
    close(wire);
}

Test(connection, pipelined_requests_are_answered_in_order)
{
    int wire = wire_open(bakehouse_port);
    wire_send(wire, GET("/api/v1/loaves/one") "\r\n"
              "PUT /api/v1/loaves/two HTTP/1.1\r\n" HOST TOKEN JSON "Content-Length: 2\r\n\r\n{}"
              "GET / HTTP/1.1\r\n" HOST "\r\n"
              GET("/api/v1/loaves/three") "\r\n"
              GET("/api/v1/loaves/four") "Connection: close\r\n\r\n");
    cr_expect(answer_holds(wire_answer(wire), "one"));
    cr_expect(answer_holds(wire_answer(wire), "two"));
    cr_expect(answer_holds(wire_answer(wire), "bread"));
    cr_expect(answer_holds(wire_answer(wire), "three"));
    cr_expect(answer_holds(wire_answer(wire), "four"));
    cr_expect(wire_ended(wire, 2000));
    close(wire);
}

Test(connection, a_request_in_single_bytes_is_understood)
{
    static const char text[] = "PUT " LOAF " HTTP/1.1\r\n" HOST TOKEN JSON
                               "Content-Length: 9\r\n\r\n{\"a\": 12}";
    int wire = wire_open(bakehouse_port);
    for (size_t i = 0; text[i] != '\0'; i++) {
        wire_send(wire, (char[]){text[i], '\0'});
        if (i % 10 == 0) usleep(500);
    }
    cr_expect_eq(wire_answer(wire)->status, 201);
    cr_expect_str_eq(bakehouse_seen.body, "{\"a\": 12}");
    close(wire);
}

Test(connection, head_is_get_without_the_body)
{
    char tag[100];
    const struct answer *got = wire_ask(bakehouse_port, GET(LOAF) "\r\n");
    snprintf(tag, sizeof tag, "%s", answer_header(got, "ETag"));
    size_t length = got->length;
    int wire = wire_open(bakehouse_port);
    wire_send(wire, "HEAD " LOAF " HTTP/1.1\r\n" HOST TOKEN "\r\n" GET(LOAF) "\r\n");
    const struct answer *head = wire_head_answer(wire);
    cr_expect_eq(head->status, 200);
    cr_expect_str_eq(answer_header(head, "ETag"), tag);
    cr_expect_eq(strtoul(answer_header(head, "Content-Length"), NULL, 10), length);
    cr_expect_eq(wire_answer(wire)->status, 200, "nothing stands between the two answers");
    wire_send(wire, "HEAD /api/v1/no HTTP/1.1\r\n" HOST TOKEN "\r\n" GET(LOAF) "\r\n");
    cr_expect_eq(wire_head_answer(wire)->status, 404);
    cr_expect_eq(wire_answer(wire)->status, 200);
    close(wire);
}

Test(connection, what_the_client_has_is_304)
{
    char text[300];
    const struct answer *got = wire_ask(bakehouse_port, GET(LOAF) "\r\n");
    cr_expect_str_eq(answer_header(got, "Cache-Control"), "no-store");
    snprintf(text, sizeof text, GET(LOAF) "If-None-Match: \"x\", %s\r\n\r\n" GET(LOAF) "\r\n",
             answer_header(got, "ETag"));
    int wire = wire_open(bakehouse_port);
    wire_send(wire, text);
    const struct answer *kept = wire_answer(wire);
    cr_expect_eq(kept->status, 304);
    cr_expect_not_null(answer_header(kept, "ETag"));
    cr_expect_null(answer_header(kept, "Content-Type"));
    cr_expect_eq(wire_answer(wire)->status, 200, "nothing stands between the two answers");
    close(wire);
}

Test(connection, nothing_at_all_is_204)
{
    int wire = wire_open(bakehouse_port);
    wire_send(wire, "DELETE " LOAF " HTTP/1.1\r\n" HOST TOKEN "\r\n" GET(LOAF) "\r\n");
    const struct answer *none = wire_answer(wire);
    cr_expect_eq(none->status, 204);
    cr_expect_null(answer_header(none, "Content-Type"));
    cr_expect_eq(wire_answer(wire)->status, 200, "nothing stands between the two answers");
    close(wire);
}

Test(connection, answers_of_the_api_are_protected_too)
{
    const struct answer *answer = wire_ask(bakehouse_port, GET(LOAF) "\r\n");
    cr_expect_str_eq(answer_header(answer, "Content-Type"), "application/json");
    cr_expect_not_null(answer_header(answer, "Content-Security-Policy"));
    cr_expect_str_eq(answer_header(answer, "X-Content-Type-Options"), "nosniff");
}

Test(connection, special_answers_have_their_headers)
{
    const struct answer *answer = wire_ask(bakehouse_port,
                                           "PATCH " LOAF " HTTP/1.1\r\n" HOST TOKEN "\r\n");
    cr_expect_eq(answer->status, 405);
    cr_expect_str_eq(answer_header(answer, "Allow"), "GET, HEAD, PUT, DELETE");
    answer = wire_ask(bakehouse_port, GET("/api/v1/locked") "\r\n");
    cr_expect_eq(answer->status, 429);
    cr_expect_str_eq(answer_header(answer, "Retry-After"), "33");
    answer = wire_ask(bakehouse_port,
                      "GET " LOAF " HTTP/1.1\r\n" HOST "Authorization: Bearer bad\r\n\r\n");
    cr_expect_eq(answer->status, 401);
    cr_expect_str_eq(answer_header(answer, "WWW-Authenticate"), "Bearer");
    cr_expect_null(answer_header(answer, "Allow"));
}

Test(connection, defects_are_500_and_say_nothing_of_the_inside)
{
    cr_expect_eq(wire_ask(bakehouse_port, GET("/api/v1/undone") "\r\n")->status, 500);
    const struct answer *broken = wire_ask(bakehouse_port, GET("/api/v1/broken") "\r\n");
    cr_expect_eq(broken->status, 500);
    cr_expect_not(answer_holds(broken, "secret"));
}

Test(connection, a_long_answer_arrives_whole)
{
    const struct answer *answer = wire_ask(bakehouse_port, GET("/api/v1/crumbs/3000000") "\r\n");
    cr_expect_eq(answer->status, 200);
    cr_expect_eq(answer->length, 3000000 + strlen("{\"crumbs\":\"\"}"));
    cr_expect_eq(strspn(answer->body + strlen("{\"crumbs\":\""), "o"), 3000000);
}

/* A client that does not read its long answer stops nobody else, nor the end of the server. */
Test(connection, one_that_goes_away_is_no_trouble)
{
    for (int i = 0; i < 30; i++) {
        int wire = wire_open(bakehouse_port);
        wire_send(wire, GET("/api/v1/crumbs/3000000") "\r\n");
        if (i % 3 == 0) usleep(3000);
        close(wire);
        wire = wire_open(bakehouse_port);
        wire_send(wire, "PUT " LOAF " HTTP/1.1\r\n" HOST TOKEN JSON "Content-Length: 20\r\n\r\n{");
        close(wire);
    }
    cr_expect_eq(wire_ask(bakehouse_port, GET(LOAF) "\r\n")->status, 200);
}

enum { MANY = 200, ROUNDS = 5 };

/* All connections are open, and all requests sent, before the first answer is read. */
Test(connection, two_hundred_at_once)
{
    static int wires[MANY];
    for (int i = 0; i < MANY; i++)
        wires[i] = wire_open(bakehouse_port);
    for (int round = 0; round < ROUNDS; round++) {
        for (int i = 0; i < MANY; i++) {
            char text[300];
            snprintf(text, sizeof text,
                     i % 2 ? "GET /api/v1/loaves/n%d HTTP/1.1\r\n" HOST TOKEN "\r\n"
                           : "PUT /api/v1/loaves/n%d HTTP/1.1\r\n" HOST TOKEN JSON
                             "Content-Length: 2\r\n\r\n{}",
                     i);
            wire_send(wires[i], text);
        }
        for (int i = 0; i < MANY; i++) {
            char wanted[40];
            const struct answer *answer = wire_answer(wires[i]);
            snprintf(wanted, sizeof wanted, "{\"code\":\"n%d\"}", i);
            cr_expect_eq(answer->status, i % 2 ? 200 : 201);
            cr_expect_str_eq(answer->body, wanted, "another's answer");
        }
    }
    for (int i = 0; i < MANY; i++)
        close(wires[i]);
    cr_expect_eq(atomic_load(&bakehouse_performed), MANY * ROUNDS);
}
