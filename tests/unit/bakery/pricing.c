/* Prices: the three targets and what each shows of the others, tax, price endings, quantity breaks,
 * break-even and volume. */
#include "costing_world.h"
#include "csv.h"
#include "random_world.h"

#include "bakery/currency.h"
#include "bakery/pricing.h"
#include "base/decimal.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

TestSuite(pricing, .timeout = 60);

static const struct price_list net_list = {.code = "net"};
static const struct price_list tax_list = {.code = "tax", .with_tax = true};

static struct price_list list_of(bool with_tax, const char *step, const char *ending)
{
    return (struct price_list){
        .with_tax = with_tax, .step_micros = micros(step), .ending_micros = micros(ending)};
}

static struct product aims(enum target_kind target, const char *percent, const char *tax)
{
    return (struct product){.target = target, .target_pct = pct(percent), .tax_pct = pct(tax)};
}

/* --- published check values --- */

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
    char number[32] = "";
    const char *at = strstr(text, words);
    cr_assert_not_null(at, "%s in %s", words, text);
    at += strlen(words);
    size_t length = strspn(at, "0123456789.");
    cr_assert(length > 0 && length < sizeof number, "%s", text);
    memcpy(number, at, length);
    return units(number, places);
}

/* Cost 100, price 125: markup 25 %, margin 20 % (margin = markup / (1 + markup)). */
Test(pricing, markup_and_margin_of_the_school_answer)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "08_costing_inventory.csv");
    const char *given = cell(&table, "markup-margin", "given");
    const char *expected = cell(&table, "markup-margin", "expected");
    int64_t cost = number_after(given, "cost ", MONEY_PLACES);
    int64_t price = number_after(given, "price ", MONEY_PLACES);
    int64_t markup = number_after(expected, "markup ", PERCENT_PLACES);
    int64_t margin = number_after(expected, "margin ", PERCENT_PLACES);
    struct price_figures figures;
    int64_t net;
    cr_assert(price_figures_of(&net_list, price, 0, cost, cost, &figures));
    cr_expect(figures.has_margin && figures.has_markup);
    cr_expect_eq(figures.markup_pct, markup);
    cr_expect_eq(figures.margin_pct, margin);
    cr_assert(price_of_target(TARGET_MARGIN, margin, cost, cost, &net));
    cr_expect_eq(net, price);
    cr_assert(price_of_target(TARGET_MARKUP, markup, cost, cost, &net));
    cr_expect_eq(net, price);
    arena_free(arena);
}

/* Ingredients of 0.96 at a share of 30 %: 3.20. */
Test(pricing, price_from_the_share_of_ingredients)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "08_costing_inventory.csv");
    const char *given = cell(&table, "price-from-foodcost", "given");
    int64_t ingredients = number_after(given, "cost ", MONEY_PLACES);
    int64_t share = number_after(given, "food cost ", PERCENT_PLACES);
    int64_t price = number_after(cell(&table, "price-from-foodcost", "expected"), "price ",
                                 MONEY_PLACES);
    struct product product = {.target = TARGET_INGREDIENT_SHARE, .target_pct = share};
    struct price_figures figures;
    int64_t net;
    cr_assert(price_of_target(TARGET_INGREDIENT_SHARE, share, 2 * ingredients, ingredients, &net));
    cr_expect_eq(net, price);
    cr_assert(price_proposed(&net_list, 2, &product, 2 * ingredients, ingredients, &figures));
    cr_expect_eq(figures.price_micros, price);
    cr_expect_eq(figures.ingredient_share_pct, share);
    /* Cost 1.92 of 3.20. */
    cr_expect_eq(figures.margin_pct, pct("40"));
    cr_expect_eq(figures.markup_pct, pct("66.6667"));
    arena_free(arena);
}

/* Smallest units by ISO 4217: the step of a list that names none. */
Test(pricing, smallest_units_of_currencies)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "09_currency_minor_units.csv");
    for (size_t n = 0; n < table.count; n++) {
        int places = (int)units(csv_cell(&table, n, "iso4217_digits"), 0);
        const char *code = csv_cell(&table, n, "code");
        int64_t rounded;
        cr_assert_eq(currency_places(code), places, "%s", code);
        cr_assert(price_round_up(&net_list, places, micros("7.000001"), &rounded));
        cr_expect_eq(rounded - micros("7"), (int64_t)fixed_power10(MONEY_PLACES - places), "%s",
                     code);
    }
    arena_free(arena);
}

