/* From the batches of a bread day back to lots. */
#include "bakery/day_trace.h"

#include "bakery/amount.h"
#include "base/decimal.h"

#include <stdlib.h>
#include <string.h>

/* --- what the day asks for --- */

bool day_trace_products(const struct reckoning *reckoning, const struct trace_purpose *mixed,
                        size_t mixed_count, const char *const *ordered, size_t ordered_count,
                        const char ***products, size_t *count)
{
    size_t all = 0;
    *products = amount_memory(reckoning, mixed_count + ordered_count, sizeof **products);
    if (*products == NULL) return false;
    for (size_t i = 0; i < mixed_count; i++)
        (*products)[all++] = mixed[i].product;
    for (size_t i = 0; i < ordered_count; i++)
        (*products)[all++] = ordered[i];
    *count = trace_each_once(*products, all);
    return true;
}

static int number_order(const void *a, const void *b)
{
    const int64_t *left = a, *right = b;
    return (*left > *right) - (*left < *right);
}

static size_t each_once(int64_t *numbers, size_t all)
{
    size_t count = 0;
    qsort(numbers, all, sizeof *numbers, number_order);
    for (size_t i = 0; i < all; i++)
        if (count == 0 || numbers[count - 1] != numbers[i]) numbers[count++] = numbers[i];
    return count;
}

bool day_trace_postings(const struct reckoning *reckoning, const struct trace_purpose *mixed,
                        size_t mixed_count, int64_t **postings, size_t *count)
{
    *postings = amount_memory(reckoning, mixed_count, sizeof **postings);
    if (*postings == NULL) return false;
    for (size_t i = 0; i < mixed_count; i++)
        (*postings)[i] = mixed[i].posting;
    *count = each_once(*postings, mixed_count);
    return true;
}

bool day_trace_numbers(const struct reckoning *reckoning, const struct flow *flow,
                       const struct trace_share *shares, size_t share_count, int64_t **numbers,
                       size_t *count)
{
    *numbers = amount_memory(reckoning, flow->move_count + share_count, sizeof **numbers);
    if (*numbers == NULL) return false;
    for (size_t i = 0; i < flow->move_count; i++)
        (*numbers)[i] = flow->moves[i].lot;
    for (size_t i = 0; i < share_count; i++)
        (*numbers)[flow->move_count + i] = shares[i].lot;
    *count = each_once(*numbers, flow->move_count + share_count);
    return true;
}

static int batch_order(const void *a, const void *b)
{
    return trace_batch_order(*(const struct flow_batch *const *)a,
                             *(const struct flow_batch *const *)b);
}

const struct flow_batch **day_trace_batches(const struct reckoning *reckoning,
                                            const struct flow *flow)
{
    const struct flow_batch **batches = amount_memory(reckoning, flow->batch_count,
                                                      sizeof *batches);
    if (batches == NULL) return NULL;
    for (size_t i = 0; i < flow->batch_count; i++)
        batches[i] = &flow->batches[i];
    qsort(batches, flow->batch_count, sizeof *batches, batch_order);
    return batches;
}

/* --- what was weighed into a batch --- */

static bool is_same(const struct day_line *told, const struct flow_line *line)
{
    return told->kind == line->kind && told->has_part_date == line->has_part_date &&
           told->part_date == line->part_date && strcmp(told->code, line->code) == 0;
}

static int lot_order(const void *a, const void *b)
{
    const struct trace_lot *left = a, *right = b;
    return (left->lot > right->lot) - (left->lot < right->lot);
}

const struct trace_lot *day_trace_lot(const struct trace_lot *lots, size_t count, int64_t lot)
{
    struct trace_lot wanted = {.lot = lot};
    return count > 0 ? bsearch(&wanted, lots, count, sizeof wanted, lot_order) : NULL;
}

/* Whether a part came in by a line. */
static bool came_by(const struct reckoning *reckoning, const struct day_line *line,
                    const struct flow_part *part, const struct trace_lot *lots, size_t lot_count)
{
    if (part->way != line->kind || part->grams < TRACE_LEAST) return false;
    if (part->way != LINE_INGREDIENT)
        return strcmp(part->code, line->code) == 0 && part->part_date == line->part_date;
    const struct trace_lot *lot = day_trace_lot(lots, lot_count, part->lot);
    return lot != NULL &&
           strcmp(reckoning->catalogue->ingredients[lot->ingredient].code, line->code) == 0;
}

static bool find_parts(const struct reckoning *reckoning, struct day_line *line,
                       const struct flow_part *parts, const struct trace_lot *lots,
                       size_t lot_count)
{
    line->parts = amount_memory(reckoning, trace_count_parts(parts, 0), sizeof *line->parts);
    if (line->parts == NULL) return false;
    for (const struct flow_part *part = parts; part != NULL; part = part->next)
        if (came_by(reckoning, line, part, lots, lot_count)) line->parts[line->part_count++] = part;
    return true;
}

