/* /days/{date}/trace: from a bread day back to the lots in it and who supplied them. */
#include "bakery/day_trace.h"
#include "api/formula_body.h"
#include "api/handlers.h"
#include "api/trace_body.h"
#include "api/trace_pots.h"
#include "bakery/amount.h"
#include "bakery/catalogue.h"
#include "bakery/trace_gaps.h"
#include "base/decimal.h"
#include "store/trace.h"

#include <string.h>

/* Everything that the answer tells. */
struct backward {
    struct day day;
    date bread_day;
    const char *product;         /* only of this one; NULL: of all */
    struct trace_purpose *mixed; /* what was mixed for the day, by product */
    size_t mixed_count;
    const char **products; /* that were mixed for or ordered, by code */
    size_t product_count;
    int64_t *postings; /* of the batches that were mixed for the day */
    size_t posting_count;
    struct flow flow;
    struct flow_part **parts;
    struct trace_share *shares;
    size_t share_count;
    size_t left_out;
    struct trace_lot *lots; /* of the shares and of the batches, by number */
    size_t lot_count;
    struct trace_gaps gaps;
};

/* --- finding it out --- */

static bool read_product(struct request *request, struct backward *trace)
{
    trace->product = request_query(request, "product");
    return trace->product == NULL ||
           catalogue_product(&trace->day.catalogue, trace->product) != NOT_FOUND ||
           fail_add(&request->fails, FAIL_INVALID, "", "there is no product %s", trace->product);
}

static bool find_batches(struct request *request, struct backward *trace)
{
    const struct reckoning *reckoning = &trace->day.reckoning;
    const char **ordered;
    size_t ordered_count;
    return trace_purposes_of_day(request->tx, trace->bread_day, trace->product, &trace->mixed,
                                 &trace->mixed_count) &&
           trace_ordered_load(request->tx, trace->bread_day, trace->product, &ordered,
                              &ordered_count) &&
           day_trace_products(reckoning, trace->mixed, trace->mixed_count, ordered, ordered_count,
                              &trace->products, &trace->product_count) &&
           day_trace_postings(reckoning, trace->mixed, trace->mixed_count, &trace->postings,
                              &trace->posting_count) &&
           trace_batches_backward(request->tx, trace->postings, trace->posting_count,
                                  &trace->flow) &&
           trace_contents_load(request->tx, true, 0, &trace->flow);
}

static bool find_lots(struct request *request, struct backward *trace)
{
    const struct reckoning *reckoning = &trace->day.reckoning;
    struct trace_lot *lots;
    size_t lot_count, number_count;
    int64_t *numbers;
    struct trace_gaps_backward from = {.flow = &trace->flow,
                                       .products = trace->products,
                                       .product_count = trace->product_count,
                                       .purposes = trace->mixed,
                                       .purpose_count = trace->mixed_count};
    if (!day_trace_numbers(reckoning, &trace->flow, trace->shares, trace->share_count, &numbers,
                           &number_count) ||
        !trace_lots_load(request->tx, &trace->day.catalogue, numbers, number_count, &lots,
                         &lot_count))
        return false;
    trace->lots = lots;
    from.lots = lots;
    trace->lot_count = from.lot_count = lot_count;
    return trace_gaps_backward_of(reckoning, &from, &trace->gaps);
}

static bool find_all(struct request *request, struct backward *trace)
{
    const struct day *day = &trace->day;
    return request_date(request, "date", &trace->bread_day) && day_open(request, &trace->day) &&
           read_product(request, trace) && find_batches(request, trace) &&
           trace_pots_backward(request, day, &trace->flow) &&
           flow_of(&day->reckoning, &trace->flow, &trace->parts) &&
           trace_shares(&day->reckoning, &trace->flow, trace->parts, trace->postings,
                        trace->posting_count, &trace->shares, &trace->share_count,
                        &trace->left_out) &&
           find_lots(request, trace);
}

/* --- telling it --- */

