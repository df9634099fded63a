/* Which lots a starter's pot holds: a log worked by hand, and random logs against the product of
 * what every entry leaves, as floating shares. */
#include "bakery/pot_lots.h"

#include "pot_log.h"
#include "random_world.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>

TestSuite(pot_lots, .timeout = 60);

enum { FEEDS = ENTRIES };

/* A log and what fed it. */
struct lotted {
    struct pot_log *log;
    struct pot_feed_lot feeds[FEEDS];
    size_t feed_count;
};

static struct lotted *lotted_new(void)
{
    struct lotted *lotted = calloc(1, sizeof *lotted);
    cr_assert_not_null(lotted);
    lotted->log = pot_log_new();
    return lotted;
}

static void lotted_free(struct lotted *lotted)
{
    pot_log_free(lotted->log);
    free(lotted);
}

static struct pot_stretch whole_log(const struct lotted *lotted)
{
    return (struct pot_stretch){.entries = lotted->log->entries,
                                .count = lotted->log->count,
                                .feeds = lotted->feeds,
                                .feed_count = lotted->feed_count};
}

static void put(struct lotted *lotted, int64_t lot, int64_t grams)
{
    int64_t entry = lotted->log->entries[lotted->log->count - 1].number;
    lotted->feeds[lotted->feed_count++] = (struct pot_feed_lot){entry, lot, grams * 1000};
}

static struct pot_taken taken_by(struct lotted *lotted, int64_t entry)
{
    struct pot_stretch stretch = whole_log(lotted);
    struct pot_taken taken;
    bool whole;
    cr_assert(pot_lots_taken(&lotted->log->reckoning, &stretch, &entry, 1, &taken, &whole));
    cr_expect(whole);
    return taken;
}

static fixed grams_of(const struct pot_taken *taken, int64_t lot)
{
    for (size_t i = 0; i < taken->lot_count; i++)
        if (taken->lots[i].lot == lot) return taken->lots[i].grams;
    return 0;
}

/* --- by hand --- */

/* Two flours, three feeds, hydration 80 %. Begun with 100 g.
 *   feed 1: 100 g seed, 100 g flour (80 of lot 1, 20 of lot 2), 80 g water: 280 g
 *   feed 2: 70 g seed of 280 (a quarter), 250 g flour (200 of lot 1, 50 of lot 3), 200 g water: 520
 * g in it: lot 1 80/4 + 200 = 220, lot 2 20/4 = 5, lot 3 50, begun 100/4 = 25 taken 130 g (a
 * quarter): lot 1 55, lot 2 1.25, lot 3 12.5, begun 6.25 feed 3: 39 g seed of 390 (a tenth), 50 g
 * flour (lot 4), 40 g water: 129 g thrown away: lot 1 148.5, lot 2 3.375, lot 3 33.75; left: 16.5,
 * 0.375, 3.75, lot 4 50 taken 43 g (a third): lot 1 5.5, lot 2 0.125, lot 3 1.25, lot 4 50/3 */
static struct lotted *by_hand(void)
{
    struct lotted *lotted = lotted_new();
    pot_enter(lotted->log, weight(POT_BEGUN, 100));
    pot_enter(lotted->log, feed(100, 100, 80));
    put(lotted, 1, 80);
    put(lotted, 2, 20);
    pot_enter(lotted->log, feed(70, 250, 200));
    put(lotted, 1, 200);
    put(lotted, 3, 50);
    pot_enter(lotted->log, weight(POT_TAKEN, 130));
    pot_enter(lotted->log, feed(39, 50, 40));
    put(lotted, 4, 50);
    pot_enter(lotted->log, weight(POT_TAKEN, 43));
    return lotted;
}

