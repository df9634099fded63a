/* Why so much of an ingredient is needed. */
#include "costing_world.h"
#include "random_world.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

TestSuite(need_why, .timeout = 120);

enum { SEEDS = 100, ORDERS = 64 };

static const char day[] = "2027-05-12";

static const struct why *why_of(struct world *w, const struct order_pieces *orders, size_t count,
                                const char *code)
{
    struct why *root;
    cr_assert(need_why(&w->reckoning, day_of(day), w->demands, w->demand_count, orders, count,
                       at_ingredient(w, code), &root),
              "%s", w->fails.count > 0 ? w->fails.items[0].text : "no fault told");
    return root;
}

/* A loaf of 900 g of dough (wheat 100, water 60, poolish 20: 500, 300, 100 g) of which 10 % stay
 * behind, so that 1000 g are mixed: wheat 555.55… g; poolish 111.11… g, half of it wheat. Four
 * pieces ordered, one to spare. */
static struct world *lane(void)
{
    struct world *w = world_new();
    formula(w, "poolish", BASIS_FINAL, "wheat 100, water 100");
    formula(w, "dough", BASIS_FINAL, "wheat 100, water 60, formula poolish 20");
    the_formula(w, "dough")->handling_loss_pct = pct("10");
    product(w, "loaf", "dough 900, seeds 5");
    packaging(w, "loaf", "bag", 2);
    the_product(w, "loaf")->spare_pct = pct("25");
    open_world(w);
    order(w, day, "loaf", 3, "");
    order(w, day, "loaf", 1, "05:00");
    return w;
}

Test(need_why, a_need_opens_down_to_the_orders)
{
    struct world *w = lane();
    struct order_pieces orders[] = {{17, at_product(w, "loaf"), "Mill Café", 3},
                                    {18, at_product(w, "loaf"), "Ferry House", 1}};
    const struct why *root = why_of(w, orders, 2, "wheat");
    /* Five pieces: 5 x (555.5556 + 55.5556) = 3055.5556 g */
    cr_expect_eq(root->value, 3055556);
    cr_expect_eq(root->unit, WHY_GRAMS);
    cr_expect_str_eq(root->source, "/api/v1/days/2027-05-12/needs");
    const struct why *loaf = child(root, 0);
    cr_expect_eq(loaf->quantity, 5);
    const struct why *dough = child(loaf, 0);
    cr_expect_str_eq(dough->what, "dough, 10 % of it left behind in handling");
    cr_expect_eq(dough->quantity, mg("5000"));
    const struct why *wheat = child(dough, 0);
    cr_expect_str_eq(wheat->what, "wheat, in dough");
    cr_expect_str_eq(wheat->source, "/api/v1/formulas/dough");
    cr_assert_eq(wheat->child_count, 3);
    /* Three pieces of 555.5556 g: 1666.6667; the largest remainders are served first. */
    cr_expect_str_eq(child(wheat, 0)->what, "Mill Café");
    cr_expect_str_eq(child(wheat, 0)->source, "/api/v1/orders/17");
    cr_expect_eq(child(wheat, 0)->quantity, 3);
    cr_expect_eq(child(wheat, 0)->value, 1666667);
    cr_expect_str_eq(child(wheat, 2)->what, "spare");
    const struct why *poolish = child(dough, 1);
    cr_expect_str_eq(poolish->source, "/api/v1/formulas/poolish");
    cr_expect_str_eq(child(poolish, 0)->what, "wheat, in poolish");
    size_t leaves = 0;
    cr_expect_eq(check_tree(root, &leaves), 3055556);
    cr_expect_eq(leaves, 6);
    world_free(w);
}

Test(need_why, what_is_counted_and_what_goes_in_by_itself)
{
    struct world *w = lane();
    const struct why *bags = why_of(w, NULL, 0, "bag");
    cr_expect_eq(bags->value, 10);
    cr_expect_eq(bags->unit, WHY_PIECES);
    const struct why *orders = child(child(bags, 0), 0);
    cr_expect_eq(child(orders, 0)->value, 8, "four ordered pieces, by orders not named");
    cr_expect_eq(child(orders, 1)->value, 2);
    const struct why *seeds = why_of(w, NULL, 0, "seeds");
    cr_expect_eq(seeds->value, mg("25"));
    cr_expect_str_eq(child(child(seeds, 0), 0)->what, "seeds, in loaf");
    world_free(w);
}

Test(need_why, what_is_not_needed)
{
    struct world *w = lane();
    const struct why *rye = why_of(w, NULL, 0, "rye");
    cr_expect_eq(rye->value, 0);
    cr_expect_eq(rye->child_count, 0);
    world_free(w);
}

Test(need_why, orders_that_are_not_told_are_others)
{
    struct world *w = lane();
    struct order_pieces orders[] = {{17, at_product(w, "loaf"), "Mill Café", 3},
                                    {18, at_product(w, "loaf") + 1, "another product", 9}};
    const struct why *bags = child(child(why_of(w, orders, 2, "bag"), 0), 0);
    cr_assert_eq(bags->child_count, 3);
    cr_expect_eq(child(bags, 0)->value, 6);
    cr_expect_str_eq(child(bags, 1)->what, "other orders");
    cr_expect_eq(child(bags, 1)->value, 2);
    world_free(w);
}

/* --- random bakeries --- */

