/* "Can we take it?": every reason once, and what is still possible. */
#include "offer_world.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(offer, .timeout = 60);

/* --- yes --- */

Test(offer, what_nothing_binds_can_be_taken)
{
    struct world *w = loaf_bakery();
    order(w, "2027-05-11", "loaf", 30, "");
    struct offer told = ask(w, at_clock(w, "2027-05-10", "16:00"), "2027-05-11", "loaf", 10);
    cr_expect(told.yes);
    cr_expect_eq(told.possible, 10);
    cr_expect_eq(told.possible_from, 0);
    cr_expect(ask(w, at_clock(w, "2027-05-11", "06:00"), "2027-05-11", "card", 500).yes,
              "no dough in it");
    world_free(w);
}

/* --- the mix --- */

Test(offer, a_mix_that_has_begun_takes_no_more)
{
    struct world *w = loaf_bakery();
    order(w, "2027-05-11", "loaf", 30, "");
    order(w, "2027-05-11", "tin", 30, "");
    instant begins = at_clock(w, "2027-05-10", "16:30");
    cr_expect(ask(w, begins - 1, "2027-05-11", "loaf", 1).yes);
    struct offer told = refused(w, NULL, begins, "loaf", 1, "mix-begun");
    cr_expect_eq(told.possible, 0);
    cr_expect_eq(told.reason.formula, at_formula(w, "country"));
    cr_expect_eq(told.reason.starter, NOT_FOUND);
    cr_expect_eq(told.reason.at, begins);
    cr_expect(ask(w, begins, "2027-05-11", "tin", 1).yes, "the tins' has not");
    world_free(w);
}

Test(offer, a_mix_that_nobody_asked_for_would_have_begun)
{
    struct world *w = loaf_bakery();
    instant begins = at_clock(w, "2027-05-10", "16:30");
    cr_expect(ask(w, begins - 1, "2027-05-11", "loaf", 20).yes);
    cr_expect_eq(refused(w, NULL, begins + 3600, "loaf", 20, "mix-begun").reason.at, begins);
    world_free(w);
}

Test(offer, a_preferment_that_has_begun_takes_no_more)
{
    struct world *w = loaf_bakery();
    formula(w, "yeast-sponge", BASIS_FINAL, "wheat 100, water 60, yeast 0.1");
    stages(w, "yeast-sponge", "ferment 720");
    formula(w, "white", BASIS_FINAL, "wheat 100, water 68, salt 2, formula yeast-sponge 50");
    stages(w, "white", "all 240");
    open_world(w);
    instant begins = at_clock(w, "2027-05-10", "14:30");
    order(w, "2027-05-11", "tin", 50, "");
    cr_expect(ask(w, begins - 1, "2027-05-11", "tin", 1).yes);
    struct offer told = refused(w, NULL, begins, "tin", 1, "mix-begun");
    cr_expect_eq(told.reason.formula, at_formula(w, "yeast-sponge"));
    told = refused(w, NULL, at_clock(w, "2027-05-11", "03:00"), "tin", 1, "mix-begun");
    cr_expect_eq(told.reason.formula, at_formula(w, "yeast-sponge"), "the first of the two");
    world_free(w);
}

/* The dough is one with the evening's of the day before, and so is its sponge, which is begun two
 * days before the bread by that. */
Test(offer, a_mix_that_has_begun_for_another_day)
{
    struct world *w = loaf_bakery();
    formula(w, "sponge", BASIS_FINAL, "wheat 100, water 60, yeast 0.1");
    stages(w, "sponge", "ferment 1530");
    formula(w, "white", BASIS_FINAL, "wheat 100, water 68, salt 2, formula sponge 50");
    stages(w, "white", "all 240");
    open_world(w);
    order(w, "2027-05-10", "tin", 50, "17:00");
    the_product(w, "tin")->ready_at = 30;
    instant begins = at_clock(w, "2027-05-09", "11:30");
    cr_expect(ask(w, begins - 1, "2027-05-11", "tin", 1).yes);
    struct offer told = refused(w, NULL, begins, "tin", 1, "mix-begun");
    cr_expect_eq(told.reason.formula, at_formula(w, "sponge"));
    cr_expect_eq(told.reason.at, begins);
    world_free(w);
}

/* --- batches --- */

Test(offer, a_batch_must_not_be_too_small)
{
    struct world *w = loaf_bakery();
    struct offer told = refused(w, NULL, at_clock(w, "2027-05-10", "10:00"), "loaf", 3,
                                "batch-small");
    cr_expect_eq(told.possible, 0);
    cr_expect_eq(told.possible_from, 6);
    cr_expect_eq(told.reason.short_mg, mg("2120"));
    cr_expect_str_eq(told.reason.mixer->code, "spiral");
    cr_expect_eq(told.reason.formula, at_formula(w, "country"));
    world_free(w);
}

