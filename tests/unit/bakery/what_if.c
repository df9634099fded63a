/* What if: every change against a bakery that really has it, and a day that stays as it is. */
#include "random_world.h"
#include "what_if_world.h"

#include "base/decimal.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

TestSuite(what_if, .timeout = 120);

enum { SEEDS = 100 };

/* --- asking --- */

static struct changed_day *what_if(struct costs *c, const struct change *changes, size_t count)
{
    struct costing_day of = costing_day_of(c, changed_on);
    struct changed_day *out = arena_alloc(c->w->arena, sizeof *out);
    cr_assert(what_if_apply(&of, changes, count, out), "%s: %s", c->w->fails.items[0].path,
              c->w->fails.items[0].text);
    return out;
}

static const struct product_costing *all_of(const struct costing_day *of, size_t *count)
{
    struct product_costing *out;
    cr_assert(costing_of(of, NOT_FOUND, &out, count));
    return out;
}

static void same_tree(const struct why *a, const struct why *b)
{
    cr_assert_str_eq(a->what, b->what);
    cr_assert_str_eq(a->source, b->source);
    cr_assert_eq(a->value, b->value, "%s: %ld, %ld", a->what, a->value, b->value);
    cr_assert_eq(a->quantity, b->quantity, "%s", a->what);
    cr_assert_eq(a->missing, b->missing);
    cr_assert_eq(a->rate.micros, b->rate.micros, "%s", a->what);
    cr_assert_eq(a->child_count, b->child_count, "%s", a->what);
    for (a = a->first, b = b->first; a; a = a->next, b = b->next)
        same_tree(a, b);
}

/* Two days cost the same in every leaf. Returns what all their pieces cost. */
static int64_t same_costs(const struct costing_day *a, const struct costing_day *b)
{
    size_t count, others;
    int64_t sum = 0;
    const struct product_costing *one = all_of(a, &count), *other = all_of(b, &others);
    cr_assert_eq(count, others);
    for (size_t i = 0; i < count; i++) {
        cr_assert_eq(one[i].each_micros, other[i].each_micros);
        cr_assert_eq(one[i].ingredients_micros, other[i].ingredients_micros);
        cr_assert_eq(one[i].per_kg_micros, other[i].per_kg_micros);
        cr_assert_eq(one[i].labour_minutes, other[i].labour_minutes);
        cr_assert_eq(one[i].day_fixed_micros, other[i].day_fixed_micros);
        cr_assert_eq(one[i].known, other[i].known);
        same_tree(one[i].root, other[i].root);
        sum += one[i].each_micros;
    }
    return sum;
}

/* --- nothing changed --- */

Test(what_if, nothing_changed_is_today)
{
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct costs c = random_bakery(seed);
        struct costing_day today = costing_day_of(&c, changed_on);
        struct changed_day *then = what_if(&c, NULL, 0);
        size_t count;
        const struct product_costing *all = all_of(&today, &count);
        for (size_t i = 0; i < count; i++)
            cr_assert(all[i].known, "%s", all[i].missing[0].what);
        cr_assert_gt(same_costs(&today, &then->day), 0);
        cr_assert_eq(then->reckoning.catalogue, &then->catalogue);
        cr_assert_eq(then->breakdowns.catalogue, &then->catalogue);
        world_free(c.w);
    }
}

/* A change to what is there already is none, to the last digit. */
Test(what_if, changes_to_what_is_there_are_today)
{
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct costs c = random_bakery(seed);
        struct costing_day today = costing_day_of(&c, changed_on);
        struct dice dice = {seed};
        size_t f = (size_t)roll(&dice, 0, 11);
        struct formula_view view;
        cr_assert(breakdown_view(c.w->arena, &c.w->breakdowns, f, &view));
        struct change changes[] = {
            {.kind = CHANGE_INGREDIENT_PRICE, .index = 3, .by = BY_PCT, .value = 0},
            {.kind = CHANGE_HAND_HOUR, .by = BY_ADD, .value = 0},
            {.kind = CHANGE_KWH, .by = BY_VALUE, .value = micros("0.31")},
            {.kind = CHANGE_OVERHEAD, .by = BY_PCT, .value = 0},
            {.kind = CHANGE_SPARE, .index = 1, .value = c.w->catalogue.products[1].spare_pct},
            {.kind = CHANGE_PART_WEIGHT,
             .index = 2,
             .value = c.w->catalogue.products[2].parts[0].mg},
        };
        same_costs(&today, &what_if(&c, changes, sizeof changes / sizeof *changes)->day);
        world_free(c.w);
    }
}

