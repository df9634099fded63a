/* Small shapes around a query. */
#include "store/rows.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"

void *rows_room(struct tx *tx, const struct rows *rows, size_t item_size, size_t *count)
{
    *count = (size_t)rows->count;
    void *room = arena_array(tx->arena, *count, item_size);
    if (room == NULL) fail_memory(tx->fails);
    return room;
}

bool tx_query_whole(struct tx *tx, const char *statement, const struct args *args, int64_t *value)
{
    struct rows rows;
    if (!tx_query(tx, statement, args, &rows)) return false;
    if (rows_next(&rows)) *value = row_whole(&rows);
    return true;
}

bool tx_delete(struct tx *tx, const char *statement, const char *code)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, code);
    return tx_execute(tx, statement, &args, NULL);
}

const char *row_thing(struct rows *rows, enum line_kind *kind)
{
    const char *thing = NULL;
    for (enum line_kind at = LINE_INGREDIENT; at <= LINE_FORMULA; at++) {
        const char *code = row_text(rows);
        if (code == NULL) continue;
        thing = code;
        *kind = at;
    }
    return thing;
}
