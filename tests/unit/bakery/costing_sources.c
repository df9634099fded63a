/* Costs against published check values: portions and yields, dough for a baked weight, energy. */
#include "costing_world.h"
#include "csv.h"

#include "base/decimal.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

TestSuite(costing_sources, .timeout = 60);

static const char day[] = "2027-05-10";

static const char *cell(const struct csv *table, const char *name, const char *column)
{
    for (size_t n = 0; n < table->count; n++)
        if (strcmp(csv_cell(table, n, "case"), name) == 0) return csv_cell(table, n, column);
    cr_assert_fail("no case %s", name);
    return "";
}

/* The number that stands behind some words in a cell, in units of 10^-places. */
static int64_t number_after(const char *text, const char *words, int places)
{
    const char *at = strstr(text, words);
    cr_assert_not_null(at, "%s in %s", words, text);
    at += strlen(words);
    size_t length = strspn(at, "0123456789.");
    while (length > 0 && at[length - 1] == '.')
        length--;
    char number[32] = "";
    cr_assert_lt(length, sizeof number);
    memcpy(number, at, length);
    return units(number, places);
}

static int64_t each(struct world *w, const char *product)
{
    struct costs c = {.w = w};
    return costing(&c, day, product).each_micros;
}

/* Eggs are counted; a portion is packed with two of them, and with four rashers of 25 g. */
Test(costing_sources, portions)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "08_costing_inventory.csv");
    struct world *w = world_new();
    ingredient(w, "bacon", KIND_OTHER);
    ingredient(w, "eggs", KIND_PACKAGING);
    the_ingredient(w, "eggs")->unit = UNIT_PIECE;
    product(w, "rashers", "bacon 100");
    product(w, "plate", "bacon 100");
    packaging(w, "plate", "eggs", 2);
    open_world(w);
    price(w, "bacon", "500", "3.75");
    price(w, "eggs", "12", "2.00");
    int64_t eggs = number_after(cell(&table, "cost-eggs", "expected"), "first) / ", 6);
    int64_t bacon = number_after(cell(&table, "cost-bacon", "expected"), "", 6);
    cr_expect_leq(llabs(each(w, "plate") - each(w, "rashers") - eggs), 50, "four printed places");
    cr_expect_eq(each(w, "rashers"), bacon);
    /* The book rounds an egg to 0.17 first. */
    int64_t plate = number_after(cell(&table, "cost-bacon", "expected"), "bacon+eggs ", 6);
    cr_expect_leq(llabs(each(w, "plate") - plate), micros("0.01"));
    world_free(w);
    arena_free(arena);
}

/* What a kilogram that is left costs, when so much is lost of what was bought at that price. */
static int64_t usable_kg(const char *price_kg, int64_t bought_mg, int64_t usable_mg)
{
    struct world *w = world_new();
    formula(w, "trim", BASIS_FINAL, "seeds 100");
    the_formula(w, "trim")->handling_loss_pct = (bought_mg - usable_mg) * PERCENT_WHOLE / bought_mg;
    product(w, "usable", "trim 1000");
    open_world(w);
    price(w, "seeds", "1000", price_kg);
    int64_t cost = each(w, "usable");
    world_free(w);
    return cost;
}

Test(costing_sources, yields)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "08_costing_inventory.csv");
    int64_t yield = number_after(cell(&table, "yield-carrots", "expected"), "yield ",
                                 PERCENT_PLACES);
    int64_t usable = mg("1000") * yield / PERCENT_WHOLE;
    cr_expect_eq(usable, number_after(cell(&table, "yield-carrots", "given"), "bought, ", 3));
    cr_expect_eq(usable_kg("1.00", mg("1000"), usable), micros("1.25"), "price / 0.80");
    const char *given = cell(&table, "yield-striploin", "given");
    int64_t bought = 1000 * number_after(given, "", 3);
    int64_t left = 1000 * number_after(given, "-> ", 3);
    int64_t kg = number_after(cell(&table, "yield-striploin", "expected"), "EP cost ", 6);
    cr_expect_leq(llabs(usable_kg("11.95", bought, left) - kg), micros("0.01"));
    arena_free(arena);
}

/* Dough at 1.00 a kilogram: what is baked of it costs the dough that was needed for it, a kilogram
 * of it 1 / (1 - loss). */
Test(costing_sources, a_kilogram_baked_costs_the_dough_for_it)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "04_dough_needed.csv");
    struct world *w = world_new();
    formula(w, "dough", BASIS_FINAL, "wheat 100, water 70");
    product(w, "loaf", "dough 1");
    open_world(w);
    price(w, "wheat", "1000", "1");
    price(w, "water", "1000", "1");
    for (size_t n = 0; n < table.count; n++) {
        struct costs c = {.w = w};
        int64_t dough = mg(csv_cell(&table, n, "expected_dough_g"));
        int64_t baked = mg(csv_cell(&table, n, "baked_g"));
        int64_t loss = units(csv_cell(&table, n, "loss_fraction"), 6);
        the_product(w, "loaf")->parts[0].mg = dough;
        the_product(w, "loaf")->bake_loss_pct = loss;
        struct product_costing loaf = costing(&c, day, "loaf");
        cr_expect_eq(loaf.each_micros, dough, "a millionth for a milligram");
        cr_expect_leq(llabs(loaf.baked_mg - baked), mg("0.01"));
        int64_t kg = micros("1") * 1000000 / (1000000 - loss);
        cr_expect_leq(llabs(loaf.per_kg_micros - kg), 30, "%s: %ld against %ld",
                      csv_cell(&table, n, "case"), loaf.per_kg_micros, kg);
    }
    world_free(w);
    arena_free(arena);
}

/* An oven that gives its kilogram loads just those joules shows them as the table's kWh. */
static int64_t milliwatt_hours(int64_t joules)
{
    struct costs c = {.w = world_new()};
    product(c.w, "loaf", "seeds 1000");
    open_world(c.w);
    price(c.w, "seeds", "1000", "1");
    powered_oven(c.w, "deck", 1, 1, 0, joules / 60);
    bakes(c.w, "loaf", 1, 1);
    rate_energy(&c, "1");
    struct product_costing loaf = costing(&c, day, "loaf");
    const struct why *baking = child(child(loaf.kinds[COST_ENERGY], 0), 0);
    int64_t quantity = baking->quantity;
    cr_expect_leq(llabs(baking->value - quantity), 1, "a kWh for 1.00");
    world_free(c.w);
    return quantity;
}

Test(costing_sources, energy)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "10_energy_thermal.csv");
    const char *floor = cell(&table, "floor", "expected");
    int64_t joules = number_after(floor, "270.8 = ", 3);
    int64_t kwh = number_after(floor, "kJ = ", 6);
    cr_expect_leq(llabs(milliwatt_hours(joules) - kwh), 500, "three printed places");
    joules = number_after(cell(&table, "benha-french", "expected"), "", 3);
    kwh = number_after(cell(&table, "benha-french", "note"), "= ", 6);
    cr_expect_leq(llabs(milliwatt_hours(joules) - kwh), 500);
    arena_free(arena);
}
