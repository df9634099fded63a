/* Making databases, and the bench that the tests work at. */
#include "database.h"

#include "base/arena.h"
#include "base/log.h"
#include "db/migrate.h"
#include "db/statement.h"

#include <criterion/criterion.h>
#include <criterion/hooks.h>
#include <inttypes.h>
#include <libpq-fe.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>
#include <unistd.h>

enum { CONNINFO_SIZE = 1024 };

/* Tables with one of every rule that the database can find broken. */
static const char probe_sql[] =
    "INSERT INTO morrowloaf.bakery (bakery_id) VALUES (2);"
    "CREATE DOMAIN morrowloaf.probe_domain AS bigint CONSTRAINT probe_domain_small CHECK (VALUE < "
    "900);"
    "CREATE TABLE morrowloaf.probe ("
    "    bakery_id bigint NOT NULL, code text NOT NULL, value bigint NOT NULL,"
    "    nick text CONSTRAINT probe_nick UNIQUE, late text,"
    "    small morrowloaf.probe_domain,"
    "    CONSTRAINT probe_pkey PRIMARY KEY (bakery_id, code),"
    "    CONSTRAINT probe_late UNIQUE (late) DEFERRABLE INITIALLY DEFERRED,"
    "    CONSTRAINT probe_value_positive CHECK (value > 0),"
    "    CONSTRAINT probe_value_unlisted CHECK (value <> 13));"
    "CREATE TABLE morrowloaf.probe_child ("
    "    bakery_id bigint NOT NULL, parent text,"
    "    CONSTRAINT child_of_probe FOREIGN KEY (bakery_id, parent) REFERENCES morrowloaf.probe);"
    /* What a server says whose messages are in another language. */
    "CREATE TABLE morrowloaf.probe_abroad (bakery_id bigint, code text);"
    "CREATE FUNCTION morrowloaf.refuse_abroad() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
    " RAISE EXCEPTION 'Fremdschlüssel verletzt' USING ERRCODE = '23503',"
    " CONSTRAINT = 'child_of_probe', DETAIL = 'Auf den Schlüssel wird noch verwiesen.'; END $$;"
    "CREATE TRIGGER refuse_abroad BEFORE INSERT OR DELETE ON morrowloaf.probe_abroad"
    " FOR EACH STATEMENT EXECUTE FUNCTION morrowloaf.refuse_abroad();"
    "GRANT ALL ON morrowloaf.probe_abroad TO morrowloaf_app;"
    "CREATE SEQUENCE morrowloaf.probe_tries;"
    "CREATE FUNCTION morrowloaf.fail_until(wanted bigint, state text) RETURNS bigint LANGUAGE "
    "plpgsql"
    " AS $$ DECLARE tries bigint := nextval('morrowloaf.probe_tries'); BEGIN"
    " IF tries < wanted THEN RAISE EXCEPTION 'not yet' USING ERRCODE = state; END IF;"
    " RETURN tries; END $$;"
    "GRANT ALL ON morrowloaf.probe, morrowloaf.probe_child TO morrowloaf_app;"
    "GRANT ALL ON SEQUENCE morrowloaf.probe_tries TO morrowloaf_app;";

static const char *required_env(const char *name)
{
    const char *value = getenv(name);
    if (value == NULL) {
        fprintf(stderr, "%s is not set: the tests of db/ need a PostgreSQL server\n", name);
        exit(1);
    }
    return value;
}

static void conninfo_of(char out[CONNINFO_SIZE], const char *database)
{
    snprintf(out, CONNINFO_SIZE, "%s dbname=%s", required_env("MORROWLOAF_TEST_CONNINFO"),
             database);
}

/* Whether it worked; asserting would not do outside of a test. */
static bool superuser(const char *conninfo, const char *sql, int64_t *value)
{
    PGconn *link = PQconnectdb(conninfo);
    PGresult *result = PQexec(link, sql);
    ExecStatusType status = PQresultStatus(result);
    bool done = status == PGRES_COMMAND_OK || status == PGRES_TUPLES_OK;
    if (!done) fprintf(stderr, "%s: %s", sql, PQerrorMessage(link));
    if (done && value != NULL) *value = strtoll(PQgetvalue(result, 0, 0), NULL, 10);
    PQclear(result);
    PQfinish(link);
    return done;
}

static bool create_database(const char *name)
{
    char sql[256];
    snprintf(sql, sizeof sql, "CREATE DATABASE %s TEMPLATE template0 ENCODING 'UTF8'", name);
    return superuser(required_env("MORROWLOAF_TEST_CONNINFO"), sql, NULL);
}

/* The names of all databases of this run begin with the name of the first. */
static const char *first_name(void)
{
    return required_env("MORROWLOAF_TEST_DATABASE");
}

