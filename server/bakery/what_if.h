/* What if: the facts of a day with some of them changed, in memory alone.
 *
 * And the other way round: a product's cost is a straight line in the pack price of one ingredient,
 * up to the millionths that its leaves are rounded to, so the price at which its margin falls under
 * the target is found exactly, by trying prices.
 */
#ifndef MORROWLOAF_BAKERY_WHAT_IF_H
#define MORROWLOAF_BAKERY_WHAT_IF_H

#include "bakery/costing.h"
#include "bakery/pricing.h"

enum change_kind {
    CHANGE_INGREDIENT_PRICE, /* pct: of the pack price, +20 %; or price: the pack price itself */
    CHANGE_HAND_HOUR,        /* pct, or add, or value */
    CHANGE_KWH,
    CHANGE_OVERHEAD,
    CHANGE_PART_WEIGHT, /* of a product: mg of the part that is a dough (the first such) */
    CHANGE_HYDRATION,   /* of a formula: overall hydration by changing its first water line */
    CHANGE_SPARE,       /* of a product: pct */
    CHANGE_TARGET       /* of a product or, with index NOT_FOUND, of all: target kind and pct */
};

enum change_by { BY_PCT, BY_ADD, BY_VALUE };

struct change {
    enum change_kind kind;
    size_t index; /* of the ingredient, product or formula */
    enum change_by by;
    int64_t value; /* PERCENT_PLACES (+20 % = 200000), micros, milligrams: what the kind takes */
    enum target_kind target;
    const char *path; /* JSON pointer of the change, for faults */
};

/* The facts of a day after changes: a copy. Only what is changed is copied; day and its catalogue
 * stay as they are. */
struct changed_day {
    struct costing_day day;
    struct reckoning reckoning;
    struct catalogue catalogue;
    struct breakdowns breakdowns;
    struct rates rates;
};

/* Makes the copy and changes it, in the order of the changes; hydrations last, parts before what
 * takes them, and of several of one formula the last. What a change does not name stays: also the
 * price of an ingredient that is not known is not made known, and a rate only by a value. Faults at
 * the change's path: something that is not there, a price below zero or out of all range, an
 * ingredient without price, a rate that was not entered, an overhead without a base, a weight of
 * nothing, a product without a dough, a formula without flour or a line of water, a hydration that
 * its parts already exceed or that breaks a formula that takes this one. False when there was any,
 * or memory was short. *out points into itself: do not copy it. */
bool what_if_apply(const struct costing_day *day, const struct change *changes, size_t count,
                   struct changed_day *out);

/* The pack price of an ingredient (of the pack that it is bought in now) at which the margin of the
 * product at that net price falls to margin_pct: the largest in millionths at which it is not under
 * it. *exists is false when there is no such price: the product has none of it or it has no price
 * now, its cost has a hole, the margin is under margin_pct even at a price of nothing, or not under
 * it at a thousand million a pack; then *pack_micros is left alone. */
bool price_limit_of(const struct costing_day *day, size_t product, size_t ingredient,
                    int64_t net_micros, int64_t margin_pct, bool *exists, int64_t *pack_micros);

#endif
