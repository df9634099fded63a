/* What the stock is worth, by hand: published cases, and every rule once. */
#include "csv.h"
#include "ledger_history.h"

#include "base/date.h"
#include "base/fixed.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

TestSuite(ledger, .timeout = 60);

enum { MICROS = 1000000 };

static void expect_value(struct ledger_value got, int64_t amount, int64_t fifo, int64_t average,
                         const char *what)
{
    cr_expect_eq(got.amount, amount, "%s: amount %ld", what, (long)got.amount);
    cr_expect(got.fifo.known && got.average.known, "%s", what);
    cr_expect_eq(got.fifo.micros, fifo, "%s: fifo %ld", what, (long)got.fifo.micros);
    cr_expect_eq(got.average.micros, average, "%s: average %ld", what, (long)got.average.micros);
}

static int64_t fifo_total(const struct ledger_flow *flow)
{
    return flow->opening.fifo.micros + flow->received.fifo.micros + flow->counted.fifo.micros -
           flow->used.fifo.micros - flow->wasted.fifo.micros - flow->returned.fifo.micros -
           flow->closing.fifo.micros;
}

static int64_t average_total(const struct ledger_flow *flow)
{
    return flow->opening.average.micros + flow->received.average.micros +
           flow->counted.average.micros - flow->used.average.micros - flow->wasted.average.micros -
           flow->returned.average.micros - flow->closing.average.micros;
}

/* --- published check values --- */

static size_t row_of(const struct csv *table, const char *name)
{
    for (size_t n = 0; n < table->count; n++)
        if (strcmp(csv_cell(table, n, "case"), name) == 0) return n;
    cr_assert_fail("no case %s", name);
    return 0;
}

/* "10@91; +15@106; -20": each on a day of its own, from 0 on. The last day. */
static date tell(struct history *h, const char *given)
{
    date day = 0;
    for (const char *at = given; *at; day++) {
        long amount, price = 0;
        int length = 0;
        cr_assert_eq(sscanf(at, "%ld%n", &amount, &length), 1, "%s", at);
        at += length;
        if (amount > 0) {
            cr_assert_eq(sscanf(at, "@%ld%n", &price, &length), 1, "%s", at);
            at += length;
            history_receive(h, day, amount, amount * price * MICROS);
        } else {
            history_move(h, day, STOCK_USED, h->lots[h->ledger.lot_count - 1].lot, amount);
        }
        at += strspn(at, "; ");
    }
    return day - 1;
}

struct published {
    long first, second, total, units, worth;
};

static struct published expected_of(const struct csv *table, size_t row)
{
    struct published p;
    const char *text = csv_cell(table, row, "expected");
    cr_assert_eq(sscanf(text, "COGS %ld+%ld = %ld; ending %ld units %ld", &p.first, &p.second,
                        &p.total, &p.units, &p.worth),
                 5, "%s", text);
    return p;
}

/* J. Wild, Fundamental Accounting Principles, inventory chapter: cost of goods sold 4570, ending
 * 12 units 1420; after the first sale 5 units 530. */
Test(ledger, first_in_first_out_as_published)
{
    struct history *h = history_new();
    struct csv table = csv_read(h->arena, "08_costing_inventory.csv");
    size_t row = row_of(&table, "fifo-wild");
    struct published p = expected_of(&table, row);
    long units, worth;
    date last = tell(h, csv_cell(&table, row, "given"));
    cr_assert_eq(
        sscanf(csv_cell(&table, row, "note"), "after first sale %ld units %ld", &units, &worth), 2);
    cr_expect_eq(history_on(h, 2).amount, units);
    cr_expect_eq(history_on(h, 2).fifo.micros, worth * MICROS);
    struct ledger_flow flow = history_between(h, 0, last);
    cr_expect_eq(history_between(h, 0, 2).used.fifo.micros, p.first * MICROS);
    cr_expect_eq(history_between(h, 3, last).used.fifo.micros, p.second * MICROS);
    cr_expect_eq(flow.used.fifo.micros, p.total * MICROS);
    cr_expect_eq(flow.closing.amount, p.units);
    cr_expect_eq(flow.closing.fifo.micros, p.worth * MICROS);
    cr_expect_eq(fifo_total(&flow), 0);
    arena_free(h->arena);
}

