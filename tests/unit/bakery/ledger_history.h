/* A history of one ingredient, told move by move, for the tests of its worth. */
#ifndef MORROWLOAF_TESTS_BAKERY_LEDGER_HISTORY_H
#define MORROWLOAF_TESTS_BAKERY_LEDGER_HISTORY_H

#include "bakery/ledger_walk.h"
#include "base/arena.h"
#include "base/fail.h"

enum { HISTORY_LOTS = 1200, HISTORY_MOVES = 6000 };

struct history {
    struct arena *arena;
    struct fails fails;
    struct ledger_lot lots[HISTORY_LOTS];
    struct ledger_move moves[HISTORY_MOVES];
    struct ledger ledger; /* points at lots and moves */
};

/* Freed with its arena. */
struct history *history_new(void);
/* A lot of the next number; price < 0: not known. Returns its number. */
int64_t history_lot(struct history *h, int64_t received, int64_t price);
/* Appends a move of the next number. */
void history_move(struct history *h, date day, enum stock_kind kind, int64_t lot, int64_t delta);
/* A lot and its receipt. */
int64_t history_receive(struct history *h, date day, int64_t amount, int64_t price);

struct ledger_value history_on(struct history *h, date day);
struct ledger_flow history_between(struct history *h, date first, date last);
struct price history_price(struct history *h, date day, enum cost_by method);
/* The same; false with a fault on the list. */
bool history_walk_price(struct history *h, date day, enum cost_by method, struct price *price);
/* What every move was worth, nothing where it was passed over or moved to another place; NULL: a
 * fault. */
struct ledger_value *history_worths(struct history *h);

/* --- the second reckoning: everything from the beginning, layers searched one by one --- */

/* What every move was worth, or NULL when more was taken than there was. */
struct ledger_value *second_moves(struct history *h);
struct ledger_value second_on(struct history *h, date day);
struct price second_price(struct history *h, date day, enum cost_by method);

#endif
