/* The pot of a starter: what entries do to its weight and state, and what they may not do. */
#include "bakery/pot.h"

#include "random_world.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

TestSuite(pot, .timeout = 60);

enum { ENTRIES = 3000, MINUTE = 60, HOUR = 3600 };

static const instant BEGIN = 1809518400;

/* A log that grows entry by entry. */
struct log {
    struct arena *arena;
    struct fails fails;
    struct reckoning reckoning;
    struct ripening ripenings[1];
    struct starter starter;
    struct pot_entry entries[ENTRIES];
    size_t count;
    instant now;
};

/* Hydration 80 %, at 24 degrees 1 : 2 : 1.6 ripens in six hours. */
static struct log *log_new(void)
{
    struct log *log = calloc(1, sizeof *log);
    cr_assert_not_null(log);
    log->arena = arena_new(0);
    fails_init(&log->fails, log->arena);
    log->reckoning = (struct reckoning){.arena = log->arena, .fails = &log->fails};
    log->ripenings[0] = (struct ripening){10000, 20000, 16000, 240000, 360};
    log->starter = (struct starter){.code = "levain",
                                    .hydration_pct = 80 * PERCENT_ONE,
                                    .ripenings = log->ripenings,
                                    .ripening_count = 1,
                                    .stays_ripe_minutes = 120,
                                    .stands_c = 240000,
                                    .feed_within_minutes = 1440,
                                    .rest_feed_days = 7,
                                    .wake_feeds = 2};
    log->now = BEGIN;
    return log;
}

static void log_free(struct log *log)
{
    arena_free(log->arena);
    free(log);
}

static struct pot_state state_of(struct log *log)
{
    struct pot_state state;
    cr_assert(pot_state_of(&log->reckoning, log->entries, log->count, &state));
    return state;
}

static struct pot_outlook outlook_of(struct log *log)
{
    struct pot_state state = state_of(log);
    struct pot_outlook outlook;
    pot_outlook_of(&log->starter, &state, &outlook);
    return outlook;
}

static bool try(struct log *log, struct pot_request request, struct pot_entry *entry)
{
    struct pot_state state = state_of(log);
    const struct pot_entry *reversed = NULL;
    if (request.at == 0) request.at = log->now;
    if (request.kind == POT_REVERSED && request.reverses >= 1 &&
        (size_t)request.reverses <= log->count)
        reversed = &log->entries[request.reverses - 1];
    return pot_entry_of(&log->reckoning, &log->starter, &state, &request, reversed, log->now,
                        entry);
}

/* Enters what must be right; the book marks what it undoes. */
static const struct pot_entry *enter(struct log *log, struct pot_request request)
{
    struct pot_entry *entry = &log->entries[log->count];
    bool done = try(log, request, entry);
    cr_assert(done, "%s: %s", log->fails.items[0].path, log->fails.items[0].text);
    cr_assert_eq(entry->number, (int64_t)++log->count);
    if (entry->reverses > 0) log->entries[entry->reverses - 1].reversed_by = entry->number;
    return entry;
}

static struct pot_request weight(enum pot_kind kind, int64_t grams)
{
    return (struct pot_request){.kind = kind, .mg = grams * 1000};
}

static struct pot_request plain(enum pot_kind kind)
{
    return (struct pot_request){.kind = kind};
}

static struct pot_request undo(int64_t number)
{
    return (struct pot_request){.kind = POT_REVERSED, .reverses = number};
}

/* seed < 0: all that is there. */
static struct pot_request feed(int64_t seed, int64_t flour, int64_t water)
{
    return (struct pot_request){.kind = POT_FED,
                                .has_seed = seed >= 0,
                                .seed_mg = seed * 1000,
                                .flour_mg = flour * 1000,
                                .water_mg = water * 1000};
}

/* Lets time pass. */
static void pass(struct log *log, int64_t seconds)
{
    log->now += seconds;
}

static void expect_weights(const struct pot_entry *entry, int64_t delta, int64_t on_hand)
{
    cr_expect_eq(entry->delta_mg, delta * 1000, "%s: delta %ld", pot_kinds[entry->kind],
                 entry->delta_mg);
    cr_expect_eq(entry->on_hand_mg, on_hand * 1000, "%s: on hand %ld", pot_kinds[entry->kind],
                 entry->on_hand_mg);
}

