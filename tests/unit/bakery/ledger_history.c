/* Histories, and a second reckoning of their worth that shares nothing with the first: all moves
 * that count are copied out and sorted, layers lie in a plain list that is searched from its
 * beginning, and divisions are done with a remainder. */
#include "ledger_history.h"

#include <criterion/criterion.h>
#include <stdlib.h>

struct history *history_new(void)
{
    struct arena *arena = arena_new(0);
    struct history *h = arena_alloc(arena, sizeof *h);
    cr_assert_not_null(h);
    h->arena = arena;
    fails_init(&h->fails, arena);
    h->ledger = (struct ledger){.lots = h->lots, .moves = h->moves};
    return h;
}

int64_t history_lot(struct history *h, int64_t received, int64_t price)
{
    int64_t number = 100 + 3 * (int64_t)h->ledger.lot_count;
    cr_assert_lt(h->ledger.lot_count, HISTORY_LOTS);
    h->lots[h->ledger.lot_count++] = (struct ledger_lot){
        number, received, {price >= 0, price >= 0 ? price : 0}};
    return number;
}

void history_move(struct history *h, date day, enum stock_kind kind, int64_t lot, int64_t delta)
{
    cr_assert_lt(h->ledger.move_count, HISTORY_MOVES);
    h->moves[h->ledger.move_count] = (struct ledger_move){.number = 1000 +
                                                                    (int64_t)h->ledger.move_count,
                                                          .date = day,
                                                          .kind = kind,
                                                          .lot = lot,
                                                          .delta = delta};
    h->ledger.move_count++;
}

int64_t history_receive(struct history *h, date day, int64_t amount, int64_t price)
{
    int64_t lot = history_lot(h, amount, price);
    history_move(h, day, STOCK_RECEIVED, lot, amount);
    return lot;
}

struct ledger_value history_on(struct history *h, date day)
{
    struct ledger_value value;
    cr_assert(ledger_on(&h->ledger, h->arena, &h->fails, day, &value));
    return value;
}

struct ledger_flow history_between(struct history *h, date first, date last)
{
    struct ledger_flow flow;
    cr_assert(ledger_between(&h->ledger, h->arena, &h->fails, first, last, &flow));
    return flow;
}

bool history_walk_price(struct history *h, date day, enum cost_by method, struct price *price)
{
    struct ledger_walk walk;
    if (!ledger_walk_init(&walk, &h->ledger, h->arena, &h->fails) ||
        !ledger_walk_to(&walk, day - 1))
        return false;
    ledger_walk_price(&walk, method, UNIT_PIECE, price);
    return true;
}

struct price history_price(struct history *h, date day, enum cost_by method)
{
    struct price price = {.known = true, .micros = 7, .pack_pieces = 1};
    cr_assert(history_walk_price(h, day, method, &price));
    return price;
}

struct ledger_value *history_worths(struct history *h)
{
    struct ledger_walk walk;
    struct ledger_value *worths = arena_array(h->arena, h->ledger.move_count, sizeof *worths);
    if (!worths || !ledger_walk_init(&walk, &h->ledger, h->arena, &h->fails)) return NULL;
    for (size_t i = 0; i < h->ledger.move_count; i++)
        worths[i].fifo.known = worths[i].average.known = true;
    walk.worths = worths;
    return ledger_walk_to(&walk, DATE_LAST) ? worths : NULL;
}

/* --- the second reckoning --- */

struct pile {
    int64_t lot, amount, value;
    date from;
};

struct second {
    struct pile piles[HISTORY_LOTS];
    size_t pile_count;
    size_t order[HISTORY_MOVES]; /* indexes of the moves that count */
    size_t order_count;
    int64_t amount, average;
    bool average_lost;
    struct price fifo_price, average_price; /* the last that were known */
};

/* a x b / c, half to even, by long division. */
static int64_t share(int64_t a, int64_t b, int64_t c)
{
    __int128 product = (__int128)a * b;
    int64_t quotient = (int64_t)(product / c);
    __int128 twice = 2 * (product % c);
    if (twice > c || (twice == c && quotient % 2 != 0)) quotient++;
    return quotient;
}

static const struct ledger_lot *lot_of(const struct history *h, int64_t number)
{
    for (size_t i = 0; i < h->ledger.lot_count; i++)
        if (h->lots[i].lot == number) return &h->lots[i];
    cr_assert_fail("no lot");
    return NULL;
}

/* The moves up to a day that count; ins of a day first where its own order would go below zero. */
static void put_in_order(const struct history *h, date day, struct second *s)
{
    __int128 amount = 0;
    for (size_t i = 0; i < h->ledger.move_count && h->moves[i].date <= day;) {
        size_t end = i;
        bool short_of = false;
        while (end < h->ledger.move_count && h->moves[end].date == h->moves[i].date) {
            if (!h->moves[end].skipped && h->moves[end].kind != STOCK_MOVED)
                amount += h->moves[end].delta;
            short_of = short_of || amount < 0;
            end++;
        }
        for (int pass = 0; pass <= short_of; pass++)
            for (size_t k = i; k < end; k++)
                if (!h->moves[k].skipped && h->moves[k].kind != STOCK_MOVED &&
                    (!short_of || (h->moves[k].delta < 0) == (pass == 1)))
                    s->order[s->order_count++] = k;
        i = end;
    }
}

