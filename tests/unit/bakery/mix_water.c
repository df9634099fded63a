/* The water of a mix: of one batch, with what was measured tonight and what was learnt. */
#include "bakery/temperature.h"
#include "world.h"

#include "base/decimal.h"

#include <criterion/criterion.h>

TestSuite(mix_water, .timeout = 30);

static int64_t degrees(const char *text)
{
    return units(text, TEMPERATURE_PLACES);
}

static struct temperature known(const char *text)
{
    return (struct temperature){true, degrees(text)};
}

static const struct temperature unknown = {0};

static struct world *two_doughs(void)
{
    struct world *w = world_new();
    ingredient(w, "ice-water", KIND_WATER);
    starter(w, "levain", "100", "wheat 100");
    formula(w, "build", BASIS_FINAL, "wheat 100, water 100");
    formula(w, "soaker", BASIS_FINAL, "seeds 100, water 100");
    formula(w, "country", BASIS_FINAL,
            "wheat 100, water 50, ice-water 10, salt 2, starter levain 20");
    formula(w, "seeded", BASIS_FINAL, "wheat 100, water 60, formula soaker 20");
    formula(w, "poolish", BASIS_FINAL, "wheat 100, water 60, formula build 20");
    formula(w, "brittle", BASIS_FINAL, "seeds 100, milk 20");
    const char *const doughs[] = {"country", "seeded", "poolish", "brittle"};
    mixer(w, "spiral", "1000", "50000");
    w->catalogue.bakery.mixers[0].has_friction = true;
    w->catalogue.bakery.mixers[0].friction_c = degrees("6");
    for (size_t i = 0; i < 4; i++) {
        product(w, doughs[i], arena_printf(w->arena, "%s 1000", doughs[i]));
        the_formula(w, doughs[i])->has_dough_c = true;
        the_formula(w, doughs[i])->dough_c = degrees("25");
    }
    for (size_t i = 0; i < 4; i++)
        order(w, "2027-05-10", doughs[i], 91, "");
    w->catalogue.bakery.usual = (struct temperatures){
        .room = known("22"), .flour = known("20"), .tap = known("14")};
    open_world(w);
    return w;
}

static struct mix_water water_of_mix(struct world *w, const char *code,
                                     const struct temperatures *night)
{
    struct mixing_list list = list_on(w, "2027-05-09");
    const struct mix *mix = mix_of(w, &list, code);
    struct mix_water out;
    cr_assert_not_null(mix);
    cr_assert(mix_water_of(&w->reckoning, mix, night, NULL, 0, &out));
    return out;
}

Test(mix_water, a_mix_is_given_its_water_by_the_batch)
{
    struct world *w = two_doughs();
    struct temperatures night = {.room = known("24"), .preferment = known("26")};
    struct mix_water water = water_of_mix(w, "country", &night);
    cr_assert(water.known);
    cr_expect_null(water.missing);
    cr_expect(water.with_preferment);
    cr_expect_eq(water.friction_c, degrees("6"));
    cr_expect_eq(water.water_mg, mg("15000"), "two batches of 45.5 kg at 182: 12.5 and 2.5 kg");
    cr_expect_eq(water.water.temperature, degrees("24"), "4 x 25 - 20 - 24 - 26 - 6");
    cr_expect(water.water.has_ice);
    cr_expect_eq(water.water.ice_mg, 0);
    night.tap = known("30");
    water = water_of_mix(w, "country", &night);
    cr_expect_eq(water.water.ice_mg, 818182, "15 x 6 / 110 kg");
    cr_expect_eq(water.water.tap_mg, 14181818);
    world_free(w);
}

Test(mix_water, a_preferment_counts_when_it_holds_flour)
{
    struct world *w = two_doughs();
    struct temperatures night = {.preferment = known("26")};
    struct mix_water water = water_of_mix(w, "poolish", &night);
    cr_expect(water.with_preferment);
    cr_expect_eq(water.water.temperature, degrees("26"), "4 x 25 - 20 - 22 - 26 - 6");
    water = water_of_mix(w, "seeded", &night);
    cr_expect(water.known);
    cr_expect_not(water.with_preferment, "a soaker is none");
    cr_expect_eq(water.water.temperature, degrees("27"), "3 x 25 - 20 - 22 - 6");
    world_free(w);
}