/* The request is refused with exactly these faults, by path, "" ends the list. */
static void refuse(struct log *log, struct pot_request request, const char *first,
                   const char *second)
{
    struct pot_entry entry;
    cr_expect_not(try(log, request, &entry), "%s is let through", pot_kinds[request.kind]);
    cr_expect_eq(log->fails.count, 1u + (second != NULL), "%zu faults for %s", log->fails.count,
                 first);
    cr_expect_eq(fails_code(&log->fails), FAIL_INVALID);
    if (log->fails.count > 0) cr_expect_str_eq(log->fails.items[0].path, first);
    if (second && log->fails.count > 1) cr_expect_str_eq(log->fails.items[1].path, second);
    for (size_t i = 0; i < log->fails.count; i++) {
        const char *text = log->fails.items[i].text;
        cr_expect_neq(text[strlen(text) - 1], '.', "%s", text);
    }
    fails_reset(&log->fails, 0);
}

/* --- weights --- */

Test(pot, the_weight_after_each_entry)
{
    struct log *log = log_new();
    expect_weights(enter(log, weight(POT_BEGUN, 300)), 300, 300);
    expect_weights(enter(log, feed(200, 400, 320)), 620, 920);
    cr_expect_eq(log->entries[1].seed_mg, 200000);
    expect_weights(enter(log, plain(POT_RIPE)), 0, 920);
    expect_weights(enter(log, weight(POT_TAKEN, 600)), -600, 320);
    expect_weights(enter(log, weight(POT_WEIGHED, 310)), -10, 310);
    expect_weights(enter(log, weight(POT_DISCARDED, 10)), -10, 300);
    expect_weights(enter(log, feed(-1, 100, 80)), 180, 480);
    cr_expect_eq(log->entries[6].seed_mg, 300000);
    expect_weights(enter(log, plain(POT_CHILLED)), 0, 480);
    expect_weights(enter(log, plain(POT_WOKEN)), 0, 480);
    expect_weights(enter(log, undo(6)), 10, 490);
    expect_weights(enter(log, weight(POT_WEIGHED, 0)), -490, 0);
    expect_weights(enter(log, weight(POT_BEGUN, 50)), 50, 50);
    cr_expect_eq(state_of(log).on_hand_mg, 50000);
    cr_expect_eq(state_of(log).entries, 12);
    log_free(log);
}

/* A request that may be wrong; right ones are most of them. */
static struct pot_request draw(struct dice *dice, int64_t on_hand, size_t count)
{
    int64_t flour = roll(dice, 1, 3000);
    switch (roll(dice, 0, 9)) {
    case 0:
        return undo(roll(dice, 1, (int64_t)count));
    case 1:
        return plain(roll(dice, 0, 1) ? POT_CHILLED : POT_WOKEN);
    case 2:
        return plain(POT_RIPE);
    case 3:
        return weight(POT_WEIGHED, roll(dice, 0, 4000));
    case 4:
        return weight(POT_BEGUN, roll(dice, 1, 500));
    case 5:
    case 6:
        return weight(roll(dice, 0, 1) ? POT_TAKEN : POT_DISCARDED,
                      roll(dice, 1, on_hand / 1000 + 1));
    default:
        return (struct pot_request){.kind = POT_FED,
                                    .has_seed = roll(dice, 0, 1),
                                    .seed_mg = roll(dice, 1, on_hand + 1),
                                    .flour_mg = flour * 1000,
                                    .water_mg = flour * roll(dice, 790, 810)};
    }
}

/* What an entry adds to the weight, told from its request alone. */
static int64_t sum_after(const int64_t *effects, const struct pot_request *request, int64_t before)
{
    switch (request->kind) {
    case POT_BEGUN:
        return before + request->mg;
    case POT_FED:
        return (request->has_seed ? request->seed_mg : before) + request->flour_mg +
               request->water_mg;
    case POT_TAKEN:
    case POT_DISCARDED:
        return before - request->mg;
    case POT_WEIGHED:
        return request->mg;
    case POT_REVERSED:
        return before - effects[request->reverses - 1];
    default:
        return before;
    }
}

