/* Telling what a flow of lots comes to: sums, and each thing once. */
#include "bakery/lot_trace.h"

#include "bakery/amount.h"
#include "bakery/apportion.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "base/fail.h"

#include <stdlib.h>
#include <string.h>

/* --- the balance --- */

bool trace_balanced(const struct trace_balance *b)
{
    const int64_t out[] = {b->mixed, b->fed, b->used, b->wasted, b->returned, b->left};
    int64_t sum;
    if (b->moved != 0 || __builtin_add_overflow(b->received, b->counted, &sum)) return false;
    for (size_t i = 0; i < sizeof out / sizeof *out; i++)
        if (__builtin_sub_overflow(sum, out[i], &sum)) return false;
    return sum == 0;
}

/* --- starters --- */

static bool to_micrograms(const struct reckoning *reckoning, struct trace_starter *starter)
{
    const fixed weights[] = {starter->carried, starter->discarded, starter->still_in};
    int64_t parts[3], fed_ug;
    if (!amount_multiply_whole(reckoning, starter->fed_mg, 1000, &fed_ug)) return false;
    if (!apportion(reckoning->arena, fed_ug, weights, 3, parts))
        return arena_failed(reckoning->arena) ? fail_memory(reckoning->fails)
                                              : amount_too_large(reckoning);
    starter->carried_ug = parts[0];
    starter->discarded_ug = parts[1];
    starter->still_in_ug = parts[2];
    return true;
}

bool trace_starter_sums(const struct reckoning *reckoning, struct trace_starter *starter)
{
    starter->carried = starter->discarded = 0;
    for (size_t i = 0; i < starter->entry_count; i++) {
        const struct pot_carried *entry = &starter->entries[i];
        fixed *sum = entry->kind == POT_TAKEN ? &starter->carried : &starter->discarded;
        if (!amount_add(reckoning, sum, entry->grams)) return false;
    }
    return to_micrograms(reckoning, starter);
}

bool trace_takings_of(const struct reckoning *reckoning, const struct trace_starter *starters,
                      size_t count, int64_t lot, struct flow *flow)
{
    size_t room = 0;
    for (size_t i = 0; i < count; i++)
        room += starters[i].entry_count;
    struct flow_taking *takings = amount_memory(reckoning, room, sizeof *takings);
    struct pot_lot *lots = amount_memory(reckoning, room, sizeof *lots);
    if (!takings || !lots) return false;
    flow->takings = takings;
    flow->taking_count = 0;
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k < starters[i].entry_count; k++) {
            const struct pot_carried *entry = &starters[i].entries[k];
            if (entry->kind != POT_TAKEN) continue;
            lots[flow->taking_count] = (struct pot_lot){lot, entry->grams};
            takings[flow->taking_count] = (struct flow_taking){
                starters[i].starter,
                {.entry = entry->entry, .lots = &lots[flow->taking_count], .lot_count = 1}};
            flow->taking_count++;
        }
    return true;
}

static int line_order(const void *a, const void *b)
{
    const struct flow_line *left = *(const struct flow_line *const *)a;
    const struct flow_line *right = *(const struct flow_line *const *)b;
    return (left->log_entry > right->log_entry) - (left->log_entry < right->log_entry);
}

/* The lines of a flow that were taken of a starter, by entry; NULL when memory is short. */
static const struct flow_line **taking_lines(const struct reckoning *reckoning,
                                             const struct flow *flow, const char *starter,
                                             size_t *count)
{
    const struct flow_line **lines = amount_memory(reckoning, flow->line_count, sizeof *lines);
    *count = 0;
    for (size_t i = 0; lines != NULL && i < flow->line_count; i++)
        if (flow->lines[i].kind == LINE_STARTER && strcmp(flow->lines[i].code, starter) == 0)
            lines[(*count)++] = &flow->lines[i];
    if (lines != NULL) qsort(lines, *count, sizeof *lines, line_order);
    return lines;
}

bool trace_astray(const struct reckoning *reckoning, const struct flow *flow,
                  struct trace_starter *starter)
{
    size_t count;
    const struct flow_line **lines = taking_lines(reckoning, flow, starter->starter, &count);
    if (lines == NULL) return false;
    starter->astray = 0;
    for (size_t i = 0; i < starter->entry_count; i++) {
        const struct pot_carried *entry = &starter->entries[i];
        struct flow_line line = {.log_entry = entry->entry};
        const struct flow_line *wanted = &line;
        if (entry->kind != POT_TAKEN ||
            (count > 0 && bsearch(&wanted, lines, count, sizeof *lines, line_order) != NULL))
            continue;
        if (!amount_add(reckoning, &starter->astray, entry->grams)) return false;
    }
    return true;
}

/* --- ways --- */

size_t trace_count_parts(const struct flow_part *parts, int64_t lot)
{
    size_t count = 0;
    for (; parts != NULL; parts = parts->next)
        count += lot == 0 || parts->lot == lot;
    return count;
}

static bool is_way(const struct flow_part *a, const struct flow_part *b)
{
    return a->way == b->way && (a->way == LINE_INGREDIENT || strcmp(a->code, b->code) == 0);
}

void trace_ways_add(struct trace_ways *ways, int64_t lot, const struct flow_part *parts)
{
    for (const struct flow_part *part = parts; part != NULL; part = part->next) {
        size_t k = 0;
        if (part->lot != lot) continue;
        while (k < ways->count && !is_way(ways->items[k], part))
            k++;
        if (k == ways->count) ways->items[ways->count++] = part;
    }
}

/* --- batches --- */

