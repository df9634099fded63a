/* Walking through the history of an ingredient. */
#include "bakery/ledger_walk.h"

#include "bakery/amount.h"
#include "base/arena.h"
#include "base/fail.h"
#include "base/fixed.h"

bool ledger_walk_init(struct ledger_walk *walk, const struct ledger *ledger, struct arena *arena,
                      struct fails *fails)
{
    *walk = (struct ledger_walk){.ledger = ledger, .fails = fails, .average.known = true};
    return layers_init(&walk->layers, arena, ledger) || fail_memory(fails);
}

static bool passed_over(const struct ledger_move *move)
{
    return move->skipped || move->kind == STOCK_MOVED || move->delta == 0;
}

/* NOT_FOUND when the ledger has no such lot. */
static size_t lot_index(const struct ledger *ledger, int64_t number)
{
    size_t low = 0, high = ledger->lot_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (ledger->lots[middle].lot < number)
            low = middle + 1;
        else
            high = middle;
    }
    return low < ledger->lot_count && ledger->lots[low].lot == number ? low : NOT_FOUND;
}

/* --- sums of worth --- */

bool ledger_money_add(struct money *sum, struct money more, bool minus)
{
    sum->known = sum->known && more.known;
    if (!sum->known) {
        sum->micros = 0;
        return true;
    }
    return minus ? !__builtin_sub_overflow(sum->micros, more.micros, &sum->micros)
                 : !__builtin_add_overflow(sum->micros, more.micros, &sum->micros);
}

static bool value_add(struct ledger_value *sum, const struct ledger_value *more, bool minus)
{
    bool fits = minus ? !__builtin_sub_overflow(sum->amount, more->amount, &sum->amount)
                      : !__builtin_add_overflow(sum->amount, more->amount, &sum->amount);
    return fits && ledger_money_add(&sum->fifo, more->fifo, minus) &&
           ledger_money_add(&sum->average, more->average, minus);
}

static bool flow_add(struct ledger_flow *flow, enum stock_kind kind,
                     const struct ledger_value *worth)
{
    switch (kind) {
    case STOCK_RECEIVED:
        return value_add(&flow->received, worth, false);
    case STOCK_MIXED:
    case STOCK_FED:
    case STOCK_USED:
        return value_add(&flow->used, worth, true);
    case STOCK_WASTED:
        return value_add(&flow->wasted, worth, true);
    case STOCK_RETURNED:
        return value_add(&flow->returned, worth, true);
    case STOCK_COUNTED:
        return value_add(&flow->counted, worth, false);
    case STOCK_MOVED:
    case STOCK_REVERSED:
    case STOCK_KINDS:
        break;
    }
    return true;
}

/* --- one movement --- */

/* What comes in of a lot costs what the lot did. */
static bool lot_worth(const struct ledger_lot *lot, int64_t amount, struct money *worth)
{
    fixed micros = lot->price.micros;
    *worth = (struct money){.known = lot->price.known};
    if (!worth->known) return true;
    if (amount != lot->received &&
        !fixed_muldiv(micros, amount, lot->received, ROUND_HALF_EVEN, &micros))
        return false;
    worth->micros = (int64_t)micros;
    return micros <= INT64_MAX;
}

/* Onto nothing the cost is that of the lot, however little came in. */
static void note_average(struct ledger_walk *walk, const struct ledger_lot *lot, bool was_empty,
                         date day)
{
    if (!walk->average.known) return;
    walk->average_cost = was_empty ? (struct ledger_cost){lot->price, lot->received, day}
                                   : (struct ledger_cost){walk->average, walk->amount, day};
}

static bool come_in(struct ledger_walk *walk, size_t lot, const struct ledger_move *move,
                    struct ledger_value *worth)
{
    const struct ledger_lot *of = &walk->ledger->lots[lot];
    bool was_empty = walk->amount == 0;
    struct money cost;
    if (!lot_worth(of, move->delta, &cost) ||
        __builtin_add_overflow(walk->amount, move->delta, &walk->amount) ||
        !layers_add(&walk->layers, lot, move->date, move->delta, cost) ||
        !ledger_money_add(&walk->average, cost, false))
        return amounts_too_large(walk->fails);
    note_average(walk, of, was_empty, move->date);
    *worth = (struct ledger_value){move->delta, cost, cost};
    return true;
}

static struct money take_average(struct ledger_walk *walk, int64_t amount)
{
    struct money worth = {.known = walk->average.known};
    if (worth.known) worth.micros = ledger_part(walk->average.micros, amount, walk->amount);
    walk->average.micros -= worth.micros;
    walk->amount -= amount;
    if (walk->amount == 0) walk->average = (struct money){.known = true};
    return worth;
}

