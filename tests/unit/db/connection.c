/* A connection that is made ready, dies, freezes and comes back. */
#include "database.h"

#include "base/arena.h"
#include "db/statement.h"

#include <arpa/inet.h>
#include <criterion/criterion.h>
#include <stdio.h>
#include <sys/socket.h>
#include <unistd.h>

enum { DEADLINE_MS = 600, PLENTY_MS = 5000, SLACK_MS = 500 };

TestSuite(connection, .timeout = 60, .fini = thaw_all);

struct setting {
    const char *name;
    const char *value;
};

static bool read_setting(struct tx *tx, void *context)
{
    struct setting *setting = context;
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, setting->name);
    if (!tx_query(tx, "setting_get", &args, &rows) || !rows_next(&rows)) return false;
    setting->value = row_text(&rows);
    return true;
}

Test(connection, has_its_role_and_settings)
{
    static const struct setting expected[] = {
        {"role", "morrowloaf_app"},
        {"search_path", "morrowloaf"},
        {"client_encoding", "UTF8"},
        {"DateStyle", "ISO, YMD"},
        {"TimeZone", "UTC"},
        {"synchronous_commit", "on"},
        {"statement_timeout", "4500ms"},
        {"transaction_isolation", "read committed"},
    };
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    for (size_t i = 0; i < sizeof expected / sizeof expected[0]; i++) {
        struct setting setting = expected[i];
        cr_assert(bench_run(&bench, TX_WRITE, read_setting, &setting));
        cr_expect_str_eq(setting.value, expected[i].value);
    }
    struct setting setting = {"transaction_isolation", NULL};
    cr_assert(bench_run(&bench, TX_READ, read_setting, &setting));
    cr_expect_str_eq(setting.value, "repeatable read");
    bench_close(&bench);
}

static bool do_nothing(struct tx *tx, void *context)
{
    (void)tx;
    (void)context;
    return true;
}

Test(connection, is_not_made_before_it_is_needed)
{
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    bench.settings.conninfo = "host=/nowhere";
    struct db *db = db_open(&bench.settings);
    cr_assert(tx_run(db, TX_WRITE, bench.arena, &bench.fails, do_nothing, NULL));
    db_close(db);
    bench_close(&bench);
}

/* Runs take_pid on a connection with other settings; it must fail with FAIL_UNAVAILABLE. */
static void expect_no_connection(struct bench *bench)
{
    int64_t pid;
    struct db *db = db_open(&bench->settings);
    fails_init(&bench->fails, bench->arena);
    cr_assert_not(tx_run(db, TX_WRITE, bench->arena, &bench->fails, take_pid, &pid));
    bench_fault(bench, FAIL_UNAVAILABLE, "");
    db_close(db);
}

Test(connection, without_a_server_is_unavailable)
{
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    bench.settings.conninfo = "host=/nowhere";
    expect_no_connection(&bench);
    bench_close(&bench);
}

Test(connection, with_a_role_that_does_not_exist_is_unavailable)
{
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    bench.settings.role = "morrowloaf_app; SET ROLE NONE";
    expect_no_connection(&bench);
    bench_close(&bench);
}

Test(connection, with_a_statement_that_cannot_be_prepared_is_unavailable)
{
    static const struct statement list[] = {{"sound", "SELECT $1::bigint"},
                                            {"faulty", "SELECT nothing FROM nowhere"},
                                            {"behind", "SELECT $1::bigint"}};
    static const struct statement_table table = {list, 3};
    static const struct statement_table *const tables[] = {&table, NULL};
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    bench.settings.statements = tables;
    expect_no_connection(&bench);
    bench_close(&bench);
}

/* A port that takes connections and says nothing. */
static int silent_server(int *port)
{
    struct sockaddr_in address = {.sin_family = AF_INET, .sin_addr = {htonl(INADDR_LOOPBACK)}};
    socklen_t size = sizeof address;
    int server = socket(AF_INET, SOCK_STREAM, 0);
    cr_assert_eq(bind(server, (struct sockaddr *)&address, size), 0);
    cr_assert_eq(listen(server, 5), 0);
    cr_assert_eq(getsockname(server, (struct sockaddr *)&address, &size), 0);
    *port = ntohs(address.sin_port);
    return server;
}

