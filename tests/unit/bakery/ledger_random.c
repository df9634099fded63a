/* Random histories of some 2,000 movements, held against a second reckoning written another way. */
#include "ledger_history.h"
#include "random_world.h"

#include <criterion/criterion.h>
#include <stdlib.h>

TestSuite(ledger_random, .timeout = 60);

enum { DAYS = 400, EVENTS = 2000, SEEDS = 16 };

/* How large things are: sacks, single pieces, silos, crumbs. */
static const struct scale {
    int64_t amount, price;
} scales[] = {{25000000, 30000000},
              {1, 5},
              {INT64_C(4000000000000000), INT64_C(4000000000000000)},
              {40, 3},
              {1000, 0}};

struct telling {
    struct history *h;
    struct dice dice;
    const struct scale *scale;
    bool some_unknown;          /* prices */
    int64_t left[HISTORY_LOTS]; /* of each lot */
};

static size_t some_lot(struct telling *t)
{
    return (size_t)roll(&t->dice, 0, (int64_t)t->h->ledger.lot_count - 1);
}

static void receive(struct telling *t, date day)
{
    int64_t amount = roll(&t->dice, 1, t->scale->amount);
    bool unknown = t->some_unknown && roll(&t->dice, 0, 9) == 0;
    int64_t price = unknown ? -1 : roll(&t->dice, 0, t->scale->price);
    if (t->h->ledger.lot_count == HISTORY_LOTS) return;
    t->left[t->h->ledger.lot_count] = amount;
    history_receive(t->h, day, amount, price);
}

static void take(struct telling *t, date day)
{
    static const enum stock_kind kinds[] = {STOCK_MIXED,  STOCK_MIXED,    STOCK_MIXED,
                                            STOCK_FED,    STOCK_USED,     STOCK_WASTED,
                                            STOCK_WASTED, STOCK_RETURNED, STOCK_COUNTED};
    enum stock_kind kind = kinds[roll(&t->dice, 0, 8)];
    for (int tries = 0; tries < 30; tries++) {
        size_t lot = some_lot(t);
        if (t->left[lot] == 0) continue;
        int64_t amount = roll(&t->dice, 0, 3) == 0 ? t->left[lot] : roll(&t->dice, 1, t->left[lot]);
        t->left[lot] -= amount;
        history_move(t->h, day, kind, t->h->lots[lot].lot, -amount);
        return;
    }
}

static void count_over(struct telling *t, date day)
{
    size_t lot = some_lot(t);
    int64_t amount = roll(&t->dice, 1, t->h->lots[lot].received);
    t->left[lot] += amount;
    history_move(t->h, day, STOCK_COUNTED, t->h->lots[lot].lot, amount);
}

/* A holiday: everything is used up. */
static void empty(struct telling *t, date day)
{
    for (size_t lot = 0; lot < t->h->ledger.lot_count; lot++) {
        if (t->left[lot] > 0)
            history_move(t->h, day, STOCK_USED, t->h->lots[lot].lot, -t->left[lot]);
        t->left[lot] = 0;
    }
}

/* Two moves that are passed over: a reversal and what it reverses, or a move to another place. */
static void leave_no_trace(struct telling *t, date day)
{
    size_t lot = some_lot(t);
    bool reversed = roll(&t->dice, 0, 1);
    int64_t amount = roll(&t->dice, 1, t->scale->amount) * (roll(&t->dice, 0, 1) ? 1 : -1);
    enum stock_kind kind = reversed ? (enum stock_kind)roll(&t->dice, 0, STOCK_COUNTED)
                                    : STOCK_MOVED;
    for (int i = 0; i < 2; i++, amount = -amount) {
        history_move(t->h, day, kind, t->h->lots[lot].lot, amount);
        t->h->moves[t->h->ledger.move_count - 1].skipped = reversed;
    }
}

/* Movements of a day now and then stand in another order than the one they were drawn in; their
 * numbers ascend as they stand. */
static void shuffle_days(struct telling *t)
{
    struct ledger_move *moves = t->h->moves;
    for (size_t i = 1; i < t->h->ledger.move_count; i++) {
        if (moves[i].date != moves[i - 1].date || roll(&t->dice, 0, 4) > 0) continue;
        struct ledger_move move = moves[i - 1];
        moves[i - 1] = moves[i];
        moves[i] = move;
    }
    for (size_t i = 0; i < t->h->ledger.move_count; i++)
        moves[i].number = 1000 + (int64_t)i;
}

