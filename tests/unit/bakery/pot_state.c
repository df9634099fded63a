/* The pot of a starter: in what state entries leave it, and what is to be expected of it then. */
#include "pot_log.h"

#include <criterion/criterion.h>

TestSuite(pot_state, .timeout = 60);

/* --- the state --- */

Test(pot_state, asleep_and_awake)
{
    struct pot_log *log = pot_log_new();
    cr_expect_eq(pot_log_state(log).entries, 0);
    pot_enter(log, weight(POT_BEGUN, 300));
    pot_enter(log, feed(-1, 600, 480));
    cr_expect_eq(pot_log_state(log).feeds_awake, 1);
    pass(log, HOUR);
    pot_enter(log, plain(POT_CHILLED));
    struct pot_state state = pot_log_state(log);
    cr_expect(state.asleep);
    cr_expect_eq(state.asleep_since, BEGIN + HOUR);
    pass(log, HOUR);
    pot_enter(log, feed(-1, 600, 480));
    state = pot_log_state(log);
    cr_expect(state.asleep);
    cr_expect_eq(state.feed.number, 4);
    cr_expect_eq(state.feeds_awake, 1);
    pass(log, HOUR);
    pot_enter(log, plain(POT_WOKEN));
    state = pot_log_state(log);
    cr_expect_not(state.asleep);
    cr_expect(state.woken);
    cr_expect_eq(state.awake_since, BEGIN + 3 * HOUR);
    cr_expect_eq(state.feeds_awake, 0);
    pot_enter(log, feed(-1, 600, 480));
    cr_expect_eq(pot_log_state(log).feeds_awake, 1);
    pot_enter(log, undo(3)); /* it was never in the cold */
    cr_expect_eq(pot_log_state(log).last_at, BEGIN + 3 * HOUR);
    pot_enter(log, undo(5));
    state = pot_log_state(log);
    cr_expect_not(state.woken);
    cr_expect_not(state.asleep);
    cr_expect_eq(state.feeds_awake, 3);
    pot_log_free(log);
}

Test(pot_state, an_undone_feed_counts_no_more)
{
    struct pot_log *log = pot_log_new();
    pot_enter(log, weight(POT_BEGUN, 300));
    pot_enter(log, feed(100, 200, 160));
    pass(log, HOUR);
    pot_enter(log, feed(100, 100, 80));
    cr_expect_eq(pot_log_state(log).feed.number, 3);
    pot_enter(log, undo(3));
    struct pot_state state = pot_log_state(log);
    cr_expect_eq(state.feed.number, 2);
    cr_expect_eq(state.feeds_awake, 1);
    cr_expect_eq(state.on_hand_mg, 460000);
    pot_enter(log, undo(2));
    cr_expect_not(pot_log_state(log).fed);
    cr_expect_eq(pot_log_state(log).on_hand_mg, 300000);
    pot_log_free(log);
}

Test(pot_state, what_ripened_is_logged)
{
    struct pot_log *log = pot_log_new();
    struct pot_request warm = feed(100, 200, 160);
    pot_enter(log, weight(POT_BEGUN, 300));
    pot_enter(log, feed(100, 200, 160)); /* 2 */
    pass(log, 5 * HOUR);
    pot_enter(log, plain(POT_RIPE)); /* 3 */
    pass(log, HOUR);
    pot_enter(log, plain(POT_RIPE)); /* 4: the first time counts */
    warm.has_c = true;
    warm.c = 280000;
    pot_enter(log, warm); /* 5 */
    pass(log, 4 * HOUR);
    pot_enter(log, plain(POT_RIPE)); /* 6 */
    struct pot_state state = pot_log_state(log);
    cr_assert_eq(state.logged_count, 2);
    cr_expect_eq(state.logged[0].minutes, 240);
    cr_expect_eq(state.logged[0].c, 280000);
    cr_expect_eq(state.logged[1].minutes, 300);
    cr_expect_eq(state.logged[1].c, 240000);
    cr_expect_eq(state.logged[1].flour, 200000);
    cr_expect(state.seen_ripe);
    cr_expect_eq(state.seen_ripe_at, log->now);
    pot_enter(log, undo(6));
    state = pot_log_state(log);
    cr_expect_eq(state.logged_count, 1);
    cr_expect_not(state.seen_ripe);
    pot_enter(log, undo(3)); /* then it was ripe an hour later */
    state = pot_log_state(log);
    cr_expect_eq(state.logged[0].minutes, 360);
    pot_log_free(log);
}

/* Nothing is learnt from a feed that stood in the cold, nor from one that was entered wrongly. */
Test(pot_state, what_ripened_otherwise_is_not_logged)
{
    struct pot_log *log = pot_log_new();
    pot_enter(log, weight(POT_BEGUN, 300));
    pot_enter(log, feed(100, 200, 160)); /* 2 */
    pot_enter(log, plain(POT_CHILLED));
    pass(log, 48 * HOUR);
    pot_enter(log, plain(POT_RIPE));
    pot_enter(log, feed(100, 200, 160)); /* 5, in the cold */
    pot_enter(log, plain(POT_WOKEN));
    pass(log, 6 * HOUR);
    pot_enter(log, plain(POT_RIPE));
    pot_enter(log, feed(100, 200, 160)); /* 8 */
    pass(log, 6 * HOUR);
    pot_enter(log, feed(100, 100, 80)); /* 9, by mistake */
    pass(log, HOUR);
    pot_enter(log, plain(POT_RIPE)); /* 10, of that */
    cr_expect_eq(pot_log_state(log).logged_count, 1);
    pot_enter(log, undo(9));
    struct pot_state state = pot_log_state(log);
    cr_expect_eq(state.logged_count, 0);
    cr_expect_not(state.seen_ripe);
    cr_expect_eq(state.feed.number, 8);
    pot_enter(log, plain(POT_RIPE)); /* 12, of the one before */
    cr_expect_eq(pot_log_state(log).logged_count, 1);
    cr_expect_eq(pot_log_state(log).logged[0].minutes, 420);
    pot_log_free(log);
}

