/* The pack price at which a margin is lost: the answer is put in again. And memory that is short.
 */
#include "random_world.h"
#include "what_if_world.h"

#include "base/decimal.h"

#include <criterion/criterion.h>
#include <stdlib.h>

TestSuite(what_if_limit, .timeout = 120);

enum { SEEDS = 100 };

/* Whether the product still earns the margin with the pack at that price, in a costing by itself.
 */
static bool earns(const struct costs *c, size_t product, size_t ingredient, int64_t net,
                  int64_t margin_pct, int64_t pack)
{
    struct price *price = &c->w->catalogue.prices[ingredient];
    int64_t kept = price->micros;
    price->micros = pack;
    struct product_costing of = costing(c, changed_on, c->w->catalogue.products[product].code);
    price->micros = kept;
    return (fixed)(net - of.each_micros) * PERCENT_WHOLE >= (fixed)net * margin_pct;
}

/* 1000 g take 110 / 190 of wheat, at 25 kg a pack: by hand, without what the leaves are rounded to.
 */
Test(what_if_limit, the_flour_price_of_a_loaf)
{
    struct costs c = lane_bakery();
    struct costing_day of = costing_day_of(&c, changed_on);
    size_t loaf = at_product(c.w, "loaf"), wheat = at_ingredient(c.w, "wheat");
    int64_t rest = costing(&c, changed_on, "loaf").each_micros;
    rest -= 463158; /* 1000 x 110 / 190 x 0.0008 */
    bool exists;
    int64_t pack;
    cr_assert(price_limit_of(&of, loaf, wheat, micros("2"), pct("60"), &exists, &pack));
    cr_assert(exists);
    /* 0.80 less the rest buys 11 / 19 kg. */
    int64_t by_hand = (micros("0.80") - rest) * 25 * 19 / 11;
    cr_expect_leq(llabs(pack - by_hand), 100, "%ld, %ld", pack, by_hand);
    cr_expect(earns(&c, loaf, wheat, micros("2"), pct("60"), pack));
    cr_expect_not(earns(&c, loaf, wheat, micros("2"), pct("60"), pack + 1));
    /* A bag is a whole fact: 30.00 a thousand is 0.03 a loaf. */
    int64_t each = costing(&c, changed_on, "loaf").each_micros;
    size_t bag = at_ingredient(c.w, "bag");
    cr_assert(price_limit_of(&of, loaf, bag, each + micros("0.02"), 0, &exists, &pack));
    cr_assert(exists);
    cr_expect_eq(pack, micros("50") + 500, "half a millionth of a bag rounds to the even one");
    world_free(c.w);
}

Test(what_if_limit, limits_that_are_not_there)
{
    struct costs c = lane_bakery();
    struct costing_day of = costing_day_of(&c, changed_on);
    size_t loaf = at_product(c.w, "loaf"), wheat = at_ingredient(c.w, "wheat");
    size_t seeds = at_ingredient(c.w, "seeds"), water = at_ingredient(c.w, "water");
    bool exists = true;
    int64_t pack = 77;
    cr_assert(price_limit_of(&of, loaf, seeds, micros("2"), 0, &exists, &pack));
    cr_expect_not(exists, "none of it");
    exists = true;
    cr_assert(price_limit_of(&of, loaf, wheat, micros("0.01"), 0, &exists, &pack));
    cr_expect_not(exists, "a loss even with flour for nothing");
    exists = true;
    cr_assert(price_limit_of(&of, loaf, wheat, 0, 0, &exists, &pack));
    cr_expect_not(exists, "sold for nothing");
    exists = true;
    cr_assert(price_limit_of(&of, at_product(c.w, "bagged"), seeds, 0, 0, &exists, &pack));
    cr_expect_not(exists, "made of nothing and sold for it is no margin");
    exists = true;
    c.w->catalogue.prices[water].pack_mg = INT64_MAX;
    cr_assert(price_limit_of(&of, loaf, water, micros("2"), 0, &exists, &pack));
    cr_expect_not(exists, "no price of water brings it down");
    exists = true;
    c.w->catalogue.prices[at_ingredient(c.w, "salt")].known = false;
    cr_assert(price_limit_of(&of, loaf, wheat, micros("2"), 0, &exists, &pack));
    cr_expect_not(exists, "a hole in the cost");
    exists = true;
    c.w->catalogue.prices[wheat].known = false;
    cr_assert(price_limit_of(&of, loaf, wheat, micros("2"), 0, &exists, &pack));
    cr_expect_not(exists, "no price now");
    exists = true;
    c.w->catalogue.prices = NULL;
    cr_assert(price_limit_of(&of, loaf, wheat, micros("2"), 0, &exists, &pack));
    cr_expect_not(exists, "no prices at all");
    cr_expect_eq(pack, 77);
    cr_expect_eq(c.w->fails.found, 0);
    world_free(c.w);
}

