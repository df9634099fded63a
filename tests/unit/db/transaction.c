/* Transactions: what is committed, what is tried again, what is refused. */
#include "database.h"

#include "base/arena.h"
#include "db/connection.h"

#include <criterion/criterion.h>
#include <pthread.h>
#include <unistd.h>

enum { PLENTY_MS = 5000 };

TestSuite(transaction, .timeout = 60);

struct probe {
    const char *statement;
    const char *code;
    const char *value; /* NULL: the statement has no $3 */
    bool ignore;       /* says that all is well, come what may */
};

static bool run_probe(struct tx *tx, void *context)
{
    const struct probe *probe = context;
    struct args args;
    if (!tx_enter_bakery(tx, 1, "tester")) return false;
    args_init(&args, tx);
    args_text(&args, probe->code);
    if (probe->value != NULL) args_text(&args, probe->value);
    return tx_execute(tx, probe->statement, &args, NULL) || probe->ignore;
}

/* --- committing --- */

static bool put_two(struct tx *tx, void *context)
{
    cr_expect_eq(tx->bakery_id, 0);
    if (!put_probe(tx, "two-a", 1) || !put_probe(tx, "two-b", 2)) return false;
    cr_expect_eq(tx->bakery_id, 1);
    cr_expect_str_eq(tx->actor, "tester");
    return *(bool *)context;
}

Test(transaction, is_stored_whole_or_not_at_all)
{
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    bool commit = false;
    cr_assert_not(bench_run(&bench, TX_WRITE, put_two, &commit));
    cr_expect_eq(probes("two-a") + probes("two-b"), 0);
    commit = true;
    cr_assert(bench_run(&bench, TX_WRITE, put_two, &commit));
    cr_expect_eq(probes("two-a") + probes("two-b"), 2);
    bench_close(&bench);
}

static bool refuse_silently(struct tx *tx, void *context)
{
    (void)tx;
    (void)context;
    return false;
}

Test(transaction, refused_without_a_fault_gets_one)
{
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    cr_assert_not(bench_run(&bench, TX_WRITE, refuse_silently, NULL));
    bench_fault(&bench, FAIL_INTERNAL, "");
    bench_close(&bench);
}

static bool refuse(struct tx *tx, void *context)
{
    (void)context;
    if (!put_probe(tx, "refused", 1)) return false;
    return fail_add(tx->fails, FAIL_NOT_FOUND, "/what", "there is no such thing");
}

Test(transaction, refused_by_the_work_keeps_its_fault)
{
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    cr_assert_not(bench_run(&bench, TX_WRITE, refuse, NULL));
    bench_fault(&bench, FAIL_NOT_FOUND, "/what");
    cr_expect_eq(probes("refused"), 0);
    bench_close(&bench);
}

static bool count_affected(struct tx *tx, void *context)
{
    int64_t *affected = context;
    struct args args;
    if (!put_probe(tx, "affected-a", 1) || !put_probe(tx, "affected-b", 1)) return false;
    args_init(&args, tx);
    args_text(&args, "affected-a");
    return tx_execute(tx, "probe_delete", &args, &affected[0]) &&
           tx_execute(tx, "probe_delete", &args, &affected[1]);
}

Test(transaction, tells_how_many_rows_a_statement_touched)
{
    struct bench bench;
    int64_t affected[2] = {-1, -1};
    bench_open(&bench, PLENTY_MS);
    cr_assert(bench_run(&bench, TX_WRITE, count_affected, affected));
    cr_expect_eq(affected[0], 1);
    cr_expect_eq(affected[1], 0);
    bench_close(&bench);
}

/* --- reading --- */

static bool read_twice(struct tx *tx, void *context)
{
    int64_t *counts = context;
    if (!tx_enter_bakery(tx, 1, "tester") || !ask_whole(tx, "probe_count", &counts[0]))
        return false;
    test_sql(test_database(), "INSERT INTO morrowloaf.probe VALUES (1, 'between', 1)");
    return ask_whole(tx, "probe_count", &counts[1]);
}

Test(transaction, that_reads_sees_one_moment)
{
    struct bench bench;
    int64_t counts[2];
    bench_open(&bench, PLENTY_MS);
    cr_assert(bench_run(&bench, TX_READ, read_twice, counts));
    cr_expect_eq(counts[0], counts[1]);
    cr_expect_eq(probes("between"), 1);
    bench_close(&bench);
}

Test(transaction, that_reads_cannot_write)
{
    struct bench bench;
    struct probe probe = {"probe_put", "written-by-reader", "1", false};
    bench_open(&bench, PLENTY_MS);
    cr_assert_not(bench_run(&bench, TX_READ, run_probe, &probe));
    bench_fault(&bench, FAIL_INTERNAL, "");
    bench_close(&bench);
}