/* --- targets --- */

Test(pricing, a_target_of_nothing_is_the_cost_itself)
{
    int64_t net;
    cr_assert(price_of_target(TARGET_MARGIN, 0, micros("1.234567"), 0, &net));
    cr_expect_eq(net, micros("1.234567"));
    cr_assert(price_of_target(TARGET_MARKUP, 0, micros("1.234567"), 0, &net));
    cr_expect_eq(net, micros("1.234567"));
    cr_assert(price_of_target(TARGET_INGREDIENT_SHARE, pct("100"), 0, micros("1.234567"), &net));
    cr_expect_eq(net, micros("1.234567"));
}

Test(pricing, targets_that_no_price_meets)
{
    int64_t net = 77;
    cr_expect_not(price_of_target(TARGET_MARGIN, pct("100"), 1, 1, &net));
    cr_expect_not(price_of_target(TARGET_MARGIN, pct("250"), 1, 1, &net));
    cr_expect_not(price_of_target(TARGET_INGREDIENT_SHARE, 0, 1, 1, &net));
    cr_expect_not(price_of_target(TARGET_NONE, pct("20"), 1, 1, &net));
    cr_expect_not(price_of_target(TARGET_MARGIN, pct("99.9999"), INT64_MAX / 2, 1, &net));
    cr_expect_not(price_of_target(TARGET_MARKUP, INT64_MAX, INT64_MAX, 1, &net));
    cr_expect_eq(net, 77);
}

/* A third more than a millionth is missing: rounded down, the margin would not be met. */
Test(pricing, the_net_price_is_the_least_that_meets_the_target)
{
    int64_t net;
    cr_assert(price_of_target(TARGET_MARGIN, pct("25"), 1, 1, &net));
    cr_expect_eq(net, 2);
    cr_assert(price_of_target(TARGET_MARKUP, pct("33.3333"), micros("1"), 1, &net));
    cr_expect_eq(net, micros("1.333333"));
    cr_assert(price_of_target(TARGET_INGREDIENT_SHARE, pct("30"), 1, micros("1"), &net));
    cr_expect_eq(net, micros("3.333334"));
}

/* --- price endings --- */

static int64_t rounded_up(const struct price_list *list, int places, const char *money)
{
    int64_t rounded = -1;
    cr_assert(price_round_up(list, places, micros(money), &rounded));
    return rounded;
}

Test(pricing, endings)
{
    struct price_list ninety_five = list_of(true, "1.00", "0.95");
    cr_expect_eq(rounded_up(&ninety_five, 2, "0"), micros("0.95"));
    cr_expect_eq(rounded_up(&ninety_five, 2, "0.95"), micros("0.95"));
    cr_expect_eq(rounded_up(&ninety_five, 2, "0.950001"), micros("1.95"));
    cr_expect_eq(rounded_up(&ninety_five, 2, "3.20"), micros("3.95"));
    struct price_list five = list_of(true, "0.05", "0");
    cr_expect_eq(rounded_up(&five, 2, "3.20"), micros("3.20"));
    cr_expect_eq(rounded_up(&five, 2, "3.200001"), micros("3.25"));
    cr_expect_eq(rounded_up(&five, 2, "0"), 0);
    cr_expect_eq(rounded_up(&five, 2, "-0.01"), 0);
}

Test(pricing, units_of_currencies_with_few_and_many_decimals)
{
    cr_expect_eq(rounded_up(&net_list, 0, "341.000001"), micros("342"), "yen");
    cr_expect_eq(rounded_up(&net_list, 0, "341"), micros("341"));
    cr_expect_eq(rounded_up(&net_list, 3, "1.2341"), micros("1.235"), "dinar");
    cr_expect_eq(rounded_up(&net_list, 6, "1.234567"), micros("1.234567"));
    cr_expect_eq(rounded_up(&net_list, 9, "1.234567"), micros("1.234567"), "no finer than kept");
    struct price_list tens = list_of(false, "10", "8");
    cr_expect_eq(rounded_up(&tens, 0, "341"), micros("348"));
}

