/* Databases for the tests of db/, on the server that MORROWLOAF_TEST_CONNINFO names: a libpq string
 * of keywords and values for a maintenance database, as a superuser of the machine that the server
 * runs on.
 *
 * The program makes one database for all its tests before the first of them, migrated and with a
 * few tables to break rules on, and drops everything it made after the last. */
#ifndef TESTS_UNIT_DB_DATABASE_H
#define TESTS_UNIT_DB_DATABASE_H

#include "base/fail.h"
#include "db/db.h"

#include <stdint.h>

/* The database of all tests. */
const char *test_database(void);
/* A new, empty database of this test's own. */
const char *test_database_new(void);

/* As a superuser, on a connection of its own; the test fails when it fails. */
void test_sql(const char *conninfo, const char *sql);
/* The first column of the first row of a query. */
int64_t test_whole(const char *conninfo, const char *sql);

/* A connection of the server's, and a request's arena and faults. */
struct bench {
    struct db_settings settings;
    struct db *db;
    struct arena *arena;
    struct fails fails;
};

/* One that works as morrowloaf_app with the statements below and this deadline. */
void bench_open(struct bench *bench, int deadline_ms);
void bench_close(struct bench *bench);
/* Runs work with an empty list of faults. */
bool bench_run(struct bench *bench, enum tx_mode mode, tx_work work, void *context);
/* Checks that there is one fault, and which. */
void bench_fault(const struct bench *bench, enum fail_code code, const char *pointer);

extern const struct statement_table *const test_statements[];

/* Runs a statement without arguments of its own and takes one whole number. */
bool ask_whole(struct tx *tx, const char *statement, int64_t *value);
/* Runs "probe_put" in bakery 1. */
bool put_probe(struct tx *tx, const char *code, int64_t value);
/* A tx_work: enters bakery 1 and stores the process id of the backend in *(int64_t *)context. */
bool take_pid(struct tx *tx, void *context);
/* Rows of that code, seen by a superuser. */
int64_t probes(const char *code);

/* Ends a backend and waits until it is gone. */
void kill_backend(int64_t pid);
/* Stops and continues a backend's process. */
void freeze_backend(int64_t pid);
void thaw_backend(int64_t pid);
/* At the end of a test that may have failed in between. */
void thaw_all(void);

int64_t milliseconds_now(void);

#endif
