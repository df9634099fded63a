/* Selecting by code or page, and walking children along their parents. */
#include "store/selection.h"

#include "bakery/model.h"
#include "db/db.h"

#include <string.h>

void selection_child_args(struct args *args, struct tx *tx, const struct selection *selection)
{
    args_init(args, tx);
    args_text(args, selection->code);
    args_text(args, selection->after);
}

void selection_args(struct args *args, struct tx *tx, const struct selection *selection)
{
    selection_child_args(args, tx, selection);
    args_whole_or_null(args, selection->limit, selection->limit > 0);
}

bool selection_owner(const void *items, size_t item_size, size_t count, size_t *at,
                     const char *owner)
{
    for (; *at < count; (*at)++) {
        const char *const *code = (const void *)((const char *)items + *at * item_size);
        int order = strcmp(*code, owner);
        if (order == 0) return true;
        if (order > 0) return false;
    }
    return false;
}

bool selection_ingredient(const struct catalogue *catalogue, size_t *at, const char *code)
{
    return selection_owner(catalogue->ingredients, sizeof *catalogue->ingredients,
                           catalogue->ingredient_count, at, code);
}