static bool go_out(struct ledger_walk *walk, size_t lot, const struct ledger_move *move,
                   struct ledger_value *worth)
{
    int64_t amount = -move->delta;
    if (amount > walk->amount)
        return fail_add(walk->fails, FAIL_INTERNAL, "",
                        "more was taken from the stock than there was");
    struct money average = take_average(walk, amount);
    struct money fifo = layers_take(&walk->layers, move->kind == STOCK_RETURNED ? lot : NOT_FOUND,
                                    amount);
    *worth = (struct ledger_value){
        -amount, {fifo.known, -fifo.micros}, {average.known, -average.micros}};
    return true;
}

static bool apply(struct ledger_walk *walk, size_t at)
{
    const struct ledger_move *move = &walk->ledger->moves[at];
    size_t lot = lot_index(walk->ledger, move->lot);
    struct ledger_value worth;
    if (lot == NOT_FOUND)
        return fail_add(walk->fails, FAIL_INTERNAL, "",
                        "stock was moved of a lot that is not there");
    if (!(move->delta > 0 ? come_in(walk, lot, move, &worth) : go_out(walk, lot, move, &worth)))
        return false;
    if (walk->worths) walk->worths[at] = worth;
    return !walk->flow || flow_add(walk->flow, move->kind, &worth) ||
           amounts_too_large(walk->fails);
}

/* --- days --- */

static size_t day_end(const struct ledger *ledger, size_t at)
{
    date day = ledger->moves[at].date;
    while (at < ledger->move_count && ledger->moves[at].date == day)
        at++;
    return at;
}

/* Whether moves up to end, in their order, take more than there is. */
static bool takes_too_much(const struct ledger_walk *walk, size_t end)
{
    fixed amount = walk->amount;
    for (size_t at = walk->next; at < end; at++) {
        if (!passed_over(&walk->ledger->moves[at])) amount += walk->ledger->moves[at].delta;
        if (amount < 0) return true;
    }
    return false;
}

static bool apply_all(struct ledger_walk *walk, size_t end, bool ins, bool outs)
{
    for (size_t at = walk->next; at < end; at++) {
        const struct ledger_move *move = &walk->ledger->moves[at];
        if (!passed_over(move) && (move->delta > 0 ? ins : outs) && !apply(walk, at)) return false;
    }
    return true;
}

static bool walk_day(struct ledger_walk *walk)
{
    size_t end = day_end(walk->ledger, walk->next);
    bool done = takes_too_much(walk, end)
                    ? apply_all(walk, end, true, false) && apply_all(walk, end, false, true)
                    : apply_all(walk, end, true, true);
    walk->next = end;
    return done;
}

bool ledger_walk_to(struct ledger_walk *walk, date day)
{
    const struct ledger *ledger = walk->ledger;
    while (walk->next < ledger->move_count && ledger->moves[walk->next].date <= day)
        if (!walk_day(walk)) return false;
    return true;
}

bool ledger_walk_next(const struct ledger_walk *walk, date *day)
{
    const struct ledger *ledger = walk->ledger;
    size_t at = walk->next;
    while (at < ledger->move_count && passed_over(&ledger->moves[at]))
        at++;
    if (at < ledger->move_count) *day = ledger->moves[at].date;
    return at < ledger->move_count;
}

struct ledger_value ledger_walk_value(const struct ledger_walk *walk)
{
    bool known = walk->layers.unknown == 0;
    return (struct ledger_value){
        walk->amount, {known, known ? walk->layers.value : 0}, walk->average};
}

/* --- prices --- */

static struct ledger_cost fifo_cost(const struct ledger_walk *walk)
{
    const struct ledger_layers *layers = &walk->layers;
    const struct ledger_layer *layer = layers_oldest(layers);
    if (!layer && layers->last_known != NOT_FOUND) layer = &layers->items[layers->last_known];
    if (!layer) return (struct ledger_cost){0};
    const struct ledger_lot *lot = &layers->lots[layer->lot];
    return (struct ledger_cost){lot->price, lot->received, layer->from};
}

void ledger_walk_price(const struct ledger_walk *walk, enum cost_by method,
                       enum ingredient_unit unit, struct price *price)
{
    if (method == COST_BY_PACK || walk->layers.count == 0) return;
    struct ledger_cost cost = method == COST_BY_FIFO ? fifo_cost(walk) : walk->average_cost;
    if (method == COST_BY_AVERAGE && !walk->average.known) cost = (struct ledger_cost){0};
    *price = (struct price){.of_stock = true, .known = cost.price.known, .from = cost.from};
    if (!price->known) return;
    price->micros = cost.price.micros;
    *(unit == UNIT_GRAM ? &price->pack_mg : &price->pack_pieces) = cost.amount;
}
