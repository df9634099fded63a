/* Running transactions.
 *
 * - BEGIN is sent with the first thing that the work asks, together with the bakery: a round trip
 *   less. Until it is answered nothing has happened, so a connection that died while idle is
 * replaced there without anyone noticing; anywhere else its loss fails the request.
 * - A connection that does not answer in time is dropped, never waited for, and so is one whose
 * state is in doubt. A commit is never cancelled.
 * - What the work returns is not enough for a commit: no statement may have failed, and the
 * database must say COMMIT. To a failed transaction it says ROLLBACK, without calling that an
 * error.
 */
#include "base/arena.h"
#include "base/fail.h"
#include "base/log.h"
#include "db/connection.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/random.h>
#include <time.h>

enum { TRIES_AGAIN_MAX = 5, BEGIN_SQL_SIZE = 160 };

static bool unavailable(struct tx *tx)
{
    tx->db->verdict = VERDICT_FAILED;
    return fail_add(tx->fails, FAIL_UNAVAILABLE, "", "the database does not answer; try again");
}

static bool out_of_memory(struct tx *tx)
{
    tx->db->verdict = VERDICT_FAILED;
    return fail_memory(tx->fails);
}

static bool defect(struct tx *tx)
{
    tx->db->verdict = VERDICT_FAILED;
    return fail_add(tx->fails, FAIL_INTERNAL, "",
                    "the server has a defect here, which is in its log");
}

/* The connection is of no more use: says why in the log and drops it. */
static void lose(struct db *db, const char *at)
{
    char why[LINK_WHY_SIZE];
    if (link_broken(db->link)) {
        link_explain(db->link, why);
    } else {
        snprintf(why, sizeof why, "no answer within %d ms", db->settings.deadline_ms);
    }
    log_warning("connection dropped at %s: %s", at, why);
    db_drop(db);
}

/* A failed answer (NULL: none): a fault on the list, and the connection dropped unless it is sound.
 */
static bool refused(struct tx *tx, const char *statement, const PGresult *result)
{
    struct db *db = tx->db;
    if (result == NULL) {
        lose(db, statement);
        return unavailable(tx);
    }
    db->verdict = refusal_report(tx, statement, result);
    bool sound = !link_broken(db->link) && PQresultErrorField(result, PG_DIAG_SQLSTATE) != NULL;
    if (!sound) lose(db, statement);
    return false;
}

/* --- beginning --- */

static const char *begin_text(enum tx_mode mode)
{
    return mode == TX_READ ? "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY"
                           : "BEGIN ISOLATION LEVEL READ COMMITTED";
}

/* Sends what begins the transaction. Only a link found dead, and only one that was idle before, is
 * replaced: then nothing of the transaction has been sent that could have happened. */
static bool begin(struct tx *tx, const char *sql)
{
    struct db *db = tx->db;
    bool idle = db->link != NULL;
    for (;;) {
        if (!db_connect(db)) return unavailable(tx);
        PGresult *result = link_command(db->link, sql, db_deadline(db));
        db->begun = link_success(result);
        bool again = !db->begun && idle && link_broken(db->link);
        if (again) {
            lose(db, "BEGIN");
        } else if (!db->begun) {
            refused(tx, "BEGIN", result);
        }
        PQclear(result);
        if (!again) return db->begun;
        idle = false;
    }
}

bool tx_enter_bakery(struct tx *tx, int64_t bakery_id, const char *actor)
{
    struct db *db = tx->db;
    if (db->verdict != VERDICT_GOOD) return false;
    tx->bakery_id = bakery_id;
    tx->actor = arena_copy(tx->arena, actor == NULL ? "" : actor);
    if (tx->actor == NULL) return out_of_memory(tx);

    char sql[BEGIN_SQL_SIZE];
    snprintf(sql, sizeof sql, "%s%s SELECT set_config('morrowloaf.bakery_id', '%" PRId64 "', true)",
             db->begun ? "" : begin_text(tx->mode), db->begun ? "" : ";", bakery_id);
    if (!db->begun) return begin(tx, sql);

    PGresult *result = link_command(db->link, sql, db_deadline(db));
    bool entered = link_success(result) || refused(tx, "set_config", result);
    PQclear(result);
    return entered;
}

/* --- statements --- */

static bool args_sound(struct tx *tx, const char *statement, const struct args *args)
{
    if (args == NULL || !args->failed) return true;
    if (arena_failed(args->arena)) return out_of_memory(tx);
    log_error("statement %s has more than %d arguments", statement, ARGS_MAX);
    return defect(tx);
}