Test(pricing, prices_beyond_counting_are_told)
{
    struct price_list wide = {.step_micros = INT64_MAX, .ending_micros = INT64_MAX - 1};
    int64_t rounded;
    cr_expect_not(price_round_up(&net_list, 2, INT64_MAX, &rounded));
    cr_expect_not(price_round_up(&wide, 2, INT64_MAX, &rounded));
    cr_assert(price_round_up(&wide, 2, INT64_MIN, &rounded));
    cr_expect_eq(rounded, INT64_MAX - 1);
    cr_expect_not(price_with_tax(INT64_MAX, pct("0.0001"), &rounded));
    cr_expect_not(price_without_tax(1, -PERCENT_WHOLE, &rounded));
    struct price_figures figures;
    struct product product = aims(TARGET_MARGIN, "0", "20");
    cr_expect_not(price_figures_of(&net_list, 1, 0, INT64_MAX, 0, &figures));
    cr_expect_not(price_proposed(&tax_list, 2, &product, INT64_MAX - 5, 0, &figures));
}

/* --- what is proposed --- */

static struct price_figures proposed(const struct price_list *list, int places,
                                     const struct product *product, const char *cost)
{
    struct price_figures figures;
    cr_assert(price_proposed(list, places, product, micros(cost), micros(cost) / 2, &figures));
    return figures;
}

Test(pricing, a_loaf_from_scratch)
{
    struct product loaf = aims(TARGET_MARGIN, "60", "20");
    struct price_list ending = list_of(true, "1.00", "0.95");
    /* 1.30 / 0.4 = 3.25, with tax 3.90: 3.95, of which 3.291667 are net. */
    struct price_figures figures = proposed(&ending, 2, &loaf, "1.30");
    cr_expect_eq(figures.price_micros, micros("3.95"));
    cr_expect_eq(figures.net_micros, micros("3.291667"));
    cr_expect_eq(figures.margin_pct, pct("60.5063"));
    cr_expect_eq(figures.markup_pct, pct("153.2052"));
    cr_expect_eq(figures.ingredient_share_pct, pct("19.7468"));
    cr_expect_not(price_under_target(&loaf, &figures));
    cr_expect_eq(proposed(&tax_list, 2, &loaf, "1.30").price_micros, micros("3.90"));
    cr_expect_eq(proposed(&tax_list, 0, &loaf, "130").price_micros, micros("390"));
    cr_expect_eq(proposed(&net_list, 2, &loaf, "1.30").price_micros, micros("3.25"));
    cr_expect_eq(proposed(&tax_list, 2, &loaf, "1.300001").price_micros, micros("3.91"));
    /* With a tax of the whole 5 millionths are 2.5 net, to the even 2: 3 need 6. 7 are 3.5, to the
     * even 4. */
    struct product crumb = aims(TARGET_MARGIN, "0", "100");
    cr_expect_eq(proposed(&tax_list, 6, &crumb, "0.000003").price_micros, 6);
    cr_expect_eq(proposed(&tax_list, 6, &crumb, "0.000004").price_micros, 7);
}

Test(pricing, what_costs_nothing_still_has_a_price)
{
    struct product gift = aims(TARGET_MARGIN, "60", "20");
    struct price_figures figures = proposed(&tax_list, 2, &gift, "0");
    cr_expect_eq(figures.price_micros, micros("0.01"));
    cr_expect_eq(figures.margin_pct, pct("100"));
    cr_expect_not(figures.has_markup);
    cr_expect_not(price_under_target(&gift, &figures));
}

/* The definition, with no regard to how it is found: no price of the list below meets the target.
 */
static bool meets(const struct price_list *list, const struct product *product, int64_t price,
                  int64_t cost, int64_t ingredients)
{
    struct price_figures f;
    cr_assert(price_figures_of(list, price, product->tax_pct, cost, ingredients, &f));
    fixed earned = (fixed)f.net_micros - cost;
    switch (product->target) {
    case TARGET_MARGIN:
        return f.net_micros > 0 &&
               earned * PERCENT_WHOLE >= (fixed)f.net_micros * product->target_pct;
    case TARGET_MARKUP:
        return f.net_micros > 0 && earned * PERCENT_WHOLE >= (fixed)cost * product->target_pct;
    default:
        return f.net_micros > 0 &&
               (fixed)ingredients * PERCENT_WHOLE <= (fixed)f.net_micros * product->target_pct;
    }
}