ReportHook(PRE_ALL)(struct criterion_test_set *tests)
{
    (void)tests;
    log_set_level(LOG_ERROR);
    char name[64];
    char conninfo[CONNINFO_SIZE];
    snprintf(name, sizeof name, "morrowloaf_test_%d", (int)getpid());
    setenv("MORROWLOAF_TEST_DATABASE", name, 1);
    conninfo_of(conninfo, name);
    if (create_database(name) && migrate(conninfo, MORROWLOAF_SOURCE "/sql") &&
        superuser(conninfo, probe_sql, NULL))
        return;
    fprintf(stderr, "the database of the tests cannot be made\n");
    exit(1);
}

static void for_each_row(const char *query, void (*act)(const char *value))
{
    PGconn *link = PQconnectdb(required_env("MORROWLOAF_TEST_CONNINFO"));
    PGresult *result = PQexec(link, query);
    for (int i = 0; i < PQntuples(result); i++)
        act(PQgetvalue(result, i, 0));
    PQclear(result);
    PQfinish(link);
}

static void run_sql(const char *sql)
{
    superuser(required_env("MORROWLOAF_TEST_CONNINFO"), sql, NULL);
}

static void thaw(const char *pid)
{
    kill((pid_t)strtol(pid, NULL, 10), SIGCONT);
}

/* A backend that a failed test left frozen would keep every database from being dropped. */
ReportHook(POST_ALL)(struct criterion_global_stats *stats)
{
    (void)stats;
    char sql[512];
    snprintf(sql, sizeof sql, "SELECT pid FROM pg_stat_activity WHERE datname ~ '^%s(_|$)'",
             first_name());
    for_each_row(sql, thaw);
    snprintf(sql, sizeof sql,
             "SELECT format('DROP DATABASE %%I WITH (FORCE)', datname) FROM pg_database"
             " WHERE datname ~ '^%s(_|$)'",
             first_name());
    for_each_row(sql, run_sql);
}

const char *test_database(void)
{
    static char conninfo[CONNINFO_SIZE];
    conninfo_of(conninfo, first_name());
    return conninfo;
}

const char *test_database_new(void)
{
    static char conninfo[CONNINFO_SIZE];
    char name[96];
    snprintf(name, sizeof name, "%s_%d", first_name(), (int)getpid());
    cr_assert(create_database(name));
    conninfo_of(conninfo, name);
    return conninfo;
}

void test_sql(const char *conninfo, const char *sql)
{
    cr_assert(superuser(conninfo, sql, NULL), "%s", sql);
}

int64_t test_whole(const char *conninfo, const char *sql)
{
    int64_t value = -1;
    cr_assert(superuser(conninfo, sql, &value), "%s", sql);
    return value;
}

/* --- the bench --- */

STATEMENTS(
    probe_statements,
    {"probe_put", "INSERT INTO probe (bakery_id, code, value) VALUES ($1, $2, $3)"},
    {"probe_nick", "INSERT INTO probe (bakery_id, code, value, nick) VALUES ($1, $2, 1, $3)"},
    {"probe_late", "INSERT INTO probe (bakery_id, code, value, late) VALUES ($1, $2, 1, $3)"},
    {"probe_small", "INSERT INTO probe (bakery_id, code, value, small) VALUES ($1, $2, 1, $3)"},
    {"probe_null", "INSERT INTO probe (bakery_id, code, value) VALUES ($1, $2, NULL)"},
    {"probe_child", "INSERT INTO probe_child (bakery_id, parent) VALUES ($1, $2)"},
    {"probe_delete", "DELETE FROM probe WHERE bakery_id = $1 AND code = $2"},
    {"probe_delete_abroad", "DELETE FROM probe_abroad WHERE bakery_id = $1 AND code = $2"},
    {"probe_put_abroad", "INSERT INTO probe_abroad VALUES ($1, $2)"},
    {"probe_rename", "UPDATE probe SET code = $3 WHERE bakery_id = $1 AND code = $2"},
    {"probe_add", "UPDATE probe SET value = value + 1 WHERE bakery_id = $1 AND code = $2"},
    {"probe_value",
     "SELECT coalesce(max(value), -1) FROM probe"
     " WHERE bakery_id = $1 AND code = $2"},
    {"probe_count", "SELECT count(*) FROM probe WHERE bakery_id = $1"},
    {"probe_serializable", "SET TRANSACTION ISOLATION LEVEL SERIALIZABLE"},
    {"probe_fail_until", "SELECT fail_until($2, $3) WHERE $1::bigint IS NOT NULL"},
    {"backend_pid", "SELECT pg_backend_pid() WHERE $1::bigint IS NOT NULL"},
    {"backend_sleep", "SELECT 1 FROM pg_sleep(20) WHERE $1::bigint IS NOT NULL"},
    {"setting_get", "SELECT current_setting($2) WHERE $1::bigint IS NOT NULL"});