Test(offer, the_least_batch_may_be_bound_as_well)
{
    struct world *w = loaf_bakery();
    struct pot_state pot = fed(at_clock(w, "2027-05-10", "09:00"), "500");
    struct offer told = refused(w, &pot, at_clock(w, "2027-05-10", "16:00"), "loaf", 3,
                                "batch-small");
    cr_expect_eq(told.possible_from, 0, "six loaves would take 600 g of levain");
    world_free(w);
}

/* 52 loaves fill the mixer; of two batches 63 are the fewest. */
Test(offer, more_than_a_full_mixer_must_be_two_that_are_full_enough)
{
    struct world *w = loaf_bakery();
    w->catalogue.bakery.mixers[0].min_mg = mg("30000");
    order(w, "2027-05-11", "loaf", 50, "");
    struct offer told = refused(w, NULL, at_clock(w, "2027-05-10", "10:00"), "loaf", 5,
                                "batch-small");
    cr_expect_eq(told.possible, 2);
    cr_expect_eq(told.possible_from, 13);
    world_free(w);
}

Test(offer, what_is_too_small_already_may_grow)
{
    struct world *w = loaf_bakery();
    order(w, "2027-05-11", "loaf", 1, "");
    cr_expect(ask(w, at_clock(w, "2027-05-10", "10:00"), "2027-05-11", "loaf", 1).yes);
    world_free(w);
}

/* --- starter --- */

/* 1,900 g can be taken, and no feed ripens any more before half past four. */
Test(offer, the_starter_must_suffice)
{
    struct world *w = loaf_bakery();
    order(w, "2027-05-11", "loaf", 10, "");
    instant now = at_clock(w, "2027-05-10", "16:00");
    struct pot_state pot = fed(at_clock(w, "2027-05-10", "09:00"), "2000");
    struct offer told = refused(w, &pot, now, "loaf", 20, "starter-short");
    cr_expect_eq(told.possible, 9);
    cr_expect_eq(told.reason.short_mg, mg("1100"));
    cr_expect_eq(told.reason.starter, 0);
    cr_expect_eq(told.reason.formula, at_formula(w, "country"));
    cr_expect_eq(told.reason.at, at_clock(w, "2027-05-10", "16:30"));
    cr_expect(ask_with(w, &pot, now, "2027-05-11", "tin", 20).yes, "no starter in it");
    cr_expect(ask(w, now, "2027-05-11", "loaf", 20).yes, "its log is not kept");
    world_free(w);
}

Test(offer, a_feed_in_time_makes_enough)
{
    struct world *w = loaf_bakery();
    order(w, "2027-05-11", "loaf", 10, "");
    struct pot_state pot = fed(at_clock(w, "2027-05-10", "02:00"), "2000");
    cr_expect(ask_with(w, &pot, at_clock(w, "2027-05-10", "10:15"), "2027-05-11", "loaf", 20).yes);
    refused(w, &pot, at_clock(w, "2027-05-10", "10:31"), "loaf", 20, "starter-short");
    world_free(w);
}

/* Tonight is short without these pieces; they are for tomorrow night. */
Test(offer, a_night_that_is_short_refuses_only_what_touches_it)
{
    struct world *w = loaf_bakery();
    order(w, "2027-05-11", "loaf", 40, "");
    instant now = at_clock(w, "2027-05-10", "16:00");
    struct pot_state pot = fed(at_clock(w, "2027-05-10", "09:00"), "2000");
    cr_expect(ask_with(w, &pot, now, "2027-05-12", "loaf", 30).yes);
    struct offer told = refused(w, &pot, now, "loaf", 2, "starter-short");
    cr_expect_eq(told.reason.short_mg, mg("200"), "what is added, not what was short");
    world_free(w);
}

Test(offer, a_starter_that_nobody_saw_ripen_binds_nothing)
{
    struct world *w = loaf_bakery();
    struct pot_state pot = fed(at_clock(w, "2027-05-10", "09:00"), "500");
    instant now = at_clock(w, "2027-05-10", "16:00");
    cr_expect_not(ask_with(w, &pot, now, "2027-05-11", "loaf", 30).yes);
    the_starter(w, "levain")->ripening_count = 0;
    cr_expect(ask_with(w, &pot, now, "2027-05-11", "loaf", 30).yes);
    world_free(w);
}

/* --- machines --- */

