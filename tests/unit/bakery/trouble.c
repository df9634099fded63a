/* Amounts that do not fit and memory that runs out: always told, never a wrong figure. */
#include "world.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(trouble, .timeout = 60);

static const char *const sesame[] = {"sesame"};

static struct world *usual_world(void)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 80, rye 20");
    formula(w, "build", BASIS_FINAL, "wheat 100, water 100, starter levain 50");
    stages(w, "build", "ferment 720");
    formula(w, "soaker", BASIS_FINAL, "seeds 100, water 100");
    formula(w, "dough", BASIS_TOTAL,
            "wheat 90, rye 10, water 70, salt 2, seeds 10, starter levain flour 5, "
            "formula build flour 20, formula soaker 20");
    stages(w, "dough", "bulk 180, proof 600");
    product(w, "loaf", "dough 900, seeds 10");
    packaging(w, "loaf", "bag", 1);
    mixer(w, "spiral", "5000", "50000");
    price(w, "wheat", "25000", "18.40");
    price(w, "bag", "1000", "31");
    the_ingredient(w, "seeds")->allergens = sesame;
    the_ingredient(w, "seeds")->allergen_count = 1;
    return w;
}

static void usual_orders(struct world *w)
{
    order(w, "2027-05-10", "loaf", 40, "");
    order(w, "2027-05-10", "loaf", 12, "05:00");
    order(w, "2027-05-11", "loaf", 7, "");
}

/* --- what is asked of a bakery: each true when it went well --- */

static bool ask_formulas(struct world *w)
{
    bool sound = work_out(w);
    if (!sound) cr_expect(w->faults.failed, "the formulas are sound");
    return sound;
}

static bool ask_fault(struct world *w)
{
    w->faults = (struct catalogue_faults){.arena = w->arena};
    catalogue_fault_add(&w->faults, FAULT_FORMULA, 0, "/lines", "something");
    return !w->faults.failed;
}

static bool ask_view(struct world *w)
{
    struct formula_view view;
    return breakdown_view(w->arena, &w->breakdowns, at_formula(w, "dough"), &view);
}

static bool ask_allergens(struct world *w)
{
    size_t count;
    return breakdown_allergens(w->arena, &w->breakdowns, at_formula(w, "dough"), &count) != NULL;
}

static bool ask_put(struct world *w)
{
    struct ingredient malt = {.code = "malt", .name = "malt", .kind = KIND_OTHER};
    struct starter desem = *the_starter(w, "levain");
    struct formula white = *the_formula(w, "build");
    desem.code = "desem";
    white.code = "white";
    return catalogue_put_ingredient(w->arena, &w->catalogue, &malt) &&
           catalogue_put_starter(w->arena, &w->catalogue, &desem) &&
           catalogue_put_formula(w->arena, &w->catalogue, &white);
}

static bool ask_production(struct world *w)
{
    struct production out;
    return production_of(&w->reckoning, day_of("2027-05-10"), w->demands, w->demand_count, &out);
}

static bool ask_needs(struct world *w)
{
    struct needs out;
    return needs_of(&w->reckoning, day_of("2027-05-10"), w->demands, w->demand_count, &out);
}

static bool ask_cost(struct world *w)
{
    struct day_cost out;
    return day_cost_of(&w->reckoning, day_of("2027-05-10"), w->demands, w->demand_count, &out);
}

static bool ask_list(struct world *w)
{
    struct mixing_list out;
    return mixing_list_of(&w->reckoning, day_of("2027-05-08"), w->demands, w->demand_count, &out);
}

static bool ask_horizon(struct world *w)
{
    date first;
    date last;
    mixing_horizon(&w->reckoning, day_of("2027-05-08"), &first, &last);
    return !fails_any(&w->fails);
}

/* --- memory --- */

/* Lets the n-th allocation fail, for every n until none is left to fail. */
static void fail_each_allocation(bool (*ask)(struct world *), bool tells, long at_least)
{
    for (long n = 1;; n++) {
        struct world *w = usual_world();
        open_world(w);
        usual_orders(w);
        arena_fail_nth(n);
        bool done = ask(w);
        arena_fail_nth(0);
        bool failed = arena_failed(w->arena);
        cr_assert_eq(done, !failed, "allocation %ld", n);
        if (!done && tells)
            cr_assert_eq(fails_code(&w->fails), FAIL_UNAVAILABLE, "allocation %ld", n);
        world_free(w);
        if (done) {
            cr_assert_gt(n, at_least, "only %ld allocations failed", n - 1);
            return;
        }
    }
}

Test(trouble, memory_for_formulas)
{
    fail_each_allocation(ask_formulas, false, 15);
}

Test(trouble, memory_for_a_fault)
{
    fail_each_allocation(ask_fault, false, 3);
}

Test(trouble, memory_for_a_view)
{
    fail_each_allocation(ask_view, false, 5);
}

Test(trouble, memory_for_allergens)
{
    fail_each_allocation(ask_allergens, false, 1);
}

Test(trouble, memory_for_putting)
{
    fail_each_allocation(ask_put, false, 4);
}

Test(trouble, memory_for_production)
{
    fail_each_allocation(ask_production, true, 4);
}

Test(trouble, memory_for_needs)
{
    fail_each_allocation(ask_needs, true, 7);
}

Test(trouble, memory_for_cost)
{
    fail_each_allocation(ask_cost, true, 9);
}

Test(trouble, memory_for_a_mixing_list)
{
    fail_each_allocation(ask_list, true, 25);
}

Test(trouble, memory_for_the_horizon)
{
    fail_each_allocation(ask_horizon, true, 1);
}

/* --- amounts --- */