int trace_batch_order(const struct flow_batch *a, const struct flow_batch *b)
{
    if (a->mixing_date != b->mixing_date) return a->mixing_date < b->mixing_date ? -1 : 1;
    int order = strcmp(a->formula, b->formula);
    return order != 0 ? order : (a->batch > b->batch) - (a->batch < b->batch);
}

static int carrier_order(const void *a, const void *b)
{
    const struct trace_carrier *left = a, *right = b;
    return trace_batch_order(left->batch, right->batch);
}

static bool carry(const struct reckoning *reckoning, const struct flow_batch *batch,
                  const struct flow_part *parts, int64_t lot, struct trace_carrier *carrier)
{
    size_t room = trace_count_parts(parts, lot);
    *carrier = (struct trace_carrier){.batch = batch, .grams = flow_grams(parts, lot)};
    carrier->ways.items = amount_memory(reckoning, room, sizeof *carrier->ways.items);
    if (carrier->ways.items == NULL) return false;
    trace_ways_add(&carrier->ways, lot, parts);
    return true;
}

bool trace_carriers(const struct reckoning *reckoning, const struct flow *flow,
                    struct flow_part *const *parts, int64_t lot, struct trace_carrier **carriers,
                    size_t *count, size_t *left_out)
{
    *carriers = amount_memory(reckoning, flow->batch_count, sizeof **carriers);
    *count = *left_out = 0;
    if (*carriers == NULL) return false;
    for (size_t i = 0; i < flow->batch_count; i++) {
        fixed grams = flow_grams(parts[i], lot);
        *left_out += grams > 0 && grams < TRACE_LEAST;
        if (grams >= TRACE_LEAST &&
            !carry(reckoning, &flow->batches[i], parts[i], lot, &(*carriers)[(*count)++]))
            return false;
    }
    qsort(*carriers, *count, sizeof **carriers, carrier_order);
    return true;
}

/* --- what they were mixed for --- */

static int purpose_order(const void *a, const void *b)
{
    const struct trace_purpose *left = a, *right = b;
    if (left->bread_day != right->bread_day) return left->bread_day < right->bread_day ? -1 : 1;
    return strcmp(left->product, right->product);
}

static int code_order(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

size_t trace_each_once(const char **codes, size_t count)
{
    size_t kept = 0;
    qsort(codes, count, sizeof *codes, code_order);
    for (size_t i = 0; i < count; i++)
        if (kept == 0 || strcmp(codes[kept - 1], codes[i]) != 0) codes[kept++] = codes[i];
    return kept;
}

static void tell_products(struct trace_goals *out)
{
    for (size_t i = 0; i < out->pair_count; i++)
        out->products[i] = out->pairs[i].product;
    out->product_count = trace_each_once(out->products, out->pair_count);
}

bool trace_goals_of(const struct reckoning *reckoning, const struct trace_purpose *purposes,
                    size_t count, struct trace_goals *out)
{
    *out = (struct trace_goals){.pairs = amount_memory(reckoning, count, sizeof *out->pairs),
                                .days = amount_memory(reckoning, count, sizeof *out->days),
                                .products = amount_memory(reckoning, count, sizeof *out->products)};
    if (!out->pairs || !out->days || !out->products) return false;
    if (count > 0) memcpy(out->pairs, purposes, count * sizeof *purposes);
    qsort(out->pairs, count, sizeof *out->pairs, purpose_order);
    for (size_t i = 0; i < count; i++) {
        struct trace_purpose pair = {.bread_day = out->pairs[i].bread_day,
                                     .product = out->pairs[i].product};
        if (out->pair_count > 0 && purpose_order(&out->pairs[out->pair_count - 1], &pair) == 0)
            continue;
        if (out->day_count == 0 || out->days[out->day_count - 1] != pair.bread_day)
            out->days[out->day_count++] = pair.bread_day;
        out->pairs[out->pair_count++] = pair;
    }
    tell_products(out);
    return true;
}

/* --- who got it --- */

date trace_last_use(const struct trace_lot *lot, const struct trace_balance *balance)
{
    if (balance->left > 0) return DATE_LAST;
    return balance->has_last ? balance->last : lot->received_on;
}

static int sale_order(const void *a, const void *b)
{
    const struct trace_sale *left = a, *right = b;
    int order = strcmp(left->customer, right->customer);
    return order != 0 ? order : (left->pair > right->pair) - (left->pair < right->pair);
}

bool trace_sales_joined(const struct reckoning *reckoning, struct trace_sale *sales, size_t *count)
{
    size_t kept = 0;
    qsort(sales, *count, sizeof *sales, sale_order);
    for (size_t i = 0; i < *count; i++) {
        if (kept == 0 || sale_order(&sales[kept - 1], &sales[i]) != 0)
            sales[kept++] = sales[i];
        else if (!amount_add_whole(reckoning, &sales[kept - 1].pieces, sales[i].pieces))
            return false;
    }
    *count = kept;
    return true;
}

bool trace_customers_of(const struct reckoning *reckoning, const struct trace_sale *sales,
                        size_t sale_count, struct trace_customer *customers, size_t count)
{
    size_t at = 0;
    for (size_t i = 0; i < sale_count; i++) {
        while (at < count && strcmp(customers[at].customer, sales[i].customer) != 0)
            at++;
        if (at == count)
            return fail_add(reckoning->fails, FAIL_INTERNAL, "",
                            "a sale is to an unknown customer");
        if (customers[at].sale_count++ == 0) customers[at].sales = &sales[i];
        if (!amount_add_whole(reckoning, &customers[at].pieces, sales[i].pieces)) return false;
    }
    return true;
}
