/* Whether the hands suffice for more pieces.
 *
 * A timetable shows every minute in which two things ask for one pair of hands; nobody turns an
 * order down for that, one thing is done a little before or after the other. Hands are missing
 * where a stretch of time holds more work than those who are there can do, although every task may
 * be done up to half an hour earlier or later; and where a single task asks for more hands than are
 * there around its time. Only where the timetable shows such minutes need be looked.
 */
#include "bakery/offer_view.h"

#include "bakery/amount.h"

#include <stdlib.h>

enum { SECONDS_PER_MINUTE = 60, GIVE = 30 * SECONDS_PER_MINUTE };

/* A task for those who are there: seconds of one pair of hands between two moments. */
struct chore {
    instant from, to;
    int64_t work;
    int64_t until_from, until_to; /* what those who are there can do until then */
};

static int by_end(const void *left, const void *right)
{
    const struct chore *a = left;
    const struct chore *b = right;
    return (a->to > b->to) - (a->to < b->to);
}

/* The most hands that are there at any moment between. */
static int64_t most_there(const struct reckoning *reckoning, instant from, instant to)
{
    int64_t most = 0;
    while (from < to) {
        int64_t there = hands_there(reckoning, from, &from);
        if (there > most) most = there;
    }
    return most;
}

/* Seconds of one pair of hands that are there between. */
static int64_t capacity(const struct reckoning *reckoning, instant from, instant to)
{
    int64_t seconds = 0;
    while (from < to) {
        instant until;
        int64_t there = hands_there(reckoning, from, &until);
        if (until > to) until = to;
        seconds += there * (until - from);
        from = until;
    }
    return seconds;
}

/* What those who are there can do from one moment on that is common to all. */
static void fill_until(const struct reckoning *reckoning, struct chore *chores, size_t count)
{
    instant first = INT64_MAX;
    for (size_t i = 0; i < count; i++)
        if (chores[i].from < first) first = chores[i].from;
    for (size_t i = 0; i < count; i++) {
        chores[i].until_from = capacity(reckoning, first, chores[i].from);
        chores[i].until_to = capacity(reckoning, first, chores[i].to);
    }
}

/* The largest excess of work over hands in any stretch: what must be done between two moments lies
 * between them altogether. Chores stand by end. */
static int64_t excess(const struct chore *chores, size_t count)
{
    int64_t most = 0;
    for (size_t a = 0; a < count; a++) {
        int64_t work = 0;
        for (size_t b = 0; b < count; b++) {
            if (chores[b].from < chores[a].from) continue;
            work += chores[b].work;
            int64_t over = work - (chores[b].until_to - chores[a].until_from);
            if (over > most) most = over;
        }
    }
    return most;
}

/* Seconds of one pair of hands that are missing, and when. */
static bool missing(const struct reckoning *reckoning, const struct timetable *table,
                    int64_t *seconds, instant *first)
{
    size_t count = 0;
    struct chore *chores = amount_memory(reckoning, table->task_count, sizeof *chores);
    *seconds = 0;
    *first = table->hands_count > 0 ? table->hands[0].from : 0;
    if (!chores || table->hands_count == 0) return chores != NULL;
    for (size_t i = 0; i < table->task_count; i++) {
        const struct task *task = &table->tasks[i];
        int64_t lasts = task->ends - task->begins;
        if (task->hands == 0 || lasts == 0) continue;
        struct chore chore = {.from = task->begins - GIVE, .to = task->ends + GIVE};
        int64_t there = most_there(reckoning, chore.from, chore.to);
        int64_t manned = task->hands < there ? task->hands : there;
        if (manned < task->hands && *seconds == 0) *first = task->begins;
        *seconds += (task->hands - manned) * lasts;
        chore.work = manned * lasts;
        if (manned > 0) chores[count++] = chore;
    }
    if (count > 0) qsort(chores, count, sizeof *chores, by_end);
    fill_until(reckoning, chores, count);
    *seconds += excess(chores, count);
    return true;
}

bool offer_hands_short(struct offer_case *offer, struct offer_view *trial,
                       struct offer_reason *reason, bool *binds)
{
    int64_t before;
    int64_t after;
    instant unused;
    instant first;
    if (!offer_view_timetable(offer, &offer->before) || !offer_view_timetable(offer, trial) ||
        !missing(&offer->before.reckoning, &offer->before.timetable, &before, &unused) ||
        !missing(&trial->reckoning, &trial->timetable, &after, &first))
        return false;
    *binds = after > before;
    if (!*binds) return true;
    reason->short_minutes = (after - before + SECONDS_PER_MINUTE - 1) / SECONDS_PER_MINUTE;
    reason->at = first;
    return true;
}
