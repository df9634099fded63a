/* Prices in force. */
#include "api/price_in_force.h"

#include "bakery/amount.h"
#include "bakery/currency.h"
#include "http/request.h"
#include "store/price_list.h"

#include <string.h>

bool price_in_force_of(struct request *request, const struct price_list *list, const char *product,
                       date day, struct price_in_force *out)
{
    struct product_price_filter filter = {.price_list = list->code, .product = product, .on = &day};
    struct product_price *items;
    size_t count = 0;
    *out = (struct price_in_force){.list = *list};
    if (list->code == NULL) return true;
    if (!product_price_select(request->tx, &filter, &items, &count)) return false;
    if (count > 0) out->price = &items[0];
    return true;
}

const struct price_in_force *prices_in_force(struct request *request, const struct day *day,
                                             const struct price_list *list, date on)
{
    const struct catalogue *catalogue = &day->catalogue;
    struct product_price_filter filter = {.price_list = list->code, .on = &on};
    struct product_price *items = NULL;
    size_t count = 0;
    struct price_in_force *out = amount_memory(&day->reckoning, catalogue->product_count,
                                               sizeof *out);
    if (out == NULL ||
        (list->code != NULL && !product_price_select(request->tx, &filter, &items, &count)))
        return NULL;
    for (size_t p = 0; p < catalogue->product_count; p++)
        out[p].list = *list;
    for (size_t i = 0; i < count; i++) {
        size_t p = catalogue_product(catalogue, items[i].product);
        if (p != NOT_FOUND) out[p].price = &items[i];
    }
    return out;
}

enum { ASKED, IN_FORCE, PROPOSED };

static bool figure(const struct price_in_force *in_force, const struct product *product,
                   const struct product_costing *costing, int64_t micros, struct priced *out,
                   int which, const struct price_figures **place)
{
    *place = &out->figures[which];
    if (!price_figures_of(&in_force->list, micros, product->tax_pct, costing->each_micros,
                          costing->ingredients_micros, &out->figures[which]))
        return false;
    /* A price is known without its cost; what it earns is not. */
    if (!costing->known) out->figures[which].has_margin = out->figures[which].has_markup = false;
    return true;
}

bool priced_of(const struct day *day, const struct price_in_force *in_force,
               const struct product *product, const struct product_costing *costing, int64_t pieces,
               struct money asked, struct priced *out)
{
    *out = (struct priced){0};
    int64_t set = in_force->price != NULL ? price_at(in_force->price, pieces) : 0;
    if (set > 0 && !figure(in_force, product, costing, set, out, IN_FORCE, &out->in_force))
        return false;
    if (asked.known && !figure(in_force, product, costing, asked.micros, out, ASKED, &out->shown))
        return false;
    if (costing->known &&
        price_proposed(&in_force->list, currency_places(day->catalogue.bakery.currency), product,
                       costing->each_micros, costing->ingredients_micros, &out->figures[PROPOSED]))
        out->proposed = &out->figures[PROPOSED];
    if (out->shown == NULL) out->shown = out->in_force != NULL ? out->in_force : out->proposed;
    out->under_target = costing->known && out->shown != NULL &&
                        price_under_target(product, out->shown);
    return true;
}