static int by_number(const void *a, const void *b)
{
    const struct ledger_lot *left = a, *right = b;
    return (left->lot > right->lot) - (left->lot < right->lot);
}

/* Lot numbers no longer follow the days on which lots came in: some were entered late. */
static void enter_some_late(struct telling *t)
{
    struct ledger *ledger = &t->h->ledger;
    for (size_t i = 0; i + 7 < ledger->lot_count; i += 7) {
        int64_t a = t->h->lots[i].lot, b = t->h->lots[i + 5].lot;
        t->h->lots[i].lot = b;
        t->h->lots[i + 5].lot = a;
        for (size_t k = 0; k < ledger->move_count; k++) {
            int64_t *lot = &t->h->moves[k].lot;
            if (*lot == a || *lot == b) *lot = *lot == a ? b : a;
        }
    }
    qsort(t->h->lots, ledger->lot_count, sizeof *t->h->lots, by_number);
}

static struct telling *tell(uint64_t seed)
{
    struct history *h = history_new();
    struct telling *t = arena_alloc(h->arena, sizeof *t);
    t->h = h;
    t->dice.state = 77 + seed;
    t->scale = &scales[seed % (sizeof scales / sizeof scales[0])];
    t->some_unknown = seed % 2 == 0;
    receive(t, 0);
    for (int event = 0; event < EVENTS; event++) {
        date day = (date)(event * DAYS / EVENTS);
        int64_t what = roll(&t->dice, 0, 99);
        if (what < 1)
            empty(t, day);
        else if (what < 30)
            receive(t, day);
        else if (what < 85)
            take(t, day);
        else if (what < 92)
            count_over(t, day);
        else
            leave_no_trace(t, day);
    }
    shuffle_days(t);
    enter_some_late(t);
    return t;
}

static void expect_same(struct ledger_value got, struct ledger_value want, const char *what, long n)
{
    cr_assert_eq(got.amount, want.amount, "%s %ld", what, n);
    cr_assert_eq(got.fifo.known, want.fifo.known, "%s %ld", what, n);
    cr_assert_eq(got.average.known, want.average.known, "%s %ld", what, n);
    cr_assert(!want.fifo.known || got.fifo.micros == want.fifo.micros, "%s %ld", what, n);
    cr_assert(!want.average.known || got.average.micros == want.average.micros, "%s %ld", what, n);
}

/* What the histories must hold for the test to mean anything. */
static struct seen {
    size_t moves, unknown, known, returned, over;
} seen;

static void compare_moves(struct history *h)
{
    struct ledger_value *got = history_worths(h);
    struct ledger_value *want = second_moves(h);
    cr_assert(got && want);
    for (size_t i = 0; i < h->ledger.move_count; i++) {
        expect_same(got[i], want[i], "move", (long)i);
        seen.moves++;
        seen.unknown += !want[i].average.known;
        seen.known += want[i].average.known && want[i].average.micros != 0;
        seen.returned += h->moves[i].kind == STOCK_RETURNED;
        seen.over += h->moves[i].kind == STOCK_COUNTED && want[i].amount > 0;
    }
}

/* One column of a flow: opening + in - out - closing, which must be nothing. */
#define REST(flow, of)                                                                             \
    ((flow).opening.of + (flow).received.of + (flow).counted.of - (flow).used.of -                 \
     (flow).wasted.of - (flow).returned.of - (flow).closing.of)
#define KNOWN(flow, of)                                                                            \
    ((flow).opening.of.known && (flow).received.of.known && (flow).counted.of.known &&             \
     (flow).used.of.known && (flow).wasted.of.known && (flow).returned.of.known)

static void check_identity(struct telling *t, size_t *checked)
{
    date first = (date)roll(&t->dice, 0, DAYS), last = first + (date)roll(&t->dice, 0, 60);
    struct ledger_flow flow = history_between(t->h, first, last);
    expect_same(flow.opening, second_on(t->h, first - 1), "opening", first);
    expect_same(flow.closing, second_on(t->h, last), "closing", last);
    cr_assert_eq(REST(flow, amount), 0);
    if (KNOWN(flow, fifo)) {
        cr_assert(flow.closing.fifo.known);
        cr_assert_eq(REST(flow, fifo.micros), 0, "from %d to %d", first, last);
        *checked += flow.used.fifo.micros != 0;
    }
    if (KNOWN(flow, average)) {
        cr_assert(flow.closing.average.known);
        cr_assert_eq(REST(flow, average.micros), 0, "from %d to %d", first, last);
    }
}

