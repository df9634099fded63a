/* What is told by a rate alone: delivery, overhead, and what comes back unsold. */
#include "bakery/costing_run.h"

enum { MINUTE_UNITS = 10000 };

static bool stays(struct costing_item *item, int64_t micros)
{
    return amount_add_whole(item->run->reckoning, &item->fixed_micros, micros);
}

bool costing_delivery(struct costing_item *item, struct why *node)
{
    const struct rates *rates = &item->run->rates;
    fixed money;
    struct why *leaf = why_add(item->run->reckoning, node, "a piece's part of a round",
                               item->run->rates_path);
    if (!leaf || !amount_scaled(item->run->reckoning, fixed_from(rates->round.micros, MONEY_PLACES),
                                1, rates->round_pieces, &money))
        return false;
    leaf->unit = WHY_PIECES;
    leaf->quantity = 1;
    leaf->rate = (struct why_rate){true, rates->round.micros, WHY_PIECES, rates->round_pieces,
                                   rates->from};
    return costing_set_money(item, leaf, money);
}

static bool overhead_by_minutes(struct costing_item *item, struct why *leaf, fixed *money)
{
    const struct reckoning *reckoning = item->run->reckoning;
    const struct rates *rates = &item->run->rates;
    fixed base;
    int64_t units;
    if (!amount_scaled(reckoning, rates->overhead_base, 1000000, 1, &base) ||
        !amount_multiply_whole(reckoning, rates->overhead_base, MINUTE_UNITS, &units))
        return false;
    leaf->unit = WHY_MINUTES;
    leaf->quantity = item->out->labour_minutes;
    leaf->rate = (struct why_rate){true, rates->overhead_month.micros, WHY_MINUTES, units,
                                   rates->from};
    return amount_scaled(reckoning, item->minutes, rates->overhead_month.micros, base, money);
}

static bool overhead_by_pieces(struct costing_item *item, struct why *leaf, fixed *money)
{
    const struct rates *rates = &item->run->rates;
    leaf->unit = WHY_PIECES;
    leaf->quantity = 1;
    leaf->rate = (struct why_rate){true, rates->overhead_month.micros, WHY_PIECES,
                                   rates->overhead_base, rates->from};
    return amount_scaled(item->run->reckoning,
                         fixed_from(rates->overhead_month.micros, MONEY_PLACES), 1,
                         rates->overhead_base, money);
}

bool costing_overhead(struct costing_item *item, struct why *node)
{
    bool by_pieces = item->run->rates.overhead_by == OVERHEAD_BY_PIECES;
    fixed money;
    if (!by_pieces && item->minutes == 0) return true;
    struct why *leaf = why_add(item->run->reckoning, node,
                               by_pieces ? "a piece's part of a month" : "by minutes of labour",
                               item->run->rates_path);
    return leaf &&
           (by_pieces ? overhead_by_pieces(item, leaf, &money)
                      : overhead_by_minutes(item, leaf, &money)) &&
           costing_set_money(item, leaf, money) && stays(item, leaf->value);
}

/* Of u % that come back, 100 - u are sold and bear them: u / (100 - u) of the cost. */
static bool of_unsold(const struct costing_item *item, int64_t micros, int64_t *part)
{
    int64_t pct = item->product->unsold_pct;
    fixed rounded;
    if (!fixed_muldiv(micros, pct, PERCENT_WHOLE - pct, ROUND_HALF_EVEN, &rounded) ||
        rounded > INT64_MAX)
        return amount_too_large(item->run->reckoning);
    *part = (int64_t)rounded;
    return true;
}

static struct why *add_unsold(const struct costing_item *item, struct why *node, const char *what)
{
    struct why *leaf = why_add(item->run->reckoning, node, what, item->path);
    if (!leaf) return NULL;
    leaf->unit = WHY_PERCENT;
    leaf->quantity = item->product->unsold_pct;
    return leaf;
}

/* Of a cost with a hole not all is known that comes back of it. */
static bool add_unsold_holes(const struct costing_item *item, struct why *node)
{
    bool hole = false;
    for (const struct why *kind = item->out->root->first; kind; kind = kind->next)
        hole |= kind->missing;
    if (!hole) return true;
    struct why *leaf = add_unsold(item, node, "what comes back of what is not known");
    if (leaf) leaf->missing = true;
    return leaf != NULL;
}

bool costing_unsold(struct costing_item *item, struct why *node)
{
    int64_t part;
    if (item->product->unsold_pct == 0) return true;
    struct why *leaf = add_unsold(item, node, "what comes back");
    return leaf && of_unsold(item, item->out->root->value, &leaf->value) &&
           add_unsold_holes(item, node) && of_unsold(item, item->fixed_micros, &part) &&
           stays(item, part);
}
