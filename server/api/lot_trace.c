/* /lots/{number}/trace: a lot's way forwards, to whoever got any of it. */
#include "api/amount_body.h"
#include "api/handlers.h"
#include "api/number.h"
#include "api/trace_body.h"
#include "api/trace_pots.h"
#include "bakery/amount.h"
#include "bakery/catalogue.h"
#include "bakery/trace_gaps.h"
#include "base/decimal.h"
#include "store/ingredient.h"
#include "store/trace.h"

#include <inttypes.h>

/* Everything that the answer tells. */
struct forward {
    struct day day;
    struct trace_lot lot;
    struct trace_balance balance;
    struct trace_feed *feeds;
    size_t feed_count;
    struct trace_starter *starters;
    size_t starter_count;
    struct flow flow;
    struct trace_carrier *carriers;
    size_t carrier_count;
    size_t left_out;
    struct trace_purpose *purposes;
    size_t purpose_count;
    struct trace_goals goals;
    const char **pair_names; /* of the product of each of its pairs */
    struct trace_sale *sales;
    size_t sale_count;
    struct trace_customer *customers;
    size_t customer_count;
    struct trace_gaps gaps;
};

/* --- finding it out --- */

static bool find_lot(struct request *request, struct forward *trace)
{
    struct trace_lot *lots;
    size_t count;
    int64_t number;
    if (!number_of_path(request, "number", "lot", &number) ||
        !trace_lots_load(request->tx, &trace->day.catalogue, &number, 1, &lots, &count))
        return false;
    if (count == 0)
        return fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no lot %" PRId64, number);
    trace->lot = lots[0];
    return true;
}

static bool find_batches(struct request *request, struct forward *trace)
{
    const struct reckoning *reckoning = &trace->day.reckoning;
    if (!trace_takings_of(reckoning, trace->starters, trace->starter_count, trace->lot.lot,
                          &trace->flow) ||
        !trace_batches_forward(request->tx, trace->lot.lot, &trace->flow) ||
        !trace_contents_load(request->tx, false, trace->lot.lot, &trace->flow))
        return false;
    for (size_t i = 0; i < trace->starter_count; i++)
        if (!trace_astray(reckoning, &trace->flow, &trace->starters[i])) return false;
    return true;
}

/* Looked up once a pair, not once a sale. */
static bool find_names(struct forward *trace)
{
    const struct trace_goals *goals = &trace->goals;
    trace->pair_names = amount_memory(&trace->day.reckoning, goals->pair_count,
                                      sizeof *trace->pair_names);
    for (size_t i = 0; trace->pair_names != NULL && i < goals->pair_count; i++)
        trace->pair_names[i] = catalogue_product_name(&trace->day.catalogue,
                                                      goals->pairs[i].product);
    return trace->pair_names != NULL;
}

static bool find_goals(struct request *request, struct forward *trace)
{
    const struct reckoning *reckoning = &trace->day.reckoning;
    int64_t *postings = amount_memory(reckoning, trace->carrier_count, sizeof *postings);
    if (!postings) return false;
    for (size_t i = 0; i < trace->carrier_count; i++)
        postings[i] = trace->carriers[i].batch->posting;
    return trace_purposes_load(request->tx, postings, trace->carrier_count, &trace->purposes,
                               &trace->purpose_count) &&
           trace_goals_of(reckoning, trace->purposes, trace->purpose_count, &trace->goals) &&
           find_names(trace) &&
           trace_sales_load(request->tx, &trace->goals, &trace->sales, &trace->sale_count) &&
           trace_sales_joined(reckoning, trace->sales, &trace->sale_count) &&
           trace_customers_load(request->tx, trace->sales, trace->sale_count, &trace->customers,
                                &trace->customer_count) &&
           trace_customers_of(reckoning, trace->sales, trace->sale_count, trace->customers,
                              trace->customer_count);
}

