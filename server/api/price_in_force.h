/* The price of a product in a list on a day, and what it comes to. */
#ifndef MORROWLOAF_API_PRICE_IN_FORCE_H
#define MORROWLOAF_API_PRICE_IN_FORCE_H

#include "api/reckon.h"
#include "bakery/costing.h"
#include "bakery/pricing.h"

struct price_in_force {
    struct price_list list;
    const struct product_price *price; /* NULL: none */
};

/* A list without code has no prices. */
bool price_in_force_of(struct request *request, const struct price_list *list, const char *product,
                       date day, struct price_in_force *out);
/* The same of all products of the catalogue, one each. NULL with faults on the list. */
const struct price_in_force *prices_in_force(struct request *request, const struct day *day,
                                             const struct price_list *list, date on);

struct priced {
    struct price_figures figures[3];
    const struct price_figures *in_force; /* each points into figures, or is NULL */
    const struct price_figures *proposed;
    const struct price_figures
        *shown;        /* the asked price, else the one in force, else the proposed */
    bool under_target; /* shown earns less than the product's target */
};

/* What a product's prices come to at a cost. When the cost has a hole a price is told without what
 * it earns, and none is proposed. asked: a price to
 * look at instead. False when a price does not fit. *out points into itself: do not copy it. */
bool priced_of(const struct day *day, const struct price_in_force *in_force,
               const struct product *product, const struct product_costing *costing, int64_t pieces,
               struct money asked, struct priced *out);

#endif
