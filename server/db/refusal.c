/* What the database refuses, told to the user or to the log.
 *
 * A rule of the schema that stands in the settings' table of constraints is the user's business,
 * and so is trouble of the database, where trying again helps. Everything else is a defect of ours:
 * it is logged by SQLSTATE and names, never by PostgreSQL's message, which would quote values.
 */
#include "db/connection.h"

#include "base/fail.h"
#include "base/log.h"
#include "db/statement.h"

#include <string.h>
#include <strings.h>

static bool any_of(const char *state, const char *const list[])
{
    for (; *list != NULL; list++) {
        if (strcmp(state, *list) == 0) return true;
    }
    return false;
}

static bool is_collision(const char *state)
{
    static const char *const list[] = {"40001" /* serialization failure */,
                                       "40P01" /* deadlock detected */, NULL};
    return any_of(state, list);
}

static bool is_broken_rule(const char *state)
{
    static const char *const list[] = {"23001" /* restrict violation */,
                                       "23503" /* foreign key */,
                                       "23505" /* unique */,
                                       "23514" /* check */,
                                       "23P01" /* exclusion */,
                                       NULL};
    return any_of(state, list);
}

/* Trouble of the database that is none of the request's: connection (08), resources (53), operator
 * intervention and time-outs (57), a lock not granted; and a write to a database that only reads,
 * as a standby does. */
static bool is_trouble(const struct tx *tx, const char *state)
{
    static const char *const classes[] = {"08", "53", "57"};
    for (size_t i = 0; i < sizeof classes / sizeof classes[0]; i++) {
        if (strncmp(state, classes[i], 2) == 0) return true;
    }
    if (strcmp(state, "25006") == 0) return tx->mode == TX_WRITE;
    return strcmp(state, "55P03") == 0;
}

static const char *statement_text(const struct tx *tx, const char *name)
{
    const struct statement_table *const *table = tx->db->settings.statements;
    for (; table != NULL && *table != NULL; table++) {
        for (size_t i = 0; i < (*table)->count; i++) {
            if (strcmp((*table)->statements[i].name, name) == 0)
                return (*table)->statements[i].text;
        }
    }
    return "";
}

/* A foreign key is broken from either end: by naming what is not there, or by deleting what is
 * named. PostgreSQL tells them apart in its message, in the language of the server's locale; the
 * statement itself tells it too. */
static bool is_deletion(const struct tx *tx, const char *statement, const PGresult *result)
{
    const char *detail = PQresultErrorField(result, PG_DIAG_MESSAGE_DETAIL);
    if (detail != NULL && strstr(detail, "still referenced") != NULL) return true;
    return strncasecmp(statement_text(tx, statement), "DELETE ", 7) == 0;
}

static const struct db_constraint *constraint_of(const struct tx *tx, const PGresult *result)
{
    const struct db_constraint *known = tx->db->settings.constraints;
    const char *name = PQresultErrorField(result, PG_DIAG_CONSTRAINT_NAME);
    for (; known != NULL && name != NULL && known->name != NULL; known++) {
        if (strcmp(known->name, name) == 0) return known;
    }
    return NULL;
}

/* False when the rule is none that a user can break: a defect. */
static bool report_broken_rule(const struct tx *tx, const char *statement, const char *state,
                               const PGresult *result)
{
    const struct db_constraint *rule = constraint_of(tx, result);
    bool reference = strcmp(state, "23503") == 0 || strcmp(state, "23001") == 0;
    if (reference && is_deletion(tx, statement, result)) {
        fail_add(tx->fails, FAIL_CONFLICT, "", "is still in use");
        return true;
    }
    bool taken = strcmp(state, "23505") == 0 || strcmp(state, "23P01") == 0;
    if (rule != NULL) {
        fail_add(tx->fails, taken ? FAIL_CONFLICT : FAIL_INVALID, rule->pointer, "%s", rule->text);
    } else if (taken) {
        fail_add(tx->fails, FAIL_CONFLICT, "", "is there already");
    }
    return rule != NULL || taken;
}

static const char *or_dash(const char *field)
{
    return field == NULL ? "-" : field;
}

static void report_defect(const struct tx *tx, const char *statement, const char *state,
                          const PGresult *result)
{
    log_error("statement %s failed: SQLSTATE %s, constraint %s, table %s, column %s", statement,
              state, or_dash(PQresultErrorField(result, PG_DIAG_CONSTRAINT_NAME)),
              or_dash(PQresultErrorField(result, PG_DIAG_TABLE_NAME)),
              or_dash(PQresultErrorField(result, PG_DIAG_COLUMN_NAME)));
    fail_add(tx->fails, FAIL_INTERNAL, "", "the server has a defect here, which is in its log");
}

enum verdict refusal_report(const struct tx *tx, const char *statement, const PGresult *result)
{
    const char *state = PQresultErrorField(result, PG_DIAG_SQLSTATE);
    if (state == NULL) state = "08000"; /* libpq's own: the connection, or memory */
    if (is_collision(state)) {
        fail_add(tx->fails, FAIL_UNAVAILABLE, "",
                 "others are changing the same things at this moment; try again");
        return VERDICT_AGAIN;
    }
    if (is_trouble(tx, state)) {
        log_warning("statement %s failed: SQLSTATE %s", statement, state);
        fail_add(tx->fails, FAIL_UNAVAILABLE, "", "the database does not answer; try again");
    } else if (strcmp(state, "22021") == 0) {
        fail_add(tx->fails, FAIL_INVALID, "", "has bytes that are not UTF-8");
    } else if (strcmp(state, "22003") == 0) { /* a sum of what was stored does not fit */
        fail_add(tx->fails, FAIL_INVALID, "", "the amounts are too large to be worked out");
    } else if (!is_broken_rule(state) || !report_broken_rule(tx, statement, state, result)) {
        report_defect(tx, statement, state, result);
    }
    return VERDICT_FAILED;
}
