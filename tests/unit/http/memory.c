/* Short memory, wherever it strikes: 503, never a 4xx that would tell a client to give up.
 *
 * The epoll thread is libmicrohttpd's. To make its n-th allocation fail, the first function that
 * the server calls for each request (MHD_get_connection_info) is put in front of the real one here.
 */
#include "bakehouse.h"
#include "base/arena.h"
#include "wire.h"

#include <criterion/criterion.h>
#include <dlfcn.h>
#include <microhttpd.h>

#include <stdio.h>
#include <string.h>
#include <unistd.h>

TestSuite(memory, .timeout = 100, .init = bakehouse_start, .fini = bakehouse_stop);

static atomic_long fail_next; /* n: the n-th allocation of the next request; 0: none */

const union MHD_ConnectionInfo *MHD_get_connection_info(struct MHD_Connection *connection,
                                                        enum MHD_ConnectionInfoType type, ...)
{
    static const union MHD_ConnectionInfo *(*real)(struct MHD_Connection *,
                                                   enum MHD_ConnectionInfoType, ...);
    if (real == NULL) *(void **)&real = dlsym(RTLD_NEXT, "MHD_get_connection_info");
    if (type == MHD_CONNECTION_INFO_SOCKET_CONTEXT) arena_fail_nth(atomic_exchange(&fail_next, 0));
    return real(connection, type);
}

/* Asks with every allocation failing in turn until none does; how many there were. */
static int starve(const char *text, int wanted)
{
    for (int n = 1; n < 1000; n++) {
        atomic_store(&fail_next, n);
        const struct answer *answer = wire_ask(bakehouse_port, text);
        if (answer->status == wanted) return n - 1;
        cr_expect_eq(answer->status, 503, "allocation %d: %s", n, answer->head);
        cr_expect_not_null(answer_header(answer, "Retry-After"), "allocation %d", n);
        cr_expect_str_eq(answer_header(answer, "Content-Type"), "application/problem+json");
        cr_expect_not_null(answer_header(answer, "Content-Security-Policy"));
        cr_expect(answer_holds(answer, "\"status\":503"), "%s", answer->body);
    }
    return 1000;
}

#define EVERYTHING                                                                                 \
    HOST TOKEN JSON                                                                                \
        "Cookie: morrowloaf_session=c\r\nIdempotency-Key: k\r\nIf-None-Match: \"x\"\r\n"           \
        "If-Match: \"3.0123456789abcdef\"\r\nOrigin: http://elsewhere\r\n"

Test(memory, of_the_intake)
{
    int count = starve("PUT /api/v1/loaves/rye?a=1&b=2 HTTP/1.1\r\n" EVERYTHING
                       "Content-Length: 2\r\n\r\n{}",
                       201);
    cr_expect_geq(count, 14, "only %d allocations were met", count);
    cr_expect_lt(count, 100);
    cr_expect_eq(atomic_load(&bakehouse_performed), 1, "nothing half read was performed");
}

Test(memory, of_each_refusal)
{
    cr_expect_geq(starve("GET /api/v1/loaves/rye HTTP/1.1\r\n" HOST "\r\n", 401), 8);
    cr_expect_geq(starve("PUT /api/v1/loaves/rye HTTP/1.1\r\n" HOST TOKEN JSON
                         "Content-Length: 5000\r\n\r\n",
                         413),
                  8);
    cr_expect_geq(
        starve("PUT /api/v1/loaves/rye HTTP/1.1\r\n" HOST TOKEN "Content-Length: 2\r\n\r\n{}", 415),
        8);
    cr_expect_geq(starve("GET / HTTP/1.1\r\n" HOST HOST "\r\n", 400), 6);
    cr_expect_geq(starve("GET /no.html HTTP/1.1\r\n" HOST "\r\n", 404), 6);
    cr_expect_eq(atomic_load(&bakehouse_performed), 0);
}

Test(memory, of_a_page)
{
    cr_expect_geq(starve("GET / HTTP/1.1\r\n" HOST "\r\n", 200), 4);
}

Test(memory, of_a_worker)
{
    for (int n = 1; n < 100; n++) {
        char text[200];
        snprintf(text, sizeof text, "GET /api/v1/starved/%d HTTP/1.1\r\n" HOST TOKEN "\r\n", n);
        const struct answer *answer = wire_ask(bakehouse_port, text);
        if (answer->status == 200) {
            cr_expect_geq(n, 2);
            return;
        }
        cr_expect_eq(answer->status, 503);
    }
    cr_assert_fail("never an answer");
}

/* A connection that was kept is fine for the next request. */
Test(memory, comes_back)
{
    int wire = wire_open(bakehouse_port);
    wire_send(wire, GET("/api/v1/starved/1") "\r\n");
    cr_expect_eq(wire_answer(wire)->status, 503);
    wire_send(wire, GET("/api/v1/loaves/rye") "\r\n");
    cr_expect_eq(wire_answer(wire)->status, 200);
    close(wire);
}