static void write_product(struct json_writer *json, const struct backward *trace,
                          const char *product)
{
    json_open_object(json, NULL);
    json_put_text(json, "product", product);
    json_put_text(json, "name", catalogue_product_name(&trace->day.catalogue, product));
    json_open_list(json, "batches");
    for (size_t i = 0; i < trace->mixed_count; i++) {
        const struct flow_batch *batch = flow_batch_of(&trace->flow, trace->mixed[i].posting);
        if (batch == NULL || strcmp(trace->mixed[i].product, product) != 0) continue;
        json_open_object(json, NULL);
        json_put_date(json, "date", batch->mixing_date);
        json_put_text(json, "formula", batch->formula);
        json_put_whole(json, "batch", batch->batch);
        json_close(json);
    }
    json_close(json);
    json_close(json);
}

static bool write_line(struct json_writer *json, const struct day *day, const struct day_line *line)
{
    json_open_object(json, NULL);
    json_put_text(json, line_words[line->kind], line->code);
    json_put_text(json, "name", catalogue_thing_name(&day->catalogue, line->kind, line->code));
    json_put_decimal(json, "g", line->mg, WEIGHT_PLACES);
    if (line->kind == LINE_FORMULA)
        json_put_date_or_null(json, "part_date", line->part_date, line->has_part_date);
    json_open_list(json, "lots");
    for (size_t i = 0; i < line->part_count; i++) {
        json_open_object(json, NULL);
        json_put_whole(json, "lot", line->parts[i]->lot);
        if (!trace_grams_write(json, day, "g", line->parts[i]->grams)) return false;
        json_close(json);
    }
    json_close(json);
    json_close(json);
    return true;
}

static bool write_batch(struct json_writer *json, const struct backward *trace,
                        const struct flow_batch *batch)
{
    const struct flow_part *parts = trace->parts[batch - trace->flow.batches];
    struct day_line *lines;
    size_t count;
    if (!day_trace_lines(&trace->day.reckoning, &trace->flow, parts, batch->posting, trace->lots,
                         trace->lot_count, &lines, &count))
        return false;
    json_open_object(json, NULL);
    trace_batch_write(json, &trace->day, batch);
    json_put_decimal(json, "g", batch->dough_mg, WEIGHT_PLACES);
    json_open_list(json, "lines");
    for (size_t i = 0; i < count; i++)
        if (!write_line(json, &trace->day, &lines[i])) return false;
    json_close(json);
    json_close(json);
    return true;
}

static bool write_batches(struct json_writer *json, const struct backward *trace)
{
    const struct flow_batch **batches = day_trace_batches(&trace->day.reckoning, &trace->flow);
    if (batches == NULL) return false;
    json_open_list(json, "batches");
    for (size_t i = 0; i < trace->flow.batch_count; i++)
        if (!write_batch(json, trace, batches[i])) return false;
    json_close(json);
    return true;
}

static bool write_lots(struct request *request, struct json_writer *json,
                       const struct backward *trace)
{
    json_open_list(json, "lots");
    for (size_t i = 0; i < trace->share_count; i++) {
        const struct trace_share *share = &trace->shares[i];
        const struct trace_lot *lot = day_trace_lot(trace->lots, trace->lot_count, share->lot);
        if (lot == NULL)
            return fail_add(&request->fails, FAIL_INTERNAL, "", "a lot is not in the book");
        json_open_object(json, NULL);
        trace_lot_write(json, &trace->day, lot);
        if (!trace_grams_write(json, &trace->day, "g", share->grams)) return false;
        json_put_decimal(json, "share_pct", share->share_pct, PERCENT_PLACES);
        trace_ways_write(json, request->arena, &share->ways);
        json_close(json);
    }
    json_close(json);
    return true;
}

bool get_day_trace(struct request *request)
{
    struct backward trace = {0};
    if (!find_all(request, &trace)) return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_date(json, "date", trace.bread_day);
    json_open_list(json, "products");
    for (size_t i = 0; i < trace.product_count; i++)
        write_product(json, &trace, trace.products[i]);
    json_close(json);
    if (!write_batches(json, &trace) || !write_lots(request, json, &trace)) return false;
    trace_texts_write(json, "gaps", trace.gaps.items, trace.gaps.count);
    json_put_whole(json, "left_out", (int64_t)trace.left_out);
    json_close(json);
    reply_etag(request);
    return true;
}
