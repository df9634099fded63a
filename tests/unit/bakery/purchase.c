/* Purchase orders: what has come of them, whole packs, days, and sums of money that fit. */
#include "bakery/purchase.h"
#include "world.h"

#include <criterion/criterion.h>

TestSuite(purchase, .timeout = 60);

static enum purchase_state state_of(int64_t first, int64_t second, bool closed)
{
    struct purchase_line lines[] = {{.amount = 100, .received = first},
                                    {.amount = 50, .received = second}};
    struct purchase_order order = {.closed = closed, .lines = lines, .line_count = 2};
    return purchase_state_of(&order);
}

Test(purchase, what_has_come_of_an_order)
{
    cr_expect_eq(state_of(0, 0, false), PURCHASE_OPEN);
    cr_expect_eq(state_of(0, 1, false), PURCHASE_PART);
    cr_expect_eq(state_of(100, 0, false), PURCHASE_PART);
    cr_expect_eq(state_of(99, 50, false), PURCHASE_PART);
    cr_expect_eq(state_of(100, 50, false), PURCHASE_COMPLETE);
    cr_expect_eq(state_of(500, 50, false), PURCHASE_COMPLETE, "more came than was ordered");
    cr_expect_eq(state_of(0, 0, true), PURCHASE_CLOSED);
    cr_expect_eq(state_of(100, 50, true), PURCHASE_CLOSED);
    struct purchase_line line = {.amount = 100, .received = 101};
    cr_expect_eq(purchase_missing(&line), 0);
    line.received = 99;
    cr_expect_eq(purchase_missing(&line), 1);
}

Test(purchase, packs_are_whole_or_none)
{
    int64_t amount;
    cr_expect_eq(purchase_packs(75, 25), 3);
    cr_expect_eq(purchase_packs(76, 25), 0);
    cr_expect_eq(purchase_packs(75, 0), 0);
    cr_expect(purchase_amount(4, 25, 100, &amount) && amount == 100);
    cr_expect_not(purchase_amount(4, 25, 99, &amount));
    cr_expect_not(purchase_amount(INT64_MAX, 2, INT64_MAX, &amount), "and not a wrapped one");
}

Test(purchase, an_order_comes_no_later_than_the_calendar_ends)
{
    cr_expect_eq(purchase_due(20000, 3), 20003);
    cr_expect_eq(purchase_due(DATE_LAST - 3, 3), DATE_LAST);
    cr_expect_eq(purchase_due(DATE_LAST - 2, 3), DATE_LAST);
    cr_expect_eq(purchase_due(DATE_LAST, 365), DATE_LAST);
}

/* 25 kg for 18.40: 1 g is 0.000736, 2.5 g 0.00184. */
Test(purchase, what_an_amount_costs)
{
    struct world *w = world_new();
    struct price price = {.known = true, .micros = 18400000, .pack_mg = 25000000};
    struct money cost;
    cr_assert(purchase_cost(&w->reckoning, &price, UNIT_GRAM, 50000000, &cost));
    cr_expect(cost.known && cost.micros == 36800000);
    cr_assert(purchase_cost(&w->reckoning, &price, UNIT_GRAM, 2500, &cost));
    cr_expect_eq(cost.micros, 1840);
    cr_assert(purchase_cost(&w->reckoning, &price, UNIT_PIECE, 5, &cost));
    cr_expect_not(cost.known, "a price by weight tells nothing of pieces");
    price.known = false;
    cr_assert(purchase_cost(&w->reckoning, &price, UNIT_GRAM, 5, &cost));
    cr_expect_not(cost.known);
    price = (struct price){.known = true, .micros = INT64_MAX, .pack_pieces = 1};
    cr_expect_not(purchase_cost(&w->reckoning, &price, UNIT_PIECE, 2, &cost));
    cr_expect_eq(fails_code(&w->fails), FAIL_INVALID);
    world_free(w);
}

Test(purchase, what_all_of_it_costs)
{
    struct world *w = world_new();
    struct money costs[] = {{true, 5}, {true, 7}, {false, 0}}, total;
    cr_assert(purchase_total(&w->reckoning, costs, 2, &total));
    cr_expect(total.known && total.micros == 12);
    cr_assert(purchase_total(&w->reckoning, costs, 3, &total));
    cr_expect_not(total.known);
    cr_assert(purchase_total(&w->reckoning, costs, 0, &total));
    cr_expect(total.known && total.micros == 0);
    costs[1].micros = INT64_MAX;
    cr_expect_not(purchase_total(&w->reckoning, costs, 2, &total));
    cr_expect_eq(fails_code(&w->fails), FAIL_INVALID);
    world_free(w);
}

Test(purchase, how_far_it_is_under_the_least_that_is_taken)
{
    struct money under = purchase_under((struct money){true, 80}, 100);
    cr_expect(under.known && under.micros == 20);
    cr_expect_not(purchase_under((struct money){true, 100}, 100).known);
    cr_expect_not(purchase_under((struct money){false, 0}, 100).known);
    cr_expect_not(purchase_under((struct money){true, 0}, 0).known);
}