Test(pot_lots, three_feeds_by_hand)
{
    struct lotted *lotted = by_hand();
    struct pot_taken taken = taken_by(lotted, 4);
    cr_expect_eq(taken.mg, 130000);
    cr_expect_eq(taken.lot_count, 3);
    cr_expect_eq(grams_of(&taken, 1), 55 * FIXED_ONE);
    cr_expect_eq(grams_of(&taken, 2), 125 * FIXED_ONE / 100);
    cr_expect_eq(grams_of(&taken, 3), 125 * FIXED_ONE / 10);
    cr_expect_eq(taken.unknown, 625 * FIXED_ONE / 100);
    taken = taken_by(lotted, 6);
    cr_expect_eq(taken.lot_count, 4);
    cr_expect_eq(grams_of(&taken, 1), 55 * FIXED_ONE / 10);
    cr_expect_eq(grams_of(&taken, 2), 125 * FIXED_ONE / 1000);
    cr_expect_eq(grams_of(&taken, 3), 125 * FIXED_ONE / 100);
    cr_expect_eq(grams_of(&taken, 4), 50 * FIXED_ONE / 3 + 1, "the thirds that stay go down");
    lotted_free(lotted);
}

Test(pot_lots, where_one_lot_went_by_hand)
{
    struct lotted *lotted = by_hand();
    struct pot_stretch stretch = whole_log(lotted);
    struct pot_carried *carried;
    size_t count;
    fixed still_in;
    const struct pot_carried expected[] = {{3, POT_FED, 60 * FIXED_ONE},
                                           {4, POT_TAKEN, 55 * FIXED_ONE},
                                           {5, POT_FED, 1485 * FIXED_ONE / 10},
                                           {6, POT_TAKEN, 55 * FIXED_ONE / 10}};
    cr_assert(pot_lot_goes(&lotted->log->reckoning, &stretch, 1, &carried, &count, &still_in));
    cr_assert_eq(count, 4);
    for (size_t i = 0; i < count; i++) {
        cr_expect_eq(carried[i].entry, expected[i].entry);
        cr_expect_eq(carried[i].kind, expected[i].kind);
        cr_expect_eq(carried[i].grams, expected[i].grams, "entry %zu", i);
    }
    cr_expect_eq(still_in, 11 * FIXED_ONE);
    lotted_free(lotted);
}

/* --- what is special --- */

Test(pot_lots, what_was_reversed_never_was)
{
    struct lotted *lotted = lotted_new();
    pot_enter(lotted->log, weight(POT_BEGUN, 100));
    pot_enter(lotted->log, weight(POT_TAKEN, 50));
    pot_enter(lotted->log, feed(50, 100, 80)); /* all that is there in the book: 230 g */
    put(lotted, 1, 100);
    pot_enter(lotted->log, feed(230, 100, 80));
    put(lotted, 2, 100);
    pot_enter(lotted->log, undo(4));
    pot_enter(lotted->log, undo(2)); /* the 50 g were never taken: 280 g, lot 1 100 g of it */
    pot_enter(lotted->log, weight(POT_TAKEN, 140));
    struct pot_taken taken = taken_by(lotted, 7);
    cr_expect_eq(taken.lot_count, 1);
    cr_expect_eq(grams_of(&taken, 1), 50 * FIXED_ONE);
    cr_expect_eq(taken.unknown, 50 * FIXED_ONE);
    taken = taken_by(lotted, 2);
    cr_expect_eq(taken.lot_count, 0);
    cr_expect_eq(taken.unknown, 0);
    lotted_free(lotted);
}