static void check_least(struct dice *dice, int64_t cost_most, int64_t step_most)
{
    static const enum target_kind targets[] = {TARGET_MARGIN, TARGET_MARKUP,
                                               TARGET_INGREDIENT_SHARE};
    struct product product = {.target = targets[roll(dice, 0, 2)],
                              .target_pct = roll(dice, 1, PERCENT_WHOLE - 1),
                              .tax_pct = roll(dice, 0, 3) * roll(dice, 0, 10) * 100000};
    struct price_list list = {.with_tax = roll(dice, 0, 1),
                              .step_micros = roll(dice, 1, step_most)};
    list.ending_micros = roll(dice, 0, list.step_micros - 1);
    int64_t cost = roll(dice, 1, cost_most), ingredients = roll(dice, 0, cost);
    struct price_figures figures;
    cr_assert(price_proposed(&list, 2, &product, cost, ingredients, &figures));
    int64_t price = figures.price_micros;
    cr_assert_eq((price - list.ending_micros) % list.step_micros, 0);
    cr_assert(meets(&list, &product, price, cost, ingredients));
    cr_assert_not(price_under_target(&product, &figures));
    if (price < list.step_micros) return;
    cr_assert_not(meets(&list, &product, price - list.step_micros, cost, ingredients),
                  "%ld for a cost of %ld, tax %ld", price, cost, product.tax_pct);
}

Test(pricing, a_proposed_price_is_the_least_that_meets_its_target)
{
    struct dice dice = {20270510};
    for (int i = 0; i < 100000; i++) {
        check_least(&dice, 60, 1);
        check_least(&dice, 2000, 40);
        check_least(&dice, 20000000, 1000000);
        check_least(&dice, 900000000000, 1);
    }
}

/* --- what a price comes to --- */

Test(pricing, losses_and_holes_in_figures)
{
    struct price_figures figures;
    cr_assert(price_figures_of(&net_list, micros("2"), 0, micros("3"), micros("1"), &figures));
    cr_expect_eq(figures.margin_pct, pct("-50"));
    cr_expect_eq(figures.markup_pct, pct("-33.3333"));
    cr_expect_eq(figures.ingredient_share_pct, pct("50"));
    cr_assert(price_figures_of(&net_list, 0, 0, micros("3"), micros("1"), &figures));
    cr_expect_not(figures.has_margin);
    cr_expect_eq(figures.markup_pct, pct("-100"));
    cr_assert(price_figures_of(&net_list, micros("2"), 0, 0, 0, &figures));
    cr_expect_not(figures.has_markup);
    cr_expect_eq(figures.margin_pct, pct("100"));
    /* A list without tax shows net prices, whatever the tax. */
    cr_assert(price_figures_of(&net_list, micros("2"), pct("20"), micros("1"), 0, &figures));
    cr_expect_eq(figures.net_micros, micros("2"));
    cr_assert(price_figures_of(&tax_list, micros("2.40"), pct("20"), micros("1"), 0, &figures));
    cr_expect_eq(figures.net_micros, micros("2"));
}

/* (1 - margin) x (1 + markup) = 1, and share = ingredients / cost x (1 - margin), up to the last
 * places of both. */
Test(pricing, each_target_shows_the_other_two)
{
    struct dice dice = {77};
    for (int i = 0; i < 20000; i++) {
        int64_t cost = roll(&dice, 100000, 20000000), net = roll(&dice, 100000, 20000000);
        struct price_figures f;
        cr_assert(price_figures_of(&net_list, net, 0, cost, cost / 2, &f));
        fixed off = (fixed)(PERCENT_WHOLE - f.margin_pct) * (PERCENT_WHOLE + f.markup_pct) -
                    (fixed)PERCENT_WHOLE * PERCENT_WHOLE;
        cr_assert_leq(off < 0 ? -off : off, 2 * PERCENT_WHOLE + f.markup_pct - f.margin_pct);
        cr_assert_leq(llabs(2 * f.ingredient_share_pct - (PERCENT_WHOLE - f.margin_pct)), 20);
        cr_assert_eq(f.margin_pct < 0, net < cost && f.margin_pct != 0);
    }
}

