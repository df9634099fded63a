/* "Can we take it?": every reason once, what is still possible, and until when. */
#include "bakery/offer.h"

#include "world.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(offer, .timeout = 60);

/* --- a bakery --- */

static struct ripening seen[] = {{10000, 20000, 20000, 24 * 10000, 360}};

static void use(struct world *w, const char *code, size_t stage, enum stage_use uses)
{
    the_formula(w, code)->stages[stage].uses = uses;
}

static void levain(struct world *w)
{
    starter(w, "levain", "100", "wheat 80, rye 20");
    struct starter *of = the_starter(w, "levain");
    of->keep_mg = mg("100");
    of->ripenings = seen;
    of->ripening_count = sizeof seen / sizeof *seen;
    of->stays_ripe_minutes = 180;
    of->stands_c = 24 * 10000;
    of->feed_within_minutes = 1440;
    of->rest_feed_days = 7;
    of->wake_feeds = 2;
}

/* A loaf takes 100 g of levain; its dough begins 14 hours before half past six, the tins' 4. */
static struct world *bakery(void)
{
    struct world *w = world_new();
    w->catalogue.bakery.feed_from = w->catalogue.bakery.feed_to = NO_CLOCK;
    levain(w);
    mixer(w, "spiral", "5000", "50000");
    formula(w, "country", BASIS_FINAL, "wheat 100, water 70, starter levain 20, salt 2");
    stages(w, "country", "mix 20, bulk 180, proof 540, bake 40, cool 60");
    use(w, "country", 0, USES_MIXER);
    use(w, "country", 3, USES_OVEN);
    formula(w, "white", BASIS_FINAL, "wheat 100, water 68, salt 2, yeast 2");
    stages(w, "white", "mix 15, bulk 90, proof 60, bake 30, cool 45");
    use(w, "white", 0, USES_MIXER);
    use(w, "white", 3, USES_OVEN);
    product(w, "loaf", "country 960");
    product(w, "tin", "white 860");
    product(w, "card", "seeds 10");
    open_world(w);
    return w;
}

static void oven(struct world *w, int64_t decks, int64_t preheat)
{
    static struct oven one;
    one = (struct oven){"deck", decks, 1, preheat, 0};
    w->catalogue.bakery.ovens = &one;
    w->catalogue.bakery.oven_count = 1;
}

static void bake(struct world *w, const char *code, int64_t per_place, int64_t minutes)
{
    struct bake_step *step = arena_array(w->arena, 1, sizeof *step);
    cr_assert_not_null(step);
    *step = (struct bake_step){250 * 10000, minutes, true};
    the_product(w, code)->bake = (struct bake){per_place, step, 1};
}

static instant at_clock(const struct world *w, const char *day, const char *clock)
{
    int minutes = 0;
    cr_assert(clock_parse(clock, &minutes));
    return zone_instant(w->reckoning.zone, day_of(day), minutes);
}

/* --- asking --- */

static const struct pot_state no_log[4] = {{.entries = 0}};

static struct offer_world as_known(struct world *w, instant now, const struct pot_state *pots)
{
    return (struct offer_world){&w->reckoning, now, w->demands, w->demand_count,
                                pots ? pots : no_log};
}

static struct offer ask_with(struct world *w, const struct pot_state *pots, instant now,
                             const char *day, const char *code, int64_t pieces)
{
    struct offer out;
    struct offer_world known = as_known(w, now, pots);
    cr_assert(offer_of(&known, day_of(day), at_product(w, code), pieces, &out), "%s",
              w->fails.count > 0 ? w->fails.items[0].text : "no fault told");
    cr_expect_eq(out.yes, out.reason.code == NULL);
    cr_expect_eq(out.yes, out.possible == pieces);
    if (!out.yes) cr_expect_not_null(out.reason.text);
    return out;
}

static struct offer ask(struct world *w, instant now, const char *day, const char *code,
                        int64_t pieces)
{
    return ask_with(w, NULL, now, day, code, pieces);
}

/* What is said to be possible is, and one more is not. */
static void expect_possible(struct world *w, const struct pot_state *pots, instant now,
                            const char *day, const char *code, const struct offer *told)
{
    if (told->yes) return;
    if (told->possible > 0)
        cr_expect(ask_with(w, pots, now, day, code, told->possible).yes, "%ld", told->possible);
    cr_expect_not(ask_with(w, pots, now, day, code, told->possible + 1).yes, "%ld + 1",
                  told->possible);
    if (told->possible_from > 0) {
        cr_expect(ask_with(w, pots, now, day, code, told->possible_from).yes);
        cr_expect_str_eq(ask_with(w, pots, now, day, code, told->possible_from - 1).reason.code,
                         "batch-small");
    }
}