/* The answer holds when it is put in, and not a millionth above it. */
static bool check_limit(const struct costs *c, struct dice *dice)
{
    struct costing_day of = costing_day_of(c, changed_on);
    const struct catalogue *catalogue = &c->w->catalogue;
    size_t product = (size_t)roll(dice, 0, (int64_t)catalogue->product_count - 1);
    size_t ingredient = (size_t)roll(dice, 0, (int64_t)catalogue->ingredient_count - 1);
    int64_t margin = roll(dice, 0, 1) ? roll(dice, 0, 800000) : roll(dice, -500000, 0);
    int64_t each = costing(c, changed_on, catalogue->products[product].code).each_micros;
    int64_t net = each * roll(dice, 50, 400) / 100 + 1;
    uint64_t before = facts_digest(c);
    bool exists;
    int64_t pack;
    cr_assert(price_limit_of(&of, product, ingredient, net, margin, &exists, &pack));
    cr_assert_eq(facts_digest(c), before);
    if (exists) {
        cr_assert(earns(c, product, ingredient, net, margin, pack), "%ld", pack);
        cr_assert_not(earns(c, product, ingredient, net, margin, pack + 1), "%ld", pack);
    } else if (product_contains(&c->w->reckoning, &catalogue->products[product], ingredient)) {
        cr_assert(!earns(c, product, ingredient, net, margin, 0) ||
                  earns(c, product, ingredient, net, margin, 1000000000000000));
    }
    return exists;
}

Test(what_if_limit, limits_hold_when_put_in)
{
    size_t found = 0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct costs c = random_bakery(seed);
        struct dice dice = {seed * 31 + 7};
        for (int i = 0; i < 3; i++)
            found += check_limit(&c, &dice);
        world_free(c.w);
    }
    cr_expect_gt(found, SEEDS, "%zu limits found", found);
}

/* --- memory --- */

static bool ask_changes(struct costs *c)
{
    struct costing_day of = costing_day_of(c, changed_on);
    struct changed_day out;
    struct change changes[] = {wet_change(c, "tin", "80"),
                               wet_change(c, "poolish", "130"),
                               {CHANGE_PART_WEIGHT, at_product(c->w, "loaf"), BY_VALUE, 9, 0, ""}};
    return what_if_apply(&of, changes, 3, &out);
}

static bool ask_limit(struct costs *c)
{
    struct costing_day of = costing_day_of(c, changed_on);
    bool exists;
    int64_t pack;
    return price_limit_of(&of, at_product(c->w, "loaf"), at_ingredient(c->w, "wheat"), micros("2"),
                          pct("60"), &exists, &pack);
}

static void fail_each_allocation(bool (*ask)(struct costs *), long at_least)
{
    for (long n = 1;; n++) {
        struct costs c = lane_bakery();
        arena_fail_nth(n);
        bool done = ask(&c);
        arena_fail_nth(0);
        if (!done) cr_assert_eq(fails_code(&c.w->fails), FAIL_UNAVAILABLE, "allocation %ld", n);
        if (done) cr_assert_eq(c.w->fails.found, 0);
        world_free(c.w);
        if (!done) continue;
        cr_assert_gt(n, at_least, "only %ld allocations failed", n - 1);
        return;
    }
}

Test(what_if_limit, short_memory_is_told)
{
    fail_each_allocation(ask_changes, 50);
    fail_each_allocation(ask_limit, 500);
}

/* Dozens of costings leave nothing behind in the memory of the request. */
Test(what_if_limit, a_limit_takes_little_memory)
{
    struct costs c = random_bakery(3);
    struct costing_day of = costing_day_of(&c, changed_on);
    struct reckoning small = c.w->reckoning;
    bool exists;
    int64_t pack;
    small.arena = arena_new(40000);
    of.reckoning = &small;
    cr_assert(
        price_limit_of(&of, 0, at_ingredient(c.w, "wheat"), micros("100"), 0, &exists, &pack));
    cr_expect(exists);
    arena_free(small.arena);
    world_free(c.w);
}