Test(pricing, under_the_target)
{
    struct price_figures figures;
    struct product margin = aims(TARGET_MARGIN, "60", "0");
    struct product markup = aims(TARGET_MARKUP, "150", "0");
    struct product share = aims(TARGET_INGREDIENT_SHARE, "20", "0");
    struct product none = aims(TARGET_NONE, "0", "0");
    cr_assert(price_figures_of(&net_list, micros("2.50"), 0, micros("1"), micros("0.5"), &figures));
    cr_expect_not(price_under_target(&margin, &figures));
    cr_expect_not(price_under_target(&markup, &figures));
    cr_expect_not(price_under_target(&share, &figures));
    cr_assert(price_figures_of(&net_list, micros("2.49"), 0, micros("1"), micros("0.5"), &figures));
    cr_expect(price_under_target(&margin, &figures));
    cr_expect(price_under_target(&markup, &figures));
    cr_expect(price_under_target(&share, &figures));
    cr_expect_not(price_under_target(&none, &figures));
    cr_assert(price_figures_of(&net_list, 0, 0, micros("1"), micros("0.5"), &figures));
    cr_expect(price_under_target(&margin, &figures));
    cr_expect(price_under_target(&markup, &figures));
    cr_expect(price_under_target(&share, &figures));
}

Test(pricing, tax_there_and_back)
{
    struct dice dice = {5};
    for (int i = 0; i < 20000; i++) {
        int64_t net = roll(&dice, 0, 1000000000), tax = roll(&dice, 0, 3000000), gross, back;
        cr_assert(price_with_tax(net, tax, &gross));
        cr_assert(price_without_tax(gross, tax, &back));
        cr_assert_eq(back, net);
        fixed off = (fixed)gross * PERCENT_WHOLE - (fixed)net * (PERCENT_WHOLE + tax);
        cr_assert_leq((off < 0 ? -off : off) * 2, PERCENT_WHOLE);
    }
    int64_t gross;
    cr_assert(price_with_tax(5, pct("10"), &gross));
    cr_expect_eq(gross, 6, "5.5 to the even");
    cr_assert(price_with_tax(5, pct("30"), &gross));
    cr_expect_eq(gross, 6, "6.5 to the even");
}

Test(pricing, quantity_breaks)
{
    struct price_break breaks[] = {{1, 3450000}, {20, 3100000}, {50, 2900000}};
    struct product_price price = {.breaks = breaks, .break_count = 3};
    struct product_price none = {.break_count = 0};
    cr_expect_eq(price_at(&price, 0), 0);
    cr_expect_eq(price_at(&price, 1), 3450000);
    cr_expect_eq(price_at(&price, 19), 3450000);
    cr_expect_eq(price_at(&price, 20), 3100000);
    cr_expect_eq(price_at(&price, 49), 3100000);
    cr_expect_eq(price_at(&price, INT64_MAX), 2900000);
    cr_expect_eq(price_at(&none, 1), 0);
}

/* --- volume --- */

Test(pricing, break_even)
{
    /* 43.875 a day at 5.00 - 2.501081: 17.56 pieces. */
    cr_expect_eq(break_even_pieces(micros("5"), micros("2.501081"), micros("43.875")), 18);
    cr_expect_eq(break_even_pieces(micros("3"), micros("1"), micros("40")), 20, "to the piece");
    cr_expect_eq(break_even_pieces(micros("3"), micros("1"), micros("40.000001")), 21);
    cr_expect_eq(break_even_pieces(micros("3"), micros("3"), micros("40")), -1);
    cr_expect_eq(break_even_pieces(micros("3"), micros("3.1"), micros("40")), -1);
    cr_expect_eq(break_even_pieces(micros("3"), micros("3"), 0), 0);
    cr_expect_eq(break_even_pieces(micros("3"), micros("3.1"), 0), -1, "every piece loses");
    cr_expect_eq(break_even_pieces(INT64_MAX, INT64_MIN, INT64_MAX), 1, "beyond a difference");
    cr_expect_eq(break_even_pieces(INT64_MIN, INT64_MAX, 1), -1);
    struct dice dice = {9};
    for (int i = 0; i < 20000; i++) {
        int64_t net = roll(&dice, 1, 9000000), variable = roll(&dice, 0, 9000000);
        int64_t stays = roll(&dice, 1, 900000000);
        int64_t pieces = break_even_pieces(net, variable, stays);
        cr_assert_eq(pieces < 0, net <= variable);
        if (pieces < 0) continue;
        cr_assert_geq(net * pieces, stays + variable * pieces);
        cr_assert_lt(net * (pieces - 1), stays + variable * (pieces - 1));
    }
}