Test(pot_lots, an_empty_pot_forgets)
{
    struct lotted *lotted = lotted_new();
    pot_enter(lotted->log, weight(POT_BEGUN, 100));
    pot_enter(lotted->log, feed(100, 100, 80));
    put(lotted, 1, 100);
    pot_enter(lotted->log, weight(POT_WEIGHED, 0));
    pot_enter(lotted->log, weight(POT_BEGUN, 50));
    pot_enter(lotted->log, feed(50, 100, 80));
    put(lotted, 2, 60);
    pot_enter(lotted->log, weight(POT_TAKEN, 230));
    struct pot_taken taken = taken_by(lotted, 6);
    cr_expect_eq(taken.lot_count, 1);
    cr_expect_eq(grams_of(&taken, 2), 60 * FIXED_ONE);
    cr_expect_eq(taken.unknown, 90 * FIXED_ONE, "begun with 50, and 40 of flour without a lot");
    struct pot_stretch stretch = whole_log(lotted);
    struct pot_carried *carried;
    size_t count;
    fixed still_in;
    cr_assert(pot_lot_goes(&lotted->log->reckoning, &stretch, 1, &carried, &count, &still_in));
    cr_assert_eq(count, 1);
    cr_expect_eq(carried[0].kind, POT_WEIGHED);
    cr_expect_eq(carried[0].grams, 100 * FIXED_ONE);
    cr_expect_eq(still_in, 0);
    lotted_free(lotted);
}

Test(pot_lots, what_evaporates_takes_no_flour_along)
{
    struct lotted *lotted = lotted_new();
    pot_enter(lotted->log, weight(POT_BEGUN, 100));
    pot_enter(lotted->log, feed(100, 100, 80));
    put(lotted, 1, 100);
    pot_enter(lotted->log, weight(POT_WEIGHED, 200));
    pot_enter(lotted->log, weight(POT_TAKEN, 50));
    struct pot_taken taken = taken_by(lotted, 4);
    cr_expect_eq(grams_of(&taken, 1), 25 * FIXED_ONE);
    lotted_free(lotted);
}

/* --- at random --- */

/* The same again, told independently: the entries that count with what each leaves of the pot, as
 * floating numbers. What came in with entry i and goes out with entry k is its weight x the product
 * of what is left by all between x what k takes. */
struct step {
    int64_t entry;
    double leaves; /* share of what is in before it */
};

static size_t told_again(const struct lotted *lotted, struct step *steps)
{
    const struct pot_log *log = lotted->log;
    double on_hand = 0;
    size_t count = 0;
    for (size_t i = 0; i < log->count; i++) {
        const struct pot_entry *entry = &log->entries[i];
        double leaves = 1, before = on_hand;
        if (entry->kind == POT_REVERSED || entry->reversed_by != 0) continue;
        on_hand += (double)entry->delta_mg;
        if (entry->kind == POT_FED)
            leaves = 1 - (double)(entry->flour_mg + entry->water_mg - entry->delta_mg) / before;
        if (entry->kind == POT_TAKEN || entry->kind == POT_DISCARDED) leaves = on_hand / before;
        if (before <= 0 || leaves < 0 || (on_hand <= 0 && entry->kind != POT_FED)) leaves = 0;
        steps[count++] = (struct step){entry->number, leaves};
    }
    return count;
}

static double expected_grams(const struct lotted *lotted, const struct step *steps, size_t count,
                             int64_t lot, int64_t taking)
{
    double in = 0;
    for (size_t i = 0; i < count && steps[i].entry <= taking; i++) {
        if (steps[i].entry == taking) return in * (1 - steps[i].leaves);
        in *= steps[i].leaves;
        for (size_t k = 0; k < lotted->feed_count; k++)
            if (lotted->feeds[k].entry == steps[i].entry && lotted->feeds[k].lot == lot)
                in += (double)lotted->feeds[k].mg / 1000;
    }
    return 0;
}

/* Feeds of a lot or two at a time, which change every dozen entries. */
static void draw_lots(struct lotted *lotted, struct dice *dice, int64_t flour_mg)
{
    int64_t lot = 1 + (int64_t)lotted->log->count / 12;
    int64_t first = roll(dice, 0, 2) == 0 ? flour_mg : roll(dice, 0, flour_mg);
    int64_t entry = lotted->log->entries[lotted->log->count - 1].number;
    if (first > 0) lotted->feeds[lotted->feed_count++] = (struct pot_feed_lot){entry, lot, first};
    if (first < flour_mg && roll(dice, 0, 3) > 0)
        lotted->feeds[lotted->feed_count++] = (struct pot_feed_lot){entry, lot + 1,
                                                                    flour_mg - first};
}

