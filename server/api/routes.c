/* The one table of all endpoints. */
#include "api/handlers.h"
#include "api/perform.h"
#include "api/sign_in.h"

/* A small thing, or one that may have many lines. No body that is longer is ever read. */
enum { NONE = 0, SMALL = 16000, LARGE = 64000 };

#define V1 "/api/v1"

const struct route api_routes[] = {
    {"GET", V1, ROLE_COUNTER, ROUTE_READ, NONE, list_endpoints, "this list"},

    {"POST", V1 "/sessions", ROLE_NONE, ROUTE_SIGN_IN, SMALL, sign_in, "sign in"},
    {"GET", V1 "/sessions/current", ROLE_COUNTER, ROUTE_READ, NONE, get_session, "who asks"},
    {"DELETE", V1 "/sessions/current", ROLE_COUNTER, ROUTE_WRITE, NONE, sign_out, "sign out"},

    {"GET", V1 "/bakery", ROLE_COUNTER, ROUTE_READ, NONE, get_bakery, "settings"},
    {"PUT", V1 "/bakery", ROLE_OWNER, ROUTE_WRITE, SMALL, put_bakery, "enter the settings"},

    {"GET", V1 "/ingredients", ROLE_COUNTER, ROUTE_READ, NONE, list_ingredient, "all ingredients"},
    {"GET", V1 "/ingredients/{code}", ROLE_COUNTER, ROUTE_READ, NONE, get_ingredient,
     "an ingredient"},
    {"PUT", V1 "/ingredients/{code}", ROLE_BAKER, ROUTE_WRITE, SMALL, put_ingredient,
     "enter an ingredient"},
    {"DELETE", V1 "/ingredients/{code}", ROLE_BAKER, ROUTE_WRITE, NONE, delete_ingredient,
     "delete an ingredient"},

    {"GET", V1 "/ingredients/{code}/prices", ROLE_OWNER, ROUTE_READ, NONE, list_price,
     "its pack prices"},
    {"GET", V1 "/ingredients/{code}/prices/{from}", ROLE_OWNER, ROUTE_READ, NONE, get_price,
     "the price from a date on"},
    {"PUT", V1 "/ingredients/{code}/prices/{from}", ROLE_OWNER, ROUTE_WRITE, SMALL, put_price,
     "enter a price"},
    {"DELETE", V1 "/ingredients/{code}/prices/{from}", ROLE_OWNER, ROUTE_WRITE, NONE, delete_price,
     "delete a price"},

    {"GET", V1 "/suppliers", ROLE_BAKER, ROUTE_READ, NONE, list_supplier, "all suppliers"},
    {"GET", V1 "/suppliers/{code}", ROLE_BAKER, ROUTE_READ, NONE, get_supplier, "a supplier"},
    {"PUT", V1 "/suppliers/{code}", ROLE_BAKER, ROUTE_WRITE, SMALL, put_supplier,
     "enter a supplier"},
    {"DELETE", V1 "/suppliers/{code}", ROLE_BAKER, ROUTE_WRITE, NONE, delete_supplier,
     "delete a supplier"},

    {"GET", V1 "/ingredients/{code}/supply", ROLE_BAKER, ROUTE_READ, NONE, get_supply,
     "where it is ordered, and how safe its stock must be"},
    {"PUT", V1 "/ingredients/{code}/supply", ROLE_BAKER, ROUTE_WRITE, SMALL, put_supply,
     "enter that"},
    {"DELETE", V1 "/ingredients/{code}/supply", ROLE_BAKER, ROUTE_WRITE, NONE, delete_supply,
     "let the pack price in force tell it again"},
    {"GET", V1 "/order-proposals", ROLE_BAKER, ROUTE_READ, NONE, get_order_proposals,
     "what to order"},
    {"GET", V1 "/purchase-orders", ROLE_BAKER, ROUTE_READ, NONE, list_purchase_orders,
     "what was ordered from suppliers"},
    {"POST", V1 "/purchase-orders", ROLE_BAKER, ROUTE_WRITE, LARGE, post_purchase_order,
     "order from a supplier"},
    {"GET", V1 "/purchase-orders/{number}", ROLE_BAKER, ROUTE_READ, NONE, get_purchase_order,
     "a purchase order, and what of it is missing"},
    {"PUT", V1 "/purchase-orders/{number}", ROLE_BAKER, ROUTE_WRITE, SMALL, put_purchase_order,
     "await no more of it, or at another day"},

    {"GET", V1 "/goods-in", ROLE_BAKER, ROUTE_READ, NONE, list_goods_in, "what was delivered"},
    {"POST", V1 "/goods-in", ROLE_BAKER, ROUTE_WRITE, LARGE, post_goods_in, "enter a delivery"},
    {"GET", V1 "/goods-in/{number}", ROLE_BAKER, ROUTE_READ, NONE, get_goods_in, "a delivery"},
    {"GET", V1 "/lots", ROLE_BAKER, ROUTE_READ, NONE, list_lots, "what came in, lot by lot"},
    {"GET", V1 "/lots/{number}", ROLE_BAKER, ROUTE_READ, NONE, get_lot, "a lot"},
    {"PUT", V1 "/lots/{number}", ROLE_BAKER, ROUTE_WRITE, SMALL, put_lot,
     "correct its marks, hold it"},
    {"PUT", V1 "/lots/{number}/price", ROLE_OWNER, ROUTE_WRITE, SMALL, put_lot_price,
     "enter what it cost"},
    {"GET", V1 "/lots/{number}/trace", ROLE_BAKER, ROUTE_READ, NONE, get_lot_trace,
     "where a lot went, and who got it"},
    {"GET", V1 "/movements", ROLE_BAKER, ROUTE_READ, NONE, list_movements,
     "all that happened to the stock"},
    {"POST", V1 "/movements", ROLE_BAKER, ROUTE_WRITE, SMALL, post_movement,
     "use, waste, return, count, move, undo"},
    {"GET", V1 "/movements/{number}", ROLE_BAKER, ROUTE_READ, NONE, get_movement, "one of them"},
    {"GET", V1 "/count-sheet", ROLE_BAKER, ROUTE_READ, NONE, get_count_sheet,
     "what is to be counted"},
    {"GET", V1 "/counts", ROLE_BAKER, ROUTE_READ, NONE, list_counts, "what was counted"},
    {"POST", V1 "/counts", ROLE_BAKER, ROUTE_WRITE, LARGE, post_count, "enter a count"},
    {"GET", V1 "/counts/{number}", ROLE_BAKER, ROUTE_READ, NONE, get_count, "a count"},

    {"GET", V1 "/stock", ROLE_BAKER, ROUTE_READ, NONE, list_stock,
     "what there is of each ingredient, and how long it lasts"},
    {"GET", V1 "/stock/{ingredient}", ROLE_BAKER, ROUTE_READ, NONE, get_stock,
     "the stock of an ingredient, its lots and its course"},
    {"GET", V1 "/stock-use", ROLE_BAKER, ROUTE_READ, NONE, list_stock_use,
     "what was used week by week, held against the formulas"},

    {"GET", V1 "/starters", ROLE_BAKER, ROUTE_READ, NONE, list_starter, "all starters"},
    {"GET", V1 "/starters/{code}", ROLE_BAKER, ROUTE_READ, NONE, get_starter, "a starter"},
    {"PUT", V1 "/starters/{code}", ROLE_BAKER, ROUTE_WRITE, SMALL, put_starter, "enter a starter"},
    {"DELETE", V1 "/starters/{code}", ROLE_BAKER, ROUTE_WRITE, NONE, delete_starter,
     "delete a starter"},

    {"GET", V1 "/starters/{code}/log", ROLE_BAKER, ROUTE_READ, NONE, list_starter_log,
     "what was done to it"},
    {"POST", V1 "/starters/{code}/log", ROLE_BAKER, ROUTE_WRITE, SMALL, post_starter_log,
     "log a feed, a taking, a rest"},
    {"GET", V1 "/starters/{code}/log/{number}", ROLE_BAKER, ROUTE_READ, NONE, get_starter_log_entry,
     "an entry of its log"},
    {"GET", V1 "/starters/{code}/plan", ROLE_BAKER, ROUTE_READ, NONE, get_starter_plan,
     "when to feed it, and what it will give"},
    {"GET", V1 "/starters/{code}/ripening", ROLE_BAKER, ROUTE_READ, NONE, get_ripening,
     "how long a feed takes to ripen"},
    {"GET", V1 "/starters/{code}/raising", ROLE_BAKER, ROUTE_READ, NONE, get_raising,
     "how to raise it from flour and water"},

    {"GET", V1 "/formulas", ROLE_BAKER, ROUTE_READ, NONE, list_formula, "all formulas"},
    {"POST", V1 "/formulas/preview", ROLE_BAKER, ROUTE_READ, LARGE, preview_formula,
     "what a formula would come to"},
    {"GET", V1 "/formulas/{code}", ROLE_BAKER, ROUTE_READ, NONE, get_formula, "a formula"},
    {"PUT", V1 "/formulas/{code}", ROLE_BAKER, ROUTE_WRITE, LARGE, put_formula, "enter a formula"},
    {"DELETE", V1 "/formulas/{code}", ROLE_BAKER, ROUTE_WRITE, NONE, delete_formula,
     "delete a formula"},
    {"GET", V1 "/formulas/{code}/revisions", ROLE_BAKER, ROUTE_READ, NONE, list_formula_revisions,
     "what a formula was"},

    {"GET", V1 "/products", ROLE_COUNTER, ROUTE_READ, NONE, list_product, "all products"},
    {"GET", V1 "/products/{code}", ROLE_COUNTER, ROUTE_READ, NONE, get_product, "a product"},
    {"PUT", V1 "/products/{code}", ROLE_BAKER, ROUTE_WRITE, LARGE, put_product, "enter a product"},
    {"DELETE", V1 "/products/{code}", ROLE_BAKER, ROUTE_WRITE, NONE, delete_product,
     "delete a product"},
    {"GET", V1 "/products/{code}/revisions", ROLE_BAKER, ROUTE_READ, NONE, list_product_revisions,
     "what a product was"},

    {"GET", V1 "/products/{code}/pricing", ROLE_OWNER, ROUTE_READ, NONE, get_product_pricing,
     "its tax and target"},
    {"PUT", V1 "/products/{code}/pricing", ROLE_OWNER, ROUTE_WRITE, SMALL, put_product_pricing,
     "enter its tax and target"},
    {"GET", V1 "/products/{code}/cost", ROLE_OWNER, ROUTE_READ, NONE, get_product_cost,
     "what a piece costs, and why"},
    {"GET", V1 "/products/{code}/price", ROLE_OWNER, ROUTE_READ, NONE, get_product_price,
     "what a piece must sell for"},
    {"GET", V1 "/products/{code}/cost-history", ROLE_OWNER, ROUTE_READ, NONE, get_cost_history,
     "what it cost over time"},
    {"GET", V1 "/margins", ROLE_OWNER, ROUTE_READ, NONE, list_margins, "what every product earns"},
    {"POST", V1 "/prices/preview", ROLE_OWNER, ROUTE_READ, SMALL, preview_price,
     "what a price would come to"},
    {"POST", V1 "/what-if", ROLE_OWNER, ROUTE_READ, LARGE, post_what_if,
     "costs with some facts changed"},
    {"POST", V1 "/what-if/limit", ROLE_OWNER, ROUTE_READ, SMALL, post_price_limit,
     "the pack price at which a margin is met"},

    {"GET", V1 "/rates", ROLE_OWNER, ROUTE_READ, NONE, list_rates, "rates by date"},
    {"GET", V1 "/rates/{code}", ROLE_OWNER, ROUTE_READ, NONE, get_rates, "rates from a date on"},
    {"PUT", V1 "/rates/{code}", ROLE_OWNER, ROUTE_WRITE, SMALL, put_rates, "enter rates"},
    {"DELETE", V1 "/rates/{code}", ROLE_OWNER, ROUTE_WRITE, NONE, delete_rates, "delete rates"},

    {"GET", V1 "/price-lists", ROLE_COUNTER, ROUTE_READ, NONE, list_price_list, "all price lists"},
    {"GET", V1 "/price-lists/{code}", ROLE_COUNTER, ROUTE_READ, NONE, get_price_list,
     "a price list"},
    {"PUT", V1 "/price-lists/{code}", ROLE_OWNER, ROUTE_WRITE, SMALL, put_price_list,
     "enter a price list"},
    {"DELETE", V1 "/price-lists/{code}", ROLE_OWNER, ROUTE_WRITE, NONE, delete_price_list,
     "delete a price list"},
    {"GET", V1 "/price-lists/{code}/prices", ROLE_COUNTER, ROUTE_READ, NONE, list_list_price,
     "its prices"},
    {"GET", V1 "/price-lists/{code}/prices/{product}/{from}", ROLE_COUNTER, ROUTE_READ, NONE,
     get_list_price, "the price of a product from a date on"},
    {"PUT", V1 "/price-lists/{code}/prices/{product}/{from}", ROLE_OWNER, ROUTE_WRITE, SMALL,
     put_list_price, "enter a price"},
    {"DELETE", V1 "/price-lists/{code}/prices/{product}/{from}", ROLE_OWNER, ROUTE_WRITE, NONE,
     delete_list_price, "delete a price"},

    {"GET", V1 "/customers", ROLE_COUNTER, ROUTE_READ, NONE, list_customer, "all customers"},
    {"GET", V1 "/customers/{code}", ROLE_COUNTER, ROUTE_READ, NONE, get_customer, "a customer"},
    {"PUT", V1 "/customers/{code}", ROLE_COUNTER, ROUTE_WRITE, SMALL, put_customer,
     "enter a customer"},
    {"DELETE", V1 "/customers/{code}", ROLE_COUNTER, ROUTE_WRITE, NONE, delete_customer,
     "delete a customer"},

    {"GET", V1 "/orders", ROLE_COUNTER, ROUTE_READ, NONE, list_order,
     "orders by date and by customer"},
    {"POST", V1 "/orders", ROLE_COUNTER, ROUTE_WRITE, LARGE, post_order, "take an order"},
    {"GET", V1 "/orders/{id}", ROLE_COUNTER, ROUTE_READ, NONE, get_order, "an order"},
    {"PUT", V1 "/orders/{id}", ROLE_COUNTER, ROUTE_WRITE, LARGE, put_order, "change an order"},
    {"DELETE", V1 "/orders/{id}", ROLE_COUNTER, ROUTE_WRITE, NONE, delete_order, "cancel an order"},

    {"GET", V1 "/days/next", ROLE_COUNTER, ROUTE_READ, NONE, get_next_day,
     "the next bread day still open"},
    {"GET", V1 "/days/{date}/production", ROLE_COUNTER, ROUTE_READ, NONE, get_production,
     "pieces and doughs of a bread day"},
    {"GET", V1 "/days/{date}/needs", ROLE_BAKER, ROUTE_READ, NONE, get_needs,
     "ingredients of a bread day"},
    {"GET", V1 "/days/{date}/cost", ROLE_OWNER, ROUTE_READ, NONE, get_cost, "cost of a bread day"},

    {"GET", V1 "/days/{date}/trace", ROLE_BAKER, ROUTE_READ, NONE, get_day_trace,
     "from a bread day back to lots and suppliers"},
    {"GET", V1 "/days/{date}/timetable", ROLE_BAKER, ROUTE_READ, NONE, get_timetable,
     "every stage of every dough of a bread day"},
    {"POST", V1 "/days/{date}/timetable", ROLE_BAKER, ROUTE_READ, LARGE, try_timetable,
     "the same with other moves; stores nothing"},
    {"GET", V1 "/days/{date}/moves", ROLE_BAKER, ROUTE_READ, NONE, get_moves,
     "what was moved in it by hand"},
    {"PUT", V1 "/days/{date}/moves", ROLE_BAKER, ROUTE_WRITE, LARGE, put_moves, "move by hand"},
    {"POST", V1 "/days/{date}/offers", ROLE_COUNTER, ROUTE_READ, SMALL, post_offer,
     "whether more can be taken"},
    {"GET", V1 "/days/{date}/last-orders", ROLE_COUNTER, ROUTE_READ, NONE, get_last_orders,
     "until when each product can be ordered"},
    {"GET", V1 "/working-days/{date}/run-sheet", ROLE_BAKER, ROUTE_READ, NONE, get_run_sheet,
     "what is done on a working day"},

    {"POST", V1 "/water-temperature", ROLE_COUNTER, ROUTE_READ, SMALL, post_water_temperature,
     "how warm the water must be"},
    {"GET", V1 "/dough-temperatures", ROLE_BAKER, ROUTE_READ, NONE, list_dough_temperatures,
     "how warm doughs were"},
    {"POST", V1 "/dough-temperatures", ROLE_BAKER, ROUTE_WRITE, SMALL, post_dough_temperature,
     "log how warm a dough is"},
    {"GET", V1 "/mixing-lists/{date}/temperatures", ROLE_BAKER, ROUTE_READ, NONE,
     get_night_temperatures, "what was measured before mixing"},
    {"PUT", V1 "/mixing-lists/{date}/temperatures", ROLE_BAKER, ROUTE_WRITE, SMALL,
     put_night_temperatures, "enter what was measured"},

    {"GET", V1 "/mixing-lists/{date}", ROLE_BAKER, ROUTE_READ, NONE, get_mixing_list,
     "what is mixed on a date"},
    {"GET", V1 "/mixing-lists/{date}/batches", ROLE_BAKER, ROUTE_READ, NONE, list_batches,
     "its batches that were mixed"},
    {"POST", V1 "/mixing-lists/{date}/batches", ROLE_BAKER, ROUTE_WRITE, LARGE, post_batch,
     "enter a batch as mixed"},
    {"GET", V1 "/mixing-lists/{date}/batches/{formula}/{batch}", ROLE_BAKER, ROUTE_READ, NONE,
     get_batch, "a batch that was mixed"},
    {"GET", V1 "/mixing-lists/{date}/prints", ROLE_BAKER, ROUTE_READ, NONE, list_prints,
     "its prints"},
    {"POST", V1 "/mixing-lists/{date}/prints", ROLE_BAKER, ROUTE_WRITE, SMALL, post_print,
     "freeze a print"},
    {"GET", V1 "/mixing-lists/{date}/prints/{number}", ROLE_BAKER, ROUTE_READ, NONE, get_print,
     "a print as it was"},
    {"GET", V1 "/stock-values", ROLE_OWNER, ROUTE_READ, NONE, get_stock_values,
     "what the stock was worth, what came and what went"},

    {"GET", V1 "/people", ROLE_OWNER, ROUTE_READ, NONE, list_person, "who may sign in"},
    {"GET", V1 "/people/{name}", ROLE_OWNER, ROUTE_READ, NONE, get_person, "a person"},
    {"PUT", V1 "/people/{name}", ROLE_OWNER, ROUTE_WRITE, SMALL, put_person,
     "let a person in, or change role or password"},
    {"DELETE", V1 "/people/{name}", ROLE_OWNER, ROUTE_WRITE, NONE, delete_person,
     "let a person in no more"},

    {"GET", V1 "/tokens", ROLE_OWNER, ROUTE_READ, NONE, list_tokens, "programs that may call"},
    {"POST", V1 "/tokens", ROLE_OWNER, ROUTE_WRITE, SMALL, post_token, "make a token"},
    {"DELETE", V1 "/tokens/{name}", ROLE_OWNER, ROUTE_WRITE, NONE, delete_token, "end a token"},

    {NULL, NULL, ROLE_NONE, ROUTE_READ, NONE, NULL, NULL},
};

bool list_endpoints(struct request *request)
{
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_open_list(json, "items");
    for (const struct route *route = api_routes; route->method != NULL; route++) {
        json_open_object(json, NULL);
        json_put_text(json, "method", route->method);
        json_put_text(json, "path", route->pattern);
        json_put_text(json, "role",
                      route->role == ROLE_NONE ? "none" : role_words[route->role - ROLE_COUNTER]);
        json_put_text(json, "summary", route->summary);
        json_close(json);
    }
    json_close(json);
    json_put_null(json, "next");
    json_close(json);
    reply_etag(request);
    return true;
}
