/* Clients that take too long: each is ended, and those that wait for us are not. */
#include "http/reaper.h"
#include "bakehouse.h"
#include "wire.h"

#include <criterion/criterion.h>

#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

static void start(void)
{
    bakehouse_settings.receive_s = 1;
    bakehouse_start();
}

TestSuite(reaper, .timeout = 60, .init = start, .fini = bakehouse_stop);

#define LOAF "/api/v1/loaves/rye"

/* Sends a byte every 50 ms until the server has had enough; how long that took. */
static int64_t drip(const char *text)
{
    int64_t begun = monotonic_ms();
    int wire = wire_open(bakehouse_port);
    for (const char *at = text; monotonic_ms() - begun < 8000; at++) {
        if (*at == '\0') at = "a";
        wire_send(wire, (char[]){*at, '\0'});
        if (wire_ended(wire, 50)) break;
    }
    close(wire);
    return monotonic_ms() - begun;
}

static void expect_about_a_second(int64_t took)
{
    cr_expect_geq(took, 900, "%d ms", (int)took);
    cr_expect_leq(took, 3000, "%d ms", (int)took);
}

Test(reaper, a_dripping_request_line)
{
    expect_about_a_second(drip("GET /"));
}

Test(reaper, a_dripping_head)
{
    int64_t begun = monotonic_ms();
    int wire = wire_open(bakehouse_port);
    wire_send(wire, "GET " LOAF " HTTP/1.1\r\n" HOST "X-Long: ");
    while (!wire_ended(wire, 50) && monotonic_ms() - begun < 8000)
        wire_send(wire, "a");
    expect_about_a_second(monotonic_ms() - begun);
    close(wire);
}

Test(reaper, a_dripping_body)
{
    int64_t begun = monotonic_ms();
    int wire = wire_open(bakehouse_port);
    wire_send(wire, "PUT " LOAF " HTTP/1.1\r\n" HOST TOKEN JSON "Content-Length: 200\r\n\r\n");
    while (!wire_ended(wire, 50) && monotonic_ms() - begun < 8000)
        wire_send(wire, " ");
    expect_about_a_second(monotonic_ms() - begun);
    cr_expect_eq(atomic_load(&bakehouse_performed), 0);
    close(wire);
}

Test(reaper, a_client_that_says_nothing)
{
    int64_t begun = monotonic_ms();
    int wire = wire_open(bakehouse_port);
    cr_expect(wire_ended(wire, 8000));
    expect_about_a_second(monotonic_ms() - begun);
    close(wire);
}

/* The second request on a kept connection has its own second. */
Test(reaper, a_dripping_second_request)
{
    int wire = wire_open(bakehouse_port);
    wire_send(wire, GET(LOAF) "\r\n");
    cr_expect_eq(wire_answer(wire)->status, 200);
    cr_expect_not(wire_ended(wire, 1500), "a kept connection may be silent for longer");
    int64_t begun = monotonic_ms();
    wire_send(wire, "GET " LOAF " HTTP/1.1\r\n");
    while (!wire_ended(wire, 50) && monotonic_ms() - begun < 8000)
        wire_send(wire, "a");
    expect_about_a_second(monotonic_ms() - begun);
    close(wire);
}

Test(reaper, one_that_waits_for_us_is_spared)
{
    atomic_store(&bakehouse_shut, true);
    int wire = wire_open(bakehouse_port);
    wire_send(wire, GET("/api/v1/ovens/one") "\r\n");
    cr_expect(bakehouse_wait_inside(1));
    cr_expect_not(wire_ended(wire, 2500));
    atomic_store(&bakehouse_shut, false);
    cr_expect_eq(wire_answer(wire)->status, 200);
    close(wire);
}

Test(reaper, others_are_served_meanwhile)
{
    int wires[50];
    for (int i = 0; i < 50; i++) {
        wires[i] = wire_open(bakehouse_port);
        wire_send(wires[i],
                  "PUT " LOAF " HTTP/1.1\r\n" HOST TOKEN JSON "Content-Length: 90\r\n\r\n");
    }
    for (int i = 0; i < 20; i++)
        cr_expect_eq(wire_ask(bakehouse_port, GET(LOAF) "\r\n")->status, 200);
    for (int i = 0; i < 50; i++) {
        cr_expect(wire_ended(wires[i], 5000));
        close(wires[i]);
    }
}

/* --- by itself, on a pair of sockets --- */

TestSuite(watch, .timeout = 30);

static struct reaper *own;
static int near, far;

static void open_pair(void)
{
    int pair[2];
    cr_assert_eq(socketpair(AF_UNIX, SOCK_STREAM, 0, pair), 0);
    near = pair[0];
    far = pair[1];
    own = reaper_start();
    cr_assert_not_null(own);
}

static void close_pair(void)
{
    close(far);
    reaper_stop(own);
}

Test(watch, tightening_never_lengthens, .init = open_pair, .fini = close_pair)
{
    struct watch *watch = reaper_add(own, near, 1);
    reaper_tighten(watch, 60);
    cr_expect(wire_ended(far, 3000));
    reaper_remove(watch);
    close(near);
}

Test(watch, setting_does, .init = open_pair, .fini = close_pair)
{
    struct watch *watch = reaper_add(own, near, 1);
    reaper_set(watch, 60);
    cr_expect_not(wire_ended(far, 1500));
    reaper_pause(watch);
    reaper_tighten(watch, 1);
    cr_expect(wire_ended(far, 3000));
    reaper_remove(watch);
    close(near);
}

Test(watch, one_that_lingers_reads_on_for_a_while_and_then_ends, .init = open_pair,
     .fini = close_pair)
{
    struct watch *watch = reaper_add(own, near, 60);
    reaper_linger(watch);
    reaper_remove(watch);
    close(near);
    int64_t begun = monotonic_ms();
    while (send(far, "more", 4, MSG_NOSIGNAL) == 4 && monotonic_ms() - begun < 8000)
        usleep(20000);
    cr_expect_geq(monotonic_ms() - begun, 1500);
    cr_expect_leq(monotonic_ms() - begun, 4000);
}

Test(watch, stopping_ends_those_that_linger, .init = open_pair)
{
    struct watch *watch = reaper_add(own, near, 60);
    reaper_linger(watch);
    reaper_remove(watch);
    close(near);
    reaper_stop(own);
    cr_expect_eq(send(far, "more", 4, MSG_NOSIGNAL), -1);
    close(far);
}