Test(transaction, on_a_database_that_only_reads_is_unavailable)
{
    struct bench bench;
    struct probe probe = {"probe_put", "on-standby", "1", false};
    char conninfo[1200];
    bench_open(&bench, PLENTY_MS);
    snprintf(conninfo, sizeof conninfo, "%s options='-c default_transaction_read_only=on'",
             test_database());
    bench.settings.conninfo = conninfo;
    struct db *db = db_open(&bench.settings);
    cr_assert_not(tx_run(db, TX_WRITE, bench.arena, &bench.fails, run_probe, &probe));
    bench_fault(&bench, FAIL_UNAVAILABLE, "");
    db_close(db);
    bench_close(&bench);
}

/* --- trying again --- */

struct failing {
    const char *until; /* succeeds at this call of the sequence */
    const char *state;
    int runs;
    size_t faults_seen;
};

static bool fail_until(struct tx *tx, void *context)
{
    struct failing *failing = context;
    struct args args;
    failing->runs++;
    failing->faults_seen += tx->fails->count;
    args_init(&args, tx);
    args_text(&args, failing->until);
    args_text(&args, failing->state);
    return tx_execute(tx, "probe_fail_until", &args, NULL);
}

/* Only one test uses the sequence: tests run side by side. */
static bool run_failing(struct bench *bench, struct failing *failing)
{
    test_sql(test_database(), "SELECT setval('morrowloaf.probe_tries', 1, false)");
    return bench_run(bench, TX_WRITE, fail_until, failing);
}

Test(transaction, that_collides_is_tried_again)
{
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    struct failing failing = {.until = "4", .state = "40001"};
    cr_assert(run_failing(&bench, &failing));
    cr_expect_eq(failing.runs, 4);
    cr_expect_eq(failing.faults_seen, 0);
    cr_expect_eq(bench.fails.count, 0);

    failing = (struct failing){.until = "2", .state = "40P01"};
    cr_assert(run_failing(&bench, &failing));
    cr_expect_eq(failing.runs, 2);

    failing = (struct failing){.until = "1000", .state = "40001"};
    cr_assert_not(run_failing(&bench, &failing));
    cr_expect_eq(failing.runs, 6);
    bench_fault(&bench, FAIL_UNAVAILABLE, "");

    failing = (struct failing){.until = "1000", .state = "55P03"};
    cr_assert_not(run_failing(&bench, &failing));
    cr_expect_eq(failing.runs, 1);
    bench_fault(&bench, FAIL_UNAVAILABLE, "");

    failing = (struct failing){.until = "1000", .state = "53100"};
    cr_assert_not(run_failing(&bench, &failing));
    cr_expect_eq(failing.runs, 1);
    bench_fault(&bench, FAIL_UNAVAILABLE, "");

    failing = (struct failing){.until = "1000", .state = "22012"};
    cr_assert_not(run_failing(&bench, &failing));
    cr_expect_eq(failing.runs, 1);
    bench_fault(&bench, FAIL_INTERNAL, "");
    bench_close(&bench);
}

struct serializing {
    int runs;
    int64_t value;
};

/* Reads a row under SERIALIZABLE and writes it after someone else did. */
static bool serialize(struct tx *tx, void *context)
{
    struct serializing *serializing = context;
    struct args args;
    struct rows rows;
    serializing->runs++;
    if (!tx_execute(tx, "probe_serializable", NULL, NULL) || !tx_enter_bakery(tx, 1, "tester"))
        return false;
    args_init(&args, tx);
    args_text(&args, "contended");
    if (!tx_query(tx, "probe_value", &args, &rows) || !rows_next(&rows)) return false;
    serializing->value = row_whole(&rows);
    if (serializing->runs == 1)
        test_sql(test_database(),
                 "UPDATE morrowloaf.probe SET value = 100 WHERE code = 'contended'");
    return tx_execute(tx, "probe_add", &args, NULL);
}

Test(transaction, that_cannot_be_serialized_runs_again_on_the_new_state)
{
    struct bench bench;
    struct serializing serializing = {0};
    bench_open(&bench, PLENTY_MS);
    test_sql(test_database(), "INSERT INTO morrowloaf.probe VALUES (1, 'contended', 1)");
    cr_assert(bench_run(&bench, TX_WRITE, serialize, &serializing));
    cr_expect_eq(serializing.runs, 2);
    cr_expect_eq(serializing.value, 100);
    cr_expect_eq(bench.fails.count, 0);
    cr_expect_eq(
        test_whole(test_database(), "SELECT value FROM morrowloaf.probe WHERE code = 'contended'"),
        101);
    bench_close(&bench);
}