/* Older entries than the last feed, chilling and waking make no difference. */
Test(pot_state, the_tail_of_the_log_is_enough)
{
    struct pot_log *log = pot_log_new();
    pot_enter(log, weight(POT_BEGUN, 300));
    pot_enter(log, feed(100, 200, 160));
    pot_enter(log, plain(POT_CHILLED));
    pass(log, HOUR);
    pot_enter(log, plain(POT_WOKEN));
    pot_enter(log, feed(100, 200, 160));
    pot_enter(log, weight(POT_TAKEN, 60));
    struct pot_state whole = pot_log_state(log), tail;
    cr_assert(pot_state_of(&log->reckoning, log->entries + 2, log->count - 2, &tail));
    cr_expect_eq(tail.entries, whole.entries);
    cr_expect_eq(tail.on_hand_mg, whole.on_hand_mg);
    cr_expect_eq(tail.feeds_awake, whole.feeds_awake);
    cr_expect_eq(tail.feed.number, whole.feed.number);
    cr_expect_eq(tail.woken, whole.woken);
    cr_expect_eq(tail.awake_since, whole.awake_since);
    pot_log_free(log);
}

/* --- the outlook --- */

Test(pot_state, the_outlook_at_work)
{
    struct pot_log *log = pot_log_new();
    cr_expect_not(pot_log_outlook(log).has_feed_by);
    cr_expect_not(pot_log_outlook(log).ripens);
    pot_enter(log, weight(POT_BEGUN, 300));
    struct pot_outlook outlook = pot_log_outlook(log);
    cr_expect_not(outlook.ripens);
    cr_expect(outlook.has_feed_by);
    cr_expect_eq(outlook.feed_by, BEGIN + 24 * HOUR);
    cr_expect_eq(outlook.feeds_to_wake, 0);
    cr_expect_eq(outlook.estimate.minutes, RIPENING_NEVER);
    pot_enter(log, feed(100, 200, 160));
    outlook = pot_log_outlook(log);
    cr_expect(outlook.ripens);
    cr_expect_eq(outlook.estimate.minutes, 360);
    cr_expect_eq(outlook.ripe_from, BEGIN + 6 * HOUR);
    cr_expect_eq(outlook.ripe_until, BEGIN + 8 * HOUR);
    cr_expect_eq(outlook.feed_by, BEGIN + 24 * HOUR);
    log->starter.feed_within_minutes = 60;
    cr_expect_eq(pot_log_outlook(log).feed_by, BEGIN + 8 * HOUR);
    pass(log, 7 * HOUR);
    pot_enter(log, plain(POT_RIPE));
    outlook = pot_log_outlook(log);
    cr_expect_eq(outlook.ripe_from, BEGIN + 7 * HOUR);
    cr_expect_eq(outlook.ripe_until, BEGIN + 9 * HOUR);
    cr_expect_eq(outlook.feed_by, BEGIN + 9 * HOUR);
    pot_enter(log, weight(POT_WEIGHED, 0));
    cr_expect_not(pot_log_outlook(log).has_feed_by);
    pot_log_free(log);
}

Test(pot_state, too_cold_to_ripen)
{
    struct pot_log *log = pot_log_new();
    struct pot_request cold = feed(100, 200, 160);
    cold.has_c = true;
    cold.c = 30000;
    pot_enter(log, weight(POT_BEGUN, 300));
    pot_enter(log, cold);
    cr_expect_not(pot_log_outlook(log).ripens);
    cr_expect_eq(pot_log_outlook(log).feed_by, BEGIN + 24 * HOUR);
    pass(log, 10 * HOUR);
    pot_enter(log, plain(POT_RIPE)); /* what was seen wins */
    cr_expect(pot_log_outlook(log).ripens);
    cr_expect_eq(pot_log_outlook(log).ripe_from, BEGIN + 10 * HOUR);
    pot_log_free(log);
}

Test(pot_state, the_outlook_in_the_cold_and_after)
{
    struct pot_log *log = pot_log_new();
    pot_enter(log, weight(POT_BEGUN, 300));
    pot_enter(log, feed(100, 200, 160));
    pass(log, HOUR);
    pot_enter(log, plain(POT_CHILLED));
    struct pot_outlook outlook = pot_log_outlook(log);
    cr_expect_not(outlook.ripens);
    cr_expect_eq(outlook.feed_by, BEGIN + 7 * SECONDS_PER_DAY);
    cr_expect_eq(outlook.feeds_to_wake, 2);
    pass(log, 47 * HOUR);
    pot_enter(log, plain(POT_WOKEN));
    outlook = pot_log_outlook(log);
    cr_expect_not(outlook.ripens);
    cr_expect_eq(outlook.feed_by, log->now + 24 * HOUR);
    cr_expect_eq(outlook.feeds_to_wake, 2);
    pot_enter(log, feed(100, 200, 160));
    outlook = pot_log_outlook(log);
    cr_expect(outlook.ripens);
    cr_expect_eq(outlook.ripe_from, log->now + 6 * HOUR);
    cr_expect_eq(outlook.feeds_to_wake, 1);
    pot_enter(log, feed(100, 200, 160));
    pot_enter(log, feed(100, 200, 160));
    cr_expect_eq(pot_log_outlook(log).feeds_to_wake, 0);
    pot_log_free(log);
}