Test(mix_water, the_usual_stands_in_for_what_was_not_measured)
{
    struct world *w = two_doughs();
    struct temperatures night = {.room = known("25")};
    struct mix_water water = water_of_mix(w, "country", &night);
    cr_expect_eq(water.water.temperature, degrees("24"), "the preferment's is the room's: 25");
    w->catalogue.bakery.usual.preferment = known("29");
    water = water_of_mix(w, "country", &night);
    cr_expect_eq(water.water.temperature, degrees("20"), "or the usual one: 29");
    night.preferment = known("20");
    water = water_of_mix(w, "country", &night);
    cr_expect_eq(water.water.temperature, degrees("29"));
    w->catalogue.bakery.usual.tap = unknown;
    cr_expect_not(water_of_mix(w, "country", &night).water.has_ice);
    world_free(w);
}

Test(mix_water, what_is_missing_is_told_in_words)
{
    struct world *w = two_doughs();
    struct temperatures night = {0};
    struct mix_water water = water_of_mix(w, "brittle", &night);
    cr_expect_not(water.known);
    cr_expect_str_eq(water.missing, "water among its lines", "milk is not warmed for it");
    w->catalogue.bakery.usual.flour = unknown;
    water = water_of_mix(w, "country", &night);
    cr_expect_not(water.known);
    cr_expect_str_eq(water.missing, "the flour's temperature");
    cr_expect_eq(water.water_mg, mg("15000"));
    w->catalogue.bakery.usual.room = unknown;
    w->catalogue.bakery.mixers[0].has_friction = false;
    the_formula(w, "country")->has_dough_c = false;
    water = water_of_mix(w, "country", &night);
    cr_expect_str_eq(water.missing,
                     "the formula's dough temperature, the flour's temperature, the room's "
                     "temperature, how much mixing warms the dough");
    world_free(w);
}

Test(mix_water, a_mix_learns_from_the_log)
{
    struct world *w = two_doughs();
    const struct friction_seen seen[] = {{"country", "spiral", 90000},
                                         {"country", "spiral", 80000},
                                         {"poolish", "spiral", 10000},
                                         {"country", "spiral", 100000}};
    struct mixing_list list = list_on(w, "2027-05-09");
    struct temperatures night = {0};
    struct mix_water out;
    cr_assert(mix_water_of(&w->reckoning, mix_of(w, &list, "country"), &night, seen, 4, &out));
    cr_expect_eq(out.friction_c, degrees("9"));
    cr_expect_eq(out.water.temperature, degrees("27"), "4 x 25 - 20 - 22 - 22 - 9");
    world_free(w);
}

/* --- trouble --- */

Test(mix_water, a_mix_out_of_range_is_told)
{
    struct world *w = two_doughs();
    struct mixing_list list = list_on(w, "2027-05-09");
    struct temperatures night = {.room = {true, INT64_MAX}};
    const struct mix *mix = mix_of(w, &list, "country");
    struct mix_water out;
    cr_expect_not(mix_water_of(&w->reckoning, mix, &night, NULL, 0, &out));
    cr_expect_eq(fails_code(&w->fails), FAIL_INVALID);
    fails_reset(&w->fails, 0);
    mix->lines[1].weigh_mg = mix->lines[2].weigh_mg = INT64_MAX / 2 + 1;
    cr_expect_not(mix_water_of(&w->reckoning, mix, &night, NULL, 0, &out));
    cr_expect_eq(fails_code(&w->fails), FAIL_INVALID);
    world_free(w);
}

Test(mix_water, short_memory_is_told)
{
    struct world *w = two_doughs();
    struct mixing_list list = list_on(w, "2027-05-09");
    struct temperatures night = {0};
    struct mix_water out;
    bool done = false;
    long n = 0;
    w->catalogue.bakery.usual = (struct temperatures){0};
    while (!done && n < 100) {
        fails_reset(&w->fails, 0);
        arena_fail_nth(++n);
        done = mix_water_of(&w->reckoning, mix_of(w, &list, "country"), &night, NULL, 0, &out);
        arena_fail_nth(0);
        if (!done) cr_expect_eq(fails_code(&w->fails), FAIL_UNAVAILABLE);
    }
    cr_expect(done);
    cr_expect_gt(n, 1, "memory was asked for");
    world_free(w);
}