static bool find_gaps(struct request *request, struct forward *trace)
{
    const struct reckoning *reckoning = &trace->day.reckoning;
    const struct trace_balance *balance = &trace->balance;
    date first = trace->lot.received_on, last = trace_last_use(&trace->lot, balance);
    struct trace_gaps_forward from = {.lot = &trace->lot,
                                      .balance = balance,
                                      .starters = trace->starters,
                                      .starter_count = trace->starter_count,
                                      .flow = &trace->flow,
                                      .carriers = trace->carriers,
                                      .carrier_count = trace->carrier_count,
                                      .purposes = trace->purposes,
                                      .purpose_count = trace->purpose_count};
    struct trace_blank *unposted, *unlogged;
    size_t formula_count, starter_count;
    const char **formulas = trace_formulas_with(reckoning, trace->lot.ingredient, &formula_count);
    const char **starters = trace_starters_with(reckoning, trace->lot.ingredient, &starter_count);
    if (!formulas || !starters ||
        !trace_unposted_load(request->tx, formulas, formula_count, first, last, &unposted,
                             &from.unposted_count) ||
        !trace_unlogged_load(request->tx, starters, starter_count, first, last, &unlogged,
                             &from.unlogged_count))
        return false;
    from.unposted = unposted;
    from.unlogged = unlogged;
    return trace_gaps_forward_of(reckoning, &from, &trace->gaps);
}

static bool find_all(struct request *request, struct forward *trace)
{
    const struct day *day = &trace->day;
    struct flow_part **parts;
    return day_open(request, &trace->day) && find_lot(request, trace) &&
           trace_balance_load(request->tx, trace->lot.lot, &trace->balance) &&
           trace_feeds_load(request->tx, trace->lot.lot, &trace->feeds, &trace->feed_count) &&
           trace_pots_forward(request, day, trace->lot.lot, trace->feeds, trace->feed_count,
                              &trace->starters, &trace->starter_count) &&
           find_batches(request, trace) && flow_of(&day->reckoning, &trace->flow, &parts) &&
           trace_carriers(&day->reckoning, &trace->flow, parts, trace->lot.lot, &trace->carriers,
                          &trace->carrier_count, &trace->left_out) &&
           find_goals(request, trace) && find_gaps(request, trace);
}

/* --- telling it --- */

static void write_lot(struct json_writer *json, const struct forward *trace)
{
    const struct ingredient *ingredient = &trace->day.catalogue.ingredients[trace->lot.ingredient];
    json_open_object(json, "lot");
    trace_lot_write(json, &trace->day, &trace->lot);
    json_put_text(json, "unit", ingredient_units[ingredient->unit]);
    json_close(json);
}

static void write_balance(struct json_writer *json, const struct forward *trace)
{
    const struct trace_balance *balance = &trace->balance;
    enum ingredient_unit unit = trace->day.catalogue.ingredients[trace->lot.ingredient].unit;
    json_open_object(json, "balance");
    amount_write(json, "received", unit, balance->received);
    amount_write(json, "mixed", unit, balance->mixed);
    amount_write(json, "fed", unit, balance->fed);
    amount_write(json, "used", unit, balance->used);
    amount_write(json, "wasted", unit, balance->wasted);
    amount_write(json, "returned", unit, balance->returned);
    amount_write(json, "counted", unit, balance->counted);
    amount_write(json, "left", unit, balance->left);
    json_put_bool(json, "balanced", trace_balanced(balance));
    json_close(json);
}

static void write_feeds(struct json_writer *json, const struct forward *trace)
{
    json_open_list(json, "feeds");
    for (size_t i = 0; i < trace->feed_count; i++) {
        const struct trace_feed *feed = &trace->feeds[i];
        json_open_object(json, NULL);
        json_put_text(json, "starter", feed->starter);
        json_put_text(json, "name",
                      catalogue_thing_name(&trace->day.catalogue, LINE_STARTER, feed->starter));
        json_put_whole(json, "entry", feed->entry);
        json_put_instant(json, "at", feed->at, trace->day.reckoning.zone);
        json_put_decimal(json, "g", feed->mg, WEIGHT_PLACES);
        json_put_whole(json, "movement", feed->posting);
        json_close(json);
    }
    json_close(json);
}

