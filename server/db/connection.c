/* Opening a connection and making it ready: role, settings, prepared statements.
 *
 * Everything is asked for in two round trips, so that a reconnect in the middle of a day is not
 * noticed: the settings in one string, then all statements in one pipeline.
 */
#include "db/connection.h"

#include "base/log.h"
#include "db/statement.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SETTINGS_SQL_SIZE = 1024 };

struct db *db_open(const struct db_settings *settings)
{
    struct db *db = calloc(1, sizeof *db);
    if (db != NULL) db->settings = *settings;
    return db;
}

void db_close(struct db *db)
{
    if (db == NULL) return;
    db_drop(db);
    free(db);
}

int64_t db_deadline(const struct db *db)
{
    return deadline_after(db->settings.deadline_ms);
}

void db_drop(struct db *db)
{
    PQfinish(db->link);
    db->link = NULL;
    db->begun = false;
}

/* The server's own time-out stands a little before ours: a statement that is merely slow then ends
 * with its lock released, and the connection stays. */
static int statement_timeout(const struct db *db)
{
    int milliseconds = db->settings.deadline_ms - db->settings.deadline_ms / 10;
    return milliseconds > 0 ? milliseconds : 1;
}

/* Settings that rule what the texts on the wire mean and what COMMIT promises, whatever the
 * database's defaults are. Nothing is compiled for one request: of a long walk PostgreSQL would
 * think it worth half a second. False when it does not fit or memory is short. */
static bool settings_sql(const struct db *db, PGconn *link, char sql[SETTINGS_SQL_SIZE])
{
    const char *role = db->settings.role;
    char *quoted = role == NULL ? NULL : PQescapeIdentifier(link, role, strlen(role));
    if (role != NULL && quoted == NULL) return false;
    int length = snprintf(sql, SETTINGS_SQL_SIZE,
                          "SET client_encoding = 'UTF8'; SET DateStyle = 'ISO, YMD';"
                          " SET TimeZone = 'UTC'; SET standard_conforming_strings = on;"
                          " SET synchronous_commit = on; SET jit = off; SET statement_timeout = %d;"
                          " SET search_path = morrowloaf;%s%s",
                          statement_timeout(db), quoted == NULL ? "" : " SET ROLE ",
                          quoted == NULL ? "" : quoted);
    PQfreemem(quoted);
    return length > 0 && length < SETTINGS_SQL_SIZE;
}

static bool apply_settings(const struct db *db, PGconn *link, int64_t deadline)
{
    char sql[SETTINGS_SQL_SIZE];
    if (!settings_sql(db, link, sql)) return false;
    PGresult *result = link_command(link, sql, deadline);
    bool applied = link_success(result);
    PQclear(result);
    return applied;
}

static bool send_statements(const struct db *db, PGconn *link)
{
    const struct statement_table *const *table = db->settings.statements;
    for (; *table != NULL; table++) {
        for (size_t i = 0; i < (*table)->count; i++) {
            const struct statement *statement = &(*table)->statements[i];
            if (PQsendPrepare(link, statement->name, statement->text, 0, NULL) == 0) return false;
        }
    }
    return PQpipelineSync(link) == 1;
}

/* In a pipeline every command has its result and then a NULL. */
static bool take_prepared(const struct db *db, PGconn *link, const char *name, int64_t deadline)
{
    PGresult *result = link_answer(link, deadline);
    bool prepared = link_success(result);
    if (!prepared && !db->in_outage) log_error("statement %s could not be prepared", name);
    PQclear(result);
    return prepared;
}

static bool take_statements(const struct db *db, PGconn *link, int64_t deadline)
{
    const struct statement_table *const *table = db->settings.statements;
    for (; *table != NULL; table++) {
        for (size_t i = 0; i < (*table)->count; i++) {
            if (!take_prepared(db, link, (*table)->statements[i].name, deadline)) return false;
        }
    }
    PGresult *sync = NULL;
    bool complete = link_next(link, deadline, &sync) && PQresultStatus(sync) == PGRES_PIPELINE_SYNC;
    PQclear(sync);
    return complete;
}

static bool prepare_statements(const struct db *db, PGconn *link, int64_t deadline)
{
    if (db->settings.statements == NULL) return true;
    return PQenterPipelineMode(link) == 1 && send_statements(db, link) &&
           take_statements(db, link, deadline) && PQexitPipelineMode(link) == 1;
}

/* One line when the database goes away and one when it comes back, not one a request. */
static void note_outage(struct db *db, const char *why)
{
    if (!db->in_outage) log_error("no connection to the database: %s", why);
    db->in_outage = true;
}

static void note_return(struct db *db)
{
    if (db->in_outage) log_info("the database answers again");
    db->in_outage = false;
}

bool db_connect(struct db *db)
{
    if (db->link != NULL) return true;
    char why[LINK_WHY_SIZE];
    int64_t deadline = db_deadline(db);
    PGconn *link = link_open(db->settings.conninfo, deadline, why);
    if (link == NULL) {
        note_outage(db, why);
        return false;
    }
    if (!apply_settings(db, link, deadline) || !prepare_statements(db, link, deadline)) {
        link_explain(link, why);
        note_outage(db, why);
        PQfinish(link);
        return false;
    }
    note_return(db);
    db->link = link;
    return true;
}
