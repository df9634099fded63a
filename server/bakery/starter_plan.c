/* From the book to a problem of feeding.
 *
 * Invariants: takings stand by time and none of them is nothing; slots ascend and lie on the
 * quarters of the wall clock, also where the clock is changed: what it skips is no slot, what it
 * shows twice is one each time. Where the rules leave no hour to feed in time, the first hour there
 * is counts: a starter that waits till the morning is fed in the morning.
 */
#include "bakery/starter_plan.h"

#include "bakery/amount.h"

#include <stdlib.h>

enum { SECONDS_PER_MINUTE = 60, SLOT_SECONDS = FEED_SLOT_MINUTES * SECONDS_PER_MINUTE };

void starter_plan_span(const struct reckoning *reckoning, instant now, date *first_night,
                       date *last_night)
{
    *first_night = working_day(reckoning, now);
    *last_night = *first_night + STARTER_PLAN_NIGHTS - 1;
}

void starter_plan_horizon(const struct reckoning *reckoning, instant now, date *first, date *last)
{
    date night;
    date last_night;
    starter_plan_span(reckoning, now, &night, &last_night);
    mixing_horizon(reckoning, night, first, last);
    while (++night <= last_night) {
        date from;
        date to;
        mixing_horizon(reckoning, night, &from, &to);
        if (from < *first) *first = from;
        if (to > *last) *last = to;
    }
}

void starter_clock_horizon(const struct reckoning *reckoning, instant now, date *first, date *last)
{
    date night;
    date last_night;
    starter_plan_horizon(reckoning, now, first, last);
    starter_plan_span(reckoning, now, &night, &last_night);
    for (; night <= last_night; night++) {
        date from;
        date to;
        run_sheet_horizon(reckoning, night, &from, &to);
        if (from < *first) *first = from;
        if (to > *last) *last = to;
    }
}

/* --- what the mixes take --- */

static int by_time(const void *left, const void *right)
{
    const struct starter_taking *a = left;
    const struct starter_taking *b = right;
    if (a->at != b->at) return a->at < b->at ? -1 : 1;
    return (a->formula > b->formula) - (a->formula < b->formula);
}

/* What a mix takes of a starter, in all its lines. */
static bool mix_takes(const struct reckoning *reckoning, const struct mix *mix, size_t starter,
                      int64_t *mg)
{
    size_t count = reckoning->catalogue->formulas[mix->formula].line_count;
    *mg = 0;
    for (size_t n = 0; n < count; n++) {
        const struct line *line = mix->lines[n].line;
        if (line->kind == LINE_STARTER && line->index == starter &&
            !amount_add_whole(reckoning, mg, mix_line_total_mg(mix, &mix->lines[n])))
            return false;
    }
    return true;
}

/* What is mixed in the nights, and when. */
struct mixing_nights {
    const struct starter_nights *of;
    struct mixing_list lists[STARTER_PLAN_NIGHTS];
};

static bool begins_batch(const struct reckoning *reckoning, const struct task *task,
                         const struct mix *mix, int64_t batch)
{
    return task->formula == mix->formula && task->mixing_date == mix->mixing_date &&
           task->batch == batch &&
           task->stage == reckoning->catalogue->formulas[mix->formula].stages;
}

/* When a batch begins by the run sheets; it may be crowded out into the night before. What has no
 * stage stands in none. */
static instant batch_begins(const struct reckoning *reckoning, const struct mixing_nights *nights,
                            const struct mix *mix, int64_t batch)
{
    for (size_t n = 0; n < STARTER_PLAN_NIGHTS; n++)
        for (size_t i = 0; i < nights->of->sheets[n].task_count; i++)
            if (begins_batch(reckoning, &nights->of->sheets[n].tasks[i], mix, batch))
                return nights->of->sheets[n].tasks[i].begins;
    return mix->begins;
}

