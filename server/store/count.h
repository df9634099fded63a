/* What counts found. */
#ifndef MORROWLOAF_STORE_COUNT_H
#define MORROWLOAF_STORE_COUNT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct tx;

struct count_line {
    const char *ingredient;
    int64_t lot;          /* 0: all of the ingredient */
    const char *lot_mark; /* read only */
    const char *place;    /* NULL: all places */
    int64_t expected;
    int64_t counted;
};

bool count_lines_add(struct tx *tx, int64_t posting, const struct count_line *lines, size_t count);
/* In the order in which they were added. */
bool count_lines_select(struct tx *tx, int64_t posting, struct count_line **items, size_t *count);

#endif
