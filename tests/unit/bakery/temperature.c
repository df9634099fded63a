/* Water and ice against published figures and in both scales, and what a mixer is learnt to do. */
#include "bakery/temperature.h"
#include "csv.h"
#include "world.h"

#include "base/decimal.h"

#include <criterion/criterion.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>

TestSuite(temperature, .timeout = 30);

static int64_t degrees(const char *text)
{
    return units(text, TEMPERATURE_PLACES);
}

static struct temperature known(const char *text)
{
    return (struct temperature){true, degrees(text)};
}

static const struct temperature unknown = {0};

/* What is wanted so that the water comes out at exactly that temperature. */
static struct water_wanted wanting(const char *water, const char *tap, const char *grams)
{
    int64_t at = degrees(water);
    return (struct water_wanted){
        .dough = at, .flour = at, .room = at, .tap = known(tap), .water_mg = mg(grams)};
}

static struct water answer(const struct water_wanted *wanted)
{
    struct water out;
    cr_assert(water_for(wanted, &out));
    return out;
}

/* The number that a cell begins with, such as "0.0065 lb per lb". */
static int64_t leading(const char *cell, int places)
{
    int64_t value = 0;
    cr_assert_eq(decimal_parse(cell, strcspn(cell, " "), places, &value), DECIMAL_OK, "%s", cell);
    return value;
}

/* --- published figures --- */

static void check_water(const struct csv *table, size_t n)
{
    const char *preferment = csv_cell(table, n, "preferment");
    const char *tolerance = csv_cell(table, n, "tolerance");
    struct water_wanted wanted = {.fahrenheit = strcmp(csv_cell(table, n, "unit"), "F") == 0,
                                  .dough = degrees(csv_cell(table, n, "ddt")),
                                  .flour = degrees(csv_cell(table, n, "flour")),
                                  .room = degrees(csv_cell(table, n, "room")),
                                  .friction = degrees(csv_cell(table, n, "friction"))};
    if (*preferment != '\0') wanted.preferment = known(preferment);
    cr_assert_eq(wanted.preferment.known, strcmp(csv_cell(table, n, "factors"), "4") == 0);
    int64_t off = answer(&wanted).temperature - degrees(csv_cell(table, n, "expected_water"));
    int64_t allowed = strcmp(tolerance, "exact") == 0 ? 0 : degrees(tolerance);
    cr_expect_leq(llabs(off), allowed, "%s", csv_cell(table, n, "case"));
}

/* tests/sources/02_ddt.csv: San Francisco Baking Institute 2009; T. Lehmann 2018 and 2003. */
Test(temperature, water_by_factors_as_published)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "02_ddt.csv");
    size_t frictions = 0;
    for (size_t n = 0; n < table.count; n++) {
        if (*csv_cell(&table, n, "ddt") != '\0')
            check_water(&table, n);
        else {
            cr_expect_str_eq(csv_cell(&table, n, "friction"), "3*82-(75+65+65)=41");
            cr_expect_eq(
                friction_of(degrees("82"), degrees("65"), degrees("75"), degrees("65"), unknown),
                degrees("41"));
            frictions++;
        }
    }
    cr_expect_eq(table.count, 4);
    cr_expect_eq(frictions, 1);
    arena_free(arena);
}

/* tests/sources/02_ice_balance.csv: the balance, of which 80 calories a gram and 79.7 are allowed
 * to differ by half a percent. */
Test(temperature, ice_balances_as_worked_out)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "02_ice_balance.csv");
    size_t checked = 0, traps = 0;
    for (size_t n = 0; n < table.count; n++) {
        int64_t total = mg(csv_cell(&table, n, "total_water_kg")) * 1000;
        struct water_wanted wanted = wanting(csv_cell(&table, n, "target_C"),
                                             csv_cell(&table, n, "tap_C"), "0");
        wanted.water_mg = total;
        struct water water = answer(&wanted);
        int64_t ice = leading(csv_cell(&table, n, "ice_kg_L79.7"), 6);
        cr_expect_eq(water.ice_mg + water.tap_mg, total, "it replaces part of the water");
        if (strcmp(csv_cell(&table, n, "case"), "ice-trap-addon") == 0) {
            cr_expect_eq(ice, 4400000, "the trap: added on top");
            cr_expect_eq(water.ice_mg, 4000000, "40 x 10 / 100 kg");
            traps++;
            continue;
        }
        int64_t trade = leading(csv_cell(&table, n, "ice_kg_trade_80"), 6);
        cr_expect_leq(llabs(water.ice_mg - trade), 50, "to the last digit told");
        cr_expect_leq(llabs(water.ice_mg - ice) * 200, ice, "0.5 percent");
        checked++;
    }
    cr_expect_eq(checked, 2);
    cr_expect_eq(traps, 1);
    arena_free(arena);
}

