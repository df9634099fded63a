/* The next open bread day. */
#include "bakery/opening.h"

#include "world.h"

#include <criterion/criterion.h>

TestSuite(opening, .timeout = 30);

/* Three breads ready at 06:30 in London: mixed 10, 12 and 60 hours before. */
static struct world *three_breads(void)
{
    struct world *w = world_new();
    formula(w, "quick", BASIS_FINAL, "wheat 100, water 60");
    stages(w, "quick", "all 600");
    formula(w, "slow", BASIS_FINAL, "wheat 100, water 70");
    stages(w, "slow", "all 720");
    formula(w, "slowest", BASIS_FINAL, "rye 100, water 90");
    stages(w, "slowest", "all 3600");
    product(w, "bun", "quick 80");
    product(w, "loaf", "slow 900");
    product(w, "brick", "slowest 900");
    open_world(w);
    return w;
}

static struct opening opening_at(struct world *w, const char *day, int minutes)
{
    struct opening opening;
    instant now = zone_instant(w->reckoning.zone, day_of(day), minutes);
    cr_assert(opening_of(&w->reckoning, now, &opening));
    return opening;
}

Test(opening, closes_when_half_of_the_doughs_have_begun)
{
    struct world *w = three_breads();
    struct opening opening = opening_at(w, "2027-02-01", 18 * 60 + 29);
    cr_expect_str_eq(day_text(opening.bread_day), "2027-02-02");
    cr_expect_str_eq(clock_text(w, opening.mixing_begins), "2027-02-01T18:30:00+00:00");
    opening = opening_at(w, "2027-02-01", 18 * 60 + 30);
    cr_expect_str_eq(day_text(opening.bread_day), "2027-02-03");
    world_free(w);
}

/* 06:30 summer time on the night of the change is 05:30 UTC: twelve hours earlier it is 17:30. */
Test(opening, counts_real_hours_when_the_clock_changes)
{
    struct world *w = three_breads();
    struct opening opening = opening_at(w, "2027-03-27", 12 * 60);
    cr_expect_str_eq(day_text(opening.bread_day), "2027-03-28");
    cr_expect_str_eq(clock_text(w, opening.mixing_begins), "2027-03-27T17:30:00+00:00");
    world_free(w);
}

Test(opening, is_tomorrow_while_there_is_no_bread)
{
    struct world *w = world_new();
    open_world(w);
    struct opening opening = opening_at(w, "2027-02-01", 9 * 60);
    cr_expect_str_eq(day_text(opening.bread_day), "2027-02-02");
    cr_expect_not(opening.has_mixing);
    world_free(w);
}