static void price_everything(struct world *w, int64_t money)
{
    for (size_t i = 0; i < w->catalogue.ingredient_count; i++)
        w->catalogue.prices[i] = (struct price){
            .known = true, .micros = money, .pack_mg = 1, .pack_pieces = 1};
}

typedef bool (*question)(struct world *);

static void expect_too_large(struct world *w, question ask)
{
    fails_reset(&w->fails, 0);
    cr_expect_not(ask(w));
    cr_expect_eq(fails_code(&w->fails), FAIL_INVALID);
    cr_assert_gt(w->fails.count, 0);
    cr_expect_str_eq(w->fails.items[0].path, "");
    cr_expect_not_null(strstr(w->fails.items[0].text, "too large"));
}

Test(trouble, weights_beyond_counting)
{
    static const question asks[] = {ask_production, ask_needs, ask_cost, ask_list};
    for (size_t i = 0; i < sizeof asks / sizeof *asks; i++) {
        struct world *w = usual_world();
        the_product(w, "loaf")->parts[0].mg = INT64_MAX;
        price_everything(w, 1000);
        open_world(w);
        usual_orders(w);
        expect_too_large(w, asks[i]);
        world_free(w);
    }
}

Test(trouble, pieces_beyond_counting)
{
    static const question asks[] = {ask_production, ask_needs, ask_cost, ask_list};
    for (size_t i = 0; i < sizeof asks / sizeof *asks; i++) {
        struct world *w = usual_world();
        open_world(w);
        order(w, "2027-05-10", "loaf", INT64_MAX, "");
        order(w, "2027-05-10", "loaf", 1, "");
        expect_too_large(w, asks[i]);
        world_free(w);
    }
}

Test(trouble, spare_beyond_counting)
{
    struct world *w = usual_world();
    the_product(w, "loaf")->spare_pct = pct("900");
    open_world(w);
    order(w, "2027-05-10", "loaf", INT64_MAX / 5, "");
    expect_too_large(w, ask_production);
    the_product(w, "loaf")->spare_pct = pct("450");
    expect_too_large(w, ask_production);
    world_free(w);
}

Test(trouble, bags_beyond_counting)
{
    struct world *w = usual_world();
    the_product(w, "loaf")->packaging[0].pieces = INT64_MAX / 2;
    open_world(w);
    usual_orders(w);
    expect_too_large(w, ask_needs);
    world_free(w);
}

Test(trouble, prices_beyond_counting)
{
    struct world *w = usual_world();
    price_everything(w, INT64_MAX);
    open_world(w);
    usual_orders(w);
    expect_too_large(w, ask_needs);
    expect_too_large(w, ask_cost);
    world_free(w);
}

Test(trouble, losses_beyond_counting)
{
    struct world *w = usual_world();
    formula(w, "level-0", BASIS_FINAL, "wheat 100");
    formula(w, "level-1", BASIS_FINAL, "formula level-0 100");
    formula(w, "level-2", BASIS_FINAL, "formula level-1 100");
    formula(w, "level-3", BASIS_FINAL, "formula level-2 100");
    for (size_t i = 0; i < w->catalogue.formula_count; i++)
        if (strncmp(w->catalogue.formulas[i].code, "level", 5) == 0)
            w->catalogue.formulas[i].handling_loss_pct = pct("99.9999");
    product(w, "dust", "level-3 1000");
    open_world(w);
    order(w, "2027-05-10", "dust", 1, "");
    expect_too_large(w, ask_needs);
    expect_too_large(w, ask_cost);
    world_free(w);
}

/* The scale must not round beyond what can be counted, nor the batches times it. */
Test(trouble, totals_beyond_counting)
{
    struct world *w = usual_world();
    formula(w, "block", BASIS_FINAL, "wheat 100");
    product(w, "block", "block 1");
    the_product(w, "block")->parts[0].mg = INT64_C(9000000000000000000);
    open_world(w);
    order(w, "2027-05-09", "block", 1, "");
    w->catalogue.bakery.mixers[0] = (struct mixer){.code = "spiral", .max_mg = mg("100")};
    w->catalogue.bakery.scale_mg = mg("190");
    expect_too_large(w, ask_list);
    w->catalogue.bakery.scale_mg = mg("210");
    fails_reset(&w->fails, 0);
    cr_expect(ask_list(w), "a batch of 100 g is nothing on that scale");
    w->catalogue.bakery.mixer_count = 0;
    w->catalogue.bakery.scale_mg = INT64_MAX;
    expect_too_large(w, ask_list);
    world_free(w);
}

Test(trouble, percentages_beyond_reckoning)
{
    struct world *w = world_new();
    formula(w, "trace", BASIS_FINAL, "wheat 100, water 100000000000000");
    formula(w, "dough", BASIS_TOTAL, "wheat 100, water 1, formula trace flour 900000000000000");
    cr_expect_not(work_out(w));
    cr_assert_eq(w->faults.count, 1);
    cr_expect(formula_fault(w, "dough", "/lines"));
    cr_expect_not_null(strstr(w->faults.items[0].text, "too large"));
    cr_expect_null(w->breakdowns.items[at_formula(w, "dough")].lines);
    world_free(w);
}

/* A catalogue that was never checked: a defect of ours, said as such. */
Test(trouble, a_faulty_formula_is_not_reckoned_with)
{
    static const question asks[] = {ask_needs, ask_cost};
    for (size_t i = 0; i < sizeof asks / sizeof *asks; i++) {
        struct world *w = usual_world();
        formula(w, "dough", BASIS_FINAL, "wheat 99");
        cr_expect_not(work_out(w));
        usual_orders(w);
        cr_expect_not(asks[i](w));
        cr_expect_eq(fails_code(&w->fails), FAIL_INTERNAL);
        world_free(w);
    }
}