Test(connection, to_a_silent_server_ends_at_the_deadline)
{
    struct bench bench;
    char conninfo[64];
    int port;
    int server = silent_server(&port);
    snprintf(conninfo, sizeof conninfo, "host=127.0.0.1 port=%d", port);
    bench_open(&bench, DEADLINE_MS);
    bench.settings.conninfo = conninfo;
    int64_t begun = milliseconds_now();
    expect_no_connection(&bench);
    int64_t taken = milliseconds_now() - begun;
    cr_expect(taken >= DEADLINE_MS && taken < DEADLINE_MS + SLACK_MS, "%d ms", (int)taken);
    close(server);
    bench_close(&bench);
}

Test(connection, that_died_while_idle_is_replaced_unnoticed)
{
    struct bench bench;
    int64_t before, after;
    bench_open(&bench, PLENTY_MS);
    cr_assert(bench_run(&bench, TX_WRITE, take_pid, &before));
    for (int times = 0; times < 3; times++) {
        kill_backend(before);
        cr_assert(bench_run(&bench, times == 1 ? TX_READ : TX_WRITE, take_pid, &after));
        cr_expect_eq(bench.fails.count, 0);
        cr_expect_neq(before, after);
        before = after;
    }
    bench_close(&bench);
}

/* Inserts, loses its connection, and goes on. */
static bool die_in_the_middle(struct tx *tx, void *context)
{
    int64_t *pid = context;
    if (!put_probe(tx, "died", 1) || !ask_whole(tx, "backend_pid", pid)) return false;
    kill_backend(*pid);
    return ask_whole(tx, "probe_count", pid);
}

Test(connection, that_dies_in_a_transaction_is_unavailable_and_nothing_is_stored)
{
    struct bench bench;
    int64_t pid, next;
    bench_open(&bench, PLENTY_MS);
    cr_assert_not(bench_run(&bench, TX_WRITE, die_in_the_middle, &pid));
    bench_fault(&bench, FAIL_UNAVAILABLE, "");
    cr_expect_eq(probes("died"), 0);
    cr_assert(bench_run(&bench, TX_WRITE, take_pid, &next));
    bench_close(&bench);
}

/* The same without a statement after the death: only COMMIT can notice. */
static bool die_before_commit(struct tx *tx, void *context)
{
    int64_t *pid = context;
    if (!put_probe(tx, "died-late", 1) || !ask_whole(tx, "backend_pid", pid)) return false;
    kill_backend(*pid);
    return true;
}

Test(connection, that_dies_before_the_commit_is_unavailable)
{
    struct bench bench;
    int64_t pid;
    bench_open(&bench, PLENTY_MS);
    cr_assert_not(bench_run(&bench, TX_WRITE, die_before_commit, &pid));
    bench_fault(&bench, FAIL_UNAVAILABLE, "");
    cr_expect_not_null(strstr(bench.fails.items[0].text, "Idempotency-Key"));
    cr_expect_eq(probes("died-late"), 0);
    bench_close(&bench);
}

struct freezing {
    int64_t pid;
    size_t argument; /* bytes to send to the frozen backend */
};

static bool freeze_in_the_middle(struct tx *tx, void *context)
{
    struct freezing *freezing = context;
    struct args args;
    if (!take_pid(tx, &freezing->pid)) return false;
    char *text = arena_alloc(tx->arena, freezing->argument + 1);
    memset(text, 'x', freezing->argument);
    args_init(&args, tx);
    args_text(&args, text);
    freeze_backend(freezing->pid);
    return tx_execute(tx, "type_odd", &args, NULL);
}

/* The frozen backend is met in the middle of a transaction: the call ends at its deadline, the
 * connection is dropped, and the next transaction has a new one. */
