/* Applying migrations.
 *
 * All of it runs on one link of its own, under one advisory lock of the session: whoever comes
 * second waits and then finds nothing left to do. A migration, its verify script and its line in
 * morrowloaf.migration are one transaction. Checksums are SHA-256, reckoned by PostgreSQL itself
 * over the text that it is sent. Migrations may take as long as they need; only the check before
 * serving has a deadline.
 */
#include "db/migrate.h"

#include "base/arena.h"
#include "base/log.h"
#include "db/link.h"
#include "db/migration_files.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ANSWER_MS = 10000, NUMBER_TEXT_SIZE = 24 };

/* Any number would do, as long as it is nobody else's. */
#define LOCK_SQL "SELECT pg_advisory_lock(5784093114)"

/* Runs as the role that connects. */
static const char settings_sql[] =
    "SET client_encoding = 'UTF8';"
    "SET statement_timeout = 0;"
    "SET lock_timeout = 0;"
    "SET client_min_messages = warning;" LOCK_SQL;

/* Everything from here on belongs to the owner. The server's role may read how far the schema is.
 */
static const char book_of_migrations_sql[] =
    "SET ROLE morrowloaf_owner;"
    "CREATE SCHEMA IF NOT EXISTS morrowloaf AUTHORIZATION morrowloaf_owner;"
    "SET search_path = morrowloaf;"
    "CREATE TABLE IF NOT EXISTS migration ("
    "    number integer CONSTRAINT migration_pkey PRIMARY KEY,"
    "    name text NOT NULL,"
    "    checksum text NOT NULL,"
    "    applied_at timestamptz NOT NULL DEFAULT now());"
    "COMMENT ON TABLE migration IS 'Which migrations made this schema';"
    "GRANT USAGE ON SCHEMA morrowloaf TO morrowloaf_app;"
    "GRANT SELECT ON migration TO morrowloaf_app;";

struct migrator {
    PGconn *link;
    int64_t deadline;
    struct migration_files files;
};

/* The line in a text at which PostgreSQL's message points; 0 when it points nowhere. */
static int line_of(const PGresult *result, const char *text)
{
    const char *position = PQresultErrorField(result, PG_DIAG_STATEMENT_POSITION);
    if (position == NULL) return 0;
    long left = strtol(position, NULL, 10) - 1; /* in characters, from 1 */
    int line = 1;
    for (; left > 0 && *text != '\0'; text++) {
        if (*text == '\n') line++;
        if (((unsigned char)text[1] & 0xC0) != 0x80) left--; /* the next byte begins a character */
    }
    return line;
}

static void log_refusal(const struct migrator *migrator, const char *what, const char *text,
                        const PGresult *result)
{
    const char *message = PQresultErrorField(result, PG_DIAG_MESSAGE_PRIMARY);
    const char *detail = PQresultErrorField(result, PG_DIAG_MESSAGE_DETAIL);
    char why[LINK_WHY_SIZE];
    link_explain(migrator->link, why);
    int line = line_of(result, text);
    if (line > 0) {
        log_error("%s, line %d: %s%s%s", what, line, message == NULL ? why : message,
                  detail == NULL ? "" : ": ", detail == NULL ? "" : detail);
    } else {
        log_error("%s: %s%s%s", what, message == NULL ? why : message, detail == NULL ? "" : ": ",
                  detail == NULL ? "" : detail);
    }
}

/* Runs SQL whose rows do not matter. */
static bool apply(const struct migrator *migrator, const char *what, const char *sql)
{
    PGresult *result = link_command(migrator->link, sql, migrator->deadline);
    bool applied = link_success(result);
    if (!applied) log_refusal(migrator, what, sql, result);
    PQclear(result);
    return applied;
}

/* Runs one statement with arguments; the caller clears the result. NULL, logged, on failure. */
static PGresult *ask(const struct migrator *migrator, const char *what, const char *sql, int count,
                     const char *const *values)
{
    PGresult *result = NULL;
    if (PQsendQueryParams(migrator->link, sql, count, NULL, values, NULL, NULL, 0) == 1)
        result = link_answer(migrator->link, migrator->deadline);
    if (link_success(result)) return result;
    log_refusal(migrator, what, sql, result);
    PQclear(result);
    return NULL;
}

/* Runs a statement that gives one truth value. */
static bool ask_whether(const struct migrator *migrator, const char *what, const char *sql,
                        int count, const char *const *values, bool *truth)
{
    PGresult *result = ask(migrator, what, sql, count, values);
    *truth = PQntuples(result) == 1 && strcmp(PQgetvalue(result, 0, 0), "t") == 0;
    PQclear(result);
    return result != NULL;
}

static const char *number_text(char out[NUMBER_TEXT_SIZE], size_t number)
{
    snprintf(out, NUMBER_TEXT_SIZE, "%zu", number);
    return out;
}

/* --- how far the schema is --- */

static bool is_unchanged(const struct migrator *migrator, size_t number)
{
    const struct migration *migration = &migrator->files.items[number - 1];
    char digits[NUMBER_TEXT_SIZE];
    const char *const values[] = {number_text(digits, number), migration->text};
    bool same;
    if (!ask_whether(migrator, migration->file,
                     "SELECT checksum = encode(sha256(convert_to($2, 'UTF8')), 'hex')"
                     " FROM morrowloaf.migration WHERE number = $1::integer",
                     2, values, &same))
        return false;
    if (!same)
        log_error("%s is not the migration that made this schema: its checksum differs",
                  migration->file);
    return same;
}

