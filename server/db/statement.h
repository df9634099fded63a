/* Prepared statements: every SQL text of the program has a name and stands in one registry.
 *
 * Each store file keeps its statements in a table at its top; store/statements.c lists the tables.
 * They are prepared on every connection, and again after a reconnect. A test prepares each against
 * the migrated schema.
 */
#ifndef MORROWLOAF_DB_STATEMENT_H
#define MORROWLOAF_DB_STATEMENT_H

#include <stddef.h>

struct statement {
    const char *name; /* unique in the program, "<aggregate>_<verb>" */
    const char *text; /* with $1, $2, ... */
};

struct statement_table {
    const struct statement *statements;
    size_t count;
};

/* In a store file: STATEMENTS(supplier_statements, {"supplier_get", "SELECT ..."}, ...); */
#define STATEMENTS(variable, ...)                                                                  \
    static const struct statement variable##_list[] = {__VA_ARGS__};                               \
    const struct statement_table variable = {variable##_list,                                      \
                                             sizeof variable##_list / sizeof variable##_list[0]}

#endif