static struct offer refused(struct world *w, const struct pot_state *pots, instant now,
                            const char *code, int64_t pieces, const char *reason)
{
    struct offer told = ask_with(w, pots, now, "2027-05-11", code, pieces);
    cr_assert_not(told.yes);
    cr_expect_str_eq(told.reason.code, reason);
    expect_possible(w, pots, now, "2027-05-11", code, &told);
    return told;
}

/* --- yes --- */

Test(offer, what_nothing_binds_can_be_taken)
{
    struct world *w = bakery();
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
    struct world *w = bakery();
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
    struct world *w = bakery();
    instant begins = at_clock(w, "2027-05-10", "16:30");
    cr_expect(ask(w, begins - 1, "2027-05-11", "loaf", 20).yes);
    cr_expect_eq(refused(w, NULL, begins + 3600, "loaf", 20, "mix-begun").reason.at, begins);
    world_free(w);
}

Test(offer, a_preferment_that_has_begun_takes_no_more)
{
    struct world *w = bakery();
    formula(w, "sponge", BASIS_FINAL, "wheat 100, water 60, yeast 0.1");
    stages(w, "sponge", "ferment 720");
    formula(w, "white", BASIS_FINAL, "wheat 100, water 68, salt 2, formula sponge 50");
    stages(w, "white", "all 240");
    open_world(w);
    instant begins = at_clock(w, "2027-05-10", "14:30");
    order(w, "2027-05-11", "tin", 50, "");
    cr_expect(ask(w, begins - 1, "2027-05-11", "tin", 1).yes);
    struct offer told = refused(w, NULL, begins, "tin", 1, "mix-begun");
    cr_expect_eq(told.reason.formula, at_formula(w, "sponge"));
    world_free(w);
}

/* --- batches --- */

Test(offer, a_batch_must_not_be_too_small)
{
    struct world *w = bakery();
    struct offer told = refused(w, NULL, at_clock(w, "2027-05-10", "10:00"), "loaf", 3,
                                "batch-small");
    cr_expect_eq(told.possible, 0);
    cr_expect_eq(told.possible_from, 6);
    cr_expect_eq(told.reason.short_mg, mg("2120"));
    cr_expect_str_eq(told.reason.mixer->code, "spiral");
    cr_expect_eq(told.reason.formula, at_formula(w, "country"));
    world_free(w);
}

/* 52 loaves fill the mixer; of two batches 63 are the fewest. */
Test(offer, more_than_a_full_mixer_must_be_two_that_are_full_enough)
{
    struct world *w = bakery();
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
    struct world *w = bakery();
    order(w, "2027-05-11", "loaf", 1, "");
    cr_expect(ask(w, at_clock(w, "2027-05-10", "10:00"), "2027-05-11", "loaf", 1).yes);
    world_free(w);
}

/* --- starter --- */

static struct pot_state fed(instant at, const char *grams)
{
    int64_t part = mg(grams) / 5;
    return (struct pot_state){.entries = 2,
                              .last_at = at,
                              .on_hand_mg = mg(grams),
                              .fed = true,
                              .feeds_awake = 2,
                              .feed = {.number = 2,
                                       .kind = POT_FED,
                                       .at = at,
                                       .on_hand_mg = mg(grams),
                                       .seed_mg = part,
                                       .flour_mg = 2 * part,
                                       .water_mg = 2 * part,
                                       .has_c = true,
                                       .c = 24 * 10000}};
}

/* 1,900 g can be taken, and no feed ripens any more before half past four. */
Test(offer, the_starter_must_suffice)
{
    struct world *w = bakery();
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
    struct world *w = bakery();
    order(w, "2027-05-11", "loaf", 10, "");
    struct pot_state pot = fed(at_clock(w, "2027-05-10", "02:00"), "2000");
    cr_expect(ask_with(w, &pot, at_clock(w, "2027-05-10", "10:15"), "2027-05-11", "loaf", 20).yes);
    refused(w, &pot, at_clock(w, "2027-05-10", "10:31"), "loaf", 20, "starter-short");
    world_free(w);
}