/* The numbers in the database must count from 1. */
static bool numbers_count(const PGresult *stored)
{
    for (int i = 0; i < PQntuples(stored); i++) {
        int number = atoi(PQgetvalue(stored, i, 0));
        if (number == i + 1) continue;
        log_error("the schema has a gap: migration %04d is missing before %04d", i + 1, number);
        return false;
    }
    return true;
}

/* How many migrations the schema has; false, logged, when they are not the first ones of the
 * folder. */
static bool schema_state(const struct migrator *migrator, size_t *have)
{
    PGresult *stored = ask(migrator, "the list of migrations",
                           "SELECT number FROM morrowloaf.migration ORDER BY number", 0, NULL);
    *have = (size_t)PQntuples(stored);
    bool sound = stored != NULL && numbers_count(stored);
    PQclear(stored);
    if (sound && *have > migrator->files.count) {
        log_error("the schema is at migration %04zu, newer than this program, which knows %04zu",
                  *have, migrator->files.count);
        return false;
    }
    for (size_t number = 1; sound && number <= *have; number++)
        sound = is_unchanged(migrator, number);
    return sound;
}

/* --- one migration --- */

static bool record(const struct migrator *migrator, size_t number)
{
    const struct migration *migration = &migrator->files.items[number - 1];
    char digits[NUMBER_TEXT_SIZE];
    const char *const values[] = {number_text(digits, number), migration->name, migration->text};
    PGresult *result = ask(
        migrator, migration->file,
        "INSERT INTO morrowloaf.migration (number, name, checksum)"
        " VALUES ($1::integer, $2, encode(sha256(convert_to($3, 'UTF8')), 'hex'))",
        3, values);
    PQclear(result);
    return result != NULL;
}

/* A script that commits by itself could not be taken back. */
static bool still_in_transaction(const struct migrator *migrator, const char *file)
{
    if (PQtransactionStatus(migrator->link) == PQTRANS_INTRANS) return true;
    log_error("%s ends its own transaction", file);
    return false;
}

/* The answer to COMMIT must be COMMIT: a failed transaction says ROLLBACK. */
static bool commit(const struct migrator *migrator, const char *file)
{
    PGresult *result = link_command(migrator->link, "COMMIT", migrator->deadline);
    bool committed = link_success(result) && strcmp(PQcmdStatus(result), "COMMIT") == 0;
    if (!committed) log_refusal(migrator, file, "COMMIT", result);
    PQclear(result);
    return committed;
}

/* On failure the transaction is left open: the link is closed next, which rolls it back. */
static bool migrate_one(const struct migrator *migrator, size_t number)
{
    const struct migration *migration = &migrator->files.items[number - 1];
    const char *file = migration->file;
    if (!apply(migrator, file, "BEGIN; SET LOCAL search_path = morrowloaf")) return false;
    if (!apply(migrator, file, migration->text) || !still_in_transaction(migrator, file))
        return false;
    if (!apply(migrator, "its verify script", migration->verify) ||
        !still_in_transaction(migrator, file))
        return false;
    if (!record(migrator, number) || !commit(migrator, file)) return false;
    log_info("applied %s", file);
    return true;
}

static bool migrate_all(const struct migrator *migrator)
{
    size_t have = 0;
    if (!apply(migrator, "the lock", settings_sql) ||
        !apply(migrator, "roles.sql", migrator->files.roles) ||
        !apply(migrator, "the schema", book_of_migrations_sql) || !schema_state(migrator, &have))
        return false;
    for (size_t number = have + 1; number <= migrator->files.count; number++) {
        if (!migrate_one(migrator, number)) {
            log_error("%s was not applied", migrator->files.items[number - 1].file);
            return false;
        }
    }
    log_info("the schema is at migration %04zu", migrator->files.count);
    return true;
}

/* --- the two doors --- */

static bool with_link(const char *conninfo, const char *sql_folder, bool in_time,
                      bool (*act)(const struct migrator *migrator))
{
    bool done = false;
    struct migrator migrator = {0};
    char why[LINK_WHY_SIZE];
    struct arena *arena = arena_new(0);
    if (arena == NULL) {
        log_error("memory is short");
        return false;
    }
    if (!migration_files_read(arena, sql_folder, &migrator.files)) goto cleanup;
    int64_t deadline = deadline_after(ANSWER_MS);
    migrator.deadline = in_time ? deadline : DEADLINE_NONE;
    migrator.link = link_open(conninfo, deadline, why);
    if (migrator.link == NULL) {
        log_error("no connection to the database: %s", why);
        goto cleanup;
    }
    done = act(&migrator);
cleanup:
    PQfinish(migrator.link);
    arena_free(arena);
    return done;
}

bool migrate(const char *conninfo, const char *sql_folder)
{
    return with_link(conninfo, sql_folder, false, migrate_all);
}

static bool check(const struct migrator *migrator)
{
    /* Everyone may read the catalogue; a schema that was not given to us, we may not. */
    bool migrated;
    if (!ask_whether(migrator, "the catalogue",
                     "SELECT EXISTS (SELECT FROM pg_catalog.pg_tables"
                     " WHERE schemaname = 'morrowloaf' AND tablename = 'migration')",
                     0, NULL, &migrated))
        return false;
    if (!migrated) {
        log_error("this database has no book yet: it must be migrated first");
        return false;
    }
    size_t have = 0;
    if (!apply(migrator, "the server's role", "SET ROLE morrowloaf_app") ||
        !schema_state(migrator, &have))
        return false;
    if (have == migrator->files.count) return true;
    log_error(
        "the schema is at migration %04zu, this program needs %04zu: it must be migrated "
        "first",
        have, migrator->files.count);
    return false;
}

bool migrate_check(const char *conninfo, const char *sql_folder)
{
    return with_link(conninfo, sql_folder, true, check);
}