Test(pot, three_thousand_entries_balance)
{
    struct log *log = log_new();
    struct dice dice = {20260101};
    int64_t balance = 0, effects[ENTRIES];
    size_t undone = 0, refused = 0;
    while (log->count < ENTRIES) {
        struct pot_request request = log->count == 0 ? weight(POT_BEGUN, 500)
                                                     : draw(&dice, balance, log->count);
        struct pot_entry *entry = &log->entries[log->count];
        pass(log, roll(&dice, 0, 6 * HOUR));
        if (!try(log, request, entry)) {
            fails_reset(&log->fails, 0);
            refused++;
            continue;
        }
        int64_t after = sum_after(effects, &request, balance);
        cr_assert_eq(entry->on_hand_mg, after, "entry %zu", log->count + 1);
        cr_assert_eq(entry->delta_mg, after - balance);
        cr_assert_geq(after, 0);
        effects[log->count++] = after - balance;
        balance = after;
        if (request.kind == POT_REVERSED) {
            log->entries[request.reverses - 1].reversed_by = entry->number;
            undone++;
        }
    }
    struct pot_state state = state_of(log);
    cr_expect_eq(state.on_hand_mg, balance);
    cr_expect_eq(state.entries, ENTRIES);
    cr_expect_gt(undone, 100);
    cr_expect_gt(refused, 100);
    log_free(log);
}

/* --- faults --- */

Test(pot, what_is_refused)
{
    struct log *log = log_new();
    struct pot_request early = weight(POT_TAKEN, 1), late = weight(POT_TAKEN, 1);
    refuse(log, weight(POT_TAKEN, 1), "/kind", NULL);
    refuse(log, feed(1, 1, 1), "/kind", NULL);
    refuse(log, plain(POT_CHILLED), "/kind", NULL);
    refuse(log, undo(1), "/kind", NULL);
    refuse(log, weight(POT_BEGUN, 0), "/g", NULL);
    enter(log, weight(POT_BEGUN, 300));
    early.at = log->now - 1;
    refuse(log, early, "/at", NULL);
    late.at = log->now + 5 * MINUTE + 1;
    refuse(log, late, "/at", NULL);
    late.mg = 400000;
    refuse(log, late, "/at", "/g");
    refuse(log, weight(POT_TAKEN, 301), "/g", NULL);
    refuse(log, weight(POT_DISCARDED, 301), "/g", NULL);
    refuse(log, weight(POT_DISCARDED, -1), "/g", NULL);
    refuse(log, weight(POT_WEIGHED, -1), "/g", NULL);
    refuse(log, plain(POT_RIPE), "/kind", NULL);
    refuse(log, plain(POT_WOKEN), "/kind", NULL);
    enter(log, plain(POT_CHILLED));
    refuse(log, plain(POT_CHILLED), "/kind", NULL);
    late = weight(POT_TAKEN, 1);
    late.at = log->now + 5 * MINUTE;
    enter(log, late);
    log_free(log);
}

Test(pot, feeds_that_are_refused)
{
    struct log *log = log_new();
    enter(log, weight(POT_BEGUN, 300));
    refuse(log, feed(301, 100, 80), "/seed_g", NULL);
    refuse(log, feed(0, 100, 80), "/seed_g", NULL);
    refuse(log, feed(100, 0, 80), "/flour_g", NULL);
    refuse(log, feed(301, 0, 80), "/seed_g", "/flour_g");
    refuse(log, feed(100, 100, -1), "/water_g", NULL);
    refuse(log, feed(100, 1000, 811), "/water_g", NULL);
    refuse(log, feed(100, 1000, 789), "/water_g", NULL);
    struct pot_request hair = feed(100, 1000, 810);
    hair.water_mg++;
    refuse(log, hair, "/water_g", NULL);
    enter(log, feed(100, 1000, 810));
    enter(log, feed(100, 1000, 790));
    enter(log, weight(POT_WEIGHED, 0));
    refuse(log, feed(-1, 100, 80), "/seed_g", NULL);
    log_free(log);
}

Test(pot, what_cannot_be_undone)
{
    struct log *log = log_new();
    enter(log, weight(POT_BEGUN, 300));
    enter(log, weight(POT_TAKEN, 100));
    refuse(log, undo(3), "/reverses", NULL);
    refuse(log, undo(0), "/reverses", NULL);
    refuse(log, undo(1), "/reverses", NULL); /* 300 of 200 */
    enter(log, undo(2));
    refuse(log, undo(2), "/reverses", NULL);
    refuse(log, undo(3), "/reverses", NULL);
    expect_weights(enter(log, undo(1)), -300, 0);
    refuse(log, plain(POT_RIPE), "/kind", NULL);
    expect_weights(enter(log, weight(POT_BEGUN, 20)), 20, 20);
    log_free(log);
}

