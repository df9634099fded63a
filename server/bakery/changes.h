/* What differs between two lists of amounts: a mixing list as printed and as it would be now. */
#ifndef MORROWLOAF_BAKERY_CHANGES_H
#define MORROWLOAF_BAKERY_CHANGES_H

#include "base/date.h"

#include <stdbool.h>
#include <stddef.h>

struct arena;

/* An amount of something for a day; with day 0 when the day does not matter. */
struct amount {
    date day;
    const char *code;
    const char *name;
    int64_t value;
};

struct change {
    date day;
    const char *code;
    const char *name;
    int64_t before; /* 0: was not there */
    int64_t now;    /* 0: is gone */
};

struct amounts {
    struct amount *items;
    size_t count;
};

/* The changes by day and code. Sorts both lists in place. False when memory is short. */
bool changes_of(struct arena *arena, struct amounts *before, struct amounts *now,
                struct change **changes, size_t *count);

#endif