static struct pile *pile_of(struct second *s, int64_t lot)
{
    for (size_t i = 0; i < s->pile_count; i++)
        if (s->piles[i].lot == lot) return &s->piles[i];
    return NULL;
}

static struct ledger_value second_in(const struct history *h, struct second *s,
                                     const struct ledger_move *move)
{
    const struct ledger_lot *lot = lot_of(h, move->lot);
    struct pile *pile = pile_of(s, move->lot);
    int64_t worth = lot->price.known ? share(lot->price.micros, move->delta, lot->received) : 0;
    struct price whole = {.known = true, .from = move->date, .of_stock = true};
    if (!pile) {
        pile = &s->piles[s->pile_count++];
        *pile = (struct pile){.lot = move->lot, .from = move->date};
    }
    pile->amount += move->delta;
    pile->value += worth;
    whole.micros = s->amount == 0 ? lot->price.micros : s->average + worth;
    whole.pack_pieces = s->amount == 0 ? lot->received : s->amount + move->delta;
    s->amount += move->delta;
    s->average += worth;
    s->average_lost = s->average_lost || !lot->price.known;
    if (!s->average_lost) s->average_price = whole;
    return (struct ledger_value){move->delta, {lot->price.known, worth}, {lot->price.known, worth}};
}

static void take_from(const struct history *h, struct second *s, struct pile *pile, int64_t *left,
                      struct money *worth)
{
    const struct ledger_lot *lot = lot_of(h, pile->lot);
    int64_t part = *left < pile->amount ? *left : pile->amount;
    if (part == 0) return;
    int64_t value = share(pile->value, part, pile->amount);
    if (lot->price.known)
        s->fifo_price = (struct price){.known = true,
                                       .from = pile->from,
                                       .micros = lot->price.micros,
                                       .pack_pieces = lot->received,
                                       .of_stock = true};
    worth->known = worth->known && lot->price.known;
    worth->micros += value;
    pile->amount -= part;
    pile->value -= value;
    *left -= part;
}

static struct ledger_value second_out(const struct history *h, struct second *s,
                                      const struct ledger_move *move)
{
    struct money fifo = {.known = true}, average = {.known = !s->average_lost};
    int64_t left = -move->delta;
    average.micros = share(s->average, left, s->amount);
    if (move->kind == STOCK_RETURNED && pile_of(s, move->lot))
        take_from(h, s, pile_of(s, move->lot), &left, &fifo);
    for (size_t i = 0; left > 0; i++)
        if (s->piles[i].amount > 0) take_from(h, s, &s->piles[i], &left, &fifo);
    s->average -= average.micros;
    s->amount += move->delta;
    if (s->amount == 0) s->average_lost = s->average != 0; /* never with nothing left */
    fifo.micros = fifo.known ? -fifo.micros : 0;
    average.micros = average.known ? -average.micros : 0;
    return (struct ledger_value){move->delta, fifo, average};
}

/* Everything up to a day, from the beginning. */
static struct second *reckon(struct history *h, date day, struct ledger_value *worths)
{
    struct second *s = arena_alloc(h->arena, sizeof *s);
    cr_assert_not_null(s);
    put_in_order(h, day, s);
    for (size_t i = 0; i < s->order_count; i++) {
        const struct ledger_move *move = &h->moves[s->order[i]];
        if (move->delta < 0 && -move->delta > s->amount) return NULL;
        struct ledger_value worth = move->delta > 0 ? second_in(h, s, move)
                                                    : second_out(h, s, move);
        if (worths) worths[s->order[i]] = worth;
    }
    return s;
}

struct ledger_value *second_moves(struct history *h)
{
    struct ledger_value *worths = arena_array(h->arena, h->ledger.move_count, sizeof *worths);
    for (size_t i = 0; i < h->ledger.move_count; i++)
        worths[i].fifo.known = worths[i].average.known = true;
    return reckon(h, DATE_LAST, worths) ? worths : NULL;
}

struct ledger_value second_on(struct history *h, date day)
{
    struct second *s = reckon(h, day, NULL);
    cr_assert_not_null(s);
    struct ledger_value value = {s->amount, {true, 0}, {!s->average_lost, s->average}};
    for (size_t i = 0; i < s->pile_count; i++) {
        value.fifo.micros += s->piles[i].value;
        if (s->piles[i].amount > 0 && !lot_of(h, s->piles[i].lot)->price.known)
            value.fifo.known = false;
    }
    if (!value.fifo.known) value.fifo.micros = 0;
    if (!value.average.known) value.average.micros = 0;
    return value;
}

struct price second_price(struct history *h, date day, enum cost_by method)
{
    struct second *s = reckon(h, day - 1, NULL);
    struct price price = {.known = true, .micros = 7, .pack_pieces = 1};
    cr_assert_not_null(s);
    if (s->pile_count == 0) return price;
    price = method == COST_BY_FIFO ? s->fifo_price : s->average_price;
    if (method == COST_BY_AVERAGE && s->average_lost) price.known = false;
    for (size_t i = 0; method == COST_BY_FIFO && i < s->pile_count; i++) {
        if (s->piles[i].amount == 0) continue;
        const struct ledger_lot *lot = lot_of(h, s->piles[i].lot);
        price = (struct price){.known = lot->price.known,
                               .from = s->piles[i].from,
                               .micros = lot->price.micros,
                               .pack_pieces = lot->received};
        break;
    }
    price.of_stock = true;
    return price;
}