/* tests/sources/02_ice_table.csv: a bakers' supplier's table, pounds of ice per pound of water. */
Test(temperature, ice_as_in_the_trades_table)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "02_ice_table.csv");
    for (size_t n = 0; n < table.count; n++) {
        struct water_wanted wanted = wanting(csv_cell(&table, n, "calculated_water_F"),
                                             csv_cell(&table, n, "tap_F"), "1000");
        wanted.fahrenheit = true;
        struct water water = answer(&wanted);
        int64_t printed = units(csv_cell(&table, n, "expected_printed_lb_ice_per_lb_water"), 6);
        int64_t tolerance = leading(csv_cell(&table, n, "tolerance"), 6);
        int64_t formula = units(csv_cell(&table, n, "formula_112"), 6);
        cr_expect_leq(llabs(water.ice_mg - printed), tolerance, "%s", csv_cell(&table, n, "case"));
        cr_expect_leq(llabs(water.ice_mg - formula), 51, "to the last digit told");
        cr_expect_eq(water.ice_share, water.ice_mg, "millionths of a kilo, and of the whole");
    }
    cr_expect_eq(table.count, 69);
    arena_free(arena);
}

/* --- both scales --- */

Test(temperature, scales_convert_exactly_and_halves_to_even)
{
    cr_expect_eq(celsius_of(degrees("32")), 0);
    cr_expect_eq(celsius_of(degrees("212")), degrees("100"));
    cr_expect_eq(celsius_of(degrees("-40")), degrees("-40"));
    cr_expect_eq(fahrenheit_of(degrees("-40")), degrees("-40"));
    cr_expect_eq(fahrenheit_of(degrees("37")), degrees("98.6"));
    cr_expect_eq(celsius_of(degrees("75")), degrees("23.8889"));
    cr_expect_eq(celsius_difference_of(degrees("8")), degrees("4.4444"), "no 32 in a difference");
    cr_expect_eq(fahrenheit_difference_of(degrees("5")), degrees("9"));
    cr_expect_eq(fahrenheit_difference_of(degrees("-5")), degrees("-9"));
    for (int64_t f = degrees("-40"); f < degrees("212"); f += 9973)
        cr_expect_leq(llabs(fahrenheit_of(celsius_of(f)) - f), 1);
    for (int64_t c = degrees("-40"); c < degrees("100"); c += 9973)
        cr_expect_eq(celsius_of(fahrenheit_of(c)), c);
}

Test(temperature, scales_hold_at_the_ends_of_int64)
{
    cr_expect_eq(fahrenheit_of(INT64_MAX), INT64_MAX);
    cr_expect_eq(fahrenheit_difference_of(INT64_MIN), INT64_MIN);
    cr_expect_lt(celsius_of(INT64_MIN), INT64_MIN / 2);
    cr_expect_eq(friction_of(INT64_MAX, INT64_MIN, 0, 0, unknown), INT64_MAX);
}

/* A temperature of the Celsius scale between least and most degrees whose conversion is exact. */
static int64_t exact_celsius(int least, int most)
{
    return ((int64_t)least * 2000 + random() % ((most - least) * 2000)) * 5;
}

static struct water_wanted in_fahrenheit(const struct water_wanted *celsius)
{
    struct water_wanted out = *celsius;
    out.fahrenheit = true;
    out.dough = fahrenheit_of(celsius->dough);
    out.flour = fahrenheit_of(celsius->flour);
    out.room = fahrenheit_of(celsius->room);
    out.friction = fahrenheit_difference_of(celsius->friction);
    out.preferment.c = fahrenheit_of(celsius->preferment.c);
    out.tap.c = fahrenheit_of(celsius->tap.c);
    return out;
}

/* Ice within half a milligram of the fraction, told in whole numbers. */
static void check_ice(const struct water_wanted *wanted, const struct water *water)
{
    __int128 takes = wanted->tap.c + degrees("80");
    __int128 gives = wanted->tap.c - water->temperature;
    if (gives < 0) gives = 0;
    if (gives > takes) gives = takes;
    __int128 off = (__int128)water->ice_mg * takes - wanted->water_mg * gives;
    cr_expect(2 * off <= takes && -2 * off <= takes);
    off = (__int128)water->ice_share * takes - PERCENT_WHOLE * gives;
    cr_expect(2 * off <= takes && -2 * off <= takes);
    cr_expect_eq(water->ice_mg + water->tap_mg, wanted->water_mg);
    cr_expect_geq(water->tap_mg, 0);
}