/* A batch every twenty minutes: at 16:30, 16:10, 15:50; the fourth would be too early. */
Test(offer, the_mixer_takes_one_batch_after_the_other)
{
    struct world *w = loaf_bakery();
    w->catalogue.bakery.mixers[0] = (struct mixer){.code = "spiral", .max_mg = mg("8000")};
    order(w, "2027-05-11", "loaf", 20, "");
    instant now = at_clock(w, "2027-05-10", "15:35");
    struct offer told = refused(w, NULL, now, "loaf", 10, "mixer-full");
    cr_expect_eq(told.possible, 5, "25 loaves are three batches");
    cr_expect_eq(told.reason.short_minutes, 6);
    cr_expect_str_eq(told.reason.mixer->code, "spiral");
    cr_expect_eq(told.reason.formula, at_formula(w, "country"));
    cr_expect_null(told.reason.oven);
    world_free(w);
}

/* The sponge would have to begin too early, and the oven is to blame. */
Test(offer, the_dough_that_is_baked_is_named)
{
    struct world *w = loaf_bakery();
    formula(w, "sponge", BASIS_FINAL, "wheat 100, water 60, yeast 0.1");
    stages(w, "sponge", "mix 10, ferment 230");
    formula(w, "country", BASIS_FINAL, "wheat 100, water 70, formula sponge 20, salt 2");
    stages(w, "country", "mix 20, bulk 180, proof 540, bake 40, cool 60");
    use(w, "country", 0, USES_MIXER);
    use(w, "country", 3, USES_OVEN);
    w->catalogue.bakery.mixers[0].min_mg = 0;
    open_world(w);
    one_oven(w, 1, 0);
    bakes(w, "loaf", 14, 40);
    order(w, "2027-05-11", "loaf", 10, "");
    struct offer told = refused(w, NULL, at_clock(w, "2027-05-10", "12:00"), "loaf", 10,
                                "oven-full");
    cr_expect_eq(told.reason.formula, at_formula(w, "country"));
    cr_expect_str_eq(told.reason.oven->code, "deck");
    cr_expect_eq(told.reason.short_minutes, 11);
    world_free(w);
}

/* One batch is mixed for the first of its loads. Proofing may last 560 minutes and a tenth: the
 * second load has proofed for 580, the third would for 620. */
Test(offer, dough_does_not_wait_for_the_oven_for_ever)
{
    struct world *w = loaf_bakery();
    one_oven(w, 1, 0);
    bakes(w, "loaf", 14, 40);
    the_formula(w, "country")->stages[2].most_minutes = 560;
    order(w, "2027-05-11", "loaf", 14, "");
    instant now = at_clock(w, "2027-05-09", "10:00");
    struct offer told = refused(w, NULL, now, "loaf", 28, "oven-full");
    cr_expect_eq(told.possible, 14);
    cr_expect_eq(told.reason.formula, at_formula(w, "country"));
    cr_expect_eq(told.reason.short_minutes, 4);
    world_free(w);
}

/* Loads of a whole day would be baked the day before: that is not the bread of the day. */
Test(offer, bread_is_not_baked_half_a_day_too_early)
{
    struct world *w = loaf_bakery();
    one_oven(w, 1, 0);
    bakes(w, "loaf", 14, 40);
    order(w, "2027-05-11", "loaf", 14, "");
    instant now = at_clock(w, "2027-05-01", "10:00");
    struct offer told = refused(w, NULL, now, "loaf", 400, "oven-full");
    cr_expect_eq(told.possible, 18 * 14, "every forty minutes for twelve hours");
    world_free(w);
}

/* One deck of 14: the first of two loads is baked 40 minutes earlier. */
Test(offer, the_oven_takes_one_load_after_the_other)
{
    struct world *w = loaf_bakery();
    one_oven(w, 1, 0);
    bakes(w, "loaf", 14, 40);
    order(w, "2027-05-11", "loaf", 10, "");
    instant now = at_clock(w, "2027-05-10", "16:00");
    struct offer told = refused(w, NULL, now, "loaf", 10, "oven-full");
    cr_expect_eq(told.possible, 4);
    cr_expect_eq(told.reason.short_minutes, 11);
    cr_assert_not_null(told.reason.oven);
    cr_expect_str_eq(told.reason.oven->code, "deck");
    cr_expect_null(told.reason.mixer);
    world_free(w);
}

