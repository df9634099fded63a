/* A starter's log for the tests, which grows entry by entry. */
#ifndef MORROWLOAF_TESTS_BAKERY_POT_LOG_H
#define MORROWLOAF_TESTS_BAKERY_POT_LOG_H

#include "bakery/pot.h"
#include "base/arena.h"
#include "base/fail.h"

enum { ENTRIES = 3000, MINUTE = 60, HOUR = 3600 };

#define BEGIN ((instant)1809518400)

/* A log that grows entry by entry. */
struct pot_log {
    struct arena *arena;
    struct fails fails;
    struct reckoning reckoning;
    struct ripening ripenings[1];
    struct starter starter;
    struct pot_entry entries[ENTRIES];
    size_t count;
    instant now;
};

/* Empty; hydration 80 %, at 24 degrees 1 : 2 : 1.6 ripens in six hours. Caller frees with
 * pot_log_free(). */
struct pot_log *pot_log_new(void);
void pot_log_free(struct pot_log *log);
struct pot_state pot_log_state(struct pot_log *log);
struct pot_outlook pot_log_outlook(struct pot_log *log);

/* Works an entry out; without a time it is of now. */
bool pot_try(struct pot_log *log, struct pot_request request, struct pot_entry *entry);
/* Enters what must be right; what it undoes is marked, as the book does. */
const struct pot_entry *pot_enter(struct pot_log *log, struct pot_request request);
/* The request is refused with exactly these faults, by path; second: NULL when there is one. */
void pot_refuse(struct pot_log *log, struct pot_request request, const char *first,
                const char *second);

/* --- requests --- */

static inline struct pot_request weight(enum pot_kind kind, int64_t grams)
{
    return (struct pot_request){.kind = kind, .mg = grams * 1000};
}

static inline struct pot_request plain(enum pot_kind kind)
{
    return (struct pot_request){.kind = kind};
}

static inline struct pot_request undo(int64_t number)
{
    return (struct pot_request){.kind = POT_REVERSED, .reverses = number};
}

/* seed < 0: all that is there. */
static inline struct pot_request feed(int64_t seed, int64_t flour, int64_t water)
{
    return (struct pot_request){.kind = POT_FED,
                                .has_seed = seed >= 0,
                                .seed_mg = seed * 1000,
                                .flour_mg = flour * 1000,
                                .water_mg = water * 1000};
}

/* Lets time pass. */
static inline void pass(struct pot_log *log, int64_t seconds)
{
    log->now += seconds;
}

#endif
