/* What a bread day uses and costs: every dough exploded into ingredients, at the prices of the day.
 */
#ifndef MORROWLOAF_BAKERY_NEEDS_H
#define MORROWLOAF_BAKERY_NEEDS_H

#include "bakery/production.h"

struct need {
    size_t ingredient;
    int64_t mg; /* or, for what is counted, */
    int64_t pieces;
    bool priced;
    int64_t micros; /* cost; unset when not priced */
};

struct starter_need {
    size_t starter;
    int64_t mg; /* exact, without what is kept back */
};

struct needs {
    struct need *ingredients; /* by code; only what is used */
    size_t ingredient_count;
    struct starter_need *starters; /* by code; only those used */
    size_t starter_count;
    bool priced;    /* every ingredient has a price */
    int64_t micros; /* the sum of the printed costs of those that have one */
};

/* Grams of every part are divided by one less its loss; costs are pack price / pack x exact grams,
 * rounded half to even at a millionth. */
bool needs_of(const struct reckoning *reckoning, date bread_day, const struct demand *demands,
              size_t demand_count, struct needs *out);

/* Whether there is any of an ingredient in a product, its packaging included. */
bool product_contains(const struct reckoning *reckoning, const struct product *product,
                      size_t ingredient);

struct product_cost {
    size_t product;
    int64_t pieces;
    bool priced;
    int64_t micros;      /* of all pieces, spare included */
    int64_t each_micros; /* of one piece */
    size_t *missing;     /* ingredients without a price */
    size_t missing_count;
};

struct day_cost {
    struct product_cost *products; /* by code */
    size_t product_count;
    bool priced;
    int64_t micros; /* the sum of the printed costs of those that have one */
};

bool day_cost_of(const struct reckoning *reckoning, date bread_day, const struct demand *demands,
                 size_t demand_count, struct day_cost *out);

#endif
