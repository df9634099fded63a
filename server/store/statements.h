/* The one registry of SQL statements, and what violated constraints mean to the user. */
#ifndef MORROWLOAF_STORE_STATEMENTS_H
#define MORROWLOAF_STORE_STATEMENTS_H

#include "db/db.h"
#include "db/statement.h"

/* All statement tables of the program; ends with NULL. */
extern const struct statement_table *const store_statements[];
/* Ends with a NULL name. */
extern const struct db_constraint store_constraints[];

#endif