static bool is_posted(const struct starter_nights *nights, const struct mix *mix, int64_t batch)
{
    for (size_t i = 0; i < nights->posted_count; i++)
        if (nights->posted[i].formula == mix->formula && nights->posted[i].batch == batch &&
            nights->posted[i].mixing_date == mix->mixing_date)
            return true;
    return false;
}

static int64_t unposted_batches(const struct starter_nights *nights, const struct mix *mix)
{
    int64_t left = 0;
    for (int64_t batch = 1; batch <= mix->batches; batch++)
        left += !is_posted(nights, mix, batch);
    return left;
}

/* Adds what a mix takes in the batches that are not posted: in one when its time is the formula's,
 * else batch by batch. */
static void add_takings(const struct reckoning *reckoning, const struct mixing_nights *nights,
                        const struct mix *mix, int64_t mg, struct starter_taking *list,
                        size_t *count)
{
    struct starter_taking taking = {
        .at = mix->begins, .formula = mix->formula, .mixing_date = mix->mixing_date};
    if (!nights->of->sheets) {
        taking.mg = mg / mix->batches * unposted_batches(nights->of, mix);
        if (taking.mg > 0) list[(*count)++] = taking;
        return;
    }
    taking.mg = mg / mix->batches;
    for (int64_t batch = 1; batch <= mix->batches; batch++) {
        if (is_posted(nights->of, mix, batch)) continue;
        taking.at = batch_begins(reckoning, nights, mix, batch);
        list[(*count)++] = taking;
    }
}

/* Forgets what is past, and puts the rest in the order of time. */
static void sort_takings(instant now, struct starter_taking *list, size_t *count)
{
    size_t kept = 0;
    for (size_t i = 0; i < *count; i++)
        if (list[i].at >= now) list[kept++] = list[i];
    *count = kept;
    if (kept > 0) qsort(list, kept, sizeof *list, by_time);
}

static bool takings_of_starter(const struct reckoning *reckoning, size_t starter,
                               const struct mixing_nights *nights, struct starter_taking **out,
                               size_t *count)
{
    size_t most = 0;
    for (size_t i = 0; i < STARTER_PLAN_NIGHTS; i++)
        for (size_t k = 0; k < nights->lists[i].mix_count; k++)
            most += nights->of->sheets ? (size_t)nights->lists[i].mixes[k].batches : 1;
    *out = amount_memory(reckoning, most, sizeof **out);
    *count = 0;
    if (!*out) return false;
    for (size_t i = 0; i < STARTER_PLAN_NIGHTS; i++)
        for (size_t k = 0; k < nights->lists[i].mix_count; k++) {
            const struct mix *mix = &nights->lists[i].mixes[k];
            int64_t mg;
            if (!mix_takes(reckoning, mix, starter, &mg)) return false;
            if (mg > 0) add_takings(reckoning, nights, mix, mg, *out, count);
        }
    sort_takings(nights->of->now, *out, count);
    return true;
}

bool starter_takings_of(const struct reckoning *reckoning, const struct starter_nights *nights,
                        struct starter_taking **out, size_t *counts)
{
    struct mixing_nights mixing = {.of = nights};
    date first;
    date last;
    starter_plan_span(reckoning, nights->now, &first, &last);
    for (date night = first; night <= last; night++)
        if (!mixing_list_of(reckoning, night, nights->demands, nights->demand_count,
                            &mixing.lists[night - first]))
            return false;
    for (size_t i = 0; i < reckoning->catalogue->starter_count; i++)
        if (!takings_of_starter(reckoning, i, &mixing, &out[i], &counts[i])) return false;
    return true;
}

/* --- when somebody can feed --- */

/* The first instant from then on at which the wall clock shows a slot. */
static instant slot_from(const struct zone *zone, instant at)
{
    for (;;) {
        int64_t past = (at + zone_offset(zone, at)) % SLOT_SECONDS;
        if (past < 0) past += SLOT_SECONDS;
        if (past == 0) return at;
        at += SLOT_SECONDS - past;
    }
}