static struct pot_request draw(struct dice *dice, int64_t on_hand_mg, size_t count)
{
    int64_t flour = roll(dice, 1, 3000);
    switch (roll(dice, 0, 11)) {
    case 0:
        return undo(roll(dice, 1, (int64_t)count));
    case 1:
        return weight(POT_WEIGHED, roll(dice, 0, 40) == 0 ? 0 : on_hand_mg / 1000);
    case 2:
        return weight(POT_BEGUN, roll(dice, 1, 500));
    case 3:
        return weight(POT_DISCARDED, roll(dice, 1, on_hand_mg / 1000 + 1));
    case 4:
    case 5:
    case 6:
        return weight(POT_TAKEN, roll(dice, 1, on_hand_mg / 2000 + 1));
    default:
        return (struct pot_request){.kind = POT_FED,
                                    .has_seed = true,
                                    .seed_mg = roll(dice, 1, on_hand_mg + 1),
                                    .flour_mg = flour * 1000,
                                    .water_mg = flour * roll(dice, 790, 810)};
    }
}

static struct lotted *at_random(uint64_t seed, size_t entries)
{
    struct lotted *lotted = lotted_new();
    struct pot_log *log = lotted->log;
    struct dice dice = {seed};
    pot_enter(log, weight(POT_BEGUN, 500));
    while (log->count < entries) {
        struct pot_entry *entry = &log->entries[log->count];
        struct pot_request request = draw(&dice, log->entries[log->count - 1].on_hand_mg,
                                          log->count);
        if (!pot_try(log, request, entry)) {
            fails_reset(&log->fails, 0);
            continue;
        }
        log->count++;
        if (entry->reverses > 0) log->entries[entry->reverses - 1].reversed_by = entry->number;
        if (entry->kind == POT_FED) draw_lots(lotted, &dice, entry->flour_mg);
    }
    /* What a feed that was reversed took of lots was given back. */
    size_t kept = 0;
    for (size_t i = 0; i < lotted->feed_count; i++)
        if (log->entries[lotted->feeds[i].entry - 1].reversed_by == 0)
            lotted->feeds[kept++] = lotted->feeds[i];
    lotted->feed_count = kept;
    return lotted;
}

static int64_t *all_entries(const struct lotted *lotted)
{
    int64_t *entries = calloc(lotted->log->count, sizeof *entries);
    cr_assert_not_null(entries);
    for (size_t i = 0; i < lotted->log->count; i++)
        entries[i] = (int64_t)i + 1;
    return entries;
}

Test(pot_lots, random_logs_against_the_product_of_what_stays)
{
    size_t compared = 0, undone = 0;
    for (uint64_t seed = 1; seed <= 6; seed++) {
        struct lotted *lotted = at_random(seed, 150);
        struct pot_stretch stretch = whole_log(lotted);
        struct step steps[150];
        size_t step_count = told_again(lotted, steps);
        int64_t *entries = all_entries(lotted);
        struct pot_taken taken[150];
        bool whole;
        cr_assert(pot_lots_taken(&lotted->log->reckoning, &stretch, entries, 150, taken, &whole));
        for (size_t i = 0; i < 150; i++) {
            if (lotted->log->entries[i].reversed_by > 0) undone++;
            for (int64_t lot = 1; lot <= 15; lot++) {
                double is = (double)grams_of(&taken[i], lot) / (double)FIXED_ONE;
                double expected = expected_grams(lotted, steps, step_count, lot, entries[i]);
                cr_assert(fabs(is - expected) < 1e-7,
                          "seed %lu, entry %zu, lot %ld: %.9f, not %.9f", seed, i + 1, lot, is,
                          expected);
                compared += expected > 1e-6;
            }
        }
        free(entries);
        lotted_free(lotted);
    }
    cr_expect_gt(compared, 1000, "%zu", compared);
    cr_expect_gt(undone, 20, "%zu", undone);
}

