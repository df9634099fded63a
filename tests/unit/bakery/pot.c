/* The pot of a starter: what entries weigh, and what may not be entered. */
#include "pot_log.h"
#include "random_world.h"

#include <criterion/criterion.h>

TestSuite(pot, .timeout = 60);

static void expect_weights(const struct pot_entry *entry, int64_t delta, int64_t on_hand)
{
    cr_expect_eq(entry->delta_mg, delta * 1000, "%s: delta %ld", pot_kinds[entry->kind],
                 entry->delta_mg);
    cr_expect_eq(entry->on_hand_mg, on_hand * 1000, "%s: on hand %ld", pot_kinds[entry->kind],
                 entry->on_hand_mg);
}

/* --- weights --- */

Test(pot, the_weight_after_each_entry)
{
    struct pot_log *log = pot_log_new();
    expect_weights(pot_enter(log, weight(POT_BEGUN, 300)), 300, 300);
    expect_weights(pot_enter(log, feed(200, 400, 320)), 620, 920);
    cr_expect_eq(log->entries[1].seed_mg, 200000);
    expect_weights(pot_enter(log, plain(POT_RIPE)), 0, 920);
    expect_weights(pot_enter(log, weight(POT_TAKEN, 600)), -600, 320);
    expect_weights(pot_enter(log, weight(POT_WEIGHED, 310)), -10, 310);
    expect_weights(pot_enter(log, weight(POT_DISCARDED, 10)), -10, 300);
    expect_weights(pot_enter(log, feed(-1, 100, 80)), 180, 480);
    cr_expect_eq(log->entries[6].seed_mg, 300000);
    expect_weights(pot_enter(log, plain(POT_CHILLED)), 0, 480);
    expect_weights(pot_enter(log, plain(POT_WOKEN)), 0, 480);
    expect_weights(pot_enter(log, undo(6)), 10, 490);
    expect_weights(pot_enter(log, weight(POT_WEIGHED, 0)), -490, 0);
    expect_weights(pot_enter(log, weight(POT_BEGUN, 50)), 50, 50);
    cr_expect_eq(pot_log_state(log).on_hand_mg, 50000);
    cr_expect_eq(pot_log_state(log).entries, 12);
    pot_log_free(log);
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
    struct pot_log *log = pot_log_new();
    struct dice dice = {20260101};
    int64_t balance = 0, effects[ENTRIES];
    size_t undone = 0, refused = 0;
    while (log->count < ENTRIES) {
        struct pot_request request = log->count == 0 ? weight(POT_BEGUN, 500)
                                                     : draw(&dice, balance, log->count);
        struct pot_entry *entry = &log->entries[log->count];
        pass(log, roll(&dice, 0, 6 * HOUR));
        if (!pot_try(log, request, entry)) {
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
    struct pot_state state = pot_log_state(log);
    cr_expect_eq(state.on_hand_mg, balance);
    cr_expect_eq(state.entries, ENTRIES);
    cr_expect_gt(undone, 100);
    cr_expect_gt(refused, 100);
    pot_log_free(log);
}

/* --- faults --- */

Test(pot, what_is_refused)
{
    struct pot_log *log = pot_log_new();
    struct pot_request early = weight(POT_TAKEN, 1), late = weight(POT_TAKEN, 1);
    pot_refuse(log, weight(POT_TAKEN, 1), "/kind", NULL);
    pot_refuse(log, feed(1, 1, 1), "/kind", NULL);
    pot_refuse(log, plain(POT_CHILLED), "/kind", NULL);
    pot_refuse(log, undo(1), "/kind", NULL);
    pot_refuse(log, weight(POT_BEGUN, 0), "/g", NULL);
    pot_enter(log, weight(POT_BEGUN, 300));
    early.at = log->now - 1;
    pot_refuse(log, early, "/at", NULL);
    late.at = log->now + 5 * MINUTE + 1;
    pot_refuse(log, late, "/at", NULL);
    late.mg = 400000;
    pot_refuse(log, late, "/at", "/g");
    pot_refuse(log, weight(POT_TAKEN, 301), "/g", NULL);
    pot_refuse(log, weight(POT_DISCARDED, 301), "/g", NULL);
    pot_refuse(log, weight(POT_DISCARDED, -1), "/g", NULL);
    pot_refuse(log, weight(POT_WEIGHED, -1), "/g", NULL);
    pot_refuse(log, plain(POT_RIPE), "/kind", NULL);
    pot_refuse(log, plain(POT_WOKEN), "/kind", NULL);
    pot_enter(log, plain(POT_CHILLED));
    pot_refuse(log, plain(POT_CHILLED), "/kind", NULL);
    late = weight(POT_TAKEN, 1);
    late.at = log->now + 5 * MINUTE;
    pot_enter(log, late);
    pot_log_free(log);
}

Test(pot, feeds_that_are_refused)
{
    struct pot_log *log = pot_log_new();
    pot_enter(log, weight(POT_BEGUN, 300));
    pot_refuse(log, feed(301, 100, 80), "/seed_g", NULL);
    pot_refuse(log, feed(0, 100, 80), "/seed_g", NULL);
    pot_refuse(log, feed(100, 0, 80), "/flour_g", NULL);
    pot_refuse(log, feed(301, 0, 80), "/seed_g", "/flour_g");
    pot_refuse(log, feed(100, 100, -1), "/water_g", NULL);
    pot_refuse(log, feed(100, 1000, 811), "/water_g", NULL);
    pot_refuse(log, feed(100, 1000, 789), "/water_g", NULL);
    struct pot_request hair = feed(100, 1000, 810);
    hair.water_mg++;
    pot_refuse(log, hair, "/water_g", NULL);
    pot_enter(log, feed(100, 1000, 810));
    pot_enter(log, feed(100, 1000, 790));
    pot_enter(log, weight(POT_WEIGHED, 0));
    pot_refuse(log, feed(-1, 100, 80), "/seed_g", NULL);
    pot_log_free(log);
}

Test(pot, what_cannot_be_undone)
{
    struct pot_log *log = pot_log_new();
    pot_enter(log, weight(POT_BEGUN, 300));
    pot_enter(log, weight(POT_TAKEN, 100));
    pot_refuse(log, undo(3), "/reverses", NULL);
    pot_refuse(log, undo(0), "/reverses", NULL);
    pot_refuse(log, undo(1), "/reverses", NULL); /* 300 of 200 */
    pot_enter(log, undo(2));
    pot_refuse(log, undo(2), "/reverses", NULL);
    pot_refuse(log, undo(3), "/reverses", NULL);
    expect_weights(pot_enter(log, undo(1)), -300, 0);
    pot_refuse(log, plain(POT_RIPE), "/kind", NULL);
    expect_weights(pot_enter(log, weight(POT_BEGUN, 20)), 20, 20);
    pot_log_free(log);
}

Test(pot, weights_beyond_counting)
{
    struct pot_log *log = pot_log_new();
    pot_enter(log, weight(POT_BEGUN, 300));
    struct pot_request request = weight(POT_BEGUN, 0);
    request.mg = INT64_MAX;
    pot_refuse(log, request, "/g", NULL);
    request = feed(300, 0, 0);
    request.flour_mg = INT64_MAX - 1;
    request.water_mg = INT64_MAX / 5 * 4;
    pot_refuse(log, request, "/flour_g", NULL);
    request = weight(POT_WEIGHED, 0);
    request.mg = INT64_MIN;
    pot_refuse(log, request, "/g", NULL);
    pot_enter(log, weight(POT_DISCARDED, 200));
    request.mg = INT64_MAX;
    pot_enter(log, request);
    pot_refuse(log, undo(2), "/reverses", NULL);
    pot_log_free(log);
}

/* --- trouble --- */

Test(pot, memory_for_the_state)
{
    struct pot_log *log = pot_log_new();
    struct pot_state state;
    pot_enter(log, weight(POT_BEGUN, 300));
    arena_fail_nth(1);
    cr_expect_not(pot_state_of(&log->reckoning, log->entries, log->count, &state));
    arena_fail_nth(0);
    cr_expect_eq(fails_code(&log->fails), FAIL_UNAVAILABLE);
    pot_log_free(log);
}

Test(pot, memory_for_a_fault)
{
    for (long n = 1; n <= 2; n++) {
        struct pot_log *log = pot_log_new();
        struct pot_state state = pot_log_state(log);
        struct pot_request request = weight(POT_TAKEN, 1);
        struct pot_entry entry;
        arena_fail_nth(n);
        cr_expect_not(
            pot_entry_of(&log->reckoning, &log->starter, &state, &request, NULL, log->now, &entry));
        arena_fail_nth(0);
        cr_expect_eq(fails_code(&log->fails), FAIL_UNAVAILABLE);
        pot_log_free(log);
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