/* The same purchases and sales by the moving average (Wild, from memory): averages of 100, 112 and
 * 114 a unit, cost of goods sold 4622, ending 12 units 1368. */
Test(ledger, moving_average_as_published)
{
    struct history *h = history_new();
    struct csv table = csv_read(h->arena, "08_costing_inventory.csv");
    size_t row = row_of(&table, "average-wild");
    struct published p = expected_of(&table, row);
    date last = tell(h, csv_cell(&table, row, "given"));
    long averages[3];
    cr_assert_eq(sscanf(csv_cell(&table, row, "note"), "averages %ld then %ld then %ld",
                        &averages[0], &averages[1], &averages[2]),
                 3);
    const date days[] = {2, 4, 5}; /* after the second, third and fourth purchase */
    for (size_t i = 0; i < 3; i++) {
        struct price price = history_price(h, days[i], COST_BY_AVERAGE);
        cr_expect(price.known && price.of_stock);
        cr_expect_eq(price.micros, averages[i] * MICROS * price.pack_pieces);
    }
    struct ledger_flow flow = history_between(h, 0, last);
    cr_expect_eq(history_between(h, 0, 2).used.average.micros, p.first * MICROS);
    cr_expect_eq(history_between(h, 3, last).used.average.micros, p.second * MICROS);
    cr_expect_eq(flow.used.average.micros, p.total * MICROS);
    cr_expect_eq(flow.closing.amount, p.units);
    cr_expect_eq(flow.closing.average.micros, p.worth * MICROS);
    cr_expect_eq(average_total(&flow), 0);
    arena_free(h->arena);
}

/* --- rules --- */

Test(ledger, nothing_is_worth_nothing)
{
    struct history *h = history_new();
    expect_value(history_on(h, 5), 0, 0, 0, "no history");
    struct price price = history_price(h, 5, COST_BY_FIFO);
    cr_expect(price.known && !price.of_stock && price.micros == 7, "left as it was");
    history_receive(h, 6, 10, 100);
    expect_value(history_on(h, 5), 0, 0, 0, "before the first lot");
    cr_expect(!history_price(h, 6, COST_BY_AVERAGE).of_stock, "its day begins without it");
    cr_expect(history_price(h, 7, COST_BY_AVERAGE).of_stock);
    cr_expect(!history_price(h, 7, COST_BY_PACK).of_stock);
    arena_free(h->arena);
}

/* 10 for 1.00, 10 for 2.00. FIFO takes the first whichever was really taken; what goes back takes
 * its own. */
Test(ledger, what_goes_back_takes_its_own_layer_first)
{
    struct history *h = history_new();
    history_receive(h, 0, 10, 100);
    int64_t second = history_receive(h, 1, 10, 200);
    history_move(h, 2, STOCK_WASTED, second, -5);
    history_move(h, 3, STOCK_RETURNED, second, -4);
    history_move(h, 4, STOCK_RETURNED, second, -1);
    history_move(h, 4, STOCK_MIXED, second, -8); /* 5 of the first, 3 of the second */
    history_move(h, 5, STOCK_RETURNED, second, -2);
    expect_value(history_on(h, 2), 15, 250, 225, "wasted");
    expect_value(history_on(h, 3), 11, 170, 165, "returned");
    struct ledger_flow flow = history_between(h, 4, 5);
    expect_value(flow.opening, 11, 170, 165, "opening");
    expect_value(flow.returned, 3, 60, 45, "returned");
    expect_value(flow.used, 8, 110, 120, "used");
    expect_value(flow.wasted, 0, 0, 0, "wasted");
    expect_value(flow.closing, 0, 0, 0, "closing");
    arena_free(h->arena);
}

