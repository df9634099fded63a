/* What a bread day asks for: pieces of each product, kilos of each dough, and on which date each
 * dough is mixed. */
#ifndef MORROWLOAF_BAKERY_PRODUCTION_H
#define MORROWLOAF_BAKERY_PRODUCTION_H

#include "bakery/breakdown.h"
#include "base/zone.h"

struct fails;

/* What the arithmetic needs to know of the world. */
struct reckoning {
    struct arena *arena;
    struct fails *fails; /* overflow: FAIL_INVALID at "" */
    const struct catalogue *catalogue;
    const struct breakdowns *breakdowns;
    const struct zone *zone;
};

/* The dates of bread days whose orders can have a part in the mixing list of that date. */
void mixing_horizon(const struct reckoning *reckoning, date mixing_date, date *first, date *last);

/* When the working day of that date begins. */
instant day_begins(const struct reckoning *reckoning, date day);
/* The working day that an instant falls in. */
date working_day(const struct reckoning *reckoning, instant at);
/* The instant at which pieces must be ready: the customer's time, else the product's, else the
 * bakery's. */
instant ready_instant(const struct reckoning *reckoning, const struct demand *demand);

/* The pieces to bake of one demand, its share of the spare included. */
struct baking {
    date bread_day;
    size_t product;
    instant ready;
    int64_t ordered;
    int64_t spare;
    int64_t pieces; /* ordered + spare */
};

/* The instant at which mixing a formula must begin for it to be ready: its stages' elapsed minutes
 * earlier. */
instant mix_begins(const struct reckoning *reckoning, size_t formula, instant ready);

/* Joins demands of one product, bread day and ready instant, sorted by bread day, product, instant,
 * and adds the spare: ceil(ordered of that product and day x spare_pct / 100), all of it with the
 * earliest. NULL on overflow or short memory. */
struct baking *bakings_of(const struct reckoning *reckoning, const struct demand *demands,
                          size_t demand_count, size_t *count);
/* The same of one bread day; demands of other days are passed over. */
struct baking *bakings_of_day(const struct reckoning *reckoning, date bread_day,
                              const struct demand *demands, size_t demand_count, size_t *count);

struct production_product {
    size_t product;
    int64_t ordered;
    int64_t spare;
    int64_t pieces;
};

struct production_dough {
    size_t formula;
    int64_t mg; /* handling loss included */
    date mixing_date;
};

struct production {
    struct production_product *products; /* by code */
    size_t product_count;
    struct production_dough
        *doughs; /* by code, then mixing date: formulas that are parts of products */
    size_t dough_count;
};

/* The products of bakings of one bread day, with what they sum to; the rest of out is left alone.
 */
bool production_products(const struct reckoning *reckoning, const struct baking *bakings,
                         size_t baking_count, struct production *out);

/* The production list of one bread day; demands of other days are passed over. */
bool production_of(const struct reckoning *reckoning, date bread_day, const struct demand *demands,
                   size_t demand_count, struct production *out);

#endif