/* --- each change against a bakery that has it --- */

typedef void (*really)(struct costs *c);

/* Asks what if of one bakery, makes the change in another of the same seed, and compares; the day
 * itself stays as it is, and costs otherwise. */
static void check_change(struct change change, really make)
{
    size_t moved = 0;
    for (uint64_t seed = 1; seed <= SEEDS / 4; seed++) {
        struct costs c = random_bakery(seed), other = random_bakery(seed);
        struct costing_day today = costing_day_of(&c, changed_on),
                           really_so = costing_day_of(&other, changed_on);
        uint64_t before = facts_digest(&c);
        int64_t sum = same_costs(&today, &really_so);
        make(&other);
        open_world(other.w);
        moved += same_costs(&what_if(&c, &change, 1)->day, &really_so) != sum;
        cr_assert_eq(facts_digest(&c), before);
        world_free(c.w);
        world_free(other.w);
    }
    cr_assert_gt(moved, SEEDS / 8, "%zu bakeries that it changed", moved);
}

static void rye_dearer(struct costs *c)
{
    struct price *rye = &c->w->catalogue.prices[at_ingredient(c->w, "rye")];
    fixed dearer;
    cr_assert(fixed_muldiv(rye->micros, 12, 10, ROUND_HALF_EVEN, &dearer));
    rye->micros = (int64_t)dearer;
}

static void seeds_at(struct costs *c)
{
    c->w->catalogue.prices[at_ingredient(c->w, "seeds")].micros = micros("33.33");
}

static void bags_dearer(struct costs *c)
{
    c->w->catalogue.prices[at_ingredient(c->w, "bag")].micros += micros("1.5");
}

static void hands_dearer(struct costs *c)
{
    rate_labour(c, "19.70");
}

static void kwh_half_as_much_again(struct costs *c)
{
    rate_energy(c, "0.465");
}

static void overhead_less(struct costs *c)
{
    rate_overhead(c, OVERHEAD_BY_MINUTES, "3000", 11000);
}

static void lighter(struct costs *c)
{
    the_product(c->w, "p1")->parts[0].mg = mg("920");
}

static void more_spare(struct costs *c)
{
    the_product(c->w, "p2")->spare_pct = pct("12.5");
}

Test(what_if, prices_and_rates)
{
    struct costs c = random_bakery(1);
    size_t rye = at_ingredient(c.w, "rye"), seeds = at_ingredient(c.w, "seeds");
    size_t bag = at_ingredient(c.w, "bag");
    world_free(c.w);
    check_change((struct change){CHANGE_INGREDIENT_PRICE, rye, BY_PCT, pct("20"), 0, ""},
                 rye_dearer);
    check_change((struct change){CHANGE_INGREDIENT_PRICE, seeds, BY_VALUE, micros("33.33"), 0, ""},
                 seeds_at);
    check_change((struct change){CHANGE_INGREDIENT_PRICE, bag, BY_ADD, micros("1.5"), 0, ""},
                 bags_dearer);
    check_change((struct change){CHANGE_HAND_HOUR, NOT_FOUND, BY_ADD, micros("1.20"), 0, ""},
                 hands_dearer);
    check_change((struct change){CHANGE_KWH, NOT_FOUND, BY_PCT, pct("50"), 0, ""},
                 kwh_half_as_much_again);
    check_change((struct change){CHANGE_OVERHEAD, NOT_FOUND, BY_ADD, micros("-300"), 0, ""},
                 overhead_less);
}

Test(what_if, weights_and_spare)
{
    check_change((struct change){CHANGE_PART_WEIGHT, 1, BY_VALUE, mg("920"), 0, ""}, lighter);
    check_change((struct change){CHANGE_SPARE, 2, BY_VALUE, pct("12.5"), 0, ""}, more_spare);
}

/* The part that is a dough changes, not what is strewn on it. */
Test(what_if, the_dough_of_a_product)
{
    struct costs c = lane_bakery();
    size_t tinned = at_product(c.w, "tinned");
    struct change change = {CHANGE_PART_WEIGHT, tinned, BY_VALUE, mg("800"), 0, ""};
    struct changed_day *then = what_if(&c, &change, 1);
    cr_expect_eq(then->catalogue.products[tinned].parts[0].mg, mg("20"));
    cr_expect_eq(then->catalogue.products[tinned].parts[1].mg, mg("800"));
    cr_expect_eq(the_product(c.w, "tinned")->parts[1].mg, mg("850"));
    world_free(c.w);
}

