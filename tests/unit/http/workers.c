/* Queues and workers: too many at once, two pools, and the end of the server. */
#include "bakehouse.h"
#include "wire.h"

#include <criterion/criterion.h>

#include <pthread.h>
#include <stdio.h>
#include <time.h>
#include <unistd.h>

TestSuite(workers, .timeout = 100);

#define LOAF "/api/v1/loaves/rye"
#define OVEN GET("/api/v1/ovens/one") "\r\n"
#define BAKE "POST /api/v1/ovens/one HTTP/1.1\r\n" HOST TOKEN "\r\n"

static void start(int readers, int writers, size_t queue_max)
{
    bakehouse_settings.readers = readers;
    bakehouse_settings.writers = writers;
    bakehouse_settings.queue_max = queue_max;
    atomic_store(&bakehouse_shut, true);
    bakehouse_start();
}

Test(workers, as_many_as_were_asked_for)
{
    start(3, 5, 10);
    cr_expect_eq(atomic_load(&bakehouse_open), 8);
    bakehouse_stop();
    cr_expect_eq(atomic_load(&bakehouse_open), 0);
}

Test(workers, a_full_queue_is_503_at_once)
{
    int wires[4];
    start(1, 1, 3);
    for (int i = 0; i < 4; i++) {
        wires[i] = wire_open(bakehouse_port);
        wire_send(wires[i], OVEN);
        if (i == 0) cr_expect(bakehouse_wait_inside(1));
    }
    usleep(100000);
    int wire = wire_open(bakehouse_port);
    wire_send(wire, GET(LOAF) "\r\n");
    const struct answer *answer = wire_answer(wire);
    cr_expect_eq(answer->status, 503);
    cr_expect_not_null(answer_header(answer, "Retry-After"));
    cr_expect_eq(wire_ask(bakehouse_port,
                          "PUT " LOAF " HTTP/1.1\r\n" HOST TOKEN JSON "Content-Length: 2\r\n\r\n{}")
                     ->status,
                 201, "writers have a queue of their own");
    atomic_store(&bakehouse_shut, false);
    for (int i = 0; i < 4; i++) {
        cr_expect_eq(wire_answer(wires[i])->status, 200);
        close(wires[i]);
    }
    wire_send(wire, GET(LOAF) "\r\n");
    cr_expect_eq(wire_answer(wire)->status, 200, "the connection is as good as before");
    close(wire);
    bakehouse_stop();
}

Test(workers, readers_do_not_wait_for_writers)
{
    int wires[2];
    start(1, 2, 10);
    for (int i = 0; i < 2; i++) {
        wires[i] = wire_open(bakehouse_port);
        wire_send(wires[i], BAKE);
    }
    cr_expect(bakehouse_wait_inside(2));
    cr_expect_eq(wire_ask(bakehouse_port, GET(LOAF) "\r\n")->status, 200);
    cr_expect_eq(wire_ask(bakehouse_port, GET("/api/v1/no") "\r\n")->status, 404);
    cr_expect_eq(wire_ask(bakehouse_port, "PATCH " LOAF " HTTP/1.1\r\n" HOST TOKEN "\r\n")->status,
                 405, "what is refused needs no writer");
    atomic_store(&bakehouse_shut, false);
    for (int i = 0; i < 2; i++) {
        cr_expect_eq(wire_answer(wires[i])->status, 200);
        close(wires[i]);
    }
    bakehouse_stop();
}

Test(workers, a_client_that_goes_away_while_it_waits_is_no_trouble)
{
    start(1, 1, 50);
    for (int i = 0; i < 20; i++) {
        int wire = wire_open(bakehouse_port);
        wire_send(wire, OVEN);
        if (i == 0) cr_expect(bakehouse_wait_inside(1));
        usleep(2000);
        close(wire);
    }
    atomic_store(&bakehouse_shut, false);
    cr_expect_eq(wire_ask(bakehouse_port, GET(LOAF) "\r\n")->status, 200);
    bakehouse_stop();
    cr_expect_eq(atomic_load(&bakehouse_performed), 21);
}

static void *open_the_oven_later(void *unused)
{
    nanosleep(&(struct timespec){.tv_nsec = 300000000}, NULL);
    atomic_store(&bakehouse_shut, false);
    return unused;
}

