/* The least is filled from the last slot to the first, the most from the first to the last.
 *
 * A demand that cannot be met is the last of those looked at. What would serve it is a feed, with
 * the most that can be there after it, less what other demands take and what the pot needs to live
 * on; the earlier in the feed's ripe hours it is taken, the more feeds may follow. So one look at
 * each feed tells how much it could give at the time that was wanted, and from when on it could
 * give all.
 */
#include "bakery/feeding_bounds.h"

#include "bakery/amount.h"

static const int64_t NO_WAY = INT64_MAX;
enum { LATER_GRID = 5 * 60, LATER_MOST = SECONDS_PER_DAY };

static int64_t larger(int64_t a, int64_t b)
{
    return a > b ? a : b;
}

bool feeding_bounds_begin(struct feeding_bounds *bounds, struct feeding_search *search)
{
    size_t places = search->levels * search->problem->slot_count;
    *bounds = (struct feeding_bounds){.search = search};
    bounds->least = amount_memory(search->reckoning, 2 * places, sizeof *bounds->least);
    bounds->most = amount_memory(search->reckoning, places, sizeof *bounds->most);
    return bounds->least && bounds->most;
}

/* --- the least --- */

/* The tree of minima of a level: leaf k stands at slot_count + k, its parent at half of that. */
static int64_t *minima(const struct feeding_bounds *bounds, size_t level)
{
    return bounds->least + level * 2 * bounds->search->problem->slot_count;
}

static void set_least(struct feeding_bounds *bounds, size_t level, size_t slot, int64_t need)
{
    int64_t *tree = minima(bounds, level);
    size_t node = bounds->search->problem->slot_count + slot;
    for (tree[node] = need; node > 1; node /= 2)
        tree[node / 2] = tree[node] < tree[node ^ 1] ? tree[node] : tree[node ^ 1];
}

static int64_t least_between(const struct feeding_bounds *bounds, size_t level, size_t first,
                             size_t end)
{
    const int64_t *tree = minima(bounds, level);
    int64_t least = NO_WAY;
    size_t low = first + bounds->search->problem->slot_count;
    size_t high = end + bounds->search->problem->slot_count;
    for (; low < high; low /= 2, high /= 2) {
        if (low % 2 == 1) {
            if (tree[low] < least) least = tree[low];
            low++;
        }
        if (high % 2 == 1) {
            high--;
            if (tree[high] < least) least = tree[high];
        }
    }
    return least;
}

/* The least that must be there after a feed. */
static int64_t least_want(struct feeding_bounds *bounds, const struct feed_reach *reach)
{
    struct feeding_search *search = bounds->search;
    int64_t least = reach->may_end ? feed_want(search, 0, reach->end_want_mg) : NO_WAY;
    for (size_t n = 0; n <= reach->to - reach->from; n++) {
        struct feed_stretch stretch = feed_stretch_of(search, reach, n);
        if (stretch.first == stretch.end) continue;
        int64_t need = least_between(bounds, reach->level, stretch.first, stretch.end);
        if (need == NO_WAY) continue;
        int64_t want = feed_want(search, need, stretch.taken_mg);
        if (want < least) least = want;
    }
    return least;
}

static int64_t least_need(struct feeding_bounds *bounds, size_t level, size_t slot)
{
    struct feeding_search *search = bounds->search;
    int64_t least = NO_WAY;
    for (size_t ratio = 0; ratio < search->problem->ratio_count; ratio++) {
        struct feed_reach reach;
        struct feed_amounts amounts;
        if (!feed_reach_of(search, level, slot, ratio, &reach)) continue;
        int64_t want = least_want(bounds, &reach);
        if (want == NO_WAY || !feed_amounts_of(search, ratio, want, &amounts)) continue;
        int64_t need = feed_need(search, amounts.seed);
        if (need < least) least = need;
    }
    return least;
}

static void fill_least(struct feeding_bounds *bounds)
{
    size_t slots = bounds->search->problem->slot_count, levels = bounds->search->levels;
    for (size_t i = 0; i < levels * 2 * slots; i++)
        bounds->least[i] = NO_WAY;
    for (size_t slot = slots; slot-- > 0;)
        for (size_t level = 0; level < levels; level++)
            set_least(bounds, level, slot, least_need(bounds, level, slot));
}