/* Wheat at 0.0008, a gram of dough has 110 / 190 of it; a wage of 12 an hour is entered nowhere. */
Test(what_if, a_rate_that_is_not_known_becomes_so_by_a_value)
{
    struct costs c = lane_bakery();
    works(c.w, (stages(c.w, "country", "knead 10"), "country"), 0, 1, USES_MIXER);
    order(c.w, changed_on, "loaf", 10, "");
    c.rates = (struct rates){.kwh = {true, 999}, .from = 5};
    struct change change = {CHANGE_HAND_HOUR, NOT_FOUND, BY_VALUE, micros("12"), 0, ""};
    struct changed_day *then = what_if(&c, &change, 1);
    size_t count;
    const struct product_costing *loaf = all_of(&then->day, &count);
    cr_expect_eq(kind_value(loaf, COST_LABOUR), micros("0.20"), "two of a hundred and twenty");
    cr_expect(loaf->left_out[COST_ENERGY], "what was not entered says nothing");
    struct costing_day of = costing_day_of(&c, changed_on);
    of.rates = NULL;
    struct changed_day without;
    cr_assert(what_if_apply(&of, &change, 1, &without));
    same_costs(&without.day, &then->day);
    world_free(c.w);
}

Test(what_if, targets_of_one_and_of_all)
{
    struct costs c = lane_bakery();
    struct change changes[] = {
        {CHANGE_TARGET, NOT_FOUND, BY_VALUE, pct("60"), TARGET_MARGIN, ""},
        {CHANGE_TARGET, at_product(c.w, "loaf"), BY_VALUE, pct("25"), TARGET_INGREDIENT_SHARE, ""}};
    struct changed_day *then = what_if(&c, changes, 2);
    const struct product *products = then->catalogue.products;
    size_t loaf = at_product(c.w, "loaf");
    for (size_t p = 0; p < then->catalogue.product_count; p++) {
        cr_expect_eq(products[p].target, p == loaf ? TARGET_INGREDIENT_SHARE : TARGET_MARGIN);
        cr_expect_eq(products[p].target_pct, p == loaf ? pct("25") : pct("60"));
        cr_expect_eq(c.w->catalogue.products[p].target, TARGET_NONE);
    }
    world_free(c.w);
}

/* Of one thing the changes follow one another: 20 + 1, and a tenth more. */
Test(what_if, changes_follow_one_another)
{
    struct costs c = lane_bakery();
    size_t wheat = at_ingredient(c.w, "wheat");
    struct change changes[] = {
        {CHANGE_INGREDIENT_PRICE, wheat, BY_ADD, micros("1"), 0, ""},
        {CHANGE_INGREDIENT_PRICE, wheat, BY_PCT, pct("10"), 0, ""},
    };
    cr_expect_eq(what_if(&c, changes, 2)->catalogue.prices[wheat].micros, micros("23.1"));
    changes[1].value = pct("-100");
    cr_expect_eq(what_if(&c, changes, 2)->catalogue.prices[wheat].micros, 0);
    world_free(c.w);
}

/* --- hydration --- */

static int64_t hydration(const struct changed_day *then, size_t f)
{
    struct formula_view view;
    cr_assert(breakdown_view(then->reckoning.arena, &then->breakdowns, f, &view));
    return view.hydration_pct;
}

/* Flour 110, water 78: 70.9 %. For 72 % water is 79.2, ten of it from the levain. */
Test(what_if, hydration_of_basis_final)
{
    struct costs c = lane_bakery();
    struct change change = wet_change(&c, "country", "72");
    struct changed_day *then = what_if(&c, &change, 1);
    cr_expect_eq(hydration(then, change.index), pct("72"));
    cr_expect_eq(then->catalogue.formulas[change.index].lines[1].pct, pct("69.2"));
    cr_expect_eq(the_formula(c.w, "country")->lines[1].pct, pct("68"));
    world_free(c.w);
}

