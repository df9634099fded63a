/* Lots through starters and preferments into batches.
 *
 * Batches stand on levels: those that take no preferment on the first, those that take one above
 * it. Level by level the preferments are filled with what their batches hold and poured into the
 * batches that take them, so that everything is worked out once.
 */
#include "bakery/lot_flow.h"

#include "bakery/amount.h"
#include "base/decimal.h"

#include <stdlib.h>
#include <string.h>

enum { LEVELS = NESTING_MAX + 1 }; /* of batches; one that is higher stands in a circle */

/* What is worked out beside the batches themselves. */
struct pouring {
    const struct reckoning *reckoning;
    const struct flow *flow;
    struct flow_part **parts; /* per batch */
    int *level;               /* per batch */
    int *pool_level;          /* per pool: of its highest batch; -1: it has none */
    struct flow_part **mixed; /* per pool, once it is filled: grams by lot */
    bool *filled;             /* per pool */
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

static int taking_order(const void *a, const void *b)
{
    const struct flow_taking *left = a, *right = b;
    int order = strcmp(left->starter, right->starter);
    if (order != 0) return order;
    return (left->taken.entry > right->taken.entry) - (left->taken.entry < right->taken.entry);
}

const struct flow_taking *flow_taking_of(const struct flow *flow, const struct flow_line *line)
{
    struct flow_taking wanted = {.starter = line->code, .taken = {.entry = line->log_entry}};
    if (line->kind != LINE_STARTER || line->log_entry == 0 || flow->taking_count == 0) return NULL;
    return bsearch(&wanted, flow->takings, flow->taking_count, sizeof wanted, taking_order);
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
        const struct flow_taking *taking = flow_taking_of(flow, &flow->lines[i]);
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

/* --- levels --- */

static size_t pool_index(const struct flow *flow, const char *part, date mixing_date)
{
    const struct flow_pool *pool = flow_pool_of(flow, part, mixing_date);
    return pool != NULL ? (size_t)(pool - flow->pools) : NOT_FOUND;
}

static void raise_pools(struct pouring *pouring)
{
    const struct flow *flow = pouring->flow;
    for (size_t i = 0; i < flow->batch_count; i++) {
        const struct flow_batch *batch = &flow->batches[i];
        size_t pool = pool_index(flow, batch->formula, batch->mixing_date);
        if (pool != NOT_FOUND && pouring->pool_level[pool] < pouring->level[i])
            pouring->pool_level[pool] = pouring->level[i];
    }
}

/* Lifts every batch above the preferments that it takes; whether any was lifted. */
static bool raise_batches(struct pouring *pouring)
{
    const struct flow *flow = pouring->flow;
    bool any = false;
    for (size_t i = 0; i < flow->line_count; i++) {
        const struct flow_line *line = &flow->lines[i];
        if (line->kind != LINE_FORMULA) continue;
        const struct flow_batch *batch = flow_batch_of(flow, line->posting);
        size_t pool = pool_index(flow, line->code, line->part_date);
        if (batch == NULL || pool == NOT_FOUND) continue;
        int *level = &pouring->level[batch - flow->batches];
        if (*level > pouring->pool_level[pool]) continue;
        *level = pouring->pool_level[pool] + 1;
        any = true;
    }
    return any;
}

static void find_levels(struct pouring *pouring)
{
    for (size_t i = 0; i < pouring->flow->pool_count; i++)
        pouring->pool_level[i] = -1;
    for (int pass = 0; pass <= LEVELS; pass++) {
        raise_pools(pouring);
        if (!raise_batches(pouring)) return;
    }
}

/* --- pouring --- */

static bool fill(struct pouring *pouring, size_t pool)
{
    const struct flow *flow = pouring->flow;
    for (size_t i = 0; i < flow->batch_count; i++) {
        const struct flow_batch *batch = &flow->batches[i];
        if (batch->mixing_date != flow->pools[pool].mixing_date ||
            strcmp(batch->formula, flow->pools[pool].part) != 0)
            continue;
        for (const struct flow_part *part = pouring->parts[i]; part != NULL; part = part->next) {
            struct flow_part in = {.lot = part->lot, .grams = part->grams};
            if (!add_part(pouring, &pouring->mixed[pool], in)) return false;
        }
    }
    pouring->filled[pool] = true;
    return true;
}

static bool pour(struct pouring *pouring, size_t index, const struct flow_line *line,
                 struct flow_part **list)
{
    const struct flow_pool *pool = &pouring->flow->pools[index];
    int64_t whole = pool->posted_mg > pool->taken_mg ? pool->posted_mg : pool->taken_mg;
    if (!pouring->filled[index] && !fill(pouring, index)) return false;
    for (const struct flow_part *in = pouring->mixed[index]; in != NULL; in = in->next) {
        struct flow_part part = {.lot = in->lot,
                                 .way = LINE_FORMULA,
                                 .code = pool->part,
                                 .part_date = pool->mixing_date};
        if (!amount_scaled(pouring->reckoning, in->grams, line->mg, whole, &part.grams) ||
            !add_part(pouring, list, part))
            return false;
    }
    return true;
}

/* Pours all preferments of a level into the batches that take them. */
static bool pour_level(struct pouring *pouring, int level)
{
    const struct flow *flow = pouring->flow;
    for (size_t i = 0; i < flow->line_count; i++) {
        const struct flow_line *line = &flow->lines[i];
        struct flow_part **list = parts_of(pouring, line->posting);
        size_t pool = line->kind == LINE_FORMULA ? pool_index(flow, line->code, line->part_date)
                                                 : NOT_FOUND;
        if (list != NULL && pool != NOT_FOUND && pouring->pool_level[pool] == level &&
            !pour(pouring, pool, line, list))
            return false;
    }
    return true;
}

bool flow_of(const struct reckoning *reckoning, const struct flow *flow, struct flow_part ***parts)
{
    struct pouring pouring = {
        .reckoning = reckoning,
        .flow = flow,
        .parts = amount_memory(reckoning, flow->batch_count, sizeof *pouring.parts),
        .level = amount_memory(reckoning, flow->batch_count, sizeof *pouring.level),
        .pool_level = amount_memory(reckoning, flow->pool_count, sizeof *pouring.pool_level),
        .mixed = amount_memory(reckoning, flow->pool_count, sizeof *pouring.mixed),
        .filled = amount_memory(reckoning, flow->pool_count, sizeof *pouring.filled)};
    *parts = pouring.parts;
    if (!pouring.parts || !pouring.level || !pouring.pool_level || !pouring.mixed ||
        !pouring.filled)
        return false;
    find_levels(&pouring);
    if (!add_moves(&pouring) || !add_takings(&pouring)) return false;
    for (int level = 0; level < LEVELS; level++)
        if (!pour_level(&pouring, level)) return false;
    return true;
}