struct locking {
    pthread_barrier_t *both_hold_one; /* met only at the first try */
    const char *first;
    const char *second;
    int runs;
    bool done;
};

static bool add_to(struct tx *tx, const char *code)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, code);
    return tx_execute(tx, "probe_add", &args, NULL);
}

static bool lock_both(struct tx *tx, void *context)
{
    struct locking *locking = context;
    if (!tx_enter_bakery(tx, 1, "tester") || !add_to(tx, locking->first)) return false;
    if (locking->runs++ == 0) pthread_barrier_wait(locking->both_hold_one);
    return add_to(tx, locking->second);
}

static void *lock_in_thread(void *context)
{
    struct locking *locking = context;
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    locking->done = bench_run(&bench, TX_WRITE, lock_both, locking);
    bench_close(&bench);
    return NULL;
}

Test(transaction, in_a_deadlock_ends_well_for_both)
{
    pthread_barrier_t barrier;
    pthread_t threads[2];
    struct locking lockings[2] = {{.both_hold_one = &barrier, .first = "dead", .second = "lock"},
                                  {.both_hold_one = &barrier, .first = "lock", .second = "dead"}};
    test_sql(test_database(), "INSERT INTO morrowloaf.probe VALUES (1, 'dead', 1), (1, 'lock', 1)");
    pthread_barrier_init(&barrier, NULL, 2);
    for (int i = 0; i < 2; i++)
        pthread_create(&threads[i], NULL, lock_in_thread, &lockings[i]);
    for (int i = 0; i < 2; i++)
        pthread_join(threads[i], NULL);
    cr_expect(lockings[0].done && lockings[1].done);
    cr_expect_geq(lockings[0].runs + lockings[1].runs, 3);
    cr_expect_eq(test_whole(test_database(),
                            "SELECT sum(value) FROM morrowloaf.probe"
                            " WHERE code IN ('dead', 'lock')"),
                 6);
    pthread_barrier_destroy(&barrier);
}

/* --- success that is none --- */

Test(transaction, whose_failed_statement_was_ignored_is_no_success)
{
    struct bench bench;
    struct probe probe = {"probe_put", "ignored", "-1", true};
    bench_open(&bench, PLENTY_MS);
    cr_assert_not(bench_run(&bench, TX_WRITE, run_probe, &probe));
    bench_fault(&bench, FAIL_INVALID, "/value");
    bench_close(&bench);
}

static bool go_on_after_failure(struct tx *tx, void *context)
{
    struct args args;
    int64_t *later = context;
    *later = 0;
    if (!put_probe(tx, "before-failure", 1)) return false;
    put_probe(tx, "at-failure", -1);
    args_init(&args, tx);
    if (tx_enter_bakery(tx, 1, "tester") || ask_whole(tx, "probe_count", later)) *later = 1;
    return true;
}

Test(transaction, sends_nothing_more_after_a_failure)
{
    struct bench bench;
    int64_t later;
    bench_open(&bench, PLENTY_MS);
    cr_assert_not(bench_run(&bench, TX_WRITE, go_on_after_failure, &later));
    cr_expect_eq(later, 0);
    bench_fault(&bench, FAIL_INVALID, "/value");
    cr_expect_eq(probes("before-failure"), 0);
    bench_close(&bench);
}

/* Fails the transaction behind the runner's back: only the answer to COMMIT tells. */
static bool fail_in_secret(struct tx *tx, void *context)
{
    (void)context;
    if (!put_probe(tx, "secret", 1)) return false;
    PQclear(link_command(tx->db->link, "SELECT 1 / 0", db_deadline(tx->db)));
    return true;
}

Test(transaction, that_the_database_rolls_back_at_commit_is_no_success)
{
    struct bench bench;
    int64_t pid;
    bench_open(&bench, PLENTY_MS);
    cr_assert_not(bench_run(&bench, TX_WRITE, fail_in_secret, NULL));
    bench_fault(&bench, FAIL_INTERNAL, "");
    cr_expect_eq(probes("secret"), 0);
    cr_assert(bench_run(&bench, TX_WRITE, take_pid, &pid));
    bench_close(&bench);
}

static bool put_late_twice(struct tx *tx, void *context)
{
    struct probe first = {"probe_late", "late-a", "same", false};
    struct probe second = {"probe_late", "late-b", "same", false};
    (void)context;
    return run_probe(tx, &first) && run_probe(tx, &second);
}

Test(transaction, whose_rule_is_broken_at_commit_is_told_so)
{
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    cr_assert_not(bench_run(&bench, TX_WRITE, put_late_twice, NULL));
    bench_fault(&bench, FAIL_CONFLICT, "/late");
    cr_expect_eq(probes("late-a"), 0);
    bench_close(&bench);
}