/* When nothing is left in its own layer, it is the oldest that pays. */
Test(ledger, what_goes_back_of_an_empty_layer_takes_the_oldest)
{
    struct history *h = history_new();
    int64_t first = history_receive(h, 0, 10, 100);
    int64_t second = history_receive(h, 1, 10, 200);
    history_receive(h, 1, 10, 300);
    history_move(h, 2, STOCK_USED, second, -10);
    history_move(h, 3, STOCK_RETURNED, first, -4);
    expect_value(history_between(h, 3, 3).returned, 4, 80, 80, "of the second");
    arena_free(h->arena);
}

/* Over: at what the lot cost when it came in, at its place among the others. */
Test(ledger, a_count_over_stands_where_its_lot_did)
{
    struct history *h = history_new();
    int64_t first = history_receive(h, 0, 10, 100);
    history_receive(h, 1, 10, 200);
    history_move(h, 2, STOCK_USED, first, -10);
    history_move(h, 3, STOCK_COUNTED, first, 3);
    expect_value(history_between(h, 3, 3).counted, 3, 30, 30, "over");
    expect_value(history_on(h, 3), 13, 230, 180, "on hand"); /* 300 x 10/20 was used */
    history_move(h, 4, STOCK_COUNTED, first, -2);
    struct ledger_flow flow = history_between(h, 3, 4);
    cr_expect_eq(flow.counted.amount, 1);
    cr_expect_eq(flow.counted.fifo.micros, 10);
    arena_free(h->arena);
}

Test(ledger, halves_go_to_even_and_the_last_takes_the_rest)
{
    struct history *h = history_new();
    int64_t lot = history_receive(h, 0, 4, 10);
    for (date day = 1; day <= 4; day++)
        history_move(h, day, STOCK_USED, lot, -1);
    const int64_t worth[] = {10, 8, 5, 3, 0}; /* 2.5 -> 2, 8/3 -> 3, 5/2 -> 2, the rest: 3 */
    for (date day = 0; day <= 4; day++)
        expect_value(history_on(h, day), 4 - day, worth[day], worth[day], "left");
    arena_free(h->arena);
}

Test(ledger, reversed_and_moved_are_passed_over)
{
    struct history *h = history_new();
    int64_t lot = history_receive(h, 0, 10, 100);
    int64_t other = history_receive(h, 0, 10, 300);
    h->moves[1].skipped = true;
    history_move(h, 0, STOCK_RECEIVED, other, -10);
    h->moves[2].skipped = true;
    history_move(h, 1, STOCK_MOVED, lot, -4);
    history_move(h, 1, STOCK_MOVED, lot, 4);
    history_move(h, 1, STOCK_USED, lot, -5);
    expect_value(history_on(h, 1), 5, 50, 50, "as if neither had been");
    struct ledger_value *worths = history_worths(h);
    cr_assert_not_null(worths);
    for (size_t i = 1; i <= 4; i++)
        expect_value(worths[i], 0, 0, 0, "passed over");
    expect_value(worths[5], -5, -50, -50, "used");
    arena_free(h->arena);
}

/* A take that stands before the receipt of its day. */
Test(ledger, what_came_in_goes_first_where_the_order_of_the_day_would_go_below_zero)
{
    struct history *h = history_new();
    int64_t first = history_lot(h, 10, 100);
    history_move(h, 1, STOCK_USED, first, -4);
    history_move(h, 1, STOCK_RECEIVED, first, 10);
    expect_value(history_on(h, 1), 6, 60, 60, "in first");
    history_move(h, 2, STOCK_USED, first, -7);
    struct ledger_value value;
    cr_expect_not(ledger_on(&h->ledger, h->arena, &h->fails, 2, &value));
    cr_expect_eq(fails_code(&h->fails), FAIL_INTERNAL);
    arena_free(h->arena);
}