Test(ledger_random, every_move_is_worth_what_a_second_reckoning_says)
{
    size_t checked = 0;
    for (uint64_t seed = 0; seed < SEEDS; seed++) {
        struct telling *t = tell(seed);
        compare_moves(t->h);
        for (int i = 0; i < 12; i++)
            check_identity(t, &checked);
        arena_free(t->h->arena);
    }
    cr_assert_gt(seen.moves, 1900 * SEEDS);
    cr_assert_gt(seen.unknown, 1000);
    cr_assert_gt(seen.known, 1000);
    cr_assert_gt(seen.returned, 500);
    cr_assert_gt(seen.over, 500);
    cr_assert_gt(checked, 50);
}

static bool same_price(const struct price *a, const struct price *b)
{
    if (a->of_stock != b->of_stock || a->known != b->known) return false;
    return !a->known || (a->micros == b->micros && a->pack_pieces == b->pack_pieces &&
                         (!a->of_stock || a->from == b->from));
}

static bool same_cost(const struct price *a, const struct price *b)
{
    return a->of_stock == b->of_stock && a->known == b->known &&
           (!a->known ||
            (__int128)a->micros * b->pack_pieces == (__int128)b->micros * a->pack_pieces);
}

/* The price of every fifth day, and the days on which it changes by asking every day. */
static void compare_prices(struct history *h, enum cost_by method)
{
    date *days;
    size_t count, next = 0;
    struct price before = history_price(h, -2, method);
    cr_assert(ledger_price_days(&h->ledger, h->arena, &h->fails, method, -1, DAYS, &days, &count));
    for (date day = -1; day <= DAYS; day++) {
        struct price price = history_price(h, day, method);
        if (day % 5 == 0) {
            struct price want = second_price(h, day, method);
            cr_assert(same_price(&price, &want), "day %d by %d", day, method);
        }
        bool changes = !same_cost(&before, &price);
        cr_assert_eq(changes, next < count && days[next] == day, "day %d by %d", day, method);
        next += changes;
        before = price;
    }
    cr_assert_eq(next, count);
    cr_assert_gt(count, 10);
}

Test(ledger_random, prices_are_those_of_a_second_reckoning)
{
    for (uint64_t seed = 0; seed < 5; seed++) {
        struct telling *t = tell(seed);
        if (t->scale->price > 0) {
            compare_prices(t->h, COST_BY_FIFO);
            compare_prices(t->h, COST_BY_AVERAGE);
        }
        arena_free(t->h->arena);
    }
}

/* Ten times as many moves over layers that all stay open, and are opened again from the far end,
 * must not take a hundred times as long: each of these would be walked over by a plain search. */
Test(ledger_random, many_open_layers_are_not_searched, .timeout = 10)
{
    enum { LOTS = 200000, MOVES = 2 * LOTS };
    struct history *h = history_new();
    struct ledger_lot *lots = arena_array(h->arena, LOTS, sizeof *lots);
    struct ledger_move *moves = arena_array(h->arena, LOTS + MOVES, sizeof *moves);
    struct ledger ledger = {.lots = lots, .moves = moves, .lot_count = LOTS};
    struct ledger_value value;
    cr_assert(lots && moves);
    for (int64_t i = 0; i < LOTS; i++) {
        lots[i] = (struct ledger_lot){i + 1, 2, {true, 10}};
        moves[ledger.move_count++] = (struct ledger_move){0, 0, STOCK_RECEIVED, i + 1, 2, false};
    }
    /* The first lots are emptied by going back; then the very first comes and goes. */
    for (int64_t i = 0; i < LOTS - 1; i++)
        moves[ledger.move_count++] = (struct ledger_move){0, 1, STOCK_RETURNED, i + 1, -2, false};
    for (int64_t i = 0; i < LOTS / 2; i++) {
        moves[ledger.move_count++] = (struct ledger_move){0, 2, STOCK_COUNTED, 1, 2, false};
        moves[ledger.move_count++] = (struct ledger_move){0, 2, STOCK_USED, 1, -3, false};
        moves[ledger.move_count - 1].delta = -2;
    }
    cr_assert(ledger_on(&ledger, h->arena, &h->fails, 2, &value));
    cr_expect_eq(value.amount, 2);
    cr_expect_eq(value.fifo.micros, 10);
    arena_free(h->arena);
}
