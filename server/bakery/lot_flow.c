/* Lots through starters and preferments into batches.
 *
 * A batch is filled with what it takes of preferments, after those are filled with what their
 * batches hold; each once. Batches go by their posting, so that what is taken is mostly filled
 * already and the walk does not go deep, even where every day's dough takes some of the day before.
 */
#include "bakery/lot_flow.h"

#include "bakery/amount.h"
#include "base/decimal.h"

#include <stdlib.h>
#include <string.h>

enum progress { UNTOUCHED, BEGUN, DONE };

/* What is worked out beside the batches themselves. */
struct pouring {
    const struct reckoning *reckoning;
    const struct flow *flow;
    struct flow_part **parts;      /* per batch */
    enum progress *batch_progress; /* per batch */
    size_t *next;                  /* per batch: another of the same pool, or NOT_FOUND */
    size_t *first;                 /* per pool: one of its batches, or NOT_FOUND */
    enum progress *pool_progress;  /* per pool */
    struct flow_part **mixed;      /* per pool: grams by lot, once it is done */
};

/* --- finding --- */

static int pool_order(const void *a, const void *b)
{
    const struct flow_pool *left = a, *right = b;
    int order = strcmp(left->part, right->part);
    if (order != 0) return order;
    return (left->mixing_date > right->mixing_date) - (left->mixing_date < right->mixing_date);
}

const struct flow_pool *flow_pool_of(const struct flow *flow, const char *part, date mixing_date)
{
    struct flow_pool wanted = {.part = part, .mixing_date = mixing_date};
    if (flow->pool_count == 0) return NULL;
    return bsearch(&wanted, flow->pools, flow->pool_count, sizeof wanted, pool_order);
}

static int batch_order(const void *a, const void *b)
{
    const struct flow_batch *left = a, *right = b;
    return (left->posting > right->posting) - (left->posting < right->posting);
}

const struct flow_batch *flow_batch_of(const struct flow *flow, int64_t posting)
{
    struct flow_batch wanted = {.posting = posting};
    if (flow->batch_count == 0) return NULL;
    return bsearch(&wanted, flow->batches, flow->batch_count, sizeof wanted, batch_order);
}

int flow_taking_order(const void *a, const void *b)
{
    const struct flow_taking *left = a, *right = b;
    int order = strcmp(left->starter, right->starter);
    if (order != 0) return order;
    return (left->taken.entry > right->taken.entry) - (left->taken.entry < right->taken.entry);
}

/* The taking of a line; NULL when there is none. */
static const struct flow_taking *taking_of(const struct flow *flow, const struct flow_line *line)
{
    struct flow_taking wanted = {.starter = line->code, .taken = {.entry = line->log_entry}};
    if (line->kind != LINE_STARTER || line->log_entry == 0 || flow->taking_count == 0) return NULL;
    return bsearch(&wanted, flow->takings, flow->taking_count, sizeof wanted, flow_taking_order);
}

/* --- parts --- */

fixed flow_grams(const struct flow_part *parts, int64_t lot)
{
    fixed grams = 0;
    for (const struct flow_part *part = parts; part != NULL; part = part->next)
        if (part->lot == lot) grams += part->grams;
    return grams;
}

static bool is_same(const struct flow_part *a, const struct flow_part *b)
{
    if (a->lot != b->lot || a->way != b->way || a->part_date != b->part_date) return false;
    return a->way == LINE_INGREDIENT || strcmp(a->code, b->code) == 0;
}

/* Adds to the part of the same lot and way, or a new one at the end of the list. */
static bool add_part(struct pouring *pouring, struct flow_part **list, struct flow_part part)
{
    if (part.grams <= 0) return true;
    while (*list != NULL && !is_same(*list, &part))
        list = &(*list)->next;
    if (*list == NULL) {
        *list = amount_memory(pouring->reckoning, 1, sizeof **list);
        if (*list == NULL) return false;
        **list = part;
        (*list)->grams = 0;
        (*list)->next = NULL;
    }
    return amount_add(pouring->reckoning, &(*list)->grams, part.grams);
}

static struct flow_part **parts_of(struct pouring *pouring, int64_t posting)
{
    const struct flow_batch *batch = flow_batch_of(pouring->flow, posting);
    return batch != NULL ? &pouring->parts[batch - pouring->flow->batches] : NULL;
}

static bool add_moves(struct pouring *pouring)
{
    for (size_t i = 0; i < pouring->flow->move_count; i++) {
        const struct flow_move *move = &pouring->flow->moves[i];
        struct flow_part **list = parts_of(pouring, move->posting);
        struct flow_part part = {
            .lot = move->lot, .way = LINE_INGREDIENT, .grams = fixed_from(move->mg, WEIGHT_PLACES)};
        if (list != NULL && !add_part(pouring, list, part)) return false;
    }
    return true;
}

/* Whether an earlier line of the batch is of the same taking, which is one pouring from the pot. */
static bool is_told(const struct flow *flow, size_t line)
{
    const struct flow_line *this = &flow->lines[line];
    for (size_t i = line; i-- > 0 && flow->lines[i].posting == this->posting;)
        if (flow->lines[i].kind == LINE_STARTER && flow->lines[i].log_entry == this->log_entry &&
            strcmp(flow->lines[i].code, this->code) == 0)
            return true;
    return false;
}

