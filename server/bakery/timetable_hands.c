/* How many hands are needed, and how many are there. */
#include "bakery/timetable_shop.h"

#include "bakery/amount.h"

#include <stdlib.h>

/* Hands that become busy (or, less than 0, free) at a moment. */
struct busy {
    instant at;
    int64_t hands;
    int64_t asked; /* tasks that are asked for among them */
};

static int by_instant(const void *left, const void *right)
{
    const struct busy *a = left;
    const struct busy *b = right;
    return (a->at > b->at) - (a->at < b->at);
}

static struct busy *busy_of(const struct shop *shop, size_t *count)
{
    struct busy *list = amount_memory(shop->reckoning, 2 * shop->task_count, sizeof *list);
    *count = 0;
    for (size_t n = 0; list && n < shop->task_count; n++) {
        const struct task *task = &shop->tasks[n].task;
        int64_t asked = shop->tasks[n].is_asked;
        if (task->hands == 0 || task->begins == task->ends) continue;
        list[(*count)++] = (struct busy){task->begins, task->hands, asked};
        list[(*count)++] = (struct busy){task->ends, -task->hands, -asked};
    }
    if (list && *count > 0) qsort(list, *count, sizeof *list, by_instant);
    return list;
}

/* --- shifts --- */

static bool works_on(const struct shift *shift, date day)
{
    return shift->days & (1u << date_weekday(day));
}

int64_t hands_there(const struct reckoning *reckoning, instant at, instant *until)
{
    const struct bakery *bakery = &reckoning->catalogue->bakery;
    int64_t there = 0;
    date today;
    int minutes;
    zone_wall(reckoning->zone, at, &today, &minutes);
    *until = zone_instant(reckoning->zone, today + 1, 0);
    if (*until <= at) *until = at + SECONDS_PER_DAY;
    for (size_t n = 0; n < bakery->shift_count; n++) {
        const struct shift *shift = &bakery->shifts[n];
        for (date day = today - 2; day <= today + 1; day++) {
            if (!works_on(shift, day)) continue;
            instant from = zone_instant(reckoning->zone, day, shift->from);
            instant to = zone_instant(reckoning->zone, day + (shift->to <= shift->from), shift->to);
            if (from <= at && at < to) there += shift->hands;
            if (from > at && from < *until) *until = from;
            if (to > at && to < *until) *until = to;
        }
    }
    return there;
}

/* --- what is missing --- */

static bool add_short(const struct shop *shop, struct timetable *out, size_t *room,
                      struct hands_short lack)
{
    struct hands_short *last = out->hands_count > 0 ? &out->hands[out->hands_count - 1] : NULL;
    if (last && last->to == lack.from && last->needed == lack.needed && last->there == lack.there) {
        last->to = lack.to;
        return true;
    }
    if (out->hands_count == *room) {
        *room = 2 * *room + 8;
        struct hands_short *larger = amount_memory(shop->reckoning, *room, sizeof *larger);
        if (!larger) return false;
        for (size_t n = 0; n < out->hands_count; n++)
            larger[n] = out->hands[n];
        out->hands = larger;
    }
    out->hands[out->hands_count++] = lack;
    return true;
}

static bool look_at(const struct shop *shop, struct timetable *out, size_t *room, instant from,
                    instant to, int64_t needed)
{
    while (from < to) {
        instant until;
        int64_t there = hands_there(shop->reckoning, from, &until);
        if (until > to) until = to;
        if (needed > there &&
            !add_short(shop, out, room, (struct hands_short){from, until, needed, there}))
            return false;
        from = until;
    }
    return true;
}

bool shop_hands(const struct shop *shop, struct timetable *out)
{
    size_t count;
    size_t room = 0;
    int64_t needed = 0;
    int64_t asked = 0;
    out->hands = NULL;
    out->hands_count = 0;
    if (shop->reckoning->catalogue->bakery.shift_count == 0) return true;
    const struct busy *list = busy_of(shop, &count);
    for (size_t n = 0; list && n < count; n++) {
        needed += list[n].hands;
        asked += list[n].asked;
        if (asked > 0 && n + 1 < count &&
            !look_at(shop, out, &room, list[n].at, list[n + 1].at, needed))
            return false;
    }
    return list != NULL;
}