static bool begin_within(struct tx *tx, void *context)
{
    return put_probe(tx, "nested", 1) &&
           (tx_run(tx->db, TX_WRITE, tx->arena, tx->fails, take_pid, context) || true);
}

Test(transaction, cannot_be_begun_within_another)
{
    struct bench bench;
    int64_t pid;
    bench_open(&bench, PLENTY_MS);
    cr_assert_not(bench_run(&bench, TX_WRITE, begin_within, &pid));
    bench_fault(&bench, FAIL_INTERNAL, "");
    cr_expect_eq(probes("nested"), 0);
    cr_assert(bench_run(&bench, TX_WRITE, take_pid, &pid));
    bench_close(&bench);
}

/* --- broken rules --- */

struct broken {
    struct probe probe;
    enum fail_code code;
    const char *pointer;
};

Test(transaction, that_breaks_a_rule_says_which)
{
    static const struct broken list[] = {
        {{"probe_put", "b", "0", false}, FAIL_INVALID, "/value"},
        {{"probe_put", "b", "13", false}, FAIL_INTERNAL, ""},   /* a rule that nobody listed */
        {{"probe_put", "kept", "1", false}, FAIL_CONFLICT, ""}, /* nobody listed the key */
        {{"probe_nick", "b", "taken", false}, FAIL_CONFLICT, "/nick"},
        {{"probe_small", "b", "901", false}, FAIL_INVALID, "/small"},
        {{"probe_null", "b", NULL, false}, FAIL_INTERNAL, ""},
        {{"probe_child", "missing", NULL, false}, FAIL_INVALID, "/parent"},
        {{"probe_delete", "used", NULL, false}, FAIL_CONFLICT, ""},
        {{"probe_delete_abroad", "used", NULL, false}, FAIL_CONFLICT, ""},
        {{"probe_put_abroad", "used", NULL, false}, FAIL_INVALID, "/parent"},
        {{"probe_rename", "used", "renamed", false}, FAIL_CONFLICT, ""},
        {{"probe_put", "not \xff UTF-8", "1", false}, FAIL_INVALID, ""},
        {{"probe_put", "b", "9223372036854775808", false}, FAIL_INVALID, ""},
        {{"probe_put", "b", "no number", false}, FAIL_INTERNAL, ""},
        {{"no_such_statement", "b", NULL, false}, FAIL_INTERNAL, ""},
    };
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    test_sql(test_database(),
             "INSERT INTO morrowloaf.probe (bakery_id, code, value, nick)"
             " VALUES (1, 'kept', 1, 'taken'), (1, 'used', 1, NULL);"
             "INSERT INTO morrowloaf.probe_child VALUES (1, 'used')");
    for (size_t i = 0; i < sizeof list / sizeof list[0]; i++) {
        struct probe probe = list[i].probe;
        cr_assert_not(bench_run(&bench, TX_WRITE, run_probe, &probe), "%zu", i);
        bench_fault(&bench, list[i].code, list[i].pointer);
    }
    cr_expect_eq(probes("b"), 0);
    bench_close(&bench);
}

Test(transaction, that_breaks_a_listed_rule_has_its_sentence)
{
    struct bench bench;
    struct probe probe = {"probe_nick", "sentence-a", "sentence", false};
    bench_open(&bench, PLENTY_MS);
    cr_assert(bench_run(&bench, TX_WRITE, run_probe, &probe));
    probe.code = "sentence-b";
    cr_assert_not(bench_run(&bench, TX_WRITE, run_probe, &probe));
    cr_expect_str_eq(bench.fails.items[0].text, "is the nick of another probe");
    bench_close(&bench);
}

/* --- short memory --- */

static bool put_and_count(struct tx *tx, void *context)
{
    return put_probe(tx, "short-memory", 1) && ask_whole(tx, "probe_count", context);
}

/* Fails every allocation in turn: each time the answer is "try again" and nothing is stored. */
Test(transaction, short_of_memory_is_unavailable)
{
    bool done = false;
    long failures = 0;
    while (!done) {
        struct bench bench;
        int64_t count;
        bench_open(&bench, PLENTY_MS);
        arena_fail_nth(failures + 1);
        done = bench_run(&bench, TX_WRITE, put_and_count, &count);
        arena_fail_nth(0);
        cr_assert_eq(probes("short-memory"), done ? 1 : 0);
        if (!done) cr_assert_eq(fails_code(&bench.fails), FAIL_UNAVAILABLE, "at %ld", failures + 1);
        if (!done) failures++;
        bench_close(&bench);
    }
    cr_expect_geq(failures, 6);
}
