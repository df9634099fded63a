/* Bringing the schema up to date: sql/roles.sql, then sql/migrations/NNNN_name.sql in order.
 *
 * Migrations are immutable and contiguous from 0001. Each runs in one transaction together with
 * sql/verify/NNNN.sql, which raises when something of it is missing, and with its line in
 * morrowloaf.migration (number, name, checksum); all under one advisory lock, so that two servers
 * may start at once. A stored checksum that differs from the file, a gap, or a schema newer than
 * the program is refused.
 *
 * Whoever connects needs the right to create roles the first time; later, membership of
 * morrowloaf_owner and morrowloaf_app is enough, and for migrate_check() that of morrowloaf_app.
 */
#ifndef MORROWLOAF_DB_MIGRATE_H
#define MORROWLOAF_DB_MIGRATE_H

#include <stdbool.h>

/* Applies what is missing. Logs each step; on failure logs why and returns false with the database
 * as it was before the failing migration. */
bool migrate(const char *conninfo, const char *sql_folder);

/* Whether the schema is exactly at the newest migration of the folder: asked before serving. Logs
 * why not. */
bool migrate_check(const char *conninfo, const char *sql_folder);

#endif
