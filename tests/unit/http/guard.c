/* Requests that two programs could read in two ways: each is refused and ends the connection. */
#include "http/guard.h"
#include "bakehouse.h"
#include "wire.h"

#include <criterion/criterion.h>
#include <criterion/parameterized.h>

#include <string.h>
#include <unistd.h>

TestSuite(guard, .timeout = 60);
TestSuite(target, .timeout = 20);

/* What would be answered 200 if it were ever taken for a request of its own. */
#define SMUGGLED GET("/api/v1/loaves/smuggled") "\r\n"
#define POST     "POST /api/v1/loaves HTTP/1.1\r\n" TOKEN JSON

struct smuggling {
    char head[400];
    int status;
    /* Refused by libmicrohttpd's own parser, which (0.9.75) writes the head of its answer twice. */
    bool by_library;
};

static const struct smuggling smugglings[] = {
    {POST HOST "Content-Length: 2\r\nContent-Length: 2\r\n", 400, false},
    {POST HOST "Content-Length: 2\r\nContent-Length: 60\r\n", 400, false},
    {POST HOST "Content-Length: 2, 2\r\n", 400, true},
    {POST HOST "Content-Length: +2\r\n", 400, true},
    {POST HOST "Content-Length: -2\r\n", 400, true},
    {POST HOST "Content-Length: 0x2\r\n", 400, true},
    {POST HOST "Content-Length: 2a\r\n", 400, true},
    {POST HOST "Content-Length:\r\n", 400, true},
    {POST HOST "Content-Length : 2\r\n", 400, false},
    {POST HOST "Content-Length: 99999999999999999999999\r\n", 413, true},
    {POST HOST "Content-Length: 18446744073709551617\r\n", 413, true},
    {POST HOST "Transfer-Encoding: chunked\r\n", 411, false},
    {POST HOST "Transfer-Encoding: identity\r\n", 411, false},
    {POST HOST "Transfer-Encoding: xchunked\r\n", 411, false},
    {POST HOST "Transfer-Encoding: chunked\r\nContent-Length: 2\r\n", 411, false},
    {POST HOST "Content-Length: 2\r\nTransfer-Encoding: chunked\r\n", 411, false},
    {POST HOST "Transfer-Encoding : chunked\r\nContent-Length: 2\r\n", 400, false},
    {POST HOST "Transfer-Encoding\t: chunked\r\nContent-Length: 2\r\n", 400, false},
    {POST HOST HOST "Content-Length: 2\r\n", 400, false},
    {POST HOST "Host: elsewhere\r\nContent-Length: 2\r\n", 400, false},
    {POST HOST "hOST: elsewhere\r\nContent-Length: 2\r\n", 400, false},
    {POST "Content-Length: 2\r\n", 400, true},
    {POST HOST TOKEN "Content-Length: 2\r\n", 400, false},
    {POST HOST JSON "Content-Length: 2\r\n", 400, false},
    {POST HOST "Idempotency-Key: a\r\nIdempotency-Key: b\r\nContent-Length: 2\r\n", 400, false},
    {POST HOST "X Name: a\r\nContent-Length: 2\r\n", 400, false},
    {POST HOST "X(Name): a\r\nContent-Length: 2\r\n", 400, false},
    {POST HOST "X\x01Name: a\r\nContent-Length: 2\r\n", 400, false},
    {POST HOST "X-Name: a\x01z\r\nContent-Length: 2\r\n", 400, false},
    {POST HOST "X-Name: a\x7fz\r\nContent-Length: 2\r\n", 400, false},
    {POST HOST "X-Name: a\x0bz\r\nContent-Length: 2\r\n", 400, false},
};

ParameterizedTestParameters(guard, refuses)
{
    return cr_make_param_array(struct smuggling, (void *)smugglings,
                               sizeof smugglings / sizeof smugglings[0]);
}

ParameterizedTest(const struct smuggling *smuggling, guard, refuses)
{
    bakehouse_start();
    int wire = wire_open(bakehouse_port);
    wire_send(wire, smuggling->head);
    wire_send(wire, "\r\n{}" SMUGGLED);
    const struct answer *answer = wire_answer(wire);
    cr_expect_eq(answer->status, smuggling->status, "%s: %s", smuggling->head, answer->head);
    const char *rest = wire_rest(wire);
    cr_expect(smuggling->by_library || rest[0] == '\0', "%s: after the answer comes %s",
              smuggling->head, rest);
    cr_expect_null(strstr(rest, "HTTP/1.1 2"), "%s: %s", smuggling->head, rest);
    close(wire);
    bakehouse_stop();
    cr_expect_eq(atomic_load(&bakehouse_performed), 0, "%s reached a worker", smuggling->head);
}

Test(guard, the_head_it_refuses_is_fine_without_the_trick)
{
    bakehouse_start();
    cr_expect_eq(wire_ask(bakehouse_port, POST HOST "Content-Length: 2\r\n\r\n{}")->status, 201);
    cr_expect_eq(
        wire_ask(bakehouse_port, POST HOST "X-Name: a\tz \xc3\xa9\r\nContent-Length: 2\r\n\r\n{}")
            ->status,
        201);
    bakehouse_stop();
}

Test(guard, refusals_are_problems_and_say_that_they_close)
{
    bakehouse_start();
    const struct answer *answer = wire_ask(bakehouse_port, POST HOST HOST "\r\n");
    cr_expect_str_eq(answer_header(answer, "Connection"), "close");
    cr_expect_str_eq(answer_header(answer, "Content-Type"), "application/problem+json");
    cr_expect(answer_holds(answer, "may come only once"), "%s", answer->body);
    bakehouse_stop();
}

Test(guard, pages_are_guarded_too)
{
    bakehouse_start();
    cr_expect_eq(wire_ask(bakehouse_port, "GET / HTTP/1.1\r\n" HOST HOST "\r\n")->status, 400);
    cr_expect_eq(wire_ask(bakehouse_port,
                          "GET / HTTP/1.1\r\n" HOST "Transfer-Encoding: chunked\r\n\r\n0\r\n\r\n")
                     ->status,
                 411);
    cr_expect_eq(
        wire_ask(bakehouse_port, "GET / HTTP/1.1\r\n" HOST "Content-Length: 3\r\n\r\nabc")->status,
        413);
    bakehouse_stop();
}

Test(target, plain_addresses_pass)
{
    cr_expect_null(guard_target("/"));
    cr_expect_null(guard_target("/api/v1/loaves?date=2027-03-01&after=a%2Fb"));
    cr_expect_null(guard_target("/api/v1/people/zo%C3%AB"));
    cr_expect_null(guard_target("/a%20b%25"));
}

Test(target, tricks_do_not)
{
    static const char *const tricks[] = {
        "",         "*",     "http://other/x", "x",     "/a%2fb", "/a%2Fb",  "/%00",
        "/a?b=%00", "/a%0d", "/a%0Ab",         "/a%7f", "/a\tb",  "/a\x01b", "/a%",
        "/a%2",     "/a%zz", "/a%2z",          "/?%",   "/?a=%1f"};
    for (size_t i = 0; i < sizeof tricks / sizeof tricks[0]; i++)
        cr_expect_not_null(guard_target(tricks[i]), "%s passes", tricks[i]);
}
