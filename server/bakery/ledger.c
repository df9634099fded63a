/* Values, flows and prices, each by one walk through the history. */
#include "bakery/ledger.h"

#include "bakery/amount.h"
#include "bakery/ledger_walk.h"
#include "base/arena.h"
#include "base/fail.h"
#include "base/fixed.h"

bool ledger_on(const struct ledger *ledger, struct arena *arena, struct fails *fails, date day,
               struct ledger_value *out)
{
    struct ledger_walk walk;
    if (!ledger_walk_init(&walk, ledger, arena, fails) || !ledger_walk_to(&walk, day)) return false;
    *out = ledger_walk_value(&walk);
    return true;
}

bool ledger_between(const struct ledger *ledger, struct arena *arena, struct fails *fails,
                    date first, date last, struct ledger_flow *out)
{
    static const struct ledger_value nothing = {.fifo.known = true, .average.known = true};
    struct ledger_walk walk;
    *out = (struct ledger_flow){nothing, nothing, nothing, nothing, nothing, nothing, nothing};
    if (!ledger_walk_init(&walk, ledger, arena, fails) || !ledger_walk_to(&walk, first - 1))
        return false;
    out->opening = ledger_walk_value(&walk);
    walk.flow = out;
    if (!ledger_walk_to(&walk, last)) return false;
    out->closing = ledger_walk_value(&walk);
    return true;
}

static bool value_add(struct ledger_value *sum, const struct ledger_value *more)
{
    return ledger_money_add(&sum->fifo, more->fifo, false) &&
           ledger_money_add(&sum->average, more->average, false);
}

bool ledger_flow_add(struct ledger_flow *sum, const struct ledger_flow *more, struct fails *fails)
{
    return (value_add(&sum->opening, &more->opening) &&
            value_add(&sum->received, &more->received) && value_add(&sum->used, &more->used) &&
            value_add(&sum->wasted, &more->wasted) && value_add(&sum->returned, &more->returned) &&
            value_add(&sum->counted, &more->counted) && value_add(&sum->closing, &more->closing)) ||
           amounts_too_large(fails);
}

/* Whether the same amount costs the same. */
static bool same_cost(const struct price *a, const struct price *b)
{
    if (a->of_stock != b->of_stock || a->known != b->known) return false;
    return (fixed)a->micros * b->pack_mg == (fixed)b->micros * a->pack_mg;
}

bool ledger_price_days(const struct ledger *ledger, struct arena *arena, struct fails *fails,
                       enum cost_by method, date first, date last, date **days, size_t *count)
{
    struct ledger_walk walk;
    struct price before = {0};
    date day;
    *count = 0;
    *days = arena_array(arena, ledger->move_count, sizeof **days);
    if (!*days) return fail_memory(fails);
    if (!ledger_walk_init(&walk, ledger, arena, fails) || !ledger_walk_to(&walk, first - 2))
        return false;
    ledger_walk_price(&walk, method, UNIT_GRAM, &before);
    while (ledger_walk_next(&walk, &day) && day < last) {
        struct price after = {0};
        if (!ledger_walk_to(&walk, day)) return false;
        ledger_walk_price(&walk, method, UNIT_GRAM, &after);
        if (!same_cost(&before, &after)) (*days)[(*count)++] = day + 1;
        before = after;
    }
    return true;
}
