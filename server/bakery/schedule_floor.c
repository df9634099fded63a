/* Lists of what is taken, kept in the order of time by insertion: a night is short, and places are
 * looked for from its end. */
#include "bakery/schedule_floor.h"

#include "base/arena.h"

#include <string.h>

bool floor_init(struct schedule_floor *all, struct arena *arena, size_t machines)
{
    *all = (struct schedule_floor){.arena = arena, .lane_count = machines};
    all->lanes = arena_array(arena, machines, sizeof *all->lanes);
    all->failed = !all->lanes;
    return !all->failed;
}

/* Room for count items in a list; the old items stay when they are wanted. */
static bool make_room(struct schedule_floor *all, void **list, size_t *room, size_t keep,
                      size_t count, size_t size)
{
    if (all->failed || count <= *room) return !all->failed;
    size_t wanted = count < 8 ? 16 : 2 * count;
    void *larger = arena_array(all->arena, wanted, size);
    all->failed = !larger;
    if (all->failed) return false;
    if (keep > 0) memcpy(larger, *list, keep * size);
    *list = larger;
    *room = wanted;
    return true;
}

static bool lane_room(struct schedule_floor *all, struct lane *lane, size_t count)
{
    void *spans = lane->spans;
    bool roomy = make_room(all, &spans, &lane->room, lane->count, count, sizeof *lane->spans);
    lane->spans = spans;
    return roomy;
}

static bool level_room(struct schedule_floor *all, size_t count)
{
    void *levels = all->levels;
    bool roomy = make_room(all, &levels, &all->level_room, all->level_count, count,
                           sizeof *all->levels);
    all->levels = levels;
    return roomy;
}

static void lane_copy(struct schedule_floor *all, struct lane *to, const struct lane *from)
{
    to->count = 0;
    if (from->count == 0 || !lane_room(all, to, from->count)) return;
    memcpy(to->spans, from->spans, from->count * sizeof *to->spans);
    to->count = from->count;
}

void floor_copy(struct schedule_floor *to, const struct schedule_floor *from)
{
    to->failed = to->failed || from->failed;
    for (size_t m = 0; m < to->lane_count; m++)
        lane_copy(to, &to->lanes[m], &from->lanes[m]);
    to->level_count = 0;
    if (from->level_count == 0 || !level_room(to, from->level_count)) return;
    memcpy(to->levels, from->levels, from->level_count * sizeof *to->levels);
    to->level_count = from->level_count;
}

int64_t lane_latest(const struct lane *lane, int64_t recovery, int64_t lasts, int64_t ends)
{
    if (lasts == 0) return ends;
    for (size_t n = lane->count; n > 0; n--) {
        const struct span *taken = &lane->spans[n - 1];
        if (taken->begins - recovery >= ends) continue;
        if (taken->ends + recovery <= ends - lasts) break;
        ends = taken->begins - recovery;
    }
    return ends;
}

void floor_occupy(struct schedule_floor *all, size_t machine, struct span span)
{
    struct lane *lane = &all->lanes[machine];
    size_t at = lane->count;
    if (span.begins == span.ends || !lane_room(all, lane, lane->count + 1)) return;
    for (; at > 0 && lane->spans[at - 1].begins > span.begins; at--)
        lane->spans[at] = lane->spans[at - 1];
    lane->spans[at] = span;
    lane->count++;
}

int64_t floor_full(const struct schedule_floor *all, int64_t limit, int64_t from, int64_t to,
                   int64_t amount)
{
    if (amount > limit && from < to) return from;
    for (size_t n = all->level_count; n > 0; n--) {
        const struct level *level = &all->levels[n - 1];
        bool ends_before = n < all->level_count && all->levels[n].from <= from;
        if (ends_before) break;
        if (level->from < to && level->taken > limit - amount) return level->from;
    }
    return SCHEDULE_EVER;
}

/* The level that begins then, made when there is none. There is room for it. */
static size_t level_at(struct schedule_floor *all, int64_t from)
{
    size_t at = all->level_count;
    while (at > 0 && all->levels[at - 1].from > from)
        at--;
    if (at > 0 && all->levels[at - 1].from == from) return at - 1;
    memmove(&all->levels[at + 1], &all->levels[at], (all->level_count - at) * sizeof *all->levels);
    all->levels[at] = (struct level){from, at > 0 ? all->levels[at - 1].taken : 0};
    all->level_count++;
    return at;
}

void floor_cool(struct schedule_floor *all, int64_t from, int64_t to, int64_t amount)
{
    if (from >= to || amount == 0 || !level_room(all, all->level_count + 2)) return;
    size_t begin = level_at(all, from);
    size_t end = level_at(all, to);
    for (size_t n = begin; n < end; n++)
        if (__builtin_add_overflow(all->levels[n].taken, amount, &all->levels[n].taken))
            all->levels[n].taken = INT64_MAX;
}
