/* From which lots an amount is taken. */
#include "bakery/stock.h"

#include "bakery/lot_cost.h"
#include "world.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(stock, .timeout = 30);

enum { TODAY = 20000 };

struct shop {
    struct world *world;
    struct shelf shelves[40];
    struct stock_shelves from;
    struct stock_move *moves;
    size_t move_count;
};

static struct shop shop_new(void)
{
    struct shop shop = {.world = world_new()};
    shop.from = (struct stock_shelves){.arena = shop.world->arena,
                                       .fails = &shop.world->fails,
                                       .catalogue = &shop.world->catalogue,
                                       .day = TODAY};
    return shop;
}

/* best 0: no best-before. */
static struct shelf *shelf(struct shop *shop, const char *of, int64_t lot, const char *place,
                           date best, int64_t amount)
{
    struct shelf *out = &shop->shelves[shop->from.count++];
    *out = (struct shelf){.ingredient = at_ingredient(shop->world, of),
                          .lot = lot,
                          .place = place,
                          .received_on = TODAY - 10,
                          .has_best_before = best != 0,
                          .best_before = best,
                          .amount = amount,
                          .on_day = amount,
                          .available = amount};
    return out;
}

static struct stock_take take_of(const struct shop *shop, const char *of, int64_t amount,
                                 int64_t lot)
{
    return (struct stock_take){.ingredient = at_ingredient(shop->world, of),
                               .amount = amount,
                               .lot = lot,
                               .pointer = "/g",
                               .lot_pointer = "/lot"};
}

static bool takes(struct shop *shop, const struct stock_take *list, size_t count)
{
    shop->from.items = shop->shelves;
    return stock_take(&shop->from, list, count, &shop->moves, &shop->move_count);
}

static bool takes_one(struct shop *shop, const char *of, int64_t amount, int64_t lot)
{
    struct stock_take take = take_of(shop, of, amount, lot);
    return takes(shop, &take, 1);
}

static int64_t taken_of(const struct shop *shop, int64_t lot)
{
    int64_t sum = 0;
    for (size_t i = 0; i < shop->move_count; i++)
        if (shop->moves[i].lot == lot) sum -= shop->moves[i].delta;
    return sum;
}

static bool told(const struct shop *shop, const char *path, const char *text)
{
    for (size_t i = 0; i < shop->world->fails.count; i++)
        if (strcmp(shop->world->fails.items[i].path, path) == 0 &&
            strcmp(shop->world->fails.items[i].text, text) == 0)
            return true;
    return false;
}

Test(stock, the_oldest_best_before_goes_first)
{
    struct shop shop = shop_new();
    shelf(&shop, "wheat", 1, "store", TODAY + 90, 5000);
    shelf(&shop, "wheat", 2, "store", TODAY + 30, 3000);
    shelf(&shop, "wheat", 3, "store", 0, 9000);
    shelf(&shop, "rye", 4, "store", TODAY + 1, 9000);
    cr_assert(takes_one(&shop, "wheat", 9000, 0));
    cr_expect_eq(taken_of(&shop, 2), 3000);
    cr_expect_eq(taken_of(&shop, 1), 5000);
    cr_expect_eq(taken_of(&shop, 3), 1000, "what has no date goes last");
    cr_expect_eq(taken_of(&shop, 4), 0);
    world_free(shop.world);
}

Test(stock, what_has_expired_comes_last_and_what_is_held_never)
{
    struct shop shop = shop_new();
    shelf(&shop, "wheat", 1, "store", TODAY - 1, 4000);
    shelf(&shop, "wheat", 2, "store", TODAY, 1000);
    shelf(&shop, "wheat", 3, "store", TODAY + 5, 1000)->held = true;
    cr_assert(takes_one(&shop, "wheat", 3000, 0));
    cr_expect_eq(taken_of(&shop, 2), 1000, "on its last day it is still good");
    cr_expect_eq(taken_of(&shop, 1), 2000);
    cr_expect_not(takes_one(&shop, "wheat", 3000, 0));
    cr_expect(told(&shop, "/g", "there are only 2 g of wheat"), "%s",
              shop.world->fails.items[0].text);
    cr_expect_not(takes_one(&shop, "wheat", 1, 3));
    cr_expect(told(&shop, "/lot", "is held: nothing may be used of it"));
    shop.from.allow_held = true;
    cr_expect(takes_one(&shop, "wheat", 1000, 3), "it may go back or be thrown away");
    world_free(shop.world);
}

Test(stock, a_lot_may_be_chosen)
{
    struct shop shop = shop_new();
    shelf(&shop, "wheat", 1, "attic", TODAY + 9, 4000000);
    shelf(&shop, "wheat", 1, "store", TODAY + 9, 1000000);
    shelf(&shop, "wheat", 2, "store", TODAY + 1, 4000000);
    shelf(&shop, "rye", 3, "store", 0, 4000000);
    shelf(&shop, "rye", 4, "store", 0, 4000000)->received_on = TODAY + 1;
    cr_assert(takes_one(&shop, "wheat", 4500000, 1));
    cr_expect_eq(shop.move_count, 2);
    cr_expect_eq(taken_of(&shop, 1), 4500000);
    cr_expect_not(takes_one(&shop, "wheat", 4500000, 1));
    cr_expect(told(&shop, "/g", "there are only 0.5 kg of wheat left of this lot") ||
                  told(&shop, "/g", "there are only 500 g of wheat left of this lot"),
              "%s", shop.world->fails.items[0].text);
    cr_expect_not(takes_one(&shop, "wheat", 1, 3));
    cr_expect(told(&shop, "/lot", "is a lot of another ingredient"));
    cr_expect_not(takes_one(&shop, "rye", 1, 4));
    cr_expect(told(&shop, "/lot", "came in later than that day"));
    cr_expect_not(takes_one(&shop, "rye", 1, 77));
    cr_expect(told(&shop, "/lot", "is no lot of which anything is left"));
    world_free(shop.world);
}