bool day_trace_lines(const struct reckoning *reckoning, const struct flow *flow,
                     const struct flow_part *parts, int64_t posting, const struct trace_lot *lots,
                     size_t lot_count, struct day_line **lines, size_t *count)
{
    size_t first = 0, end;
    while (first < flow->line_count && flow->lines[first].posting != posting)
        first++;
    for (end = first; end < flow->line_count && flow->lines[end].posting == posting;)
        end++;
    *lines = amount_memory(reckoning, end - first, sizeof **lines);
    *count = 0;
    if (*lines == NULL) return false;
    for (size_t i = first; i < end; i++) {
        const struct flow_line *line = &flow->lines[i];
        size_t k = 0;
        while (k < *count && !is_same(&(*lines)[k], line))
            k++;
        if (k == *count)
            (*lines)[(*count)++] = (struct day_line){.kind = line->kind,
                                                     .code = line->code,
                                                     .has_part_date = line->has_part_date,
                                                     .part_date = line->part_date};
        if (!amount_add_whole(reckoning, &(*lines)[k].mg, line->mg)) return false;
    }
    for (size_t k = 0; k < *count; k++)
        if (!find_parts(reckoning, &(*lines)[k], parts, lots, lot_count)) return false;
    return true;
}

/* --- lots of a day --- */

/* A lot in one batch, before batches are joined. */
struct piece {
    int64_t lot;
    fixed grams;
    const struct flow_batch *batch;
    const struct flow_part *parts;
};

static int piece_order(const void *a, const void *b)
{
    const struct piece *left = a, *right = b;
    if (left->lot != right->lot) return left->lot < right->lot ? -1 : 1;
    return (left->batch > right->batch) - (left->batch < right->batch);
}

/* Each lot of a batch once. */
static size_t tell_pieces(const struct flow_batch *batch, const struct flow_part *parts,
                          struct piece *pieces)
{
    size_t count = 0;
    for (const struct flow_part *part = parts; part != NULL; part = part->next) {
        size_t k = 0;
        while (k < count && pieces[k].lot != part->lot)
            k++;
        if (k == count)
            pieces[count++] = (struct piece){part->lot, flow_grams(parts, part->lot), batch, parts};
    }
    return count;
}

/* The lots of these batches, by lot; NULL when memory is short. */
static struct piece *pieces_of(const struct reckoning *reckoning, const struct flow *flow,
                               struct flow_part *const *parts, const int64_t *postings,
                               size_t posting_count, size_t *count)
{
    size_t room = 0;
    for (size_t i = 0; i < flow->batch_count; i++)
        room += trace_count_parts(parts[i], 0);
    struct piece *pieces = amount_memory(reckoning, room, sizeof *pieces);
    *count = 0;
    for (size_t i = 0; pieces != NULL && i < posting_count; i++) {
        const struct flow_batch *batch = flow_batch_of(flow, postings[i]);
        if (batch == NULL) continue;
        *count += tell_pieces(batch, parts[batch - flow->batches], pieces + *count);
    }
    if (pieces != NULL) qsort(pieces, *count, sizeof *pieces, piece_order);
    return pieces;
}

/* Joins the pieces of one lot. */
static bool join(const struct reckoning *reckoning, const struct piece *pieces, size_t count,
                 struct trace_share *share)
{
    fixed weight = 0;
    size_t ways = 0;
    for (size_t i = 0; i < count; i++)
        ways += trace_count_parts(pieces[i].parts, pieces[i].lot);
    *share = (struct trace_share){
        .lot = pieces[0].lot,
        .ways.items = amount_memory(reckoning, ways, sizeof *share->ways.items)};
    if (share->ways.items == NULL) return false;
    for (size_t i = 0; i < count; i++) {
        if (pieces[i].grams < TRACE_LEAST) continue;
        if (!amount_add(reckoning, &share->grams, pieces[i].grams) ||
            !amount_add(reckoning, &weight, fixed_from(pieces[i].batch->dough_mg, WEIGHT_PLACES)))
            return false;
        trace_ways_add(&share->ways, share->lot, pieces[i].parts);
    }
    if (weight > 0 && !breakdown_percentage(share->grams, weight, &share->share_pct))
        return amount_too_large(reckoning);
    return true;
}

bool trace_shares(const struct reckoning *reckoning, const struct flow *flow,
                  struct flow_part *const *parts, const int64_t *postings, size_t posting_count,
                  struct trace_share **shares, size_t *count, size_t *left_out)
{
    size_t piece_count;
    struct piece *pieces = pieces_of(reckoning, flow, parts, postings, posting_count, &piece_count);
    if (pieces == NULL) return false;
    *shares = amount_memory(reckoning, piece_count, sizeof **shares);
    *count = *left_out = 0;
    for (size_t i = 0, end; *shares != NULL && i < piece_count; i = end) {
        for (end = i + 1; end < piece_count && pieces[end].lot == pieces[i].lot;)
            end++;
        struct trace_share *share = &(*shares)[*count];
        if (!join(reckoning, pieces + i, end - i, share)) return false;
        if (share->grams > 0)
            (*count)++;
        else
            (*left_out)++;
    }
    return *shares != NULL;
}