static void check_frozen(size_t argument)
{
    struct bench bench;
    struct freezing freezing = {.argument = argument};
    int64_t next;
    bench_open(&bench, DEADLINE_MS);
    int64_t begun = milliseconds_now();
    cr_assert_not(bench_run(&bench, TX_WRITE, freeze_in_the_middle, &freezing));
    int64_t taken = milliseconds_now() - begun;
    bench_fault(&bench, FAIL_UNAVAILABLE, "");
    cr_expect(taken >= DEADLINE_MS && taken < DEADLINE_MS + SLACK_MS, "%d ms", (int)taken);
    cr_assert(bench_run(&bench, TX_WRITE, take_pid, &next));
    cr_expect_neq(next, freezing.pid);
    thaw_backend(freezing.pid);
    bench_close(&bench);
}

Test(connection, that_freezes_is_dropped_at_the_deadline)
{
    check_frozen(10);
}

Test(connection, that_freezes_while_much_is_sent_is_dropped_at_the_deadline)
{
    check_frozen(8 * 1024 * 1024);
}

Test(connection, frozen_while_idle_is_dropped_at_the_deadline)
{
    struct bench bench;
    int64_t pid, next;
    bench_open(&bench, DEADLINE_MS);
    cr_assert(bench_run(&bench, TX_READ, take_pid, &pid));
    freeze_backend(pid);
    int64_t begun = milliseconds_now();
    cr_assert_not(bench_run(&bench, TX_READ, take_pid, &next));
    int64_t taken = milliseconds_now() - begun;
    bench_fault(&bench, FAIL_UNAVAILABLE, "");
    cr_expect(taken >= DEADLINE_MS && taken < DEADLINE_MS + SLACK_MS, "%d ms", (int)taken);
    cr_assert(bench_run(&bench, TX_READ, take_pid, &next));
    cr_expect_neq(pid, next);
    thaw_backend(pid);
    bench_close(&bench);
}

static bool freeze_before_commit(struct tx *tx, void *context)
{
    int64_t *pid = context;
    if (!put_probe(tx, "frozen-commit", 1) || !ask_whole(tx, "backend_pid", pid)) return false;
    freeze_backend(*pid);
    return true;
}

/* The database gets the COMMIT but cannot answer: we must not say that nothing happened, for when
 * it thaws, it happens. */
Test(connection, lost_at_commit_says_that_it_may_have_been_stored)
{
    struct bench bench;
    int64_t pid;
    bench_open(&bench, DEADLINE_MS);
    int64_t begun = milliseconds_now();
    cr_assert_not(bench_run(&bench, TX_WRITE, freeze_before_commit, &pid));
    int64_t taken = milliseconds_now() - begun;
    bench_fault(&bench, FAIL_UNAVAILABLE, "");
    cr_expect_not_null(strstr(bench.fails.items[0].text, "may or may not have been stored"));
    cr_expect(taken < DEADLINE_MS + SLACK_MS, "%d ms", (int)taken);
    cr_expect_eq(probes("frozen-commit"), 0);
    thaw_backend(pid);
    int64_t stored = 0;
    for (int i = 0; stored == 0 && i < 100; i++) {
        usleep(20000);
        stored = probes("frozen-commit");
    }
    cr_expect_eq(stored, 1);
    bench_close(&bench);
}

static bool sleep_long(struct tx *tx, void *context)
{
    return ask_whole(tx, "backend_sleep", context);
}

/* A slow statement is not a dead database: its own time-out ends it and the connection stays. */
Test(connection, with_a_slow_statement_stays)
{
    struct bench bench;
    int64_t before, after, unused;
    bench_open(&bench, DEADLINE_MS);
    cr_assert(bench_run(&bench, TX_WRITE, take_pid, &before));
    cr_assert_not(bench_run(&bench, TX_WRITE, sleep_long, &unused));
    bench_fault(&bench, FAIL_UNAVAILABLE, "");
    cr_assert(bench_run(&bench, TX_WRITE, take_pid, &after));
    cr_expect_eq(before, after);
    bench_close(&bench);
}

Test(connection, closes_nothing_without_harm)
{
    db_close(NULL);
}
