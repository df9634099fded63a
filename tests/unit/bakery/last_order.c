/* Until when more of a product can be ordered. */
#include "offer_world.h"

#include <criterion/criterion.h>

TestSuite(last_order, .timeout = 60);

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

Test(last_order, orders_end_when_the_mix_begins)
{
    struct world *w = loaf_bakery();
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

/* Two batches in one mixer: the first begins earlier than the dough alone would have to. */
Test(last_order, orders_end_when_the_timetable_begins_the_mix)
{
    struct world *w = loaf_bakery();
    w->catalogue.bakery.mixers[0] = (struct mixer){.code = "spiral", .max_mg = mg("8000")};
    order(w, "2027-05-11", "loaf", 10, "");
    struct last_order told = last(w, NULL, at_clock(w, "2027-05-09", "16:00"), "2027-05-11",
                                  "loaf");
    cr_expect_str_eq(clock_text(w, told.at), "2027-05-10T16:10:00+01:00");
    expect_last(w, NULL, "2027-05-11", "loaf", told.at);
    world_free(w);
}

Test(last_order, an_hour_more_or_less_in_the_night_of_a_clock_change)
{
    struct world *w = loaf_bakery();
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
Test(last_order, orders_end_with_the_feed_that_makes_just_enough)
{
    struct world *w = loaf_bakery();
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

/* By a scale of half a kilo the feed makes five kilos where four and a half are taken. */
Test(last_order, what_a_feed_leaves_over_can_still_be_ordered)
{
    struct world *w = loaf_bakery();
    w->catalogue.bakery.scale_mg = mg("500");
    order(w, "2027-05-11", "loaf", 42, "");
    instant now = at_clock(w, "2027-05-10", "08:00");
    struct pot_state pot = fed(at_clock(w, "2027-05-10", "02:00"), "2000");
    struct last_order told = last(w, &pot, now, "2027-05-11", "loaf");
    cr_expect_eq(told.formula, at_formula(w, "country"));
    cr_expect_eq(told.starter, NOT_FOUND);
    cr_expect_str_eq(clock_text(w, told.at), "2027-05-10T16:30:00+01:00");
    world_free(w);
}

/* Four kilos stay after tonight's mixes, all of which the next feed needs. */
Test(last_order, what_the_next_feed_needs_is_not_left_over)
{
    struct world *w = loaf_bakery();
    order(w, "2027-05-11", "loaf", 40, "");
    order(w, "2027-05-12", "loaf", 200, "");
    instant now = at_clock(w, "2027-05-10", "08:00");
    struct pot_state pot = fed(at_clock(w, "2027-05-10", "02:00"), "2000");
    struct last_order told = last(w, &pot, now, "2027-05-11", "loaf");
    cr_expect_eq(told.starter, 0);
    cr_expect_str_eq(clock_text(w, told.at), "2027-05-10T10:30:00+01:00");
    world_free(w);
}
