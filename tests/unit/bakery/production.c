/* Pieces, spare, doughs and their mixing dates. */
#include "world.h"

#include <criterion/criterion.h>

TestSuite(production, .timeout = 30);

/* A bakery with one dough that takes 14 hours. */
static struct world *small_bakery(void)
{
    struct world *w = world_new();
    formula(w, "country", BASIS_FINAL, "wheat 100, water 70, salt 2");
    stages(w, "country", "mix 20, bulk 180, proof 600, bake 40");
    formula(w, "filling", BASIS_FINAL, "seeds 100, water 50");
    product(w, "loaf", "country 900");
    product(w, "roll", "country 90, seeds 5");
    open_world(w);
    return w;
}

Test(production, orders_add_up)
{
    struct world *w = small_bakery();
    order(w, "2027-05-10", "roll", 100, "");
    order(w, "2027-05-10", "loaf", 12, "");
    order(w, "2027-05-10", "loaf", 30, "05:00");
    order(w, "2027-05-11", "loaf", 999, "");
    struct production p = production_on(w, "2027-05-10");
    cr_assert_eq(p.product_count, 2);
    cr_expect_eq(p.products[0].product, at_product(w, "loaf"), "by code");
    cr_expect_eq(p.products[0].ordered, 42);
    cr_expect_eq(p.products[0].spare, 0);
    cr_expect_eq(p.products[0].pieces, 42);
    cr_expect_eq(p.products[1].ordered, 100);
    cr_assert_eq(p.dough_count, 1);
    cr_expect_eq(p.doughs[0].mg, mg("46800"));
    cr_expect_str_eq(day_text(p.doughs[0].mixing_date), "2027-05-09");
    world_free(w);
}

Test(production, a_day_without_orders_is_empty)
{
    struct world *w = small_bakery();
    order(w, "2027-05-11", "loaf", 1, "");
    struct production p = production_on(w, "2027-05-10");
    cr_expect_eq(p.product_count, 0);
    cr_expect_eq(p.dough_count, 0);
    world_free(w);
}

/* ordered, spare in percent, spare expected: whole pieces, always up. */
static const struct {
    int64_t ordered;
    const char *pct;
    int64_t spare;
} spares[] = {
    {100, "5", 5},    {101, "5", 6},          {99, "5", 5},
    {1, "0.0001", 1}, {1000000, "0.0001", 1}, {1000001, "0.0001", 2},
    {40, "2.5", 1},   {41, "2.5", 2},         {7, "0", 0},
    {3, "100", 3},    {3, "233.3333", 7},     {3, "233.3334", 8},
};

Test(production, spare_is_rounded_up)
{
    for (size_t i = 0; i < sizeof spares / sizeof *spares; i++) {
        struct world *w = small_bakery();
        the_product(w, "loaf")->spare_pct = pct(spares[i].pct);
        order(w, "2027-05-10", "loaf", spares[i].ordered, "");
        struct production p = production_on(w, "2027-05-10");
        cr_expect_eq(p.products[0].spare, spares[i].spare, "%ld at %s %%: %ld", spares[i].ordered,
                     spares[i].pct, p.products[0].spare);
        cr_expect_eq(p.products[0].pieces, spares[i].ordered + spares[i].spare);
        world_free(w);
    }
}

/* The spare is reckoned once for all that is ordered of a product, not for each customer. */
Test(production, spare_is_of_the_products_sum_and_goes_with_the_earliest)
{
    struct world *w = small_bakery();
    size_t count;
    the_product(w, "loaf")->spare_pct = pct("10");
    order(w, "2027-05-10", "loaf", 11, "09:00");
    order(w, "2027-05-10", "loaf", 11, "04:00");
    order(w, "2027-05-10", "loaf", 11, "");
    order(w, "2027-05-10", "loaf", 4, "04:00");
    struct baking *b = bakings_of(&w->reckoning, w->demands, w->demand_count, &count);
    cr_assert_not_null(b);
    cr_assert_eq(count, 3);
    cr_expect_eq(b[0].ordered, 15);
    cr_expect_eq(b[0].spare, 4, "ten per cent of 37");
    cr_expect_eq(b[0].pieces, 19);
    cr_expect_eq(b[1].pieces, 11);
    cr_expect_eq(b[2].pieces, 11);
    cr_expect_str_eq(clock_text(w, b[0].ready), "2027-05-10T04:00:00+01:00");
    cr_expect_str_eq(clock_text(w, b[1].ready), "2027-05-10T06:30:00+01:00");
    world_free(w);
}