STATEMENTS(type_statements,
           {"type_scalars",
            "SELECT $2::text, $3::bigint, $4::bigint, $5::boolean, $6::date,"
            " $7::integer, $8::integer, $1::bigint"},
           {"type_texts",
            "SELECT t, t IS NULL FROM unnest($2::text[]) WITH ORDINALITY AS u (t, n)"
            " WHERE $1::bigint IS NOT NULL ORDER BY n"},
           {"type_wholes",
            "SELECT w FROM unnest($2::bigint[]) WITH ORDINALITY AS u (w, n)"
            " WHERE $1::bigint IS NOT NULL ORDER BY n"},
           {"type_dates",
            "SELECT d, $3::date FROM unnest($2::date[]) WITH ORDINALITY AS u (d, n)"
            " WHERE $1::bigint IS NOT NULL ORDER BY n"},
           {"type_nulls",
            "SELECT NULL::text, NULL::bigint, NULL::boolean, NULL::date,"
            " NULL::integer, NULL::bigint WHERE $1::bigint IS NOT NULL"},
           {"type_odd", "SELECT $2::text WHERE $1::bigint IS NOT NULL"},
           {"type_instant",
            "SELECT extract(epoch FROM $2::timestamptz)::bigint"
            " WHERE $1::bigint IS NOT NULL"},
           {"type_none", "SELECT 1 WHERE $1::bigint IS NULL"});

STATEMENTS(wall_statements,
           {"customer_count_all", "SELECT count(*) FROM customer WHERE $1::bigint IS NOT NULL"},
           {"customer_put_for",
            "INSERT INTO customer (bakery_id, code, name)"
            " SELECT $2::bigint, $3, 'Café' WHERE $1::bigint IS NOT NULL"},
           {"customer_move_to", "UPDATE customer SET bakery_id = $2 WHERE bakery_id = $1"});

const struct statement_table *const test_statements[] = {&probe_statements, &type_statements,
                                                         &wall_statements, NULL};

static const struct db_constraint constraints[] = {
    {"probe_value_positive", "/value", "is not above zero"},
    {"probe_nick", "/nick", "is the nick of another probe"},
    {"probe_late", "/late", "comes twice"},
    {"probe_domain_small", "/small", "is not small"},
    {"child_of_probe", "/parent", "names a probe that does not exist"},
    {NULL, NULL, NULL},
};

void bench_open(struct bench *bench, int deadline_ms)
{
    log_set_level(LOG_QUIET);
    bench->settings = (struct db_settings){.conninfo = test_database(),
                                           .role = "morrowloaf_app",
                                           .deadline_ms = deadline_ms,
                                           .statements = test_statements,
                                           .constraints = constraints};
    bench->db = db_open(&bench->settings);
    bench->arena = arena_new(0);
    cr_assert_not_null(bench->db);
    cr_assert_not_null(bench->arena);
    fails_init(&bench->fails, bench->arena);
}

void bench_close(struct bench *bench)
{
    db_close(bench->db);
    arena_free(bench->arena);
}

bool bench_run(struct bench *bench, enum tx_mode mode, tx_work work, void *context)
{
    fails_init(&bench->fails, bench->arena);
    return tx_run(bench->db, mode, bench->arena, &bench->fails, work, context);
}

void bench_fault(const struct bench *bench, enum fail_code code, const char *pointer)
{
    cr_assert_eq(bench->fails.count, 1, "%zu faults", bench->fails.count);
    const struct fail *fault = &bench->fails.items[0];
    cr_assert_eq(fault->code, code, "code %d: %s", (int)fault->code, fault->text);
    cr_assert_str_eq(fault->path, pointer);
    cr_assert_neq(fault->text[0], '\0');
}

bool ask_whole(struct tx *tx, const char *statement, int64_t *value)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    if (!tx_query(tx, statement, &args, &rows) || !rows_next(&rows)) return false;
    *value = row_whole(&rows);
    return true;
}

bool put_probe(struct tx *tx, const char *code, int64_t value)
{
    struct args args;
    if (!tx_enter_bakery(tx, 1, "tester")) return false;
    args_init(&args, tx);
    args_text(&args, code);
    args_whole(&args, value);
    return tx_execute(tx, "probe_put", &args, NULL);
}

bool take_pid(struct tx *tx, void *context)
{
    return tx_enter_bakery(tx, 1, "tester") && ask_whole(tx, "backend_pid", context);
}

int64_t probes(const char *code)
{
    char sql[256];
    snprintf(sql, sizeof sql, "SELECT count(*) FROM morrowloaf.probe WHERE code = '%s'", code);
    return test_whole(test_database(), sql);
}

void kill_backend(int64_t pid)
{
    char sql[128];
    snprintf(sql, sizeof sql, "SELECT pg_terminate_backend(%" PRId64 ", 5000)::integer", pid);
    cr_assert_eq(test_whole(test_database(), sql), 1);
}

static int64_t frozen;

void freeze_backend(int64_t pid)
{
    frozen = pid;
    cr_assert_eq(kill((pid_t)pid, SIGSTOP), 0, "the backend cannot be stopped");
}

void thaw_backend(int64_t pid)
{
    frozen = 0;
    cr_assert_eq(kill((pid_t)pid, SIGCONT), 0);
}

void thaw_all(void)
{
    if (frozen != 0) kill((pid_t)frozen, SIGCONT);
}

int64_t milliseconds_now(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}