Test(temperature, both_scales_give_the_same_ice_to_the_milligram)
{
    size_t iced = 0, plain = 0;
    srandom(20270510);
    for (int i = 0; i < 20000; i++) {
        struct water_wanted wanted = {.dough = exact_celsius(10, 35),
                                      .flour = exact_celsius(-20, 40),
                                      .room = exact_celsius(0, 45),
                                      .friction = exact_celsius(-5, 40),
                                      .preferment = {i % 2 == 0, exact_celsius(0, 40)},
                                      .tap = {i % 7 != 0, exact_celsius(0, 35)},
                                      .water_mg = random() % 1000000000};
        struct water_wanted other = in_fahrenheit(&wanted);
        struct water c = answer(&wanted), f = answer(&other);
        cr_expect_eq(f.temperature, fahrenheit_of(c.temperature));
        cr_expect_eq(f.ice_mg, c.ice_mg);
        cr_expect_eq(f.tap_mg, c.tap_mg);
        cr_expect_eq(f.ice_share, c.ice_share);
        cr_expect_eq(f.warnings, c.warnings);
        cr_expect_eq(c.has_ice, wanted.tap.known);
        if (wanted.tap.known) check_ice(&wanted, &c);
        *(c.ice_mg > 0 ? &iced : &plain) += 1;
    }
    cr_expect_gt(iced, 1000);
    cr_expect_gt(plain, 1000);
}

/* --- warnings --- */

static unsigned warnings_at(const char *water, const char *tap, bool fahrenheit)
{
    struct water_wanted wanted = wanting(water, tap ? tap : "0", "1000");
    wanted.fahrenheit = fahrenheit;
    wanted.tap.known = tap != NULL;
    return answer(&wanted).warnings;
}

Test(temperature, warnings_stand_at_their_borders)
{
    cr_expect_eq(warnings_at("40", NULL, false), 0);
    cr_expect_eq(warnings_at("40.0001", NULL, false), WATER_TOO_HOT);
    cr_expect_eq(warnings_at("104", NULL, true), 0);
    cr_expect_eq(warnings_at("104.0001", NULL, true), WATER_TOO_HOT);
    cr_expect_eq(warnings_at("0", "12", false), 0);
    cr_expect_eq(warnings_at("-0.0001", "12", false), WATER_BELOW_ICE);
    cr_expect_eq(warnings_at("31.9999", "60", true), WATER_BELOW_ICE);
    cr_expect_eq(warnings_at("32", "60", true), 0);
    cr_expect_eq(warnings_at("20", NULL, false), 0);
    cr_expect_eq(warnings_at("19.9999", NULL, false), WATER_NO_TAP);
    cr_expect_eq(warnings_at("67.9999", NULL, true), WATER_NO_TAP);
    cr_expect_eq(warnings_at("-80", "10", false), WATER_BELOW_ICE);
    cr_expect_eq(warnings_at("-80.0001", "10", false), WATER_BELOW_ICE | WATER_ALL_ICE);
    cr_expect_eq(warnings_at("-5", NULL, false), WATER_BELOW_ICE | WATER_NO_TAP);
}

Test(temperature, water_below_freezing_is_answered_with_its_ice)
{
    struct water_wanted wanted = wanting("-10", "20", "40000");
    struct water water = answer(&wanted);
    cr_expect_eq(water.ice_mg, 12000000, "40 x 30 / 100 kg");
    cr_expect_eq(water.tap_mg, 28000000);
    cr_expect_eq(water.ice_share, pct("30"));
    wanted = wanting("-90", "10", "40000");
    water = answer(&wanted);
    cr_expect_eq(water.ice_mg, mg("40000"), "no more than all of it");
    cr_expect_eq(water.tap_mg, 0);
    cr_expect_eq(water.ice_share, PERCENT_WHOLE);
}

Test(temperature, a_tap_that_is_cold_enough_needs_no_ice)
{
    struct water_wanted wanted = wanting("20", "20", "1000");
    struct water water = answer(&wanted);
    cr_expect(water.has_ice);
    cr_expect_eq(water.ice_mg, 0);
    cr_expect_eq(water.tap_mg, mg("1000"));
    wanted = wanting("30", "12", "1000");
    water = answer(&wanted);
    cr_expect_eq(water.ice_mg, 0, "warm water is warmed by hand");
    cr_expect_eq(water.ice_share, 0);
    wanted.tap.known = false;
    cr_expect_not(answer(&wanted).has_ice);
    cr_expect_eq(answer(&wanted).tap_mg, mg("1000"));
}