Test(pot, weights_beyond_counting)
{
    struct log *log = log_new();
    enter(log, weight(POT_BEGUN, 300));
    struct pot_request request = weight(POT_BEGUN, 0);
    request.mg = INT64_MAX;
    refuse(log, request, "/g", NULL);
    request = feed(300, 0, 0);
    request.flour_mg = INT64_MAX - 1;
    request.water_mg = INT64_MAX / 5 * 4;
    refuse(log, request, "/flour_g", NULL);
    request = weight(POT_WEIGHED, 0);
    request.mg = INT64_MIN;
    refuse(log, request, "/g", NULL);
    enter(log, weight(POT_DISCARDED, 200));
    request.mg = INT64_MAX;
    enter(log, request);
    refuse(log, undo(2), "/reverses", NULL);
    log_free(log);
}

/* --- the state --- */

Test(pot, asleep_and_awake)
{
    struct log *log = log_new();
    cr_expect_eq(state_of(log).entries, 0);
    enter(log, weight(POT_BEGUN, 300));
    enter(log, feed(-1, 600, 480));
    cr_expect_eq(state_of(log).feeds_awake, 1);
    pass(log, HOUR);
    enter(log, plain(POT_CHILLED));
    struct pot_state state = state_of(log);
    cr_expect(state.asleep);
    cr_expect_eq(state.asleep_since, BEGIN + HOUR);
    pass(log, HOUR);
    enter(log, feed(-1, 600, 480));
    state = state_of(log);
    cr_expect(state.asleep);
    cr_expect_eq(state.feed.number, 4);
    cr_expect_eq(state.feeds_awake, 1);
    pass(log, HOUR);
    enter(log, plain(POT_WOKEN));
    state = state_of(log);
    cr_expect_not(state.asleep);
    cr_expect(state.woken);
    cr_expect_eq(state.awake_since, BEGIN + 3 * HOUR);
    cr_expect_eq(state.feeds_awake, 0);
    enter(log, feed(-1, 600, 480));
    cr_expect_eq(state_of(log).feeds_awake, 1);
    enter(log, undo(3)); /* it was never in the cold */
    cr_expect_eq(state_of(log).last_at, BEGIN + 3 * HOUR);
    enter(log, undo(5));
    state = state_of(log);
    cr_expect_not(state.woken);
    cr_expect_not(state.asleep);
    cr_expect_eq(state.feeds_awake, 3);
    log_free(log);
}

Test(pot, an_undone_feed_counts_no_more)
{
    struct log *log = log_new();
    enter(log, weight(POT_BEGUN, 300));
    enter(log, feed(100, 200, 160));
    pass(log, HOUR);
    enter(log, feed(100, 100, 80));
    cr_expect_eq(state_of(log).feed.number, 3);
    enter(log, undo(3));
    struct pot_state state = state_of(log);
    cr_expect_eq(state.feed.number, 2);
    cr_expect_eq(state.feeds_awake, 1);
    cr_expect_eq(state.on_hand_mg, 460000);
    enter(log, undo(2));
    cr_expect_not(state_of(log).fed);
    cr_expect_eq(state_of(log).on_hand_mg, 300000);
    log_free(log);
}

Test(pot, what_ripened_is_logged)
{
    struct log *log = log_new();
    struct pot_request warm = feed(100, 200, 160);
    enter(log, weight(POT_BEGUN, 300));
    enter(log, feed(100, 200, 160)); /* 2 */
    pass(log, 5 * HOUR);
    enter(log, plain(POT_RIPE)); /* 3 */
    pass(log, HOUR);
    enter(log, plain(POT_RIPE)); /* 4: the first time counts */
    warm.has_c = true;
    warm.c = 280000;
    enter(log, warm); /* 5 */
    pass(log, 4 * HOUR);
    enter(log, plain(POT_RIPE)); /* 6 */
    struct pot_state state = state_of(log);
    cr_assert_eq(state.logged_count, 2);
    cr_expect_eq(state.logged[0].minutes, 240);
    cr_expect_eq(state.logged[0].c, 280000);
    cr_expect_eq(state.logged[1].minutes, 300);
    cr_expect_eq(state.logged[1].c, 240000);
    cr_expect_eq(state.logged[1].flour, 200000);
    cr_expect(state.seen_ripe);
    cr_expect_eq(state.seen_ripe_at, log->now);
    enter(log, undo(6));
    state = state_of(log);
    cr_expect_eq(state.logged_count, 1);
    cr_expect_not(state.seen_ripe);
    enter(log, undo(3)); /* then it was ripe an hour later */
    state = state_of(log);
    cr_expect_eq(state.logged[0].minutes, 360);
    log_free(log);
}