static void write_starters(struct json_writer *json, const struct forward *trace)
{
    json_open_list(json, "starters");
    for (size_t i = 0; i < trace->starter_count; i++) {
        const struct trace_starter *starter = &trace->starters[i];
        json_open_object(json, NULL);
        json_put_text(json, "starter", starter->starter);
        json_put_text(json, "name",
                      catalogue_thing_name(&trace->day.catalogue, LINE_STARTER, starter->starter));
        json_put_decimal(json, "fed_g", starter->fed_mg, WEIGHT_PLACES);
        json_put_decimal(json, "carried_g", starter->carried_ug, TRACE_PLACES);
        json_put_decimal(json, "discarded_g", starter->discarded_ug, TRACE_PLACES);
        json_put_decimal(json, "still_in_g", starter->still_in_ug, TRACE_PLACES);
        json_close(json);
    }
    json_close(json);
}

static bool write_batches(struct request *request, struct json_writer *json,
                          const struct forward *trace)
{
    json_open_list(json, "batches");
    for (size_t i = 0; i < trace->carrier_count; i++) {
        const struct trace_carrier *carrier = &trace->carriers[i];
        json_open_object(json, NULL);
        trace_batch_write(json, &trace->day, carrier->batch);
        if (!trace_grams_write(json, &trace->day, "g", carrier->grams)) return false;
        trace_ways_write(json, request->arena, &carrier->ways);
        json_close(json);
    }
    json_close(json);
    return true;
}

static void write_goals(struct json_writer *json, const struct forward *trace)
{
    json_open_list(json, "products");
    for (size_t i = 0; i < trace->goals.product_count; i++) {
        json_open_object(json, NULL);
        json_put_text(json, "product", trace->goals.products[i]);
        json_put_text(json, "name",
                      catalogue_product_name(&trace->day.catalogue, trace->goals.products[i]));
        json_close(json);
    }
    json_close(json);
    json_open_list(json, "bread_days");
    for (size_t i = 0; i < trace->goals.day_count; i++)
        json_put_date(json, NULL, trace->goals.days[i]);
    json_close(json);
}

static void write_sale(struct json_writer *json, const struct forward *trace,
                       const struct trace_sale *sale)
{
    json_open_object(json, NULL);
    json_put_date(json, "date", sale->bread_day);
    json_put_text(json, "product", sale->product);
    json_put_text(json, "name", trace->pair_names[sale->pair]);
    json_put_whole(json, "pieces", sale->pieces);
    json_close(json);
}

static void write_customers(struct json_writer *json, const struct forward *trace)
{
    json_open_list(json, "customers");
    for (size_t i = 0; i < trace->customer_count; i++) {
        const struct trace_customer *customer = &trace->customers[i];
        json_open_object(json, NULL);
        json_put_text(json, "customer", customer->customer);
        json_put_text(json, "name", customer->name);
        json_put_text(json, "phone", customer->phone);
        json_put_text(json, "address", customer->address);
        json_put_whole(json, "pieces", customer->pieces);
        json_open_list(json, "lines");
        for (size_t k = 0; k < customer->sale_count; k++)
            write_sale(json, trace, &customer->sales[k]);
        json_close(json);
        json_close(json);
    }
    json_close(json);
}

bool get_lot_trace(struct request *request)
{
    struct forward trace = {0};
    if (!find_all(request, &trace)) return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    write_lot(json, &trace);
    write_balance(json, &trace);
    write_feeds(json, &trace);
    write_starters(json, &trace);
    if (!write_batches(request, json, &trace)) return false;
    write_goals(json, &trace);
    write_customers(json, &trace);
    trace_texts_write(json, "gaps", trace.gaps.items, trace.gaps.count);
    json_put_whole(json, "left_out", (int64_t)trace.left_out);
    json_close(json);
    reply_etag(request);
    return true;
}
