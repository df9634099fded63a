/* What if: every change against a bakery that really has it, faults at their change, a day that
 * stays as it is, and the pack price at which a margin is lost. */
#include "costing_world.h"
#include "random_world.h"

#include "bakery/what_if.h"
#include "base/decimal.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

TestSuite(what_if, .timeout = 120);

enum { SEEDS = 100 };

static const char day[] = "2027-05-12";

/* --- bakeries --- */

/* A bakery at random with all of its rates and prices, and orders of a week. */
static struct costs draw(uint64_t seed)
{
    struct dice dice = {seed * 991 + 17};
    struct costs c = {.w = random_world(seed)};
    struct catalogue *catalogue = &c.w->catalogue;
    catalogue->prices = arena_array(c.w->arena, catalogue->ingredient_count,
                                    sizeof *catalogue->prices);
    for (size_t i = 0; i < catalogue->ingredient_count; i++)
        catalogue->prices[i] = (struct price){.known = true,
                                              .from = day_of("2027-01-01"),
                                              .micros = roll(&dice, 1, 60000000),
                                              .pack_mg = roll(&dice, 1, 30) * 1000000,
                                              .pack_pieces = roll(&dice, 1, 2000)};
    for (size_t f = 0; f < catalogue->formula_count; f++)
        catalogue->formulas[f].stages[0].hands = roll(&dice, 0, 2);
    for (size_t p = 0; p < catalogue->product_count; p++) {
        bakes(c.w, catalogue->products[p].code, roll(&dice, 1, 30), roll(&dice, 5, 80));
        catalogue->products[p].unsold_pct = roll(&dice, 0, 300000);
    }
    powered_oven(c.w, "deck", 3, 2, 45, 5000);
    rate_labour(&c, "18.50");
    rate_energy(&c, "0.31");
    rate_delivery(&c, "24", 110);
    rate_overhead(&c, OVERHEAD_BY_MINUTES, "3300", 11000);
    c.waste = arena_array(c.w->arena, 2, sizeof *c.waste);
    for (size_t s = 0; s < 2; s++)
        c.waste[s] = (struct starter_waste){roll(&dice, 1, 9000), roll(&dice, 0, 9000)};
    random_orders(c.w, &dice, "2027-05-10", 5, 40);
    return c;
}

/* A loaf of 1000 g of a dough of basis total, bagged: at 0.0008 a gram of wheat. */
static struct costs lane(void)
{
    struct costs c = {.w = world_new()};
    starter(c.w, "levain", "100", "wheat 100");
    formula(c.w, "poolish", BASIS_FINAL, "wheat 100, water 100");
    formula(c.w, "country", BASIS_FINAL, "wheat 100, water 68, salt 2, starter levain 20");
    formula(c.w, "tin", BASIS_TOTAL,
            "wheat 100, water 62, milk 10, salt 2, formula poolish flour 50");
    formula(c.w, "soaker", BASIS_FINAL, "seeds 100, water 50");
    product(c.w, "loaf", "country 1000");
    product(c.w, "tinned", "seeds 20, tin 850");
    product(c.w, "bagged", "seeds 100");
    packaging(c.w, "loaf", "bag", 1);
    open_world(c.w);
    price(c.w, "wheat", "25000", "20");
    price(c.w, "water", "1000000", "2");
    price(c.w, "salt", "10000", "5");
    price(c.w, "milk", "1000", "1.20");
    price(c.w, "seeds", "5000", "20");
    price(c.w, "bag", "1000", "30");
    return c;
}

/* --- asking --- */