/* Nothing is learnt from a feed that stood in the cold, nor from one that was entered wrongly. */
Test(pot, what_ripened_otherwise_is_not_logged)
{
    struct log *log = log_new();
    enter(log, weight(POT_BEGUN, 300));
    enter(log, feed(100, 200, 160)); /* 2 */
    enter(log, plain(POT_CHILLED));
    pass(log, 48 * HOUR);
    enter(log, plain(POT_RIPE));
    enter(log, feed(100, 200, 160)); /* 5, in the cold */
    enter(log, plain(POT_WOKEN));
    pass(log, 6 * HOUR);
    enter(log, plain(POT_RIPE));
    enter(log, feed(100, 200, 160)); /* 8 */
    pass(log, 6 * HOUR);
    enter(log, feed(100, 100, 80)); /* 9, by mistake */
    pass(log, HOUR);
    enter(log, plain(POT_RIPE)); /* 10, of that */
    cr_expect_eq(state_of(log).logged_count, 1);
    enter(log, undo(9));
    struct pot_state state = state_of(log);
    cr_expect_eq(state.logged_count, 0);
    cr_expect_not(state.seen_ripe);
    cr_expect_eq(state.feed.number, 8);
    enter(log, plain(POT_RIPE)); /* 12, of the one before */
    cr_expect_eq(state_of(log).logged_count, 1);
    cr_expect_eq(state_of(log).logged[0].minutes, 420);
    log_free(log);
}

/* Older entries than the last feed, chilling and waking make no difference. */
Test(pot, the_tail_of_the_log_is_enough)
{
    struct log *log = log_new();
    enter(log, weight(POT_BEGUN, 300));
    enter(log, feed(100, 200, 160));
    enter(log, plain(POT_CHILLED));
    pass(log, HOUR);
    enter(log, plain(POT_WOKEN));
    enter(log, feed(100, 200, 160));
    enter(log, weight(POT_TAKEN, 60));
    struct pot_state whole = state_of(log), tail;
    cr_assert(pot_state_of(&log->reckoning, log->entries + 2, log->count - 2, &tail));
    cr_expect_eq(tail.entries, whole.entries);
    cr_expect_eq(tail.on_hand_mg, whole.on_hand_mg);
    cr_expect_eq(tail.feeds_awake, whole.feeds_awake);
    cr_expect_eq(tail.feed.number, whole.feed.number);
    cr_expect_eq(tail.woken, whole.woken);
    cr_expect_eq(tail.awake_since, whole.awake_since);
    log_free(log);
}

/* --- the outlook --- */

Test(pot, the_outlook_at_work)
{
    struct log *log = log_new();
    cr_expect_not(outlook_of(log).has_feed_by);
    cr_expect_not(outlook_of(log).ripens);
    enter(log, weight(POT_BEGUN, 300));
    struct pot_outlook outlook = outlook_of(log);
    cr_expect_not(outlook.ripens);
    cr_expect(outlook.has_feed_by);
    cr_expect_eq(outlook.feed_by, BEGIN + 24 * HOUR);
    cr_expect_eq(outlook.feeds_to_wake, 0);
    cr_expect_eq(outlook.estimate.minutes, RIPENING_NEVER);
    enter(log, feed(100, 200, 160));
    outlook = outlook_of(log);
    cr_expect(outlook.ripens);
    cr_expect_eq(outlook.estimate.minutes, 360);
    cr_expect_eq(outlook.ripe_from, BEGIN + 6 * HOUR);
    cr_expect_eq(outlook.ripe_until, BEGIN + 8 * HOUR);
    cr_expect_eq(outlook.feed_by, BEGIN + 24 * HOUR);
    log->starter.feed_within_minutes = 60;
    cr_expect_eq(outlook_of(log).feed_by, BEGIN + 8 * HOUR);
    pass(log, 7 * HOUR);
    enter(log, plain(POT_RIPE));
    outlook = outlook_of(log);
    cr_expect_eq(outlook.ripe_from, BEGIN + 7 * HOUR);
    cr_expect_eq(outlook.ripe_until, BEGIN + 9 * HOUR);
    cr_expect_eq(outlook.feed_by, BEGIN + 9 * HOUR);
    enter(log, weight(POT_WEIGHED, 0));
    cr_expect_not(outlook_of(log).has_feed_by);
    log_free(log);
}

