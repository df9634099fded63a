/* Lots and movements, each in one query.
 *
 * The rows of movements come in the order of their index (ingredient, date, number), which has all
 * that is needed. A reversal has the date of what it reverses, so both stand among the movements of
 * one day, and are found there.
 */
#include "store/ledger.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"
#include "store/selection.h"
#include "store/words.h"

STATEMENTS(ledger_statements,
           {"ledger_lots",
            "SELECT ingredient, number, received, price_micros FROM lot WHERE bakery_id = $1"
            " AND ($2::text IS NULL OR ingredient = $2) AND received_on <= $3"
            " ORDER BY ingredient, number"},
           {"ledger_moves",
            "SELECT ingredient, number, date, kind, lot, delta, reverses FROM movement"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR ingredient = $2) AND date <= $3"
            " ORDER BY ingredient, date, number"});

static bool query(struct tx *tx, const char *statement, const char *ingredient, date until,
                  struct rows *rows)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, ingredient);
    args_date(&args, until);
    return tx_query(tx, statement, &args, rows);
}

static bool load_lots(struct tx *tx, const struct catalogue *catalogue, const char *ingredient,
                      date until, struct ledger *ledgers)
{
    struct rows rows;
    size_t count;
    if (!query(tx, "ledger_lots", ingredient, until, &rows)) return false;
    struct ledger_lot *lot = rows_room(tx, &rows, sizeof *lot, &count);
    if (lot == NULL) return false;
    for (size_t at = 0; rows_next(&rows);) {
        if (!selection_ingredient(catalogue, &at, row_text(&rows))) continue;
        struct ledger *ledger = &ledgers[at];
        if (ledger->lot_count++ == 0) ledger->lots = lot;
        lot->lot = row_whole(&rows);
        lot->received = row_whole(&rows);
        lot->price.known = !row_is_null(&rows);
        lot->price.micros = row_whole(&rows);
        lot++;
    }
    return true;
}

/* The movements of an ingredient are by (date, number): looks for one of a day before end. */
static struct ledger_move *find_move(struct ledger_move *moves, size_t end, date day,
                                     int64_t number)
{
    size_t low = 0, high = end;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        const struct ledger_move *move = &moves[middle];
        if (move->date < day || (move->date == day && move->number < number))
            low = middle + 1;
        else
            high = middle;
    }
    return low < end && moves[low].date == day && moves[low].number == number ? &moves[low] : NULL;
}

/* Takes a row behind the first count moves of its ingredient. */
static bool take_move(struct tx *tx, struct rows *rows, struct ledger_move *moves, size_t count)
{
    struct ledger_move *move = &moves[count];
    move->number = row_whole(rows);
    move->date = row_date(rows);
    move->kind = (enum stock_kind)word_index(stock_kinds, row_text(rows));
    move->lot = row_whole(rows);
    move->delta = row_whole(rows);
    move->skipped = !row_is_null(rows);
    if (!move->skipped) return true;
    struct ledger_move *reversed = find_move(moves, count, move->date, row_whole(rows));
    if (reversed == NULL)
        return fail_add(tx->fails, FAIL_INTERNAL, "", "a movement reverses one of another day");
    return reversed->skipped = true;
}

static bool load_moves(struct tx *tx, const struct catalogue *catalogue, const char *ingredient,
                       date until, struct ledger *ledgers)
{
    struct rows rows;
    size_t count;
    if (!query(tx, "ledger_moves", ingredient, until, &rows)) return false;
    struct ledger_move *moves = rows_room(tx, &rows, sizeof *moves, &count);
    if (moves == NULL) return false;
    size_t taken = 0;
    for (size_t at = 0; rows_next(&rows); taken++) {
        if (!selection_ingredient(catalogue, &at, row_text(&rows))) continue;
        struct ledger *ledger = &ledgers[at];
        struct ledger_move *own = &moves[taken - ledger->move_count];
        ledger->moves = own;
        if (!take_move(tx, &rows, own, ledger->move_count++)) return false;
    }
    return true;
}

struct ledger *ledgers_load(struct tx *tx, const struct catalogue *catalogue,
                            const char *ingredient, date until)
{
    struct ledger *ledgers = arena_array(tx->arena, catalogue->ingredient_count, sizeof *ledgers);
    if (ledgers == NULL) {
        fail_memory(tx->fails);
        return NULL;
    }
    for (size_t i = 0; i < catalogue->ingredient_count; i++)
        ledgers[i].ingredient = i;
    return load_lots(tx, catalogue, ingredient, until, ledgers) &&
                   load_moves(tx, catalogue, ingredient, until, ledgers)
               ? ledgers
               : NULL;
}
