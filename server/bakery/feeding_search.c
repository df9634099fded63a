/* The graph of feeds. What the clock says of a feed does not depend on the demands and is worked
 * out once; what is asked of the pot is looked up by the number of demands that were taken.
 */
#include "bakery/feeding_search.h"

#include "bakery/amount.h"

enum { SECONDS_PER_MINUTE = 60 };

/* --- the clock --- */

static int64_t larger(int64_t a, int64_t b)
{
    return a > b ? a : b;
}

/* The first slot from `from` on that is not before an instant. */
static size_t slot_at(const struct feeding_problem *problem, size_t from, instant at)
{
    size_t low = from, high = problem->slot_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (problem->slots[middle] < at)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

static struct feed_times times_of(const struct feeding_problem *problem, size_t slot,
                                  const struct feed_ratio *ratio)
{
    struct feed_times times;
    int64_t minutes = larger(ratio->ripe_minutes + problem->stays_ripe_minutes,
                             problem->feed_within_minutes);
    instant at = problem->slots[slot];
    times.ripe_from = at + ratio->ripe_minutes * SECONDS_PER_MINUTE;
    times.ripe_until = times.ripe_from + problem->stays_ripe_minutes * SECONDS_PER_MINUTE;
    times.starves = at + minutes * SECONDS_PER_MINUTE;
    times.first = slot_at(problem, slot + 1, times.ripe_from);
    times.end = slot_at(problem, times.first, times.starves + 1);
    return times;
}

static int64_t common_divisor(int64_t a, int64_t b)
{
    while (b != 0) {
        int64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

/* Lowest terms keep the products below in one machine word. */
static struct feed_parts parts_of(const struct feed_ratio *ratio)
{
    struct feed_parts parts = {.usable = false};
    if (ratio->ripe_minutes < 0 || ratio->seed <= 0 || ratio->flour <= 0 || ratio->water < 0)
        return parts;
    int64_t divisor = common_divisor(common_divisor(ratio->seed, ratio->flour), ratio->water);
    parts.seed = ratio->seed / divisor;
    parts.flour = ratio->flour / divisor;
    parts.water = ratio->water / divisor;
    parts.usable = !__builtin_add_overflow(parts.seed, parts.flour, &parts.whole) &&
                   !__builtin_add_overflow(parts.whole, parts.water, &parts.whole);
    return parts;
}

bool feeding_search_begin(struct feeding_search *search, const struct reckoning *reckoning,
                          const struct feeding_problem *problem)
{
    size_t slots = problem->slot_count, ratios = problem->ratio_count;
    size_t demands = problem->demand_count;
    size_t levels = problem->feeds_to_wake > 1 ? (size_t)problem->feeds_to_wake : 1;
    if (levels > slots + 1) levels = slots + 1; /* more feeds than that there are not */
    *search = (struct feeding_search){.reckoning = reckoning, .problem = problem};
    search->levels = levels;
    search->floor_mg = problem->on_hand_mg < problem->keep_mg ? problem->on_hand_mg
                                                              : problem->keep_mg;
    search->parts = amount_memory(reckoning, ratios, sizeof *search->parts);
    search->times = amount_memory(reckoning, slots * ratios, sizeof *search->times);
    search->taken = amount_memory(reckoning, demands + 1, sizeof *search->taken);
    search->taken_by = amount_memory(reckoning, slots, sizeof *search->taken_by);
    search->slot_of = amount_memory(reckoning, demands + 2, sizeof *search->slot_of);
    if (!search->parts || !search->times || !search->taken || !search->taken_by || !search->slot_of)
        return false;
    for (size_t r = 0; r < ratios; r++)
        search->parts[r] = parts_of(&problem->ratios[r]);
    for (size_t i = 0; i < slots * ratios; i++)
        if (search->parts[i % ratios].usable)
            search->times[i] = times_of(problem, i / ratios, &problem->ratios[i % ratios]);
    return true;
}

void feeding_search_for(struct feeding_search *search, const struct feeding_demand *demands,
                        size_t count)
{
    const struct feeding_problem *problem = search->problem;
    search->demands = demands;
    search->demand_count = count;
    search->taken[0] = 0;
    search->slot_of[0] = 0;
    for (size_t n = 1; n <= count; n++) {
        if (__builtin_add_overflow(search->taken[n - 1], demands[n - 1].mg, &search->taken[n]))
            search->too_large = true;
        search->slot_of[n] = slot_at(problem, search->slot_of[n - 1], demands[n - 1].at);
    }
    search->slot_of[count + 1] = problem->slot_count;
    for (size_t k = 0, n = 0; k < problem->slot_count; k++) {
        while (n < count && demands[n].at <= problem->slots[k])
            n++;
        search->taken_by[k] = n;
    }
}

/* --- from feed to feed --- */

bool feed_reach_of(const struct feeding_search *search, size_t level, size_t slot, size_t ratio,
                   struct feed_reach *out)
{
    const struct feed_times *times = &search->times[slot * search->problem->ratio_count + ratio];
    const struct feeding_demand *demands = search->demands;
    bool awake = level + 1 == search->levels;
    size_t from = search->taken_by[slot], to = from;
    if (!search->parts[ratio].usable) return false;
    if (from < search->demand_count && demands[from].at < times->ripe_from) return false;
    while (awake && to < search->demand_count && demands[to].at <= times->ripe_until)
        to++;
    *out = (struct feed_reach){
        .level = awake ? level : level + 1, .from = from, .to = to, .times = times};
    out->may_end = to == search->demand_count && times->starves >= search->problem->until;
    out->end_want_mg = search->taken[to] - search->taken[from];
    return true;
}

struct feed_stretch feed_stretch_of(const struct feeding_search *search,
                                    const struct feed_reach *reach, size_t n)
{
    const struct feed_times *times = reach->times;
    size_t taken = reach->from + n;
    size_t first = search->slot_of[taken], end = search->slot_of[taken + 1];
    if (first < times->first) first = times->first;
    if (end > times->end) end = times->end;
    if (end < first) end = first;
    return (struct feed_stretch){
        .first = first, .end = end, .taken_mg = search->taken[taken] - search->taken[reach->from]};
}

int64_t feed_want(struct feeding_search *search, int64_t need_mg, int64_t taken_mg)
{
    int64_t want;
    need_mg = larger(need_mg, search->problem->keep_mg);
    if (__builtin_add_overflow(need_mg, taken_mg, &want)) {
        search->too_large = true;
        return INT64_MAX;
    }
    return larger(want, 1); /* a feed of nothing keeps nothing alive */
}

/* a x b / c, rounded up to whole steps; all positive but a and b, which may be 0. */
static int64_t scaled(struct feeding_search *search, int64_t a, int64_t b, int64_t c)
{
    int64_t product, step = search->problem->step_mg;
    __int128 result;
    if (!__builtin_mul_overflow(a, b, &product))
        result = product / c + (product % c > 0);
    else
        result = ((__int128)a * b + c - 1) / c;
    if (step > 1 && result <= INT64_MAX) { /* in one machine word, which is much quicker */
        int64_t over = (int64_t)result % step;
        result += over > 0 ? step - over : 0;
    }
    if (result <= INT64_MAX) return (int64_t)result;
    search->too_large = true;
    return INT64_MAX;
}

bool feed_amounts_of(struct feeding_search *search, size_t ratio, int64_t want_mg,
                     struct feed_amounts *out)
{
    const struct feed_parts *parts = &search->parts[ratio];
    int64_t pot = search->problem->pot_mg;
    out->seed = scaled(search, want_mg, parts->seed, parts->whole);
    out->flour = scaled(search, want_mg, parts->flour, parts->whole);
    out->water = scaled(search, out->flour, parts->water, parts->flour);
    if (__builtin_add_overflow(out->seed, out->flour, &out->after) ||
        __builtin_add_overflow(out->after, out->water, &out->after)) {
        search->too_large = true;
        return false;
    }
    return pot <= 0 || out->after <= pot;
}

int64_t feed_need(const struct feeding_search *search, int64_t seed_mg)
{
    return larger(seed_mg, search->floor_mg);
}

/* --- what is in the pot now --- */

bool feed_pot_serves(const struct feeding_search *search, size_t n)
{
    const struct feeding_problem *problem = search->problem;
    if (n == 0) return true;
    if (!problem->ripens || problem->feeds_to_wake > 0) return false;
    return search->demands[0].at >= problem->ripe_from &&
           search->demands[n - 1].at <= problem->ripe_until &&
           problem->on_hand_mg - problem->keep_mg >= search->taken[n];
}

bool feed_may_begin(const struct feeding_search *search, size_t slot, int64_t *most_mg)
{
    const struct feeding_problem *problem = search->problem;
    instant at = problem->slots[slot];
    size_t taken = search->taken_by[slot];
    bool waits = problem->ripens && !problem->may_feed_at_once && at < problem->ripe_from;
    if (waits || (problem->has_feed_by && at > problem->feed_by)) return false;
    *most_mg = problem->on_hand_mg - search->taken[taken];
    return feed_pot_serves(search, taken);
}

bool feeding_needs_none(const struct feeding_search *search)
{
    const struct feeding_problem *problem = search->problem;
    return feed_pot_serves(search, search->demand_count) &&
           (!problem->has_feed_by || problem->feed_by >= problem->until);
}
