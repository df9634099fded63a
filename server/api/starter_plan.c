/* /starters/{code}/plan and /ripening: what to feed when, and how long it takes. */
#include "bakery/starter_plan.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/query.h"
#include "api/starter_pot.h"
#include "bakery/amount.h"
#include "bakery/blend.h"
#include "bakery/temperature.h"
#include "base/decimal.h"
#include "store/moves.h"
#include "store/stock_use.h"

enum { WARMEST_C = 60 * DEGREE };

/* --- what is known of the pot --- */

static void write_estimate_members(struct json_writer *json,
                                   const struct ripening_estimate *estimate)
{
    if (estimate->minutes == RIPENING_NEVER)
        json_put_null(json, "minutes");
    else
        json_put_whole(json, "minutes", estimate->minutes);
    json_put_bool(json, "corrected", estimate->corrected);
    json_put_whole(json, "off_minutes", estimate->off_minutes);
    json_put_decimal(json, "off_pct", estimate->off_pct, PERCENT_PLACES);
    json_put_whole(json, "logged", (int64_t)estimate->logged_count);
}

static void write_now(struct json_writer *json, const struct starter_pot *pot,
                      const struct pot_outlook *outlook, instant now)
{
    const struct pot_state *state = &pot->state;
    const struct zone *zone = pot->day.reckoning.zone;
    json_open_object(json, "now");
    json_put_instant(json, "at", now, zone);
    json_put_decimal(json, "on_hand_g", state->on_hand_mg, WEIGHT_PLACES);
    json_put_text(json, "state", state->entries == 0 ? "none" : state->asleep ? "asleep" : "work");
    json_put_instant_or_null(json, "asleep_since", state->asleep_since, zone, state->asleep);
    json_put_instant_or_null(json, "fed_at", state->feed.at, zone, state->fed);
    json_put_instant_or_null(json, "ripe_from", outlook->ripe_from, zone, outlook->ripens);
    json_put_instant_or_null(json, "ripe_until", outlook->ripe_until, zone, outlook->ripens);
    json_put_instant_or_null(json, "feed_by", outlook->feed_by, zone, outlook->has_feed_by);
    json_put_whole(json, "feeds_to_wake", outlook->feeds_to_wake);
    if (state->fed) {
        json_open_object(json, "estimate");
        write_estimate_members(json, &outlook->estimate);
        json_close(json);
    } else {
        json_put_null(json, "estimate");
    }
    json_close(json);
}

/* --- the plan --- */

static void write_feed(struct json_writer *json, const struct starter_pot *pot,
                       const struct feeding_problem *problem, const struct feed *feed)
{
    const struct feed_ratio *ratio = &problem->ratios[feed->ratio];
    const struct zone *zone = pot->day.reckoning.zone;
    json_open_object(json, NULL);
    json_put_instant(json, "at", feed->at, zone);
    json_open_object(json, "ratio");
    json_put_decimal(json, "seed", ratio->seed, PERCENT_PLACES);
    json_put_decimal(json, "flour", ratio->flour, PERCENT_PLACES);
    json_put_decimal(json, "water", ratio->water, PERCENT_PLACES);
    json_close(json);
    json_put_decimal(json, "before_g", feed->before_mg, WEIGHT_PLACES);
    json_put_decimal(json, "discard_g", feed->discard_mg, WEIGHT_PLACES);
    json_put_decimal(json, "seed_g", feed->seed_mg, WEIGHT_PLACES);
    json_put_decimal(json, "flour_g", feed->flour_mg, WEIGHT_PLACES);
    json_put_decimal(json, "water_g", feed->water_mg, WEIGHT_PLACES);
    starter_flours_write(json, &pot->day.catalogue, pot->starter, feed->flour_mg);
    json_put_decimal(json, "after_g", feed->after_mg, WEIGHT_PLACES);
    json_put_instant(json, "ripe_from", feed->ripe_from, zone);
    json_put_instant(json, "ripe_until", feed->ripe_until, zone);
    json_close(json);
}

static void write_taking(struct json_writer *json, const struct starter_pot *pot,
                         const struct starter_taking *taking)
{
    const struct formula *formula = &pot->day.catalogue.formulas[taking->formula];
    json_put_instant(json, "at", taking->at, pot->day.reckoning.zone);
    json_put_text(json, "formula", formula->code);
    json_put_text(json, "name", formula->name);
    json_put_date(json, "mixing_date", taking->mixing_date);
}

/* How a taking is met; NULL where the plan does not reach. */
static const struct feeding_take *take_of(const struct starter_plan *plan, size_t taking)
{
    if (plan->impossible != NULL) return NULL;
    size_t met = plan->plan.possible ? plan->taking_count : plan->plan.shortfall.demand;
    return met != NOT_FOUND && taking < met ? &plan->plan.takes[taking] : NULL;
}

static void write_takes(struct json_writer *json, const struct starter_pot *pot,
                        const struct starter_plan *plan)
{
    json_open_list(json, "takes");
    for (size_t i = 0; i < plan->taking_count; i++) {
        const struct feeding_take *take = take_of(plan, i);
        json_open_object(json, NULL);
        write_taking(json, pot, &plan->takings[i]);
        json_put_decimal(json, "g", plan->takings[i].mg, WEIGHT_PLACES);
        json_put_decimal_or_null(json, "left_g", take != NULL ? take->left_mg : 0, WEIGHT_PLACES,
                                 take != NULL);
        json_put_whole_or_null(json, "from_feed", take != NULL ? (int64_t)take->feed : 0,
                               take != NULL && take->feed != NOT_FOUND);
        json_close(json);
    }
    json_close(json);
}