/* What one take leaves, the next one finds; a faulty one takes nothing, and all faults are told. */
Test(stock, takes_follow_each_other)
{
    struct shop shop = shop_new();
    shelf(&shop, "wheat", 1, "store", TODAY + 9, 1000);
    shelf(&shop, "wheat", 2, "store", TODAY + 10, 1000);
    shelf(&shop, "bag", 3, "store", 0, 12);
    struct stock_take list[] = {take_of(&shop, "wheat", 600, 2), take_of(&shop, "wheat", 1300, 0),
                                take_of(&shop, "wheat", 200, 0), take_of(&shop, "bag", 13, 0),
                                take_of(&shop, "rye", 1, 0)};
    cr_expect_not(takes(&shop, list, 5));
    cr_expect_eq(shop.world->fails.count, 3);
    cr_expect(told(&shop, "/g", "there are only 0.1 g of wheat"));
    cr_expect(told(&shop, "/g", "there are only 12 pieces of bag"));
    cr_expect(told(&shop, "/g", "there is no rye left"));
    cr_expect_eq(taken_of(&shop, 1), 1000);
    cr_expect_eq(taken_of(&shop, 2), 900);
    world_free(shop.world);
}

static uint64_t seed = 88172645463325252U;

static int64_t draw(int64_t below)
{
    seed ^= seed << 13;
    seed ^= seed >> 7;
    seed ^= seed << 17;
    return (int64_t)(seed % (uint64_t)below);
}

/* The next shelf in the order of taking, found by looking at all of them. */
static int64_t first_lot(const struct shelf *shelves, size_t count)
{
    const struct shelf *best = NULL;
    for (size_t i = 0; i < count; i++) {
        const struct shelf *one = &shelves[i];
        if (one->held || one->available == 0) continue;
        int64_t key = (one->best_before < TODAY ? 1000000 : 0) + one->best_before;
        int64_t best_key = best == NULL
                               ? 0
                               : (best->best_before < TODAY ? 1000000 : 0) + best->best_before;
        if (best == NULL || key < best_key || (key == best_key && one->lot < best->lot)) best = one;
    }
    return best == NULL ? 0 : best->lot;
}

/* Gram by gram by a reckoning of its own: the same lots, never too much, never from what is held.
 */
Test(stock, random_shelves)
{
    for (int round = 0; round < 300; round++) {
        struct shop shop = shop_new();
        int64_t there = 0, by_hand[41] = {0};
        for (int64_t lot = 1; lot <= 1 + draw(12); lot++) {
            struct shelf *one = shelf(&shop, "wheat", lot, "store", TODAY - 5 + (date)draw(20),
                                      1 + draw(6));
            one->held = draw(6) == 0;
            if (!one->held) there += one->available;
        }
        struct shelf copy[40];
        memcpy(copy, shop.shelves, sizeof copy);
        int64_t wanted = 1 + draw(30);
        bool done = takes_one(&shop, "wheat", wanted, 0);
        cr_assert_eq(done, wanted <= there);
        for (int64_t n = 0; done && n < wanted; n++) {
            int64_t lot = first_lot(copy, shop.from.count);
            by_hand[lot]++;
            copy[lot - 1].available--;
        }
        for (int64_t lot = 1; done && lot <= (int64_t)shop.from.count; lot++)
            cr_assert_eq(taken_of(&shop, lot), by_hand[lot]);
        world_free(shop.world);
    }
}

Test(stock, short_memory_is_told)
{
    struct shop shop = shop_new();
    shelf(&shop, "wheat", 1, "store", 0, 10);
    for (long n = 1; n <= 2; n++) {
        arena_fail_nth(n);
        bool done = takes_one(&shop, "wheat", 20, 0);
        arena_fail_nth(0);
        cr_expect_not(done);
        cr_expect_eq(fails_code(&shop.world->fails), FAIL_UNAVAILABLE);
        fails_reset(&shop.world->fails, 0);
    }
    world_free(shop.world);
}

/* 100 received for 0.000001: a half is rounded to the even millionth. */
Test(stock, what_an_amount_of_a_lot_cost)
{
    struct money price = {.known = true, .micros = 21400000}, none = {.known = false};
    cr_expect_eq(lot_cost_of(price, mg("25000"), mg("25000")).micros, 21400000);
    cr_expect_eq(lot_cost_of(price, mg("25000"), mg("-12500")).micros, -10700000);
    cr_expect_eq(lot_cost_of((struct money){true, 3}, 2, 1).micros, 2);
    cr_expect_eq(lot_cost_of((struct money){true, 1}, 2, 1).micros, 0);
    cr_expect_not(lot_cost_of(none, 2, 1).known);
    cr_expect_not(lot_cost_of(price, 1, INT64_MAX).known);
    cr_expect_not(money_sum(price, none).known);
    cr_expect_not(money_sum((struct money){true, INT64_MAX}, price).known);
    cr_expect_eq(money_sum(price, price).micros, 42800000);
}