/* Water 62 and 8.75 in milk: 70.75 %. For 75 % water is 66.25. */
Test(what_if, hydration_of_basis_total)
{
    struct costs c = lane_bakery();
    struct change change = wet_change(&c, "tin", "75");
    struct changed_day *then = what_if(&c, &change, 1);
    cr_expect_eq(hydration(then, change.index), pct("75"));
    cr_expect_eq(then->catalogue.formulas[change.index].lines[1].pct, pct("66.25"));
    world_free(c.w);
}

/* Ten of water, all of it from the levain: the line of water is nothing. */
Test(what_if, a_line_of_water_may_come_to_nothing)
{
    struct costs c = lane_bakery();
    the_formula(c.w, "country")->lines[3].pct = pct("40");
    open_world(c.w);
    struct change change = wet_change(&c, "country", "16.6667");
    struct changed_day *then = what_if(&c, &change, 1);
    cr_expect_leq(then->catalogue.formulas[change.index].lines[1].pct, 1);
    cr_expect_eq(hydration(then, change.index), pct("16.6667"));
    world_free(c.w);
}

/* A poolish of 130 holds 65 of water where the tin has 62; with a tin of 80 it has 71.25. */
Test(what_if, hydrations_are_changed_parts_first)
{
    struct costs c = lane_bakery();
    struct change changes[] = {wet_change(&c, "tin", "80"), wet_change(&c, "poolish", "140"),
                               wet_change(&c, "poolish", "120"), wet_change(&c, "poolish", "130")};
    struct changed_day *then = what_if(&c, changes, 4);
    cr_expect_eq(hydration(then, changes[0].index), pct("80"));
    cr_expect_eq(hydration(then, changes[1].index), pct("130"), "the last");
    struct change turned[] = {changes[3], changes[0]};
    struct costing_day of = costing_day_of(&c, changed_on);
    struct changed_day other;
    cr_assert(what_if_apply(&of, turned, 2, &other));
    same_costs(&then->day, &other.day);
    world_free(c.w);
}

static bool has_formula_part(const struct formula *formula)
{
    for (size_t n = 0; n < formula->line_count; n++)
        if (formula->lines[n].kind != LINE_INGREDIENT) return true;
    return false;
}

/* Asks for hydrations at random. Either they hold to the last digit that a line has, and the costs
 * are those of a bakery with such lines; or it is told which formula would break. */
static bool check_hydration(uint64_t seed, struct dice *dice, size_t *nested)
{
    struct costs c = random_bakery(seed), other = random_bakery(seed);
    struct costing_day of = costing_day_of(&c, changed_on),
                       really_so = costing_day_of(&other, changed_on);
    struct change change = {.kind = CHANGE_HYDRATION, .by = BY_VALUE, .path = "/changes/0"};
    struct changed_day then;
    struct formula_view view;
    uint64_t before = facts_digest(&c);
    change.index = (size_t)roll(dice, 0, (int64_t)c.w->catalogue.formula_count - 1);
    cr_assert(breakdown_view(c.w->arena, &c.w->breakdowns, change.index, &view));
    change.value = view.hydration_pct + roll(dice, -600000, 200000);
    bool holds = what_if_apply(&of, &change, 1, &then);
    cr_assert_eq(facts_digest(&c), before);
    if (holds) {
        int64_t off = llabs(hydration(&then, change.index) - change.value);
        cr_assert_leq(off, 1, "seed %lu: %ld", seed, off);
        struct formula *formula = &other.w->catalogue.formulas[change.index];
        *nested += has_formula_part(formula);
        memcpy(formula->lines, then.catalogue.formulas[change.index].lines,
               formula->line_count * sizeof *formula->lines);
        open_world(other.w);
        same_costs(&then.day, &really_so);
    } else {
        cr_assert_eq(fails_code(&c.w->fails), FAIL_INVALID);
        cr_assert_str_eq(c.w->fails.items[0].path, "/changes/0");
    }
    world_free(c.w);
    world_free(other.w);
    return holds;
}

Test(what_if, hydrations_at_random)
{
    size_t held = 0, nested = 0;
    for (uint64_t seed = 1; seed <= 2 * SEEDS; seed++) {
        struct dice dice = {seed * 7 + 1};
        held += check_hydration(seed, &dice, &nested);
    }
    cr_expect_gt(held, SEEDS, "%zu hold", held);
    cr_expect_lt(held, 2 * SEEDS, "%zu hold", held);
    cr_expect_gt(nested, SEEDS / 2, "%zu with parts", nested);
}
