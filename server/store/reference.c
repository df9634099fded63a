/* Users of a thing, from the view "reference". */
#include "store/reference.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

enum { NAMED_MAX = 20 };

STATEMENTS(reference_statements, {"reference_users",
                                  "SELECT user_kind, user_code FROM reference WHERE bakery_id = $1"
                                  " AND used_kind = $2 AND used = $3"
                                  " ORDER BY user_kind, user_code LIMIT 21"});

bool reference_users(struct tx *tx, const char *kind, const char *code, const char **users)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, kind);
    args_text(&args, code);
    if (!tx_query(tx, "reference_users", &args, &rows)) return false;
    const char *list = NULL;
    for (int i = 0; i < NAMED_MAX && rows_next(&rows); i++) {
        const char *user_kind = row_text(&rows);
        const char *user = row_text(&rows);
        list = i == 0 ? arena_printf(tx->arena, "%s %s", user_kind, user)
                      : arena_printf(tx->arena, "%s, %s %s", list, user_kind, user);
        if (list == NULL) return fail_memory(tx->fails);
    }
    if (rows.count > NAMED_MAX) list = arena_printf(tx->arena, "%s and others", list);
    *users = list;
    return !arena_failed(tx->arena) || fail_memory(tx->fails);
}