/* Whether somebody is up: hours that may go over midnight, both ends included. */
static bool can_feed(const struct reckoning *reckoning, instant at)
{
    const struct bakery *bakery = &reckoning->catalogue->bakery;
    date day;
    int clock;
    if (bakery->feed_from == NO_CLOCK || bakery->feed_to == NO_CLOCK) return true;
    zone_wall(reckoning->zone, at, &day, &clock);
    if (bakery->feed_from < bakery->feed_to)
        return clock >= bakery->feed_from && clock <= bakery->feed_to;
    return clock >= bakery->feed_from || clock <= bakery->feed_to;
}

static instant *slots_between(const struct reckoning *reckoning, instant from, instant to,
                              size_t *count)
{
    size_t most = to > from ? (size_t)((to - from) / SLOT_SECONDS) + 2 : 1;
    instant *slots = amount_memory(reckoning, most, sizeof *slots);
    *count = 0;
    if (!slots) return NULL;
    for (instant at = slot_from(reckoning->zone, from); at < to && *count < most;
         at = slot_from(reckoning->zone, at + 1))
        if (can_feed(reckoning, at)) slots[(*count)++] = at;
    return slots;
}

/* --- ratios --- */

static bool same_ratio(const struct ripening *a, const struct ripening *b)
{
    return (__int128)a->seed * b->flour == (__int128)b->seed * a->flour &&
           (__int128)a->seed * b->water == (__int128)b->seed * a->water;
}

static bool seen_before(const struct starter *starter, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (same_ratio(&starter->ripenings[i], &starter->ripenings[n])) return true;
    return false;
}

/* The distinct ratios that the starter is used to, as they ripen where it stands. */
static bool ratios_of(const struct reckoning *reckoning, const struct starter *starter,
                      const struct pot_state *state, struct feeding_problem *problem)
{
    struct feed_ratio *ratios = amount_memory(reckoning, starter->ripening_count, sizeof *ratios);
    problem->ratios = ratios;
    if (!ratios) return false;
    for (size_t n = 0; n < starter->ripening_count; n++) {
        const struct ripening *seen = &starter->ripenings[n];
        if (seen_before(starter, n)) continue;
        struct ripening_estimate estimate = ripening_of(starter, state->logged, state->logged_count,
                                                        seen->seed, seen->flour, seen->water,
                                                        starter->stands_c);
        ratios[problem->ratio_count++] = (struct feed_ratio){seen->seed, seen->flour, seen->water,
                                                             estimate.minutes};
    }
    return true;
}

static bool any_ripens(const struct feeding_problem *problem)
{
    for (size_t i = 0; i < problem->ratio_count; i++)
        if (problem->ratios[i].ripe_minutes != RIPENING_NEVER) return true;
    return false;
}

/* --- the problem --- */

/* The first slot at which what is in the pot may be fed; NOT_FOUND: none. */
static size_t first_usable(const struct feeding_problem *problem)
{
    for (size_t i = 0; i < problem->slot_count; i++)
        if (problem->may_feed_at_once || problem->slots[i] >= problem->ripe_from) return i;
    return NOT_FOUND;
}

/* Until when the plan must keep it alive. In the cold with nothing to be taken it needs no more
 * than its next feed, and after the last mix it may go back there. */
static instant alive_until(const struct pot_state *state, const struct feeding_problem *problem,
                           instant end)
{
    if (!state->asleep) return end;
    if (problem->demand_count > 0) return problem->demands[problem->demand_count - 1].at;
    if (!problem->has_feed_by || problem->feed_by >= end) return end;
    return problem->feed_by + SECONDS_PER_MINUTE;
}