/* What was accepted before the end is performed and answered. */
Test(workers, the_end_waits_for_those_at_work)
{
    enum { COUNT = 20 };
    int wires[COUNT];
    pthread_t opener;
    start(1, 1, 100);
    for (int i = 0; i < COUNT; i++) {
        wires[i] = wire_open(bakehouse_port);
        wire_send(wires[i], i % 2 ? OVEN : BAKE);
    }
    cr_expect(bakehouse_wait_inside(2));
    usleep(100000);
    cr_assert_eq(pthread_create(&opener, NULL, open_the_oven_later, NULL), 0);
    daemon_stop(bakehouse);
    bakehouse = NULL;
    pthread_join(opener, NULL);
    cr_expect_eq(atomic_load(&bakehouse_performed), COUNT);
    cr_expect_eq(atomic_load(&bakehouse_open), 0);
    for (int i = 0; i < COUNT; i++) {
        cr_expect_eq(wire_answer(wires[i])->status, 200);
        cr_expect(wire_ended(wires[i], 1000));
        close(wires[i]);
    }
    bakehouse_stop();
}

static void *stop_the_server(void *unused)
{
    daemon_stop(bakehouse);
    return unused;
}

/* While the end waits, a connection that is open already hears that there is nothing more. */
Test(workers, the_end_takes_no_more)
{
    pthread_t stopper;
    start(1, 1, 100);
    int busy = wire_open(bakehouse_port), late = wire_open(bakehouse_port);
    wire_send(late, GET(LOAF) "\r\n");
    cr_expect_eq(wire_answer(late)->status, 200);
    wire_send(busy, OVEN);
    cr_expect(bakehouse_wait_inside(1));
    cr_assert_eq(pthread_create(&stopper, NULL, stop_the_server, NULL), 0);
    usleep(200000);
    wire_send(late, GET(LOAF) "\r\n");
    const struct answer *answer = wire_answer(late);
    cr_expect_eq(answer->status, 503);
    cr_expect_str_eq(answer_header(answer, "Connection"), "close");
    cr_expect(wire_ended(late, 2000));
    atomic_store(&bakehouse_shut, false);
    cr_expect_eq(wire_answer(busy)->status, 200);
    pthread_join(stopper, NULL);
    bakehouse = NULL;
    close(busy);
    close(late);
    bakehouse_stop();
}

Test(workers, idle_connections_do_not_delay_the_end)
{
    start(1, 1, 10);
    int silent = wire_open(bakehouse_port), kept = wire_open(bakehouse_port);
    wire_send(kept, GET(LOAF) "\r\n");
    cr_expect_eq(wire_answer(kept)->status, 200);
    time_t begun = time(NULL);
    bakehouse_stop();
    cr_expect_leq(time(NULL) - begun, 2);
    cr_expect(wire_ended(silent, 1000));
    cr_expect(wire_ended(kept, 1000));
    close(silent);
    close(kept);
}

static void *no_worker(void *context)
{
    (void)context;
    return NULL;
}

Test(workers, that_cannot_be_opened_stop_the_start)
{
    static const struct route none[] = {{.method = NULL}};
    const struct service service = {.routes = none, .open = no_worker};
    start(1, 1, 1);
    cr_expect_null(daemon_start(&bakehouse_settings, &service));
    bakehouse_stop();
}

Test(workers, an_address_that_is_taken_or_none_stops_the_start)
{
    char taken[40];
    start(1, 1, 1);
    const struct service service = {.open = no_worker};
    struct daemon_settings settings = bakehouse_settings;
    snprintf(taken, sizeof taken, "127.0.0.1:%d", bakehouse_port);
    const char *const addresses[] = {
        taken,   "",       "127.0.0.1", "127.0.0.1:x", "localhost:0",
        "::1:0", "[::1:0", ":0",        "127.0.0.1:",  "127.0.0.1:70000x"};
    for (size_t i = 0; i < sizeof addresses / sizeof addresses[0]; i++) {
        settings.address = addresses[i];
        cr_expect_null(daemon_start(&settings, &service), "%s", addresses[i]);
    }
    bakehouse_stop();
}