Test(pot_lots, nothing_is_lost_and_both_ways_say_the_same)
{
    struct lotted *lotted = at_random(77, 1500);
    struct pot_stretch stretch = whole_log(lotted);
    int64_t *entries = all_entries(lotted);
    struct pot_taken *taken = calloc(1500, sizeof *taken);
    bool whole;
    cr_assert(pot_lots_taken(&lotted->log->reckoning, &stretch, entries, 1500, taken, &whole));
    for (int64_t lot = 1; lot <= 125; lot++) {
        struct pot_carried *carried;
        size_t count;
        fixed still_in, fed = 0, gone = 0;
        cr_assert(
            pot_lot_goes(&lotted->log->reckoning, &stretch, lot, &carried, &count, &still_in));
        for (size_t i = 0; i < lotted->feed_count; i++)
            if (lotted->feeds[i].lot == lot) fed += fixed_from(lotted->feeds[i].mg, 3);
        for (size_t i = 0; i < count; i++) {
            gone += carried[i].grams;
            cr_assert_eq(carried[i].grams, grams_of(&taken[carried[i].entry - 1], lot));
        }
        cr_expect_eq(fed, gone + still_in, "lot %ld", lot);
        cr_expect_geq(still_in, 0);
    }
    free(taken);
    free(entries);
    lotted_free(lotted);
}

/* A stretch of the log says the same as all of it, once it is long enough, and says when it is not.
 */
Test(pot_lots, a_stretch_says_as_much_as_the_log)
{
    struct lotted *lotted = at_random(5, 1500);
    const struct pot_log *log = lotted->log;
    struct pot_stretch all = whole_log(lotted);
    int64_t wanted = 1400;
    size_t short_ones = 0, whole_ones = 0;
    while (log->entries[wanted - 1].kind != POT_TAKEN || log->entries[wanted - 1].reversed_by > 0)
        wanted++;
    struct pot_taken expected = taken_by(lotted, wanted), taken;
    for (size_t first = (size_t)wanted - 1; first > 0; first = first > 20 ? first - 20 : 0) {
        struct pot_stretch stretch = {.entries = all.entries + first, .count = all.count - first};
        bool whole;
        for (size_t i = 0; i < first; i++)
            if (log->entries[i].kind != POT_REVERSED && log->entries[i].reversed_by == 0)
                stretch.before_mg += log->entries[i].delta_mg;
        stretch.feeds = all.feeds;
        stretch.feed_count = all.feed_count;
        cr_assert(pot_lots_taken(&log->reckoning, &stretch, &wanted, 1, &taken, &whole));
        short_ones += !whole;
        whole_ones += whole;
        if (!whole) continue;
        cr_assert_eq(taken.lot_count, expected.lot_count);
        for (size_t i = 0; i < taken.lot_count; i++)
            cr_expect_eq(taken.lots[i].grams, grams_of(&expected, taken.lots[i].lot));
        cr_expect_eq(taken.unknown, expected.unknown);
    }
    cr_expect_gt(short_ones, 0);
    cr_expect_gt(whole_ones, 0);
    lotted_free(lotted);
}

Test(pot_lots, short_memory_is_told)
{
    struct lotted *lotted = by_hand();
    struct pot_stretch stretch = whole_log(lotted);
    int64_t entries[] = {4, 6};
    bool done = false;
    for (long n = 1; !done && n < 100; n++) {
        struct pot_taken taken[2];
        struct pot_carried *carried;
        size_t count;
        fixed still_in;
        bool whole;
        arena_fail_nth(n);
        done = pot_lots_taken(&lotted->log->reckoning, &stretch, entries, 2, taken, &whole) &&
               pot_lot_goes(&lotted->log->reckoning, &stretch, 1, &carried, &count, &still_in);
        arena_fail_nth(0);
        if (!done) cr_expect_eq(fails_code(&lotted->log->fails), FAIL_UNAVAILABLE);
        fails_reset(&lotted->log->fails, 0);
        if (done) cr_expect_gt(n, 5);
    }
    cr_expect(done);
    lotted_free(lotted);
}