/* Unknown as long as any of the lot's layer is there (FIFO), or until the stock was empty. */
Test(ledger, unknown_is_never_zero)
{
    struct history *h = history_new();
    int64_t first = history_receive(h, 0, 10, -1);
    history_receive(h, 1, 10, 200);
    cr_expect_not(history_on(h, 1).fifo.known);
    cr_expect_not(history_on(h, 1).average.known);
    cr_expect_not(history_price(h, 2, COST_BY_FIFO).known);
    cr_expect_not(history_price(h, 2, COST_BY_AVERAGE).known);
    cr_expect(history_price(h, 2, COST_BY_AVERAGE).of_stock);
    history_move(h, 2, STOCK_USED, first, -10);
    cr_expect_not(history_between(h, 2, 2).used.fifo.known);
    cr_expect(history_between(h, 2, 2).wasted.fifo.known, "nothing was");
    cr_expect(history_on(h, 2).fifo.known);
    cr_expect_eq(history_on(h, 2).fifo.micros, 200);
    cr_expect_eq(history_price(h, 3, COST_BY_FIFO).micros, 200);
    cr_expect_not(history_on(h, 2).average.known);
    history_move(h, 3, STOCK_USED, first, -10);
    expect_value(history_on(h, 3), 0, 0, 0, "emptied");
    cr_expect_not(history_price(h, 4, COST_BY_AVERAGE).known, "none was ever known");
    history_receive(h, 5, 5, 50);
    expect_value(history_on(h, 5), 5, 50, 50, "anew");
    arena_free(h->arena);
}

/* With nothing on hand: the last cost that was known. */
Test(ledger, the_last_cost_stays_when_nothing_is_left)
{
    struct history *h = history_new();
    int64_t first = history_receive(h, 0, 10, 100);
    int64_t second = history_receive(h, 1, 30, 600);
    history_move(h, 2, STOCK_USED, first, -40);
    struct price average = history_price(h, 3, COST_BY_AVERAGE);
    struct price fifo = history_price(h, 3, COST_BY_FIFO);
    cr_expect(average.known && average.micros == 700 && average.pack_pieces == 40);
    cr_expect_eq(average.from, 1);
    cr_expect(fifo.known && fifo.micros == 600 && fifo.pack_pieces == 30);
    history_receive(h, 4, 10, -1);
    history_move(h, 5, STOCK_WASTED, second, -10);
    cr_expect_not(history_price(h, 5, COST_BY_FIFO).known);
    cr_expect_eq(history_price(h, 6, COST_BY_FIFO).micros, 600);
    cr_expect_eq(history_price(h, 6, COST_BY_AVERAGE).micros, 700);
    arena_free(h->arena);
}

/* A milligram that is left, and one that a count brings back, cost what a sack of it did. */
Test(ledger, crumbs_keep_their_cost)
{
    struct history *h = history_new();
    int64_t sack = history_receive(h, 0, 25000000, 18 * MICROS);
    history_move(h, 1, STOCK_USED, sack, -24999999);
    struct price average = history_price(h, 2, COST_BY_AVERAGE);
    cr_expect(average.micros == 18 * MICROS && average.pack_pieces == 25000000);
    history_move(h, 2, STOCK_USED, sack, -1);
    history_move(h, 3, STOCK_COUNTED, sack, 1);
    average = history_price(h, 4, COST_BY_AVERAGE);
    cr_expect(average.micros == 18 * MICROS && average.pack_pieces == 25000000);
    arena_free(h->arena);
}