Test(production, bakings_are_sorted_by_day_product_and_instant)
{
    struct world *w = small_bakery();
    size_t count;
    order(w, "2027-05-11", "loaf", 1, "");
    order(w, "2027-05-10", "roll", 2, "");
    order(w, "2027-05-10", "loaf", 3, "08:00");
    order(w, "2027-05-10", "loaf", 4, "07:00");
    order(w, "2027-05-10", "roll", 5, "06:30");
    struct baking *b = bakings_of(&w->reckoning, w->demands, w->demand_count, &count);
    cr_assert_eq(count, 4, "06:30 is the bakery's own time");
    cr_expect_eq(b[0].pieces, 4);
    cr_expect_eq(b[1].pieces, 3);
    cr_expect_eq(b[2].pieces, 7);
    cr_expect_eq(b[3].pieces, 1);
    world_free(w);
}

Test(production, the_customers_time_then_the_products_then_the_bakerys)
{
    struct world *w = small_bakery();
    the_product(w, "roll")->ready_at = 8 * 60;
    order(w, "2027-05-10", "loaf", 1, "");
    order(w, "2027-05-10", "roll", 1, "");
    order(w, "2027-05-10", "roll", 1, "00:00");
    cr_expect_str_eq(clock_text(w, ready_instant(&w->reckoning, &w->demands[0])),
                     "2027-05-10T06:30:00+01:00");
    cr_expect_str_eq(clock_text(w, ready_instant(&w->reckoning, &w->demands[1])),
                     "2027-05-10T08:00:00+01:00");
    cr_expect_str_eq(clock_text(w, ready_instant(&w->reckoning, &w->demands[2])),
                     "2027-05-10T00:00:00+01:00");
    world_free(w);
}

Test(production, handling_loss_makes_more_dough)
{
    struct world *w = small_bakery();
    the_formula(w, "country")->handling_loss_pct = pct("3");
    order(w, "2027-05-10", "loaf", 97, "");
    order(w, "2027-05-10", "roll", 1, "");
    struct production p = production_on(w, "2027-05-10");
    cr_expect_eq(p.doughs[0].mg, mg("90092.784"), "(97 x 900 + 90) / 0.97 = 90092.7835...");
    world_free(w);
}

/* 100 g at 20 % loss and half a milligram more: 125.0005 g and 125.0015 g are halves. */
Test(production, grams_round_half_to_even)
{
    struct world *w = small_bakery();
    the_formula(w, "country")->handling_loss_pct = pct("20");
    the_product(w, "loaf")->parts[0].mg = 100000;
    the_product(w, "roll")->parts[0].mg = 2;
    order(w, "2027-05-10", "loaf", 1, "");
    order(w, "2027-05-10", "roll", 1, "");
    cr_expect_eq(production_on(w, "2027-05-10").doughs[0].mg, 125002, "125.0025");
    order(w, "2027-05-10", "roll", 2, "");
    cr_expect_eq(production_on(w, "2027-05-10").doughs[0].mg, 125008, "125.0075");
    world_free(w);
}

Test(production, one_dough_of_a_day_may_have_two_mixing_dates)
{
    struct world *w = small_bakery();
    order(w, "2027-05-10", "loaf", 10, "01:59");
    order(w, "2027-05-10", "loaf", 10, "02:00");
    order(w, "2027-05-10", "roll", 10, "23:00");
    struct production p = production_on(w, "2027-05-10");
    cr_assert_eq(p.dough_count, 2);
    cr_expect_str_eq(day_text(p.doughs[0].mixing_date), "2027-05-08", "begins 11:59");
    cr_expect_eq(p.doughs[0].mg, mg("9000"));
    cr_expect_str_eq(day_text(p.doughs[1].mixing_date), "2027-05-09", "from 12:00 on");
    cr_expect_eq(p.doughs[1].mg, mg("9900"));
    world_free(w);
}