bool feeding_feasible(struct feeding_bounds *bounds)
{
    size_t slots = bounds->search->problem->slot_count;
    int64_t most;
    if (feeding_needs_none(bounds->search)) return true;
    fill_least(bounds);
    for (size_t slot = 0; slot < slots; slot++)
        if (feed_may_begin(bounds->search, slot, &most) && minima(bounds, 0)[slots + slot] <= most)
            return true;
    return false;
}

/* --- the most --- */

/* More than that no plan ever wants: all that is taken, the mother, and what rounding adds from
 * feed to feed. */
static int64_t enough_for(struct feeding_search *search, int64_t more_mg)
{
    int64_t rounded, enough = search->taken[search->demand_count];
    if (__builtin_mul_overflow((int64_t)search->problem->slot_count + 2,
                               larger(search->problem->step_mg, 1), &rounded) ||
        __builtin_add_overflow(enough, rounded, &enough) ||
        __builtin_add_overflow(enough, search->problem->keep_mg, &enough) ||
        __builtin_add_overflow(enough, more_mg, &enough))
        search->too_large = true;
    return enough;
}

/* The most that a feed can give when so much is there before it; 0: no feed is possible. */
static int64_t most_after(struct feeding_bounds *bounds, size_t ratio, int64_t before_mg)
{
    const struct feed_parts *parts = &bounds->search->parts[ratio];
    int64_t step = larger(bounds->search->problem->step_mg, 1);
    struct feed_amounts amounts;
    __int128 most = (__int128)(before_mg / step * step) * parts->whole / parts->seed;
    int64_t beyond = most < bounds->enough ? (int64_t)most : bounds->enough, had = 0;
    if (beyond <= 0 || feed_amounts_of(bounds->search, ratio, beyond, &amounts)) return beyond;
    while (beyond - had > 1) { /* the pot is full before */
        int64_t middle = had + (beyond - had) / 2;
        if (feed_amounts_of(bounds->search, ratio, middle, &amounts))
            had = middle;
        else
            beyond = middle;
    }
    return had;
}

/* Carries the most from after a feed on to all that may follow it. */
static void carry(struct feeding_bounds *bounds, const struct feed_reach *reach, int64_t after_mg)
{
    int64_t *most = bounds->most + reach->level * bounds->search->problem->slot_count;
    for (size_t n = 0; n <= reach->to - reach->from; n++) {
        struct feed_stretch stretch = feed_stretch_of(bounds->search, reach, n);
        int64_t left = after_mg - stretch.taken_mg;
        if (left < bounds->search->problem->keep_mg) return;
        for (size_t slot = stretch.first; slot < stretch.end; slot++)
            if (most[slot] < left) most[slot] = left;
    }
}

int64_t feeding_most_at(const struct feeding_bounds *bounds, size_t level, size_t slot)
{
    return bounds->most[level * bounds->search->problem->slot_count + slot];
}

void feeding_fill_most(struct feeding_bounds *bounds, int64_t more_mg)
{
    struct feeding_search *search = bounds->search;
    size_t slots = search->problem->slot_count, levels = search->levels;
    struct feed_reach reach;
    int64_t begin;
    bounds->enough = enough_for(search, more_mg);
    for (size_t i = 0; i < levels * slots; i++)
        bounds->most[i] = -1;
    for (size_t i = 0; i < slots * levels; i++) {
        size_t slot = i / levels, level = i % levels;
        int64_t *most = &bounds->most[level * slots + slot];
        if (level == 0 && feed_may_begin(search, slot, &begin)) *most = larger(*most, begin);
        for (size_t ratio = 0; *most >= 0 && ratio < search->problem->ratio_count; ratio++)
            if (feed_reach_of(search, level, slot, ratio, &reach))
                carry(bounds, &reach, most_after(bounds, ratio, *most));
    }
}

/* --- a shortfall --- */

