/* One connection to PostgreSQL, and what runs on it.
 *
 * A connection belongs to one thread. Every call has the program's own deadline: when the database
 * does not answer in time the connection is dropped and the request fails with FAIL_UNAVAILABLE (a
 * server-side timeout would not save us from a frozen database). After a reconnect all statements
 * are prepared again.
 *
 * Arguments are given in order as text, copied into the arena; $1 is always the bakery:
 *
 *     struct args args;
 *     args_init(&args, tx);           $1 is the bakery
 *     args_text(&args, code);
 *     args_whole(&args, keep_mg);
 *     struct rows rows;
 *     if (!tx_query(tx, "starter_get", &args, &rows)) return false;
 *     while (rows_next(&rows)) {
 *         starter->name = row_text(&rows);       columns are taken from left to right
 *         starter->keep_mg = row_whole(&rows);
 *     }
 */
#ifndef MORROWLOAF_DB_DB_H
#define MORROWLOAF_DB_DB_H

#include "base/date.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct arena;
struct fails;
struct statement_table;
struct db; /* a connection */

struct db_settings {
    const char *conninfo;                            /* libpq connection string */
    const char *role;                                /* SET ROLE after connecting; NULL: none */
    int deadline_ms;                                 /* for one call */
    const struct statement_table *const *statements; /* ends with NULL; NULL: none */
    void *keeper; /* whoever opened the connection, for tx.keeper; NULL: nobody */
    const struct db_constraint *constraints; /* ends with a NULL name; NULL: none */
};

/* What a violated constraint means to the user. */
struct db_constraint {
    const char *name;
    const char *pointer; /* where in the body */
    const char *text;    /* what is wrong */
};

/* Connects lazily: the first transaction connects. NULL when memory is short. Settings are borrowed
 * for the connection's life. Caller frees with db_close(). */
struct db *db_open(const struct db_settings *settings);
void db_close(struct db *db);

/* --- transactions --- */

enum tx_mode {
    TX_READ, /* REPEATABLE READ, READ ONLY: every statement sees the same moment */
    TX_WRITE /* READ COMMITTED; rows that decide are locked by the statements themselves */
};

struct tx {
    struct db *db;
    struct arena *arena;
    struct fails *fails;
    int64_t bakery_id; /* 0 until known */
    const char *actor; /* who asks, for the record; "" until known */
    enum tx_mode mode;
    void *keeper; /* of the connection's settings */
};

/* The work of a transaction. False (with a fault on the list) rolls back. May run more than once:
 * whatever it leaves in memory must be set anew each time. */
typedef bool (*tx_work)(struct tx *tx, void *context);

/* Runs work in a transaction and commits. Serialization failures (40001) and deadlocks (40P01) are
 * tried again a few times, with the list of faults as it was before. True means committed and
 * acknowledged by the database. A commit whose answer did not come is FAIL_UNAVAILABLE: it may or
 * may not have happened, which is what Idempotency-Key is for. */
bool tx_run(struct db *db, enum tx_mode mode, struct arena *arena, struct fails *fails,
            tx_work work, void *context);

/* Binds the rest of the transaction to one bakery (SET LOCAL morrowloaf.bakery_id, which the
 * row-level policies read) and remembers who acts. */
bool tx_enter_bakery(struct tx *tx, int64_t bakery_id, const char *actor);

/* --- arguments --- */

enum { ARGS_MAX = 32 };

struct args {
    struct arena *arena;
    const char *values[ARGS_MAX]; /* NULL: SQL null */
    int count;
    bool failed; /* memory was short or there were too many */
};

/* Begins the arguments; $1 is always the bakery of the transaction. */
void args_init(struct args *args, struct tx *tx);
void args_text(struct args *args, const char *value); /* NULL: SQL null */
void args_whole(struct args *args, int64_t value);
void args_whole_or_null(struct args *args, int64_t value, bool present);
void args_bool(struct args *args, bool value);
void args_date(struct args *args, date value);
void args_date_or_null(struct args *args, date value, bool present);
void args_clock(struct args *args, int minutes); /* minutes as integer; NO_CLOCK: null */
/* Arrays, for unnest(): count values. A NULL text is a NULL element, as is INT64_MIN or NO_DATE. */
void args_texts(struct args *args, const char *const *values, size_t count);
void args_wholes(struct args *args, const int64_t *values, size_t count);
void args_dates(struct args *args, const date *values, size_t count);

/* --- results --- */

struct rows {
    void *result;  /* PGresult, disposed of with the arena */
    struct db *db; /* where a column that cannot be read spoils the transaction */
    struct arena *arena;
    int count;
    int row;    /* -1 before the first rows_next() */
    int column; /* next to be taken */
};

/* Runs a prepared statement. False with FAIL_UNAVAILABLE (database trouble), FAIL_INVALID or
 * FAIL_CONFLICT (a named constraint, by the table of the settings), FAIL_INTERNAL (anything else).
 * After a failure the transaction can only end: later statements are not sent, and tx_run() is
 * false whatever the work returns. */
bool tx_query(struct tx *tx, const char *statement, const struct args *args, struct rows *rows);
/* The same for a statement whose rows do not matter; *affected may be NULL. */
bool tx_execute(struct tx *tx, const char *statement, const struct args *args, int64_t *affected);

/* Moves to the next row; false after the last. */
bool rows_next(struct rows *rows);

/* The next column of the row. Texts are valid as long as the arena. A NULL reads as NULL, 0, false,
 * NO_CLOCK; ask row_is_null() before taking where that matters. A column that is not there or not
 * of that type is a defect: logged, and the transaction fails with FAIL_INTERNAL. */
bool row_is_null(const struct rows *rows);
const char *row_text(struct rows *rows);
int64_t row_whole(struct rows *rows);
bool row_bool(struct rows *rows);
date row_date(struct rows *rows);
int row_clock(struct rows *rows);       /* an integer column of minutes */
instant row_instant(struct rows *rows); /* a column "extract(epoch from ...)::bigint" */

#endif