Test(temperature, what_is_out_of_all_range_is_refused)
{
    struct water out;
    struct water_wanted wanted = wanting("20", "12", "1000");
    int64_t *const members[] = {&wanted.dough,    &wanted.flour, &wanted.room,
                                &wanted.friction, &wanted.tap.c, &wanted.preferment.c};
    wanted.preferment.known = true;
    for (size_t i = 0; i < sizeof members / sizeof *members; i++) {
        int64_t before = *members[i];
        *members[i] = INT64_MAX;
        cr_expect_not(water_for(&wanted, &out));
        *members[i] = INT64_MIN;
        cr_expect_not(water_for(&wanted, &out));
        *members[i] = before;
    }
    cr_expect(water_for(&wanted, &out));
    wanted.water_mg = -1;
    cr_expect_not(water_for(&wanted, &out));
    wanted = wanting("-100", "-80", "1000");
    cr_expect_not(water_for(&wanted, &out), "nothing is left to melt ice");
    wanted = wanting("-100", "-90", "1000");
    cr_expect_not(water_for(&wanted, &out));
    wanted = wanting("20", "12", "0");
    wanted.water_mg = INT64_MAX;
    wanted.dough = wanted.flour = wanted.room = (int64_t)INT32_MIN * DEGREE + DEGREE;
    cr_expect(water_for(&wanted, &out));
    cr_expect_eq(out.ice_mg, INT64_MAX);
}

/* --- friction --- */

static int64_t friction(const struct friction_seen *seen, size_t count, const char *of,
                        const struct mixer *in)
{
    struct temperature learnt = friction_learnt(seen, count, of, in);
    cr_expect(learnt.known);
    return learnt.c;
}

static const struct mixer spiral = {
    .code = "spiral", .has_friction = true, .friction_c = 6 * DEGREE};
static const struct mixer arms = {.code = "fork"};

Test(temperature, friction_undoes_the_water)
{
    struct water_wanted wanted = {.dough = degrees("25"),
                                  .flour = degrees("19.5"),
                                  .room = degrees("22"),
                                  .friction = degrees("5.3"),
                                  .preferment = known("27")};
    struct water water = answer(&wanted);
    cr_expect_eq(water.temperature, degrees("26.2"), "4 x 25 - 19.5 - 22 - 27 - 5.3");
    cr_expect_eq(
        friction_of(wanted.dough, wanted.flour, wanted.room, water.temperature, wanted.preferment),
        wanted.friction);
}

Test(temperature, friction_is_the_median_of_the_formulas_last_five)
{
    const struct friction_seen seen[] = {
        {"rye", "spiral", 90000},  {"white", "fork", 10000},  {"rye", "spiral", 50000},
        {"white", "spiral", 1},    {"rye", "spiral", 70000},  {"rye", "spiral", 60000},
        {"rye", "spiral", 400000}, {"rye", "spiral", 500000}, {"rye", "spiral", 600000}};
    cr_expect_eq(friction(seen, 9, "rye", &spiral), 70000, "90 50 70 60 400");
    cr_expect_eq(friction(seen, 6, "rye", &spiral), 65000, "of four: 60 and 70");
    cr_expect_eq(friction(seen, 5, "rye", &spiral), 70000, "of three: 90 50 70");
}

Test(temperature, friction_of_a_formula_is_told_by_three)
{
    const struct friction_seen seen[] = {{"rye", "spiral", 90000},
                                         {"white", "spiral", 10000},
                                         {"rye", "spiral", 50000},
                                         {"white", "fork", 20000}};
    cr_expect_eq(friction(seen, 4, "rye", &spiral), 50000, "two of rye: any dough's");
    cr_expect_eq(friction(seen, 4, "soda", &spiral), 50000);
    cr_expect_eq(friction(seen, 1, "white", &spiral), 90000);
    cr_expect_eq(friction(seen, 2, "white", &spiral), 50000);
    cr_expect_eq(friction(seen, 4, "rye", &arms), 20000);
    const struct friction_seen odd[] = {{"rye", "spiral", 3}, {"rye", "spiral", 2}};
    cr_expect_eq(friction(odd, 2, "rye", &spiral), 2, "2.5, half to even");
}

Test(temperature, friction_falls_back_on_the_mixers_entry)
{
    const struct friction_seen seen[] = {{"rye", "fork", 90000}, {"rye", NULL, 10000}};
    cr_expect_eq(friction(seen, 2, "rye", &spiral), 6 * DEGREE);
    cr_expect_eq(friction(NULL, 0, "rye", &spiral), 6 * DEGREE);
    cr_expect_not(friction_learnt(NULL, 0, "rye", &arms).known);
    cr_expect_not(friction_learnt(NULL, 0, "rye", NULL).known);
    cr_expect_eq(friction(seen, 2, "rye", NULL), 10000, "by hand");
}
