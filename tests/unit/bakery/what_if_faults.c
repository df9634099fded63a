/* What if: faults, each told at the change that makes it, and the day stays as it is. */
#include "what_if_world.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(what_if_faults, .timeout = 60);

static void check_fault(struct costs *c, struct change change, const char *words)
{
    struct costing_day of = costing_day_of(c, changed_on);
    struct changed_day out;
    uint64_t before = facts_digest(c);
    if (!change.path) change.path = "/changes/7";
    fails_init(&c->w->fails, c->w->arena);
    cr_assert_not(what_if_apply(&of, &change, 1, &out), "%s", words);
    cr_assert_eq(c->w->fails.count, 1, "%s", words);
    cr_expect_eq(c->w->fails.items[0].code, FAIL_INVALID);
    cr_expect_str_eq(c->w->fails.items[0].path, change.path);
    cr_expect(strstr(c->w->fails.items[0].text, words) != NULL, "%s", c->w->fails.items[0].text);
    cr_expect_eq(facts_digest(c), before);
}

Test(what_if_faults, faults_of_money)
{
    struct costs c = lane_bakery();
    size_t wheat = at_ingredient(c.w, "wheat"), yeast = at_ingredient(c.w, "yeast");
    const char *below = "below zero";
    check_fault(&c, (struct change){CHANGE_INGREDIENT_PRICE, yeast, BY_PCT, 1, 0, NULL},
                "no price yet");
    check_fault(&c, (struct change){CHANGE_INGREDIENT_PRICE, yeast, BY_VALUE, 1, 0, NULL},
                "no price yet");
    check_fault(&c, (struct change){CHANGE_INGREDIENT_PRICE, wheat, BY_ADD, -20000001, 0, NULL},
                below);
    check_fault(&c, (struct change){CHANGE_INGREDIENT_PRICE, wheat, BY_PCT, -1000001, 0, NULL},
                below);
    check_fault(&c, (struct change){CHANGE_INGREDIENT_PRICE, wheat, BY_PCT, INT64_MAX, 0, NULL},
                below);
    check_fault(&c, (struct change){CHANGE_INGREDIENT_PRICE, wheat, BY_ADD, INT64_MAX, 0, NULL},
                below);
    check_fault(&c, (struct change){CHANGE_HAND_HOUR, 0, BY_PCT, 1, 0, NULL}, "not entered");
    check_fault(&c, (struct change){CHANGE_KWH, 0, BY_ADD, 1, 0, NULL}, "not entered");
    check_fault(&c, (struct change){CHANGE_KWH, 0, BY_VALUE, -1, 0, NULL}, below);
    check_fault(&c, (struct change){CHANGE_OVERHEAD, 0, BY_VALUE, 1, 0, NULL}, "spread");
    rate_overhead(&c, OVERHEAD_BY_PIECES, "", 100);
    check_fault(&c, (struct change){CHANGE_OVERHEAD, 0, BY_PCT, 1, 0, NULL}, "not entered");
    c.w->catalogue.prices = NULL;
    struct costing_day of = costing_day_of(&c, changed_on);
    struct change change = {CHANGE_INGREDIENT_PRICE, wheat, BY_PCT, 0, 0, "/changes/0"};
    struct changed_day out;
    cr_expect(what_if_apply(&of, NULL, 0, &out));
    cr_expect_not(what_if_apply(&of, &change, 1, &out), "a day without prices");
    world_free(c.w);
}

