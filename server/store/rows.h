/* Small shapes that every store file needs around a query. */
#ifndef MORROWLOAF_STORE_ROWS_H
#define MORROWLOAF_STORE_ROWS_H

#include "bakery/model.h"

struct args;
struct rows;
struct tx;

/* Room in the arena for one item per row; *count becomes the number of rows. NULL, with
 * FAIL_UNAVAILABLE, when memory is short. */
void *rows_room(struct tx *tx, const struct rows *rows, size_t item_size, size_t *count);

/* Runs a statement whose first row has one whole number ("RETURNING revision"). A statement without
 * a row leaves *value alone. */
bool tx_query_whole(struct tx *tx, const char *statement, const struct args *args, int64_t *value);

/* Runs a statement that deletes the thing of that code ($2). */
bool tx_delete(struct tx *tx, const char *statement, const char *code);

/* Takes the three columns of what can stand in a line (ingredient, starter, formula), of which one
 * is not null; its code. */
const char *row_thing(struct rows *rows, enum line_kind *kind);

#endif
