/* libpq without ever blocking: every wait ends at a deadline.
 *
 * A link is a bare PGconn in non-blocking mode. Deadlines are moments of the monotonic clock in
 * milliseconds, so that one deadline can span several waits. A call that returns NULL or false for
 * want of an answer leaves the link in an unknown state: the caller drops it (PQfinish) and opens
 * another. Internal to db/.
 */
#ifndef MORROWLOAF_DB_LINK_H
#define MORROWLOAF_DB_LINK_H

#include <libpq-fe.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define DEADLINE_NONE INT64_MAX

enum { LINK_WHY_SIZE = 256 };

int64_t deadline_after(int milliseconds);

/* A link that is connected; NULL with the reason in why. Caller frees with PQfinish(). A host name
 * is looked up by libc, whose own time limit then holds. */
PGconn *link_open(const char *conninfo, int64_t deadline, char why[LINK_WHY_SIZE]);

/* What went wrong last, in one line. */
void link_explain(const PGconn *link, char why[LINK_WHY_SIZE]);

/* Whether the other end is known to be gone. A link that only did not answer in time is not. */
bool link_broken(const PGconn *link);

/* Takes the next result of what was sent: NULL in *result when the command is complete. False when
 * nothing came before the deadline. Caller frees with PQclear(). */
bool link_next(PGconn *link, int64_t deadline, PGresult **result);

/* Waits until what was sent is answered in full. The first result that is an error, else the last;
 * NULL when the answer did not come in time or cannot be read. Caller frees with PQclear(). */
PGresult *link_answer(PGconn *link, int64_t deadline);

/* Sends SQL (several statements are allowed) and waits for the answer, as link_answer(). */
PGresult *link_command(PGconn *link, const char *sql, int64_t deadline);

/* Whether a result (NULL allowed) tells of success. */
bool link_success(const PGresult *result);

#endif