Test(what_if_faults, faults_of_products_and_formulas)
{
    struct costs c = lane_bakery();
    size_t loaf = at_product(c.w, "loaf"), bagged = at_product(c.w, "bagged");
    check_fault(&c, (struct change){CHANGE_PART_WEIGHT, loaf, BY_VALUE, 0, 0, NULL}, "nothing");
    check_fault(&c, (struct change){CHANGE_PART_WEIGHT, bagged, BY_VALUE, 9, 0, NULL}, "any dough");
    check_fault(&c, (struct change){CHANGE_SPARE, loaf, BY_VALUE, -1, 0, NULL}, "no spare");
    check_fault(&c, wet_change(&c, "soaker", "60"), "without flour");
    /* Ten of the 110 of flour come with ten of water. */
    check_fault(&c, wet_change(&c, "country", "9.0908"), "parts bring along");
    check_fault(&c, wet_change(&c, "tin", "50"), "breaks the formula tin");
    check_fault(&c, wet_change(&c, "poolish", "130"), "breaks the formula tin");
    struct change most = wet_change(&c, "country", "0");
    most.value = INT64_MAX;
    struct costing_day of = costing_day_of(&c, changed_on);
    struct changed_day out;
    cr_expect_not(what_if_apply(&of, &most, 1, &out), "too large");
    world_free(c.w);
}

Test(what_if_faults, what_is_not_there_is_never_followed)
{
    struct costs c = lane_bakery();
    static const enum change_kind kinds[] = {CHANGE_INGREDIENT_PRICE, CHANGE_PART_WEIGHT,
                                             CHANGE_SPARE, CHANGE_HYDRATION};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        check_fault(&c, (struct change){kinds[i], NOT_FOUND, BY_VALUE, 1, 0, NULL}, "not there");
        check_fault(&c, (struct change){kinds[i], 9999, BY_VALUE, 1, 0, NULL}, "not there");
    }
    check_fault(&c, (struct change){CHANGE_TARGET, 9999, BY_VALUE, 1, 0, NULL}, "not there");
    check_fault(&c, (struct change){(enum change_kind)99, 0, BY_VALUE, 1, 0, NULL}, "known kind");
    struct costing_day of = costing_day_of(&c, changed_on);
    bool exists = true;
    int64_t pack = 77;
    cr_assert(price_limit_of(&of, NOT_FOUND, 0, 1000000, 0, &exists, &pack));
    cr_expect_not(exists);
    cr_assert(price_limit_of(&of, 0, NOT_FOUND, 1000000, 0, &exists, &pack));
    cr_expect_not(exists);
    cr_expect_eq(pack, 77);
    world_free(c.w);
}

/* The tin does not hold the poolish; the doughs after it are not to blame, and what takes the tin
 * cannot be told. */
Test(what_if_faults, the_change_that_breaks_a_formula_is_named)
{
    struct costs c = lane_bakery();
    struct change changes[] = {wet_change(&c, "country", "72"), wet_change(&c, "twice", "70"),
                               wet_change(&c, "white", "70"), wet_change(&c, "poolish", "130")};
    changes[3].path = "/changes/3";
    struct costing_day of = costing_day_of(&c, changed_on);
    struct changed_day out;
    const struct fails *fails = &c.w->fails;
    cr_assert_not(what_if_apply(&of, changes, 4, &out));
    cr_assert_eq(fails->count, 1);
    cr_expect_str_eq(fails->items[0].path, "/changes/3");
    cr_expect(strstr(fails->items[0].text, "breaks the formula tin") != NULL);
    world_free(c.w);
}

/* Each fault is told, and at its own change. */
Test(what_if_faults, all_faults_are_told)
{
    struct costs c = lane_bakery();
    struct change changes[] = {wet_change(&c, "soaker", "60"),
                               {CHANGE_SPARE, 0, BY_VALUE, -1, 0, "/changes/1"},
                               wet_change(&c, "poolish", "130"),
                               {CHANGE_KWH, 0, BY_PCT, 1, 0, "/changes/3"}};
    struct costing_day of = costing_day_of(&c, changed_on);
    struct changed_day out;
    const struct fails *fails = &c.w->fails;
    cr_assert_not(what_if_apply(&of, changes, 4, &out));
    cr_assert_eq(fails->count, 4);
    cr_expect_eq(fails_code(fails), FAIL_INVALID);
    cr_expect_str_eq(fails->items[0].path, "/changes/1");
    cr_expect_str_eq(fails->items[1].path, "/changes/3");
    cr_expect(strstr(fails->items[2].text, "without flour") != NULL);
    cr_expect(strstr(fails->items[3].text, "breaks the formula tin") != NULL);
    world_free(c.w);
}
