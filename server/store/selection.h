/* Which things of a kind a store is asked for: one by its code, or a page of the list. */
#ifndef MORROWLOAF_STORE_SELECTION_H
#define MORROWLOAF_STORE_SELECTION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct args;
struct catalogue;
struct tx;

struct selection {
    const char *code;  /* only this one; NULL: all */
    const char *after; /* only those whose code is greater; NULL: from the first */
    int64_t limit;     /* at most so many; 0: no limit */
};

/* Begins the arguments of a statement that selects: $2 code, $3 after, $4 limit. */
void selection_args(struct args *args, struct tx *tx, const struct selection *selection);
/* The same for the statement of their children, which has no limit of its own: $2 code, $3 after.
 */
void selection_child_args(struct args *args, struct tx *tx, const struct selection *selection);

/* Children come ordered by their parent's code, as the parents do: moves *at forward to the parent
 * of that code; false when it is not among them. Every item begins with its code. */
bool selection_owner(const void *items, size_t item_size, size_t count, size_t *at,
                     const char *owner);
/* The same for rows by ingredient and the catalogue's: *at becomes the index of the ingredient. */
bool selection_ingredient(const struct catalogue *catalogue, size_t *at, const char *code);

#endif
