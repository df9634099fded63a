/* Offers over many numbers and bakeries, and what cannot be worked out. */
#include "offer_world.h"
#include "random_world.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(offer_numbers, .timeout = 120);

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

Test(offer_numbers, more_is_never_easier)
{
    struct world *w = loaf_bakery();
    one_oven(w, 2, 30);
    bakes(w, "loaf", 14, 40);
    bakes(w, "tin", 30, 30);
    order(w, "2027-05-11", "loaf", 20, "");
    order(w, "2027-05-11", "tin", 20, "");
    instant now = at_clock(w, "2027-05-10", "14:00");
    struct pot_state pot = fed(at_clock(w, "2027-05-10", "07:00"), "20000");
    expect_monotone(w, NULL, now, "loaf", 100, 9);
    expect_monotone(w, &pot, now, "loaf", 250, 24);
    expect_monotone(w, &pot, now, "tin", 400, 40);
    world_free(w);
}

static struct offer ask_product(struct world *w, const struct offer_world *known, date day,
                                size_t product, int64_t pieces)
{
    struct offer out;
    cr_assert(offer_of(known, day, product, pieces, &out), "%s",
              w->fails.count > 0 ? w->fails.items[0].text : "no fault told");
    return out;
}

/* The same world without the orders that offer_horizon() leaves out. */
static struct offer_world within_horizon(struct world *w, const struct offer_world *known, date day)
{
    date first;
    date last;
    struct offer_world few = *known;
    struct demand *kept = arena_array(w->arena, w->demand_count, sizeof *kept);
    cr_assert_not_null(kept);
    offer_horizon(&w->reckoning, known->now, day, &first, &last);
    few.demand_count = 0;
    for (size_t i = 0; i < w->demand_count; i++)
        if (w->demands[i].bread_day >= first && w->demands[i].bread_day <= last)
            kept[few.demand_count++] = w->demands[i];
    few.demands = kept;
    return few;
}

static void expect_same(const struct offer *a, const struct offer *b)
{
    cr_expect_eq(a->yes, b->yes);
    cr_expect_eq(a->possible, b->possible);
    cr_expect_eq(a->possible_from, b->possible_from);
    if (a->reason.code && b->reason.code) cr_expect_str_eq(a->reason.code, b->reason.code);
    cr_expect_eq(a->reason.short_mg, b->reason.short_mg);
    cr_expect_eq(a->reason.short_minutes, b->reason.short_minutes);
}

/* Every random bakery keeps the log of its first starter. */
static void random_offers(uint64_t seed, int *refusals)
{
    struct dice dice = {seed * 7919 + 1};
    struct world *w = random_world(seed);
    date day = day_of("2027-05-15");
    struct ripening *ripening = arena_array(w->arena, 1, sizeof *ripening);
    *ripening = levain_seen[0];
    w->catalogue.starters[0].ripenings = ripening;
    w->catalogue.starters[0].ripening_count = 1;
    w->catalogue.starters[0].stands_c = 24 * 10000;
    w->catalogue.starters[0].stays_ripe_minutes = 300;
    w->catalogue.starters[0].feed_within_minutes = 1440;
    random_orders(w, &dice, "2027-05-05", 20, 60);
    instant now = zone_instant(w->reckoning.zone, day, 0) - 3600 * roll(&dice, 10, 90);
    struct pot_state pots[4] = {fed(now - 3600 * roll(&dice, 0, 20), "3000")};
    struct offer_world all = as_known(w, now, pots);
    struct offer_world few = within_horizon(w, &all, day);
    size_t product = (size_t)roll(&dice, 0, 4);
    struct offer told = ask_product(w, &all, day, product, roll(&dice, 1, 300));
    struct offer again = ask_product(w, &few, day, product, told.possible > 0 ? told.possible : 1);
    if (told.possible > 0) cr_expect(again.yes, "seed %lu: %ld", seed, told.possible);
    if (!told.yes) {
        again = ask_product(w, &few, day, product, told.possible + 1);
        cr_expect_not(again.yes, "seed %lu: %ld + 1", seed, told.possible);
        struct offer same = ask_product(w, &all, day, product, told.possible + 1);
        expect_same(&same, &again);
        ++*refusals;
    }
    world_free(w);
}

Test(offer_numbers, offers_of_random_bakeries_hold)
{
    int refusals = 0;
    for (uint64_t seed = 1; seed <= 20; seed++)
        random_offers(seed, &refusals);
    cr_expect_gt(refusals, 4);
    cr_expect_lt(refusals, 20);
}

/* --- trouble --- */

Test(offer_numbers, amounts_beyond_counting_are_told)
{
    struct world *w = loaf_bakery();
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
        struct world *w = loaf_bakery();
        one_oven(w, 1, 30);
        bakes(w, "loaf", 14, 40);
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

Test(offer_numbers, short_memory_is_told)
{
    fail_allocations(ask_offer);
    fail_allocations(ask_last);
}