static void write_shortfall(struct json_writer *json, const struct starter_pot *pot,
                            const struct starter_plan *plan)
{
    const struct feeding_short *lack = &plan->plan.shortfall;
    if (plan->impossible != NULL || plan->plan.possible || lack->demand == NOT_FOUND) {
        json_put_null(json, "short");
        return;
    }
    json_open_object(json, "short");
    write_taking(json, pot, &plan->takings[lack->demand]);
    json_put_decimal(json, "wanted_g", plan->takings[lack->demand].mg, WEIGHT_PLACES);
    json_put_decimal(json, "most_g", lack->most_mg, WEIGHT_PLACES);
    json_put_instant_or_null(json, "later", lack->later, pot->day.reckoning.zone, lack->has_later);
    json_close(json);
}

static void write_plan(struct json_writer *json, const struct starter_pot *pot,
                       const struct starter_plan *plan, instant now)
{
    json_put_text(json, "starter", pot->starter->code);
    json_put_text(json, "name", pot->starter->name);
    write_now(json, pot, &plan->outlook, now);
    json_put_bool(json, "possible", plan->impossible == NULL && plan->plan.possible);
    json_put_text(json, "impossible", plan->impossible);
    json_put_instant_or_null(json, "until", plan->problem.until, pot->day.reckoning.zone,
                             plan->problem.until != 0);
    json_open_list(json, "feeds");
    for (size_t i = 0; plan->impossible == NULL && i < plan->plan.feed_count; i++)
        write_feed(json, pot, &plan->problem, &plan->plan.feeds[i]);
    json_close(json);
    write_takes(json, pot, plan);
    json_put_decimal(json, "waste_g", plan->plan.waste_mg, WEIGHT_PLACES);
    json_put_decimal(json, "left_g", plan->plan.left_mg, WEIGHT_PLACES);
    write_shortfall(json, pot, plan);
}

/* The run sheets of the nights that the plan looks at: mixes begin when the machines are free. */
static bool reckon_nights(struct request *request, struct day *day, instant now,
                          struct timetable *sheets)
{
    date first, last, night;
    struct timetable_move *moves;
    size_t count;
    starter_clock_horizon(&day->reckoning, now, &first, &last);
    if (!day_load_demands(request, day, first, last) ||
        !moves_select(request->tx, first, last, &moves, &count))
        return false;
    starter_plan_span(&day->reckoning, now, &first, &last);
    for (night = first; night <= last; night++)
        if (!run_sheet_of(&day->reckoning, night, day->demands, day->demand_count, moves, count,
                          &sheets[night - first]))
            return false;
    return true;
}

static bool reckon_plan(struct request *request, struct starter_pot *pot, instant now,
                        struct starter_plan *plan)
{
    struct day *day = &pot->day;
    size_t starters = day->catalogue.starter_count;
    struct timetable sheets[STARTER_PLAN_NIGHTS];
    struct starter_taking **takings = amount_memory(&day->reckoning, starters, sizeof *takings);
    size_t *counts = amount_memory(&day->reckoning, starters, sizeof *counts);
    struct posted_batch *posted;
    struct starter_nights nights = {.now = now, .sheets = sheets};
    if (takings == NULL || counts == NULL || !reckon_nights(request, day, now, sheets) ||
        !posted_batches_load(request->tx, &day->catalogue, working_day(&day->reckoning, now),
                             &posted, &nights.posted_count))
        return false;
    nights.demands = day->demands;
    nights.demand_count = day->demand_count;
    nights.posted = posted;
    return starter_takings_of(&day->reckoning, &nights, takings, counts) &&
           starter_plan_of(&day->reckoning, pot->index, &pot->state, takings[pot->index],
                           counts[pot->index], now, plan);
}

bool get_starter_plan(struct request *request)
{
    struct starter_pot pot;
    struct starter_plan plan;
    instant now = instant_now();
    if (!starter_pot_open(request, &pot) || !reckon_plan(request, &pot, now, &plan)) return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    write_plan(json, &pot, &plan, now);
    json_close(json);
    reply_etag(request);
    return true;
}

/* --- how long a feed takes --- */

bool get_ripening(struct request *request)
{
    struct starter_pot pot;
    int64_t seed = PERCENT_ONE, flour = PERCENT_ONE, water = -1, c;
    if (!starter_pot_open(request, &pot)) return false;
    c = pot.starter->stands_c;
    if (!query_decimal(request, "seed", PERCENT_PLACES, 1, PARTS_MAX, &seed) ||
        !query_decimal(request, "flour", PERCENT_PLACES, 1, PARTS_MAX, &flour) ||
        !query_decimal(request, "water", PERCENT_PLACES, 0, PARTS_MAX, &water) ||
        !query_decimal(request, "c", TEMPERATURE_PLACES, TEMPERATURE_LEAST, WARMEST_C, &c))
        return false;
    if (water < 0) water = blend_part_mg(flour, pot.starter->hydration_pct);
    struct ripening_estimate estimate = ripening_of(pot.starter, pot.state.logged,
                                                    pot.state.logged_count, seed, flour, water, c);
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_text(json, "starter", pot.starter->code);
    write_estimate_members(json, &estimate);
    json_close(json);
    reply_etag(request);
    return true;
}