/* --- working days --- */

static const char *working_day_text(struct world *w, const char *day, int minutes)
{
    return day_text(
        working_day(&w->reckoning, zone_instant(w->reckoning.zone, day_of(day), minutes)));
}

Test(production, a_working_day_lasts_from_noon_to_noon)
{
    struct world *w = small_bakery();
    cr_expect_str_eq(working_day_text(w, "2027-05-10", 11 * 60 + 59), "2027-05-09");
    cr_expect_str_eq(working_day_text(w, "2027-05-10", 12 * 60), "2027-05-10");
    cr_expect_str_eq(working_day_text(w, "2027-05-10", 23 * 60), "2027-05-10");
    cr_expect_str_eq(working_day_text(w, "2027-05-11", 0), "2027-05-10");
    w->catalogue.bakery.day_starts_at = 0;
    cr_expect_str_eq(working_day_text(w, "2027-05-10", 0), "2027-05-10");
    cr_expect_str_eq(working_day_text(w, "2027-05-10", 23 * 60 + 59), "2027-05-10");
    world_free(w);
}

/* A working day that begins at a time which the clock skips, and at one that it shows twice. */
Test(production, working_days_meet_at_a_clock_change)
{
    struct world *w = small_bakery();
    w->catalogue.bakery.day_starts_at = 90;
    instant gap = zone_instant(w->reckoning.zone, day_of("2027-03-28"), 90);
    cr_expect_str_eq(day_text(working_day(&w->reckoning, gap - 1)), "2027-03-27");
    cr_expect_str_eq(day_text(working_day(&w->reckoning, gap)), "2027-03-28");
    instant first = zone_instant(w->reckoning.zone, day_of("2027-10-31"), 90);
    cr_expect_str_eq(day_text(working_day(&w->reckoning, first - 1)), "2027-10-30");
    cr_expect_str_eq(day_text(working_day(&w->reckoning, first)), "2027-10-31");
    cr_expect_str_eq(day_text(working_day(&w->reckoning, first + 45 * 60)), "2027-10-31",
                     "01:15 for the second time: its working day has begun");
    world_free(w);
}

/* Between two instants every one belongs to one working day: its begin is not after it, the next
 * one is. */
static void expect_one_day_each(struct world *w, const char *from, const char *to, instant step)
{
    for (int start = 0; start < MINUTES_PER_DAY; start += 30) {
        w->catalogue.bakery.day_starts_at = start;
        instant end = (instant)day_of(to) * SECONDS_PER_DAY;
        for (instant at = (instant)day_of(from) * SECONDS_PER_DAY; at < end; at += step) {
            date day = working_day(&w->reckoning, at);
            cr_assert(zone_instant(w->reckoning.zone, day, start) <= at &&
                          at < zone_instant(w->reckoning.zone, day + 1, start),
                      "%s from minute %d at %ld", w->catalogue.bakery.time_zone, start, at);
        }
    }
}

/* Samoa left out a date; Newfoundland's clock once went back at a minute past midnight, into the
 * day before. */
Test(production, every_instant_has_one_working_day)
{
    static const char *const zones[] = {"Europe/London",    "America/New_York",    "Pacific/Apia",
                                        "America/St_Johns", "Australia/Lord_Howe", "Asia/Kolkata"};
    for (size_t z = 0; z < sizeof zones / sizeof *zones; z++) {
        struct world *w = small_bakery();
        set_zone(w, zones[z]);
        expect_one_day_each(w, "2011-10-20", "2012-01-10", 24577);
        expect_one_day_each(w, "2010-11-06", "2010-11-09", 421);
        world_free(w);
    }
}
