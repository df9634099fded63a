/* A log that is told entry by entry. */
#include "pot_log.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

struct pot_log *pot_log_new(void)
{
    struct pot_log *log = calloc(1, sizeof *log);
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

void pot_log_free(struct pot_log *log)
{
    arena_free(log->arena);
    free(log);
}

struct pot_state pot_log_state(struct pot_log *log)
{
    struct pot_state state;
    cr_assert(pot_state_of(&log->reckoning, log->entries, log->count, &state));
    return state;
}

struct pot_outlook pot_log_outlook(struct pot_log *log)
{
    struct pot_state state = pot_log_state(log);
    struct pot_outlook outlook;
    pot_outlook_of(&log->starter, &state, &outlook);
    return outlook;
}

bool pot_try(struct pot_log *log, struct pot_request request, struct pot_entry *entry)
{
    struct pot_state state = pot_log_state(log);
    const struct pot_entry *reversed = NULL;
    if (request.at == 0) request.at = log->now;
    if (request.kind == POT_REVERSED && request.reverses >= 1 &&
        (size_t)request.reverses <= log->count)
        reversed = &log->entries[request.reverses - 1];
    return pot_entry_of(&log->reckoning, &log->starter, &state, &request, reversed, log->now,
                        entry);
}

const struct pot_entry *pot_enter(struct pot_log *log, struct pot_request request)
{
    struct pot_entry *entry = &log->entries[log->count];
    bool done = pot_try(log, request, entry);
    cr_assert(done, "%s: %s", log->fails.items[0].path, log->fails.items[0].text);
    cr_assert_eq(entry->number, (int64_t)++log->count);
    if (entry->reverses > 0) log->entries[entry->reverses - 1].reversed_by = entry->number;
    return entry;
}

void pot_refuse(struct pot_log *log, struct pot_request request, const char *first,
                const char *second)
{
    struct pot_entry entry;
    cr_expect_not(pot_try(log, request, &entry), "%s is let through", pot_kinds[request.kind]);
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
