/* The history of every thing: each state it had, who entered it and when. Append-only. */
#ifndef MORROWLOAF_STORE_HISTORY_H
#define MORROWLOAF_STORE_HISTORY_H

#include "base/date.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct tx;

struct history_entry {
    int64_t revision;
    instant at;
    const char *actor;
    const char
        *changed;     /* names of the members that differ from the state before, as a JSON list */
    const char *body; /* JSON; NULL: deleted */
};

/* Records a state. revision 0: a new one is drawn (for a deletion). body NULL: deleted. */
bool history_add(struct tx *tx, const char *kind, const char *code, int64_t revision,
                 const char *body);
/* The newest limit entries, newest first. */
bool history_select(struct tx *tx, const char *kind, const char *code, int64_t limit,
                    struct history_entry **items, size_t *count);

#endif
