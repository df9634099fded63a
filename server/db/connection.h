/* What the files of db/ share about a connection. Internal to db/.
 *
 * A connection is ready (link != NULL) when it has its role, its settings and all statements
 * prepared; there is no state in between that anyone else sees. Of a transaction it knows whether
 * BEGIN was sent and how the transaction stands; a verdict other than VERDICT_GOOD never becomes
 * good again within it.
 */
#ifndef MORROWLOAF_DB_CONNECTION_H
#define MORROWLOAF_DB_CONNECTION_H

#include "db/db.h"
#include "db/link.h"

enum verdict {
    VERDICT_GOOD,
    VERDICT_AGAIN, /* failed for a reason that a second try may not meet */
    VERDICT_FAILED
};

struct db {
    struct db_settings settings;
    PGconn *link;   /* NULL: not connected */
    bool in_outage; /* the last attempt to connect failed, and the log says so */
    bool running;   /* a transaction is at work */
    bool begun;     /* BEGIN was answered and neither COMMIT nor ROLLBACK sent */
    enum verdict verdict;
};

/* The moment at which a call begun now must have its answer. */
int64_t db_deadline(const struct db *db);

/* Makes the connection ready if it is not. False, logged once an outage, when that fails. */
bool db_connect(struct db *db);

/* Drops the link, with whatever was under way on it. */
void db_drop(struct db *db);

/* Reports a failed result as a fault by its SQLSTATE and constraint; logs defects of ours, never
 * with values. Returns how the transaction stands after it. */
enum verdict refusal_report(const struct tx *tx, const char *statement, const PGresult *result);

#endif
