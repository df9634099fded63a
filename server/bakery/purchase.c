/* Purchase orders. */
#include "bakery/purchase.h"

#include "bakery/amount.h"
#include "bakery/prices.h"

const char *const purchase_states[] = {"open", "part", "complete", "closed", NULL};

enum purchase_state purchase_state_of(const struct purchase_order *order)
{
    bool any = false, all = true;
    if (order->closed) return PURCHASE_CLOSED;
    for (size_t i = 0; i < order->line_count; i++) {
        any = any || order->lines[i].received > 0;
        all = all && purchase_missing(&order->lines[i]) == 0;
    }
    return all ? PURCHASE_COMPLETE : any ? PURCHASE_PART : PURCHASE_OPEN;
}

int64_t purchase_missing(const struct purchase_line *line)
{
    return line->received < line->amount ? line->amount - line->received : 0;
}

int64_t purchase_packs(int64_t amount, int64_t pack)
{
    return pack > 0 && amount % pack == 0 ? amount / pack : 0;
}

bool purchase_amount(int64_t packs, int64_t pack, int64_t most, int64_t *amount)
{
    return !__builtin_mul_overflow(packs, pack, amount) && *amount <= most;
}

date purchase_due(date ordered_on, int64_t lead_days)
{
    return ordered_on > DATE_LAST - lead_days ? DATE_LAST : ordered_on + (date)lead_days;
}

bool purchase_cost(const struct reckoning *reckoning, const struct price *price,
                   enum ingredient_unit unit, int64_t amount, struct money *cost)
{
    int64_t pack = unit == UNIT_GRAM ? price->pack_mg : price->pack_pieces;
    *cost = (struct money){.known = price->known && pack > 0};
    return !cost->known || price_of_amount(reckoning, price, amount, &cost->micros);
}

bool purchase_total(const struct reckoning *reckoning, const struct money *costs, size_t count,
                    struct money *total)
{
    *total = (struct money){.known = true};
    for (size_t i = 0; i < count; i++) {
        total->known = total->known && costs[i].known;
        if (!amount_add_whole(reckoning, &total->micros, costs[i].micros)) return false;
    }
    return true;
}

struct money purchase_under(struct money total, int64_t minimum_micros)
{
    if (!total.known || total.micros >= minimum_micros) return (struct money){0};
    return (struct money){.known = true, .micros = minimum_micros - total.micros};
}