/* What is in the pot, when it may and when it must be fed. */
static void pot_into(const struct pot_state *state, const struct pot_outlook *outlook, instant now,
                     struct feeding_problem *problem)
{
    problem->on_hand_mg = state->on_hand_mg;
    problem->ripens = outlook->ripens;
    problem->ripe_from = outlook->ripe_from;
    problem->ripe_until = outlook->ripe_until;
    problem->has_feed_by = outlook->has_feed_by;
    problem->feed_by = outlook->feed_by;
    problem->feeds_to_wake = outlook->feeds_to_wake;
    problem->may_feed_at_once = state->asleep || !outlook->ripens ||
                                (outlook->has_feed_by && outlook->feed_by <= now);
    size_t first = first_usable(problem);
    if (problem->has_feed_by && first != NOT_FOUND && problem->slots[first] > problem->feed_by)
        problem->feed_by = problem->slots[first];
}

static bool demands_into(const struct reckoning *reckoning, const struct starter_taking *takings,
                         size_t taking_count, struct feeding_problem *problem)
{
    struct feeding_demand *demands = amount_memory(reckoning, taking_count, sizeof *demands);
    problem->demands = demands;
    problem->demand_count = taking_count;
    if (!demands) return false;
    for (size_t i = 0; i < taking_count; i++)
        demands[i] = (struct feeding_demand){takings[i].at, takings[i].mg};
    return true;
}

static bool problem_of(const struct reckoning *reckoning, size_t starter,
                       const struct pot_state *state, instant now, struct starter_plan *plan)
{
    const struct starter *of = &reckoning->catalogue->starters[starter];
    const struct bakery *bakery = &reckoning->catalogue->bakery;
    struct feeding_problem *problem = &plan->problem;
    date first;
    date last;
    starter_plan_span(reckoning, now, &first, &last);
    instant end = zone_instant(reckoning->zone, last + 1, bakery->day_starts_at);
    *problem = (struct feeding_problem){.now = now,
                                        .keep_mg = of->keep_mg,
                                        .pot_mg = of->pot_mg,
                                        .step_mg = bakery->scale_mg > 0 ? bakery->scale_mg : 1,
                                        .stays_ripe_minutes = of->stays_ripe_minutes,
                                        .feed_within_minutes = of->feed_within_minutes};
    problem->slots = slots_between(reckoning, now, end, &problem->slot_count);
    if (!problem->slots || !ratios_of(reckoning, of, state, problem) ||
        !demands_into(reckoning, plan->takings, plan->taking_count, problem))
        return false;
    pot_into(state, &plan->outlook, now, problem);
    problem->until = alive_until(state, problem, end);
    return true;
}

static const char *why_impossible(const struct starter *starter, const struct pot_state *state,
                                  const struct feeding_problem *problem)
{
    if (starter->ripening_count == 0)
        return "nobody has said yet how long it takes to ripen after a feed";
    if (!any_ripens(problem)) return "where it stands it is too cold or too warm to ripen";
    if (state->on_hand_mg == 0) return "its pot is empty";
    return NULL;
}

bool starter_plan_of(const struct reckoning *reckoning, size_t starter,
                     const struct pot_state *state, const struct starter_taking *takings,
                     size_t taking_count, instant now, struct starter_plan *out)
{
    const struct starter *of = &reckoning->catalogue->starters[starter];
    *out = (struct starter_plan){.takings = takings, .taking_count = taking_count};
    if (state->entries == 0) {
        out->impossible = "nothing is in its log yet";
        return true;
    }
    pot_outlook_of(of, state, &out->outlook);
    if (!problem_of(reckoning, starter, state, now, out)) return false;
    out->impossible = why_impossible(of, state, &out->problem);
    if (out->impossible) return true;
    if (!feeding_plan_of(reckoning, &out->problem, &out->plan)) return false;
    if (!out->plan.possible && out->plan.shortfall.demand == NOT_FOUND)
        out->impossible = "no feed within the hours of feeding keeps it alive";
    return true;
}