/* The result of a statement, which the caller clears; NULL when it failed. */
static PGresult *run(struct tx *tx, const char *statement, const struct args *args)
{
    struct db *db = tx->db;
    if (db->verdict != VERDICT_GOOD || !args_sound(tx, statement, args)) return NULL;
    if (!db->begun && !begin(tx, begin_text(tx->mode))) return NULL;

    PGresult *result = NULL;
    int count = args == NULL ? 0 : args->count;
    const char *const *values = args == NULL ? NULL : args->values;
    if (PQsendQueryPrepared(db->link, statement, count, values, NULL, NULL, 0) == 1)
        result = link_answer(db->link, db_deadline(db));
    if (link_success(result)) return result;
    refused(tx, statement, result);
    PQclear(result);
    return NULL;
}

static void clear(void *result)
{
    PQclear(result);
}

bool tx_query(struct tx *tx, const char *statement, const struct args *args, struct rows *rows)
{
    *rows = (struct rows){.db = tx->db, .arena = tx->arena, .row = -1};
    PGresult *result = run(tx, statement, args);
    if (result == NULL) return false;
    if (!arena_defer(tx->arena, clear, result)) return out_of_memory(tx);
    rows->result = result;
    rows->count = PQntuples(result);
    return true;
}

bool tx_execute(struct tx *tx, const char *statement, const struct args *args, int64_t *affected)
{
    PGresult *result = run(tx, statement, args);
    if (result == NULL) return false;
    if (affected != NULL) *affected = strtoll(PQcmdTuples(result), NULL, 10);
    PQclear(result);
    return true;
}

/* --- ending --- */

/* The answer to COMMIT did not come. */
static bool lost_commit(struct tx *tx)
{
    lose(tx->db, "COMMIT");
    if (tx->mode == TX_READ) return unavailable(tx);
    tx->db->verdict = VERDICT_FAILED;
    return fail_add(tx->fails, FAIL_UNAVAILABLE, "",
                    "the database did not answer in time: this may or may not have been stored; "
                    "repeating the request with the same Idempotency-Key is safe");
}

static bool commit(struct tx *tx)
{
    struct db *db = tx->db;
    if (!db->begun) return true; /* the work asked nothing of the database */
    PGresult *result = link_command(db->link, "COMMIT", db_deadline(db));
    db->begun = false;
    bool committed = false;
    if (result == NULL || link_broken(db->link)) {
        lost_commit(tx);
    } else if (!link_success(result)) {
        refused(tx, "COMMIT", result);
    } else if (strcmp(PQcmdStatus(result), "COMMIT") == 0) {
        committed = true;
    } else {
        log_error("a failed transaction was to be committed");
        defect(tx);
    }
    PQclear(result);
    return committed;
}

static void roll_back(struct db *db)
{
    if (!db->begun) return;
    PGresult *result = link_command(db->link, "ROLLBACK", db_deadline(db));
    db->begun = false;
    if (!link_success(result)) lose(db, "ROLLBACK");
    PQclear(result);
}

static bool run_once(struct tx *tx, tx_work work, void *context)
{
    struct db *db = tx->db;
    db->verdict = VERDICT_GOOD;
    bool done = work(tx, context);
    if (done && db->verdict == VERDICT_GOOD && commit(tx)) return true;
    roll_back(db);
    return false;
}

/* A random time, longer with every try, so that those who collided do not meet again. */
static void pause_before(int attempt)
{
    uint32_t random = 0;
    if (getrandom(&random, sizeof random, GRND_NONBLOCK) < 0) random = (uint32_t)attempt;
    long milliseconds = 1 + (long)(random % (4U << attempt));
    nanosleep(&(struct timespec){.tv_nsec = milliseconds * 1000000}, NULL);
}

/* A refusal without a fault on the list would be answered as if nothing had been wrong. */
static void ensure_fault(struct tx *tx)
{
    if (fails_any(tx->fails)) return;
    log_error("a transaction failed without saying why");
    defect(tx);
}

bool tx_run(struct db *db, enum tx_mode mode, struct arena *arena, struct fails *fails,
            tx_work work, void *context)
{
    const struct tx fresh = {.db = db,
                             .arena = arena,
                             .fails = fails,
                             .actor = "",
                             .mode = mode,
                             .keeper = db->settings.keeper};
    struct tx tx = fresh;
    if (db->running) {
        log_error("a transaction was begun within another");
        return defect(&tx);
    }
    size_t faults_before = fails->count;
    bool done = false;
    db->running = true;
    for (int attempt = 0; attempt <= TRIES_AGAIN_MAX; attempt++) {
        if (attempt > 0) {
            pause_before(attempt);
            fails_reset(fails, faults_before);
        }
        tx = fresh;
        done = run_once(&tx, work, context);
        if (done || db->verdict != VERDICT_AGAIN) break;
    }
    db->running = false;
    if (!done) ensure_fault(&tx);
    return done;
}
