/* The SQL folder as it lies on the disk: roles.sql, migrations/NNNN_name.sql, verify/NNNN.sql.
 * Internal to db/. */
#ifndef MORROWLOAF_DB_MIGRATION_FILES_H
#define MORROWLOAF_DB_MIGRATION_FILES_H

#include <stdbool.h>
#include <stddef.h>

struct arena;

struct migration {
    const char *file;   /* "0001_book.sql" */
    const char *name;   /* "book" */
    const char *text;   /* its SQL */
    const char *verify; /* SQL that raises when something of it is missing */
};

struct migration_files {
    const char *roles;       /* SQL */
    struct migration *items; /* items[i] has the number i + 1 */
    size_t count;
};

/* Reads all of them into the arena. False, with the reason logged, when a file cannot be read, a
 * migration has no verify script, a name is not NNNN_name.sql, or the numbers are not 0001, 0002,
 * ... without a gap. */
bool migration_files_read(struct arena *arena, const char *sql_folder,
                          struct migration_files *files);

#endif