/* The day's orders, one for each demand. */
static size_t orders_of(const struct world *w, struct order_pieces orders[ORDERS])
{
    size_t count = 0;
    for (size_t i = 0; i < w->demand_count && count < ORDERS; i++)
        if (w->demands[i].bread_day == day_of(day))
            orders[count++] = (struct order_pieces){(int64_t)i, w->demands[i].product, "customer",
                                                    w->demands[i].pieces};
    return count;
}

/* Every order has its way's grams by its pieces, but for the last digits. */
static void check_shares(const struct why *node, int64_t pieces)
{
    for (const struct why *at = node->first; at; at = at->next)
        check_shares(at, node->unit == WHY_PIECES && node->first->unit == WHY_GRAMS ? node->quantity
                                                                                    : pieces);
    if (!node->first || node->first->first || node->unit != WHY_GRAMS) return;
    for (const struct why *at = node->first; at; at = at->next) {
        int64_t off = at->value * pieces - node->value * at->quantity;
        int64_t count = (int64_t)node->child_count + 1;
        cr_assert(off <= count * pieces && off >= -count * pieces, "%s: %ld of %ld", node->what,
                  at->value, node->value);
    }
}

Test(need_why, equals_the_needs_and_sums_up)
{
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct world *w = random_world(seed);
        struct dice dice = {seed + 99};
        struct order_pieces orders[ORDERS];
        random_orders(w, &dice, "2027-05-10", 5, 40);
        size_t count = orders_of(w, orders);
        struct needs needs = needs_on(w, day);
        for (size_t i = 0, n = 0; i < w->catalogue.ingredient_count; i++) {
            const struct why *root = why_of(w, orders, count, w->catalogue.ingredients[i].code);
            bool needed = n < needs.ingredient_count && needs.ingredients[n].ingredient == i;
            int64_t expected = !needed ? 0 : needs.ingredients[n].mg + needs.ingredients[n].pieces;
            size_t leaves = 0;
            cr_assert_eq(root->value, expected, "seed %lu, %s", seed, root->what);
            check_tree(root, &leaves);
            check_shares(root, 0);
            n += needed;
        }
        world_free(w);
    }
}

/* Each of eight doughs takes the one below it nine times: 9^8 ways, of which none is shown. */
Test(need_why, too_many_ways_end_at_the_formula)
{
    struct world *w = world_new();
    char code[16];
    char list[512];
    formula(w, "d0", BASIS_FINAL, "wheat 100, water 50");
    for (int level = 1; level <= 8; level++) {
        size_t length = (size_t)snprintf(list, sizeof list, "wheat 100");
        for (int n = 0; n < 9; n++)
            length += (size_t)snprintf(list + length, sizeof list - length, ", formula d%d 10",
                                       level - 1);
        snprintf(code, sizeof code, "d%d", level);
        formula(w, code, BASIS_FINAL, list);
        the_formula(w, code)->handling_loss_pct = pct("1");
    }
    product(w, "tower", "d8 1000");
    open_world(w);
    order(w, day, "tower", 7, "");
    const struct why *root = why_of(w, NULL, 0, "wheat");
    size_t leaves = 0;
    struct needs needs = needs_on(w, day);
    cr_expect_eq(root->value, need_mg(w, &needs, "wheat"));
    check_tree(root, &leaves);
    cr_expect_leq(leaves, 10);
    struct costs c = {.w = w};
    price(w, "wheat", "1000", "1");
    price(w, "water", "1000", "0.5");
    struct product_costing tower = costing(&c, day, "tower");
    leaves = 0;
    cr_expect_eq(check_tree(tower.root, &leaves), tower.each_micros);
    cr_expect_leq(leaves, 1000);
    int64_t off = tower.each_micros - cost_on(w, day).products[0].each_micros;
    cr_expect(off <= (int64_t)leaves && -off <= (int64_t)leaves);
    world_free(w);
}

/* --- trouble --- */

Test(need_why, short_memory_is_told)
{
    for (long n = 1;; n++) {
        struct world *w = lane();
        struct order_pieces orders[] = {{17, at_product(w, "loaf"), "Mill Café", 3}};
        struct why *root;
        arena_fail_nth(n);
        bool done = need_why(&w->reckoning, day_of(day), w->demands, w->demand_count, orders, 1,
                             at_ingredient(w, "wheat"), &root);
        arena_fail_nth(0);
        cr_assert_eq(done, !arena_failed(w->arena), "allocation %ld", n);
        if (!done) cr_assert_eq(fails_code(&w->fails), FAIL_UNAVAILABLE, "allocation %ld", n);
        world_free(w);
        if (!done) continue;
        cr_expect_gt(n, 25);
        return;
    }
}

Test(need_why, needs_beyond_counting_are_told)
{
    struct world *w = lane();
    struct why *root;
    the_product(w, "loaf")->packaging[0].pieces = INT64_MAX / 2;
    cr_expect_not(need_why(&w->reckoning, day_of(day), w->demands, w->demand_count, NULL, 0,
                           at_ingredient(w, "bag"), &root));
    cr_expect_eq(fails_code(&w->fails), FAIL_INVALID);
    fails_reset(&w->fails, 0);
    the_product(w, "loaf")->parts[0].mg = INT64_MAX;
    cr_expect_not(need_why(&w->reckoning, day_of(day), w->demands, w->demand_count, NULL, 0,
                           at_ingredient(w, "wheat"), &root));
    cr_expect_eq(fails_code(&w->fails), FAIL_INVALID);
    world_free(w);
}
