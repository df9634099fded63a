/* Every handler that the route table names. */
#ifndef MORROWLOAF_API_HANDLERS_H
#define MORROWLOAF_API_HANDLERS_H

#include "http/request.h"

/* list_X, get_X, put_X, delete_X of a kind of the catalogue; defined by RESOURCE_HANDLERS. */
#define RESOURCE_HANDLERS(kind, resource)                                                          \
    bool list_##kind(struct request *request)                                                      \
    {                                                                                              \
        return resource_list(request, &(resource));                                                \
    }                                                                                              \
    bool get_##kind(struct request *request)                                                       \
    {                                                                                              \
        return resource_get(request, &(resource));                                                 \
    }                                                                                              \
    bool put_##kind(struct request *request)                                                       \
    {                                                                                              \
        return resource_put(request, &(resource));                                                 \
    }                                                                                              \
    bool delete_##kind(struct request *request)                                                    \
    {                                                                                              \
        return resource_delete(request, &(resource));                                              \
    }

#define DECLARE_RESOURCE(kind)                                                                     \
    bool list_##kind(struct request *request);                                                     \
    bool get_##kind(struct request *request);                                                      \
    bool put_##kind(struct request *request);                                                      \
    bool delete_##kind(struct request *request)

DECLARE_RESOURCE(customer);
DECLARE_RESOURCE(formula);
DECLARE_RESOURCE(ingredient);
DECLARE_RESOURCE(order); /* by id, with POST instead of PUT of a new one */
DECLARE_RESOURCE(person);
DECLARE_RESOURCE(price);
DECLARE_RESOURCE(product);
DECLARE_RESOURCE(starter);
DECLARE_RESOURCE(supplier);
DECLARE_RESOURCE(rates);
DECLARE_RESOURCE(price_list);
DECLARE_RESOURCE(list_price);

bool list_endpoints(struct request *request);

bool sign_in(struct request *request);
bool get_session(struct request *request);
bool sign_out(struct request *request);

bool get_bakery(struct request *request);
bool put_bakery(struct request *request);

bool preview_formula(struct request *request);
bool list_formula_revisions(struct request *request);
bool list_product_revisions(struct request *request);

bool post_order(struct request *request);

bool get_next_day(struct request *request);
bool get_production(struct request *request);
bool get_needs(struct request *request);
bool get_cost(struct request *request);

bool get_mixing_list(struct request *request);
bool post_print(struct request *request);
bool list_prints(struct request *request);
bool get_print(struct request *request);

bool get_night_temperatures(struct request *request);
bool put_night_temperatures(struct request *request);
bool list_dough_temperatures(struct request *request);
bool post_dough_temperature(struct request *request);
bool post_water_temperature(struct request *request);

bool list_starter_log(struct request *request);
bool post_starter_log(struct request *request);
bool get_starter_log_entry(struct request *request);
bool get_starter_plan(struct request *request);
bool get_ripening(struct request *request);
bool get_raising(struct request *request);

bool get_timetable(struct request *request);
bool try_timetable(struct request *request);
bool get_run_sheet(struct request *request);
bool get_moves(struct request *request);
bool put_moves(struct request *request);

bool post_offer(struct request *request);
bool get_last_orders(struct request *request);

bool get_product_pricing(struct request *request);
bool put_product_pricing(struct request *request);
bool get_product_cost(struct request *request);
bool get_product_price(struct request *request);
bool get_cost_history(struct request *request);
bool list_margins(struct request *request);
bool preview_price(struct request *request);
bool post_what_if(struct request *request);
bool post_price_limit(struct request *request);
bool get_stock_values(struct request *request);

bool get_supply(struct request *request);
bool put_supply(struct request *request);
bool delete_supply(struct request *request);
bool get_order_proposals(struct request *request);
bool list_purchase_orders(struct request *request);
bool post_purchase_order(struct request *request);
bool get_purchase_order(struct request *request);
bool put_purchase_order(struct request *request);

bool list_goods_in(struct request *request);
bool post_goods_in(struct request *request);
bool get_goods_in(struct request *request);
bool list_lots(struct request *request);
bool get_lot(struct request *request);
bool put_lot(struct request *request);
bool put_lot_price(struct request *request);
bool list_movements(struct request *request);
bool post_movement(struct request *request);
bool get_movement(struct request *request);
bool list_batches(struct request *request);
bool post_batch(struct request *request);
bool get_batch(struct request *request);
bool get_count_sheet(struct request *request);
bool list_counts(struct request *request);
bool post_count(struct request *request);
bool get_count(struct request *request);

bool get_lot_trace(struct request *request);
bool get_day_trace(struct request *request);

bool list_stock(struct request *request);
bool get_stock(struct request *request);
bool list_stock_use(struct request *request);

bool list_tokens(struct request *request);
bool post_token(struct request *request);
bool delete_token(struct request *request);

#endif