Test(pricing, volume_that_a_price_change_needs)
{
    int64_t volume;
    /* 2.00 a piece earned before, 1.60 after. */
    cr_assert(price_change_volume(micros("4"), micros("3.60"), micros("2"), &volume));
    cr_expect_eq(volume, pct("25"));
    cr_assert(price_change_volume(micros("4"), micros("4.50"), micros("2"), &volume));
    cr_expect_eq(volume, pct("-20"));
    cr_assert(price_change_volume(micros("4"), micros("4"), micros("2"), &volume));
    cr_expect_eq(volume, 0);
    cr_assert(price_change_volume(micros("2"), micros("3"), micros("2"), &volume));
    cr_expect_eq(volume, pct("-100"), "nothing was earned");
    cr_expect_not(price_change_volume(micros("4"), micros("2"), micros("2"), &volume));
    cr_expect_not(price_change_volume(micros("4"), micros("1"), micros("2"), &volume));
    cr_expect_not(price_change_volume(micros("1"), micros("4"), micros("2"), &volume));
    cr_expect_not(price_change_volume(INT64_MAX, 1, 0, &volume), "does not fit");
}

Test(pricing, changes_in_percent)
{
    int64_t change = 77;
    cr_expect_not(percent_change(0, 5, &change));
    cr_expect_not(percent_change(-1, 5, &change));
    cr_expect_not(percent_change(1, INT64_MAX, &change));
    cr_expect_eq(change, 77);
    cr_assert(percent_change(micros("20"), micros("25"), &change));
    cr_expect_eq(change, pct("25"));
    cr_assert(percent_change(micros("3"), micros("2"), &change));
    cr_expect_eq(change, pct("-33.3333"));
    cr_assert(percent_change(INT64_MAX, INT64_MIN, &change));
    cr_expect_eq(change, pct("-200"), "beyond a difference");
}

/* --- cost by weight --- */

/* A tenth of the cost of a kilogram, itself rounded, would be off now and then. */
Test(pricing, a_hundred_grams_are_rounded_by_themselves)
{
    struct costs c = {.w = world_new()};
    product(c.w, "loaf", "seeds 3");
    open_world(c.w);
    price(c.w, "seeds", "3", "0.000001");
    struct product_costing loaf = costing(&c, "2027-05-10", "loaf");
    cr_assert_eq(loaf.each_micros, 1);
    cr_expect_eq(loaf.per_kg_micros, 333);
    cr_expect_eq(loaf.per_100g_micros, 33);
    /* 45.045 a kilogram: 4.5045, and not the even neighbour of a tenth of 45. */
    the_product(c.w, "loaf")->parts[0].mg = mg("22.2");
    c.w->catalogue.prices[at_ingredient(c.w, "seeds")].pack_mg = mg("22.2");
    loaf = costing(&c, "2027-05-10", "loaf");
    cr_expect_eq(loaf.per_kg_micros, 45);
    cr_expect_eq(loaf.per_100g_micros, 5);
    /* 44.6 a kilogram: 4.46, and not the half of 45. */
    the_product(c.w, "loaf")->parts[0].mg = mg("22.422");
    c.w->catalogue.prices[at_ingredient(c.w, "seeds")].pack_mg = mg("22.422");
    loaf = costing(&c, "2027-05-10", "loaf");
    cr_expect_eq(loaf.per_kg_micros, 45);
    cr_expect_eq(loaf.per_100g_micros, 4);
    /* 37.5 to the even. */
    the_product(c.w, "loaf")->parts[0].mg = mg("8");
    c.w->catalogue.prices[at_ingredient(c.w, "seeds")] = (struct price){
        .known = true, .micros = 3, .pack_mg = mg("8")};
    loaf = costing(&c, "2027-05-10", "loaf");
    cr_expect_eq(loaf.per_kg_micros, 375);
    cr_expect_eq(loaf.per_100g_micros, 38);
    the_product(c.w, "loaf")->bake_loss_pct = PERCENT_WHOLE;
    loaf = costing(&c, "2027-05-10", "loaf");
    cr_expect_eq(loaf.per_100g_micros, 0);
    world_free(c.w);
}