Test(pot, too_cold_to_ripen)
{
    struct log *log = log_new();
    struct pot_request cold = feed(100, 200, 160);
    cold.has_c = true;
    cold.c = 30000;
    enter(log, weight(POT_BEGUN, 300));
    enter(log, cold);
    cr_expect_not(outlook_of(log).ripens);
    cr_expect_eq(outlook_of(log).feed_by, BEGIN + 24 * HOUR);
    pass(log, 10 * HOUR);
    enter(log, plain(POT_RIPE)); /* what was seen wins */
    cr_expect(outlook_of(log).ripens);
    cr_expect_eq(outlook_of(log).ripe_from, BEGIN + 10 * HOUR);
    log_free(log);
}

Test(pot, the_outlook_in_the_cold_and_after)
{
    struct log *log = log_new();
    enter(log, weight(POT_BEGUN, 300));
    enter(log, feed(100, 200, 160));
    pass(log, HOUR);
    enter(log, plain(POT_CHILLED));
    struct pot_outlook outlook = outlook_of(log);
    cr_expect_not(outlook.ripens);
    cr_expect_eq(outlook.feed_by, BEGIN + 7 * SECONDS_PER_DAY);
    cr_expect_eq(outlook.feeds_to_wake, 2);
    pass(log, 47 * HOUR);
    enter(log, plain(POT_WOKEN));
    outlook = outlook_of(log);
    cr_expect_not(outlook.ripens);
    cr_expect_eq(outlook.feed_by, log->now + 24 * HOUR);
    cr_expect_eq(outlook.feeds_to_wake, 2);
    enter(log, feed(100, 200, 160));
    outlook = outlook_of(log);
    cr_expect(outlook.ripens);
    cr_expect_eq(outlook.ripe_from, log->now + 6 * HOUR);
    cr_expect_eq(outlook.feeds_to_wake, 1);
    enter(log, feed(100, 200, 160));
    enter(log, feed(100, 200, 160));
    cr_expect_eq(outlook_of(log).feeds_to_wake, 0);
    log_free(log);
}

/* --- trouble --- */

Test(pot, memory_for_the_state)
{
    struct log *log = log_new();
    struct pot_state state;
    enter(log, weight(POT_BEGUN, 300));
    arena_fail_nth(1);
    cr_expect_not(pot_state_of(&log->reckoning, log->entries, log->count, &state));
    arena_fail_nth(0);
    cr_expect_eq(fails_code(&log->fails), FAIL_UNAVAILABLE);
    log_free(log);
}

Test(pot, memory_for_a_fault)
{
    for (long n = 1; n <= 2; n++) {
        struct log *log = log_new();
        struct pot_state state = state_of(log);
        struct pot_request request = weight(POT_TAKEN, 1);
        struct pot_entry entry;
        arena_fail_nth(n);
        cr_expect_not(
            pot_entry_of(&log->reckoning, &log->starter, &state, &request, NULL, log->now, &entry));
        arena_fail_nth(0);
        cr_expect_eq(fails_code(&log->fails), FAIL_UNAVAILABLE);
        log_free(log);
    }
}

Test(pot, every_kind_has_a_word)
{
    size_t count = 0;
    while (pot_kinds[count])
        count++;
    cr_expect_eq(count, POT_REVERSED + 1);
    cr_expect_str_eq(pot_kinds[POT_BEGUN], "begun");
    cr_expect_str_eq(pot_kinds[POT_RIPE], "ripe");
    cr_expect_str_eq(pot_kinds[POT_REVERSED], "reversed");
}
