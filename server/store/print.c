/* Prints of mixing lists. */
#include "store/print.h"

#include "db/db.h"
#include "db/statement.h"
#include "store/bakery.h"
#include "store/rows.h"

#define PRINT_COLUMNS                                                                              \
    "SELECT number, coalesce(replaces, 0), extract(epoch FROM printed_at)::bigint, printed_by"

STATEMENTS(print_statements,
           {"print_add",
            "INSERT INTO mixing_print (bakery_id, mixing_date, number, replaces, printed_by,"
            " body) SELECT $1, $2, coalesce(max(number), 0) + 1, max(number), $3, $4"
            " FROM mixing_print WHERE bakery_id = $1 AND mixing_date = $2"
            " RETURNING number, coalesce(replaces, 0),"
            " extract(epoch FROM printed_at)::bigint, printed_by"},
           {"print_list",
            PRINT_COLUMNS " FROM mixing_print WHERE bakery_id = $1 AND mixing_date = $2"
                          " ORDER BY number"},
           {"print_get", PRINT_COLUMNS ", body FROM mixing_print WHERE bakery_id = $1"
                                       " AND mixing_date = $2 AND ($3 = 0 OR number = $3)"
                                       " ORDER BY number DESC LIMIT 1"});

static void take_print(struct rows *rows, date mixing_date, struct print *print)
{
    print->mixing_date = mixing_date;
    print->number = row_whole(rows);
    print->replaces = row_whole(rows);
    print->printed_at = row_instant(rows);
    print->printed_by = row_text(rows);
}

bool print_add(struct tx *tx, struct print *print)
{
    struct args args;
    struct rows rows;
    if (!bakery_lock(tx)) return false; /* numbers have no gap and no double */
    args_init(&args, tx);
    args_date(&args, print->mixing_date);
    args_text(&args, tx->actor);
    args_text(&args, print->body);
    if (!tx_query(tx, "print_add", &args, &rows)) return false;
    if (rows_next(&rows)) take_print(&rows, print->mixing_date, print);
    return true;
}

bool print_select(struct tx *tx, date mixing_date, struct print **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_date(&args, mixing_date);
    if (!tx_query(tx, "print_list", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct print *print = *items; print != NULL && rows_next(&rows); print++)
        take_print(&rows, mixing_date, print);
    return *items != NULL;
}

bool print_get(struct tx *tx, date mixing_date, int64_t number, struct print *print, bool *found)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_date(&args, mixing_date);
    args_whole(&args, number);
    if (!tx_query(tx, "print_get", &args, &rows)) return false;
    *found = rows_next(&rows);
    if (*found) {
        take_print(&rows, mixing_date, print);
        print->body = row_text(&rows);
    }
    return true;
}