/* A stay in the pot from which a demand may be served: after a feed, or before the first. */
struct source {
    int64_t there_mg; /* of which all demands before it are taken off */
    instant ripe_from, ripe_until;
    bool may_end;
    size_t level;      /* of the next feed */
    size_t first, end; /* slots at which it may be */
};

/* What a source can spare at a time; below 0: nothing. */
static int64_t spare_at(const struct feeding_bounds *bounds, const struct source *source,
                        instant at)
{
    const struct feeding_problem *problem = bounds->search->problem;
    size_t first = source->first;
    while (first < source->end && problem->slots[first] < at)
        first++;
    int64_t need = source->may_end ? 0 : least_between(bounds, source->level, first, source->end);
    return need == NO_WAY ? -1 : source->there_mg - larger(need, problem->keep_mg);
}

static void try_source(const struct feeding_bounds *bounds, const struct source *source,
                       const struct feeding_demand *wanted, struct feeding_short *out)
{
    int64_t step = larger(bounds->search->problem->step_mg, 1);
    if (source->ripe_until < wanted->at) return; /* nor does it serve all that come before */
    if (source->ripe_from <= wanted->at) {
        int64_t most = spare_at(bounds, source, wanted->at) / step * step;
        if (most > out->most_mg) out->most_mg = most;
    }
    instant at = larger(source->ripe_from, wanted->at + 1) + LATER_GRID - 1;
    at -= (at % LATER_GRID + LATER_GRID) % LATER_GRID;
    if (at > source->ripe_until || at > wanted->at + LATER_MOST) return;
    if (out->has_later && at >= out->later) return;
    if (spare_at(bounds, source, at) < wanted->mg) return;
    out->has_later = true;
    out->later = at;
}

/* What is in the pot now. Where no time is set to feed it by, it needs no feed. */
static void try_pot(const struct feeding_bounds *bounds, const struct feeding_demand *wanted,
                    struct feeding_short *out)
{
    const struct feeding_search *search = bounds->search;
    const struct feeding_problem *problem = search->problem;
    struct source source = {.there_mg = problem->on_hand_mg - search->taken[search->demand_count],
                            .ripe_from = problem->ripe_from,
                            .ripe_until = problem->ripe_until,
                            .may_end = feeding_needs_none(search)};
    if (!problem->ripens || problem->feeds_to_wake > 0 ||
        !feed_pot_serves(search, search->demand_count))
        return;
    while (source.first < problem->slot_count && problem->slots[source.first] < problem->ripe_from)
        source.first++;
    source.end = source.first;
    while (source.end < problem->slot_count && problem->slots[source.end] <= problem->feed_by)
        source.end++;
    try_source(bounds, &source, wanted, out);
}

static void try_feed(struct feeding_bounds *bounds, size_t slot, size_t ratio,
                     const struct feeding_demand *wanted, struct feeding_short *out)
{
    struct feeding_search *search = bounds->search;
    int64_t before = feeding_most_at(bounds, search->levels - 1, slot);
    struct feed_reach reach;
    if (before < 0 || !feed_reach_of(search, search->levels - 1, slot, ratio, &reach)) return;
    struct source source = {
        .there_mg = most_after(bounds, ratio, before) - reach.end_want_mg,
        .ripe_from = larger(reach.times->ripe_from, search->problem->slots[slot] + 1),
        .ripe_until = reach.times->ripe_until,
        .may_end = reach.may_end,
        .level = reach.level,
        .first = reach.times->first,
        .end = reach.times->end};
    try_source(bounds, &source, wanted, out);
}

void feeding_shortfall(struct feeding_bounds *bounds, const struct feeding_demand *wanted,
                       struct feeding_short *out)
{
    const struct feeding_problem *problem = bounds->search->problem;
    fill_least(bounds);
    feeding_fill_most(bounds, wanted->mg);
    out->most_mg = 0;
    out->has_later = false;
    try_pot(bounds, wanted, out);
    for (size_t slot = 0; slot < problem->slot_count; slot++)
        for (size_t ratio = 0; ratio < problem->ratio_count; ratio++)
            try_feed(bounds, slot, ratio, wanted, out);
}