static struct changed_day *what_if(struct costs *c, const struct change *changes, size_t count)
{
    struct costing_day of = costing_day_of(c, day);
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

/* FNV-1a (Fowler, Noll, Vo). */
static void digest(uint64_t *sum, const void *bytes, size_t size)
{
    for (size_t i = 0; i < size; i++)
        *sum = (*sum ^ ((const unsigned char *)bytes)[i]) * 1099511628211u;
}

/* Everything of a day that a change could write to, byte for byte. */
static uint64_t digest_of(const struct costs *c)
{
    const struct catalogue *k = &c->w->catalogue;
    const struct breakdowns *b = &c->w->breakdowns;
    uint64_t sum = 14695981039346656037u;
    digest(&sum, k, sizeof *k);
    digest(&sum, &c->rates, sizeof c->rates);
    digest(&sum, k->ingredients, k->ingredient_count * sizeof *k->ingredients);
    digest(&sum, k->prices, k->ingredient_count * sizeof *k->prices);
    digest(&sum, k->formulas, k->formula_count * sizeof *k->formulas);
    digest(&sum, k->products, k->product_count * sizeof *k->products);
    digest(&sum, b, sizeof *b);
    digest(&sum, b->items, k->formula_count * sizeof *b->items);
    digest(&sum, b->order, k->formula_count * sizeof *b->order);
    for (size_t f = 0; f < k->formula_count; f++) {
        digest(&sum, k->formulas[f].lines, k->formulas[f].line_count * sizeof(struct line));
        digest(&sum, b->items[f].lines, k->formulas[f].line_count * sizeof(fixed));
        digest(&sum, b->items[f].ingredients, k->ingredient_count * sizeof(fixed));
    }
    for (size_t p = 0; p < k->product_count; p++)
        digest(&sum, k->products[p].parts, k->products[p].part_count * sizeof(struct part));
    digest(&sum, c->w->demands, c->w->demand_count * sizeof *c->w->demands);
    return sum;
}

/* --- nothing changed --- */

Test(what_if, nothing_changed_is_today)
{
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct costs c = draw(seed);
        struct costing_day today = costing_day_of(&c, day);
        cr_assert_gt(same_costs(&today, &what_if(&c, NULL, 0)->day), 0);
        world_free(c.w);
    }
}

/* A change to what is there already is none, to the last digit. */
Test(what_if, changes_to_what_is_there_are_today)
{
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct costs c = draw(seed);
        struct costing_day today = costing_day_of(&c, day);
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
        struct costs c = draw(seed), other = draw(seed);
        struct costing_day today = costing_day_of(&c, day), really_so = costing_day_of(&other, day);
        uint64_t before = digest_of(&c);
        int64_t sum = same_costs(&today, &really_so);
        make(&other);
        open_world(other.w);
        moved += same_costs(&what_if(&c, &change, 1)->day, &really_so) != sum;
        cr_assert_eq(digest_of(&c), before);
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
    struct costs c = draw(1);
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
    struct costs c = lane();
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
    struct costs c = lane();
    works(c.w, (stages(c.w, "country", "knead 10"), "country"), 0, 1, USES_MIXER);
    order(c.w, day, "loaf", 10, "");
    c.rates = (struct rates){.kwh = {true, 999}, .from = 5};
    struct change change = {CHANGE_HAND_HOUR, NOT_FOUND, BY_VALUE, micros("12"), 0, ""};
    struct changed_day *then = what_if(&c, &change, 1);
    size_t count;
    const struct product_costing *loaf = all_of(&then->day, &count);
    cr_expect_eq(kind_value(loaf, COST_LABOUR), micros("0.20"), "two of a hundred and twenty");
    cr_expect(loaf->left_out[COST_ENERGY], "what was not entered says nothing");
    struct costing_day of = costing_day_of(&c, day);
    of.rates = NULL;
    struct changed_day without;
    cr_assert(what_if_apply(&of, &change, 1, &without));
    same_costs(&without.day, &then->day);
    world_free(c.w);
}

