/* What if: the facts of a day with some of them changed, in memory alone.
 *
 * And the other way round: a product's cost is a straight line in the pack price of one ingredient,
 * so the price at which its margin falls under the target is found exactly.
 */
#ifndef MORROWLOAF_BAKERY_WHAT_IF_H
#define MORROWLOAF_BAKERY_WHAT_IF_H

#include "bakery/costing.h"
#include "bakery/pricing.h"

enum change_kind {
    CHANGE_INGREDIENT_PRICE, /* pct: of the pack price, +20 %; or price: the pack price itself */
    CHANGE_HAND_HOUR,        /* pct, or add, or price */
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

/* Makes the copy and changes it. Faults at the change's path: a price below zero, an ingredient
 * without price, a weight of nothing, a hydration that its parts already exceed. *out points into
 * itself: do not copy it. */
bool what_if_apply(const struct costing_day *day, const struct change *changes, size_t count,
                   struct changed_day *out);

/* The pack price of an ingredient (of the pack that it is bought in now) at which the margin of the
 * product at that net price is exactly margin_pct; the largest millionth at which it is not under
 * it. *exists is false when the product has none of it, or its margin is under the target at a
 * price of nothing. Checked by substituting it back. */
bool price_limit_of(const struct costing_day *day, size_t product, size_t ingredient,
                    int64_t net_micros, int64_t margin_pct, bool *exists, int64_t *pack_micros);

#endif