static bool add_takings(struct pouring *pouring)
{
    const struct flow *flow = pouring->flow;
    for (size_t i = 0; i < flow->line_count; i++) {
        const struct flow_taking *taking = taking_of(flow, &flow->lines[i]);
        struct flow_part **list = parts_of(pouring, flow->lines[i].posting);
        if (taking == NULL || list == NULL || is_told(flow, i)) continue;
        for (size_t k = 0; k < taking->taken.lot_count; k++) {
            struct flow_part part = {.lot = taking->taken.lots[k].lot,
                                     .way = LINE_STARTER,
                                     .code = taking->starter,
                                     .grams = taking->taken.lots[k].grams};
            if (!add_part(pouring, list, part)) return false;
        }
    }
    return true;
}

/* --- pouring --- */

static size_t pool_index(const struct flow *flow, const char *part, date mixing_date)
{
    const struct flow_pool *pool = flow_pool_of(flow, part, mixing_date);
    return pool != NULL ? (size_t)(pool - flow->pools) : NOT_FOUND;
}

/* Chains the batches of every pool. */
static void find_members(struct pouring *pouring)
{
    const struct flow *flow = pouring->flow;
    for (size_t i = 0; i < flow->pool_count; i++)
        pouring->first[i] = NOT_FOUND;
    for (size_t i = flow->batch_count; i-- > 0;) {
        const struct flow_batch *batch = &flow->batches[i];
        size_t pool = pool_index(flow, batch->formula, batch->mixing_date);
        pouring->next[i] = NOT_FOUND;
        if (pool == NOT_FOUND) continue;
        pouring->next[i] = pouring->first[pool];
        pouring->first[pool] = i;
    }
}

static bool mix_pool(struct pouring *pouring, size_t pool)
{
    for (size_t i = pouring->first[pool]; i != NOT_FOUND; i = pouring->next[i])
        for (const struct flow_part *part = pouring->parts[i]; part != NULL; part = part->next) {
            struct flow_part in = {.lot = part->lot, .grams = part->grams};
            if (!add_part(pouring, &pouring->mixed[pool], in)) return false;
        }
    return true;
}

static bool pour(struct pouring *pouring, size_t index, const struct flow_line *line,
                 struct flow_part **list)
{
    const struct flow_pool *pool = &pouring->flow->pools[index];
    int64_t whole = pool->posted_mg > pool->taken_mg ? pool->posted_mg : pool->taken_mg;
    if (line->mg == 0 || whole == 0) return true;
    for (const struct flow_part *in = pouring->mixed[index]; in != NULL; in = in->next) {
        struct flow_part part = {.lot = in->lot,
                                 .way = LINE_FORMULA,
                                 .code = pool->part,
                                 .part_date = pool->mixing_date};
        /* Down: all that is poured together is never more than there is. */
        if (!fixed_muldiv(-in->grams, line->mg, whole, ROUND_UP, &part.grams))
            return amount_too_large(pouring->reckoning);
        part.grams = -part.grams;
        if (!add_part(pouring, list, part)) return false;
    }
    return true;
}

static bool fill_batch(struct pouring *pouring, size_t index);

static bool fill_pool(struct pouring *pouring, size_t pool)
{
    if (pouring->pool_progress[pool] != UNTOUCHED) return true;
    pouring->pool_progress[pool] = BEGUN;
    for (size_t i = pouring->first[pool]; i != NOT_FOUND; i = pouring->next[i])
        if (!fill_batch(pouring, i)) return false;
    pouring->pool_progress[pool] = DONE;
    return mix_pool(pouring, pool);
}

/* The first line of a batch. */
static size_t first_line(const struct flow *flow, int64_t posting)
{
    size_t low = 0, high = flow->line_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (flow->lines[middle].posting < posting)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

static bool fill_batch(struct pouring *pouring, size_t index)
{
    const struct flow *flow = pouring->flow;
    int64_t posting = flow->batches[index].posting;
    if (pouring->batch_progress[index] != UNTOUCHED) return true;
    pouring->batch_progress[index] = BEGUN;
    for (size_t i = first_line(flow, posting);
         i < flow->line_count && flow->lines[i].posting == posting; i++) {
        const struct flow_line *line = &flow->lines[i];
        size_t pool = line->kind == LINE_FORMULA && line->has_part_date
                          ? pool_index(flow, line->code, line->part_date)
                          : NOT_FOUND;
        if (pool == NOT_FOUND) continue;
        if (!fill_pool(pouring, pool) || !pour(pouring, pool, line, &pouring->parts[index]))
            return false;
    }
    pouring->batch_progress[index] = DONE;
    return true;
}

static bool make_room(struct pouring *pouring)
{
    const struct reckoning *reckoning = pouring->reckoning;
    size_t batches = pouring->flow->batch_count, pools = pouring->flow->pool_count;
    pouring->parts = amount_memory(reckoning, batches, sizeof *pouring->parts);
    pouring->batch_progress = amount_memory(reckoning, batches, sizeof *pouring->batch_progress);
    pouring->next = amount_memory(reckoning, batches, sizeof *pouring->next);
    pouring->first = amount_memory(reckoning, pools, sizeof *pouring->first);
    pouring->pool_progress = amount_memory(reckoning, pools, sizeof *pouring->pool_progress);
    pouring->mixed = amount_memory(reckoning, pools, sizeof *pouring->mixed);
    return pouring->parts && pouring->batch_progress && pouring->next && pouring->first &&
           pouring->pool_progress && pouring->mixed;
}

bool flow_of(const struct reckoning *reckoning, const struct flow *flow, struct flow_part ***parts)
{
    struct pouring pouring = {.reckoning = reckoning, .flow = flow};
    if (!make_room(&pouring)) return false;
    *parts = pouring.parts;
    find_members(&pouring);
    if (!add_moves(&pouring) || !add_takings(&pouring)) return false;
    for (size_t i = 0; i < flow->batch_count; i++)
        if (!fill_batch(&pouring, i)) return false;
    return true;
}