Test(what_if, targets_of_one_and_of_all)
{
    struct costs c = lane();
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
    struct costs c = lane();
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

static struct change wet(const struct costs *c, const char *code, const char *percent)
{
    return (struct change){CHANGE_HYDRATION, at_formula(c->w, code), BY_VALUE, pct(percent), 0,
                           "/changes/5"};
}

static int64_t hydration(const struct changed_day *then, size_t f)
{
    struct formula_view view;
    cr_assert(breakdown_view(then->reckoning.arena, &then->breakdowns, f, &view));
    return view.hydration_pct;
}

/* Flour 110, water 78: 70.9 %. For 72 % water is 79.2, ten of it from the levain. */
Test(what_if, hydration_of_basis_final)
{
    struct costs c = lane();
    struct change change = wet(&c, "country", "72");
    struct changed_day *then = what_if(&c, &change, 1);
    cr_expect_eq(hydration(then, change.index), pct("72"));
    cr_expect_eq(then->catalogue.formulas[change.index].lines[1].pct, pct("69.2"));
    cr_expect_eq(the_formula(c.w, "country")->lines[1].pct, pct("68"));
    world_free(c.w);
}

/* Water 62 and 8.75 in milk: 70.75 %. For 75 % water is 66.25. */
Test(what_if, hydration_of_basis_total)
{
    struct costs c = lane();
    struct change change = wet(&c, "tin", "75");
    struct changed_day *then = what_if(&c, &change, 1);
    cr_expect_eq(hydration(then, change.index), pct("75"));
    cr_expect_eq(then->catalogue.formulas[change.index].lines[1].pct, pct("66.25"));
    world_free(c.w);
}

/* A poolish of 130 holds 65 of water where the tin has 62; with a tin of 80 it has 71.25. */
Test(what_if, hydrations_are_changed_parts_first)
{
    struct costs c = lane();
    struct change changes[] = {wet(&c, "tin", "80"), wet(&c, "poolish", "130"),
                               wet(&c, "poolish", "120"), wet(&c, "poolish", "130")};
    struct changed_day *then = what_if(&c, changes, 4);
    cr_expect_eq(hydration(then, changes[0].index), pct("80"));
    cr_expect_eq(hydration(then, changes[1].index), pct("130"), "the last");
    struct change turned[] = {changes[1], changes[0]};
    struct costing_day of = costing_day_of(&c, day);
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
    struct costs c = draw(seed), other = draw(seed);
    struct costing_day of = costing_day_of(&c, day), really_so = costing_day_of(&other, day);
    struct change change = {.kind = CHANGE_HYDRATION, .by = BY_VALUE, .path = "/changes/0"};
    struct changed_day then;
    struct formula_view view;
    uint64_t before = digest_of(&c);
    change.index = (size_t)roll(dice, 0, (int64_t)c.w->catalogue.formula_count - 1);
    cr_assert(breakdown_view(c.w->arena, &c.w->breakdowns, change.index, &view));
    change.value = view.hydration_pct + roll(dice, -600000, 200000);
    bool holds = what_if_apply(&of, &change, 1, &then);
    cr_assert_eq(digest_of(&c), before);
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

/* --- faults --- */

static void check_fault(struct costs *c, struct change change, const char *words)
{
    struct costing_day of = costing_day_of(c, day);
    struct changed_day out;
    uint64_t before = digest_of(c);
    if (!change.path) change.path = "/changes/7";
    fails_init(&c->w->fails, c->w->arena);
    cr_assert_not(what_if_apply(&of, &change, 1, &out), "%s", words);
    cr_assert_eq(c->w->fails.count, 1, "%s", words);
    cr_expect_eq(c->w->fails.items[0].code, FAIL_INVALID);
    cr_expect_str_eq(c->w->fails.items[0].path, change.path);
    cr_expect(strstr(c->w->fails.items[0].text, words) != NULL, "%s", c->w->fails.items[0].text);
    cr_expect_eq(digest_of(c), before);
}

Test(what_if, faults_of_money)
{
    struct costs c = lane();
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
    struct costing_day of = costing_day_of(&c, day);
    struct change change = {CHANGE_INGREDIENT_PRICE, wheat, BY_PCT, 0, 0, "/changes/0"};
    struct changed_day out;
    cr_expect(what_if_apply(&of, NULL, 0, &out));
    cr_expect_not(what_if_apply(&of, &change, 1, &out), "a day without prices");
    world_free(c.w);
}

Test(what_if, faults_of_products_and_formulas)
{
    struct costs c = lane();
    size_t loaf = at_product(c.w, "loaf"), bagged = at_product(c.w, "bagged");
    check_fault(&c, (struct change){CHANGE_PART_WEIGHT, loaf, BY_VALUE, 0, 0, NULL}, "nothing");
    check_fault(&c, (struct change){CHANGE_PART_WEIGHT, bagged, BY_VALUE, 9, 0, NULL}, "any dough");
    check_fault(&c, (struct change){CHANGE_SPARE, loaf, BY_VALUE, -1, 0, NULL}, "no spare");
    check_fault(&c, wet(&c, "soaker", "60"), "without flour");
    /* Ten of the 110 of flour come with ten of water. */
    check_fault(&c, wet(&c, "country", "9.09"), "parts bring along");
    check_fault(&c, wet(&c, "tin", "50"), "breaks the formula tin");
    check_fault(&c, wet(&c, "poolish", "130"), "breaks the formula tin");
    struct change most = wet(&c, "country", "0");
    most.value = INT64_MAX;
    struct costing_day of = costing_day_of(&c, day);
    struct changed_day out;
    cr_expect_not(what_if_apply(&of, &most, 1, &out), "too large");
    world_free(c.w);
}

/* Ten of water, all of it from the levain: the line of water is nothing. */
Test(what_if, a_line_of_water_may_come_to_nothing)
{
    struct costs c = lane();
    the_formula(c.w, "country")->lines[3].pct = pct("40");
    open_world(c.w);
    struct change change = wet(&c, "country", "16.6667");
    struct changed_day *then = what_if(&c, &change, 1);
    cr_expect_leq(then->catalogue.formulas[change.index].lines[1].pct, 1);
    cr_expect_eq(hydration(then, change.index), pct("16.6667"));
    world_free(c.w);
}

Test(what_if, what_is_not_there_is_never_followed)
{
    struct costs c = lane();
    static const enum change_kind kinds[] = {CHANGE_INGREDIENT_PRICE, CHANGE_PART_WEIGHT,
                                             CHANGE_SPARE, CHANGE_HYDRATION};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        check_fault(&c, (struct change){kinds[i], NOT_FOUND, BY_VALUE, 1, 0, NULL}, "not there");
        check_fault(&c, (struct change){kinds[i], 9999, BY_VALUE, 1, 0, NULL}, "not there");
    }
    check_fault(&c, (struct change){CHANGE_TARGET, 9999, BY_VALUE, 1, 0, NULL}, "not there");
    check_fault(&c, (struct change){(enum change_kind)99, 0, BY_VALUE, 1, 0, NULL}, "known kind");
    struct costing_day of = costing_day_of(&c, day);
    bool exists = true;
    int64_t pack = 77;
    cr_assert(price_limit_of(&of, NOT_FOUND, 0, 1000000, 0, &exists, &pack));
    cr_expect_not(exists);
    cr_assert(price_limit_of(&of, 0, NOT_FOUND, 1000000, 0, &exists, &pack));
    cr_expect_not(exists);
    cr_expect_eq(pack, 77);
    world_free(c.w);
}

/* Each fault is told, and at its own change. */
Test(what_if, all_faults_are_told)
{
    struct costs c = lane();
    struct change changes[] = {wet(&c, "soaker", "60"),
                               {CHANGE_SPARE, 0, BY_VALUE, -1, 0, "/changes/1"},
                               wet(&c, "poolish", "130"),
                               {CHANGE_KWH, 0, BY_PCT, 1, 0, "/changes/3"}};
    struct costing_day of = costing_day_of(&c, day);
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

/* --- the price at which a margin is lost --- */

/* Whether the product still earns the margin with the pack at that price, in a costing by itself.
 */
static bool earns(const struct costs *c, size_t product, size_t ingredient, int64_t net,
                  int64_t margin_pct, int64_t pack)
{
    struct price *price = &c->w->catalogue.prices[ingredient];
    int64_t kept = price->micros;
    price->micros = pack;
    struct product_costing of = costing(c, day, c->w->catalogue.products[product].code);
    price->micros = kept;
    return (fixed)(net - of.each_micros) * PERCENT_WHOLE >= (fixed)net * margin_pct;
}

/* 1000 g take 110 / 190 of wheat, at 25 kg a pack: by hand, without what the leaves are rounded to.
 */
Test(what_if, the_flour_price_of_a_loaf)
{
    struct costs c = lane();
    struct costing_day of = costing_day_of(&c, day);
    size_t loaf = at_product(c.w, "loaf"), wheat = at_ingredient(c.w, "wheat");
    int64_t rest = costing(&c, day, "loaf").each_micros;
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
    int64_t each = costing(&c, day, "loaf").each_micros;
    size_t bag = at_ingredient(c.w, "bag");
    cr_assert(price_limit_of(&of, loaf, bag, each + micros("0.02"), 0, &exists, &pack));
    cr_assert(exists);
    cr_expect_eq(pack, micros("50") + 500, "half a millionth of a bag rounds to the even one");
    world_free(c.w);
}

Test(what_if, limits_that_are_not_there)
{
    struct costs c = lane();
    struct costing_day of = costing_day_of(&c, day);
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
    struct costing_day of = costing_day_of(c, day);
    const struct catalogue *catalogue = &c->w->catalogue;
    size_t product = (size_t)roll(dice, 0, (int64_t)catalogue->product_count - 1);
    size_t ingredient = (size_t)roll(dice, 0, (int64_t)catalogue->ingredient_count - 1);
    int64_t margin = roll(dice, 0, 1) ? roll(dice, 0, 800000) : roll(dice, -500000, 0);
    int64_t each = costing(c, day, catalogue->products[product].code).each_micros;
    int64_t net = each * roll(dice, 50, 400) / 100 + 1;
    uint64_t before = digest_of(c);
    bool exists;
    int64_t pack;
    cr_assert(price_limit_of(&of, product, ingredient, net, margin, &exists, &pack));
    cr_assert_eq(digest_of(c), before);
    if (exists) {
        cr_assert(earns(c, product, ingredient, net, margin, pack), "%ld", pack);
        cr_assert_not(earns(c, product, ingredient, net, margin, pack + 1), "%ld", pack);
    } else if (product_contains(&c->w->reckoning, &catalogue->products[product], ingredient)) {
        cr_assert(!earns(c, product, ingredient, net, margin, 0) ||
                  earns(c, product, ingredient, net, margin, 1000000000000000));
    }
    return exists;
}

Test(what_if, limits_hold_when_put_in)
{
    size_t found = 0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct costs c = draw(seed);
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
    struct costing_day of = costing_day_of(c, day);
    struct changed_day out;
    struct change changes[] = {wet(c, "tin", "80"),
                               wet(c, "poolish", "130"),
                               {CHANGE_PART_WEIGHT, at_product(c->w, "loaf"), BY_VALUE, 9, 0, ""}};
    return what_if_apply(&of, changes, 3, &out);
}

static bool ask_limit(struct costs *c)
{
    struct costing_day of = costing_day_of(c, day);
    bool exists;
    int64_t pack;
    return price_limit_of(&of, at_product(c->w, "loaf"), at_ingredient(c->w, "wheat"), micros("2"),
                          pct("60"), &exists, &pack);
}

static void fail_each_allocation(bool (*ask)(struct costs *), long at_least)
{
    for (long n = 1;; n++) {
        struct costs c = lane();
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

Test(what_if, short_memory_is_told)
{
    fail_each_allocation(ask_changes, 50);
    fail_each_allocation(ask_limit, 500);
}

/* Dozens of costings leave nothing behind in the memory of the request. */
Test(what_if, a_limit_takes_little_memory)
{
    struct costs c = draw(3);
    struct costing_day of = costing_day_of(&c, day);
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