Test(ledger, prices_change_when_something_comes_in_or_a_layer_ends)
{
    struct history *h = history_new();
    int64_t lot = history_receive(h, 10, 10, 100);
    history_receive(h, 12, 10, 200);
    history_receive(h, 14, 10, 200);
    history_move(h, 16, STOCK_USED, lot, -9);
    history_move(h, 18, STOCK_USED, lot, -1);
    history_move(h, 20, STOCK_USED, lot, -10);
    date *days;
    size_t count;
    cr_assert(
        ledger_price_days(&h->ledger, h->arena, &h->fails, COST_BY_FIFO, 0, 40, &days, &count));
    cr_assert_eq(count, 2, "%zu", count);
    cr_expect(days[0] == 11 && days[1] == 19, "the third costs as the second");
    cr_assert(
        ledger_price_days(&h->ledger, h->arena, &h->fails, COST_BY_AVERAGE, 13, 15, &days, &count));
    cr_assert_eq(count, 2, "%zu", count);
    cr_expect(days[0] == 13 && days[1] == 15);
    cr_assert(
        ledger_price_days(&h->ledger, h->arena, &h->fails, COST_BY_AVERAGE, 14, 14, &days, &count));
    cr_expect_eq(count, 0, "%zu", count);
    arena_free(h->arena);
}

Test(ledger, sums_beyond_counting_are_told)
{
    const int64_t amounts[][2] = {{INT64_MAX, 1}, {1, INT64_MAX}};
    for (size_t i = 0; i < 2; i++) {
        struct history *h = history_new();
        struct ledger_value value;
        history_receive(h, 0, amounts[i][0], amounts[i][1]);
        cr_assert_eq(history_on(h, 0).fifo.micros, amounts[i][1]);
        history_receive(h, 0, amounts[i][0], amounts[i][1]);
        cr_expect_not(ledger_on(&h->ledger, h->arena, &h->fails, 0, &value));
        cr_expect_eq(fails_code(&h->fails), FAIL_INVALID);
        arena_free(h->arena);
    }
    struct history *h = history_new();
    struct ledger_value value;
    int64_t lot = history_receive(h, 0, 1, INT64_MAX);
    history_move(h, 1, STOCK_USED, lot, -1);
    history_move(h, 2, STOCK_COUNTED, lot, 3);
    cr_expect_not(ledger_on(&h->ledger, h->arena, &h->fails, 2, &value));
    cr_expect_eq(fails_code(&h->fails), FAIL_INVALID);
    arena_free(h->arena);
}

Test(ledger, a_lot_that_is_not_there_is_told)
{
    struct history *h = history_new();
    struct ledger_value value;
    history_move(h, 0, STOCK_RECEIVED, 7, 10);
    cr_expect_not(ledger_on(&h->ledger, h->arena, &h->fails, 0, &value));
    cr_expect_eq(fails_code(&h->fails), FAIL_INTERNAL);
    arena_free(h->arena);
}

/* --- short memory --- */

static bool ask_all(struct history *h)
{
    struct ledger_value value;
    struct ledger_flow flow;
    struct price price;
    date *days;
    size_t count;
    return ledger_on(&h->ledger, h->arena, &h->fails, 9, &value) &&
           ledger_between(&h->ledger, h->arena, &h->fails, 1, 9, &flow) &&
           history_walk_price(h, 9, COST_BY_FIFO, &price) &&
           ledger_price_days(&h->ledger, h->arena, &h->fails, COST_BY_FIFO, 1, 9, &days, &count);
}

Test(ledger, short_memory_is_told)
{
    for (long n = 1;; n++) {
        struct history *h = history_new();
        int64_t lot = history_receive(h, 0, 10, 100);
        history_move(h, 1, STOCK_USED, lot, -3);
        arena_fail_nth(n);
        bool done = ask_all(h);
        arena_fail_nth(0);
        cr_assert_eq(done, !arena_failed(h->arena), "allocation %ld", n);
        if (!done) cr_assert_eq(fails_code(&h->fails), FAIL_UNAVAILABLE, "allocation %ld", n);
        arena_free(h->arena);
        if (!done) continue;
        cr_assert_gt(n, 12, "only %ld allocations failed", n - 1);
        return;
    }
}