/* The starter would do for nine more, the oven for four. */
Test(offer, what_is_possible_is_bound_by_nothing)
{
    struct world *w = loaf_bakery();
    one_oven(w, 1, 0);
    bakes(w, "loaf", 14, 40);
    order(w, "2027-05-11", "loaf", 10, "");
    struct pot_state pot = fed(at_clock(w, "2027-05-10", "09:00"), "2000");
    struct offer told = refused(w, &pot, at_clock(w, "2027-05-10", "16:00"), "loaf", 10,
                                "starter-short");
    cr_expect_eq(told.possible, 4);
    world_free(w);
}

Test(offer, the_cold_holds_no_more_than_it_can)
{
    struct world *w = loaf_bakery();
    use(w, "country", 2, USES_COLD);
    w->catalogue.bakery.cold_mg = mg("20000");
    order(w, "2027-05-11", "loaf", 20, "");
    instant now = at_clock(w, "2027-05-10", "16:00");
    cr_expect_eq(refused(w, NULL, now, "loaf", 20, "cold-full").possible, 0);
    world_free(w);
}

Test(offer, so_many_that_no_machine_gets_through)
{
    struct world *w = loaf_bakery();
    instant now = at_clock(w, "2027-05-10", "10:00");
    struct offer told = ask(w, now, "2027-05-11", "loaf", 1000000);
    cr_expect_str_eq(told.reason.code, "mixer-full");
    cr_expect_gt(told.reason.short_minutes, 300000);
    cr_expect_gt(told.possible, 0);
    expect_possible(w, NULL, now, "2027-05-11", "loaf", &told);
    w->catalogue.bakery.mixer_count = 0;
    one_oven(w, 1, 0);
    bakes(w, "loaf", 14, 40);
    told = ask(w, now, "2027-05-11", "loaf", 1000000);
    cr_expect_str_eq(told.reason.code, "oven-full");
    expect_possible(w, NULL, now, "2027-05-11", "loaf", &told);
    world_free(w);
}

/* --- hands --- */

static struct shift night = {"night", 0xfe, 20 * 60, 12 * 60, 1};

/* Brown bread beside the white, mixed in a mixer of its own at the same time. */
static struct world *two_breads(const char *brown_stages)
{
    struct world *w = loaf_bakery();
    night.hands = 1;
    w->catalogue.bakery.shifts = &night;
    w->catalogue.bakery.shift_count = 1;
    mixer(w, "small", "0", "40000");
    formula(w, "brown", BASIS_FINAL, "wheat 50, rye 50, water 70, salt 2, yeast 2");
    stages(w, "brown", brown_stages);
    the_formula(w, "brown")->mixer = "small";
    the_formula(w, "brown")->stages[0].hands = 1;
    the_formula(w, "white")->stages[0].hands = 1;
    product(w, "square", "brown 800");
    open_world(w);
    order(w, "2027-05-11", "tin", 20, "");
    return w;
}

Test(offer, one_thing_is_done_after_the_other)
{
    struct world *w = two_breads("mix 15, rest 225");
    instant now = at_clock(w, "2027-05-10", "16:00");
    cr_expect(ask(w, now, "2027-05-11", "square", 10).yes);
    the_formula(w, "brown")->stages[0].hands = 2;
    struct offer told = refused(w, NULL, now, "square", 10, "hands-short");
    cr_expect_eq(told.possible, 0);
    cr_expect_eq(told.reason.short_minutes, 15, "one pair is there of two");
    cr_expect_eq(told.reason.at, at_clock(w, "2027-05-11", "02:30"));
    night.hands = 2;
    cr_expect(ask(w, now, "2027-05-11", "square", 10).yes);
    world_free(w);
}

/* A hundred minutes of each from half past two on: two hundred in the hundred and sixty from two
 * to twenty to five. */
Test(offer, there_is_more_work_than_the_hands_can_do)
{
    struct world *w = two_breads("shape 100, rest 140");
    instant now = at_clock(w, "2027-05-10", "16:00");
    cr_expect(ask(w, now, "2027-05-11", "square", 10).yes);
    the_formula(w, "white")->stages[0].minutes = 100;
    the_formula(w, "white")->stages[1].minutes = 5;
    struct offer told = refused(w, NULL, now, "square", 10, "hands-short");
    cr_expect_eq(told.reason.short_minutes, 40);
    world_free(w);
}

Test(offer, nobody_is_there)
{
    struct world *w = two_breads("mix 15, rest 735");
    instant now = at_clock(w, "2027-05-10", "16:00");
    struct offer told = refused(w, NULL, now, "square", 10, "hands-short");
    cr_expect_eq(told.reason.short_minutes, 15);
    cr_expect_eq(told.reason.at, at_clock(w, "2027-05-10", "18:00"), "before the shift begins");
    world_free(w);
}