/* Tonight is short without these pieces; they are for tomorrow night. */
Test(offer, a_night_that_is_short_refuses_only_what_touches_it)
{
    struct world *w = bakery();
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
    struct world *w = bakery();
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
    struct world *w = bakery();
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

/* Loads of a whole day would be baked the day before: that is not the bread of the day. */
Test(offer, bread_is_not_baked_half_a_day_too_early)
{
    struct world *w = bakery();
    oven(w, 1, 0);
    bake(w, "loaf", 14, 40);
    order(w, "2027-05-11", "loaf", 14, "");
    instant now = at_clock(w, "2027-05-01", "10:00");
    struct offer told = refused(w, NULL, now, "loaf", 400, "oven-full");
    cr_expect_eq(told.possible, 18 * 14, "every forty minutes for twelve hours");
    world_free(w);
}

/* One deck of 14: the first of two loads is baked 40 minutes earlier. */
Test(offer, the_oven_takes_one_load_after_the_other)
{
    struct world *w = bakery();
    oven(w, 1, 0);
    bake(w, "loaf", 14, 40);
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

Test(offer, the_cold_holds_no_more_than_it_can)
{
    struct world *w = bakery();
    use(w, "country", 2, USES_COLD);
    w->catalogue.bakery.cold_mg = mg("20000");
    order(w, "2027-05-11", "loaf", 20, "");
    instant now = at_clock(w, "2027-05-10", "16:00");
    cr_expect_eq(refused(w, NULL, now, "loaf", 20, "cold-full").possible, 0);
    world_free(w);
}

Test(offer, so_many_that_no_machine_gets_through)
{
    struct world *w = bakery();
    instant now = at_clock(w, "2027-05-10", "10:00");
    struct offer told = ask(w, now, "2027-05-11", "loaf", 1000000);
    cr_expect_str_eq(told.reason.code, "mixer-full");
    cr_expect_gt(told.reason.short_minutes, 300000);
    cr_expect_gt(told.possible, 0);
    expect_possible(w, NULL, now, "2027-05-11", "loaf", &told);
    w->catalogue.bakery.mixer_count = 0;
    oven(w, 1, 0);
    bake(w, "loaf", 14, 40);
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
    struct world *w = bakery();
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

/* --- all numbers --- */

/* Once it is no, it stays no, apart from batches that are too small. */
static void expect_monotone(struct world *w, const struct pot_state *pots, instant now,
                            const char *code, int64_t most, int64_t step)
{
    bool was_yes = true;
    for (int64_t pieces = 1; pieces <= most; pieces += step) {
        struct offer told = ask_with(w, pots, now, "2027-05-11", code, pieces);
        expect_possible(w, pots, now, "2027-05-11", code, &told);
        if (!told.yes && strcmp(told.reason.code, "batch-small") == 0) continue;
        cr_expect_not(told.yes && !was_yes, "%ld pieces", pieces);
        was_yes = told.yes;
    }
}

Test(offer, more_is_never_easier)
{
    struct world *w = bakery();
    oven(w, 2, 30);
    bake(w, "loaf", 14, 40);
    bake(w, "tin", 30, 30);
    order(w, "2027-05-11", "loaf", 20, "");
    order(w, "2027-05-11", "tin", 20, "");
    instant now = at_clock(w, "2027-05-10", "14:00");
    struct pot_state pot = fed(at_clock(w, "2027-05-10", "07:00"), "20000");
    expect_monotone(w, NULL, now, "loaf", 100, 9);
    expect_monotone(w, &pot, now, "loaf", 250, 24);
    expect_monotone(w, &pot, now, "tin", 400, 40);
    world_free(w);
}

/* --- the last moment --- */

static struct last_order last(struct world *w, const struct pot_state *pots, instant now,
                              const char *day, const char *code)
{
    struct last_order out[8];
    struct offer_world known = as_known(w, now, pots);
    cr_assert(last_orders_of(&known, day_of(day), out));
    return out[at_product(w, code)];
}

/* A second before it one more can be taken, and at it no more. */
static void expect_last(struct world *w, const struct pot_state *pots, const char *day,
                        const char *code, instant at)
{
    cr_expect(ask_with(w, pots, at - 1, day, code, 1).yes, "%s", clock_text(w, at));
    cr_expect_not(ask_with(w, pots, at, day, code, 1).yes, "%s", clock_text(w, at));
    cr_expect_not(last(w, pots, at - 1, day, code).over);
    cr_expect(last(w, pots, at, day, code).over);
}

Test(offer, orders_end_when_the_mix_begins)
{
    struct world *w = bakery();
    order(w, "2027-05-11", "loaf", 30, "");
    order(w, "2027-05-11", "tin", 30, "");
    instant now = at_clock(w, "2027-05-09", "16:00");
    struct last_order told = last(w, NULL, now, "2027-05-11", "loaf");
    cr_expect(told.any);
    cr_expect_not(told.over);
    cr_expect_str_eq(clock_text(w, told.at), "2027-05-10T16:30:00+01:00");
    cr_expect_eq(told.formula, at_formula(w, "country"));
    cr_expect_eq(told.starter, NOT_FOUND);
    expect_last(w, NULL, "2027-05-11", "loaf", told.at);
    told = last(w, NULL, now, "2027-05-11", "tin");
    cr_expect_str_eq(clock_text(w, told.at), "2027-05-11T02:30:00+01:00");
    expect_last(w, NULL, "2027-05-11", "tin", told.at);
    cr_expect_not(last(w, NULL, now, "2027-05-11", "card").any);
    world_free(w);
}

Test(offer, an_hour_more_or_less_in_the_night_of_a_clock_change)
{
    struct world *w = bakery();
    const struct {
        const char *day, *loaf, *tin;
    } nights[] = {{"2027-03-28", "2027-03-27T15:30:00+00:00", "2027-03-28T01:30:00+00:00"},
                  {"2027-10-31", "2027-10-30T17:30:00+01:00", "2027-10-31T02:30:00+00:00"}};
    for (size_t i = 0; i < sizeof nights / sizeof *nights; i++) {
        const char *day = nights[i].day;
        instant now = at_clock(w, day, "00:00") - SECONDS_PER_DAY;
        order(w, day, "loaf", 30, "");
        order(w, day, "tin", 30, "");
        struct last_order told = last(w, NULL, now, day, "loaf");
        cr_expect_str_eq(clock_text(w, told.at), nights[i].loaf);
        expect_last(w, NULL, day, "loaf", told.at);
        told = last(w, NULL, now, day, "tin");
        if (i == 1) cr_expect_str_eq(clock_text(w, told.at), nights[i].tin);
        expect_last(w, NULL, day, "tin", told.at);
    }
    world_free(w);
}

/* The feed makes just what the mix takes; after it nothing more can ripen in time. */
Test(offer, orders_end_with_the_feed_that_makes_just_enough)
{
    struct world *w = bakery();
    order(w, "2027-05-11", "loaf", 40, "");
    instant now = at_clock(w, "2027-05-10", "08:00");
    struct pot_state pot = fed(at_clock(w, "2027-05-10", "02:00"), "2000");
    struct last_order told = last(w, &pot, now, "2027-05-11", "loaf");
    cr_expect_eq(told.starter, 0);
    cr_expect_eq(told.formula, NOT_FOUND);
    cr_expect_str_eq(clock_text(w, told.at), "2027-05-10T10:30:00+01:00");
    cr_expect(ask_with(w, &pot, told.at - 1, "2027-05-11", "loaf", 1).yes);
    struct pot_state after = fed(told.at, "4100");
    cr_expect_not(ask_with(w, &after, told.at + 1, "2027-05-11", "loaf", 1).yes);
    cr_expect(last(w, &after, told.at + 1, "2027-05-11", "loaf").over);
    struct pot_state rich = fed(told.at, "4300");
    cr_expect(ask_with(w, &rich, told.at + 1, "2027-05-11", "loaf", 1).yes);
    cr_expect_not(last(w, &rich, told.at + 1, "2027-05-11", "loaf").over);
    world_free(w);
}

/* --- trouble --- */

Test(offer, amounts_beyond_counting_are_told)
{
    struct world *w = bakery();
    struct offer out;
    struct offer_world known = as_known(w, at_clock(w, "2027-05-10", "10:00"), NULL);
    the_product(w, "loaf")->parts[0].mg = INT64_MAX;
    cr_expect_not(offer_of(&known, day_of("2027-05-11"), at_product(w, "loaf"), 1000000, &out));
    cr_expect_eq(fails_code(&w->fails), FAIL_INVALID);
    cr_expect_str_eq(w->fails.items[0].path, "");
    world_free(w);
}

static bool ask_offer(struct world *w, const struct offer_world *known)
{
    struct offer out;
    return offer_of(known, day_of("2027-05-11"), at_product(w, "loaf"), 200, &out) && !out.yes;
}

static bool ask_last(struct world *w, const struct offer_world *known)
{
    struct last_order out[8];
    (void)w;
    return last_orders_of(known, day_of("2027-05-11"), out);
}

/* Every one of the first allocations; of the later ones fewer and fewer. */
static void fail_allocations(bool (*question)(struct world *, const struct offer_world *))
{
    for (long n = 1;; n += 1 + n / 40) {
        struct world *w = bakery();
        oven(w, 1, 30);
        bake(w, "loaf", 14, 40);
        order(w, "2027-05-11", "loaf", 40, "");
        struct pot_state pot = fed(at_clock(w, "2027-05-10", "02:00"), "2000");
        struct offer_world known = as_known(w, at_clock(w, "2027-05-10", "08:00"), &pot);
        arena_fail_nth(n);
        bool done = question(w, &known);
        arena_fail_nth(0);
        bool failed = fails_any(&w->fails);
        cr_expect_neq(done, failed, "allocation %ld", n);
        if (failed) cr_expect_eq(fails_code(&w->fails), FAIL_UNAVAILABLE);
        world_free(w);
        if (!failed) {
            cr_expect_gt(n, 50);
            break;
        }
    }
}

Test(offer, short_memory_is_told)
{
    fail_allocations(ask_offer);
    fail_allocations(ask_last);
}
