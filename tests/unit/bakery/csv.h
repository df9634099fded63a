/* Published check values: reading a table of tests/sources by its column names. */
#ifndef MORROWLOAF_TESTS_BAKERY_CSV_H
#define MORROWLOAF_TESTS_BAKERY_CSV_H

#include <stddef.h>

struct arena;

struct csv {
    char ***rows; /* rows[0] are the names of the columns */
    size_t count; /* rows without the names */
    size_t columns;
};

/* Reads a whole table; the test fails when it is not there or a row has too few cells. */
struct csv csv_read(struct arena *arena, const char *name);
/* The cell of the n-th row (from 0) in a column, which must exist. */
const char *csv_cell(const struct csv *table, size_t n, const char *column);

#endif
