/* /products/{code}/price and /prices/preview: what something must sell for. */
#include "api/cost_day.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/money.h"
#include "api/price_in_force.h"
#include "api/price_lists.h"
#include "api/pricing_body.h"
#include "api/query.h"
#include "api/why_body.h"
#include "bakery/price_why.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "store/price_list.h"

/* What the query asks about. */
struct question {
    struct price_list list;
    int64_t pieces;
    struct money price; /* instead of the one in force */
};

static bool read_question(struct request *request, struct question *question)
{
    *question = (struct question){.pieces = 1};
    question->price.known = request_query(request, "price") != NULL;
    return price_list_find(request, "", request_query(request, "list"), &question->list) &&
           query_decimal(request, "pieces", 0, 1, PIECES_MAX, &question->pieces) &&
           query_decimal(request, "price", MONEY_PLACES, 1, PRICE_MAX, &question->price.micros);
}

static void write_break(struct json_writer *json, const struct price_in_force *in_force,
                        const struct product *product, const struct product_costing *costing,
                        const struct price_break *line, int places)
{
    struct price_figures figures;
    bool fits = price_figures_of(&in_force->list, line->micros, product->tax_pct,
                                 costing->each_micros, costing->ingredients_micros, &figures);
    /* A price is known without its cost; what it earns is not. */
    if (!fits || !costing->known) figures.has_margin = figures.has_markup = false;
    json_open_object(json, NULL);
    json_put_whole(json, "pieces", line->from_pieces);
    figures_write(json, &figures, places);
    json_close(json);
}

static void write_breaks(struct json_writer *json, const struct price_in_force *in_force,
                         const struct product *product, const struct product_costing *costing,
                         int places)
{
    json_open_list(json, "breaks");
    for (size_t i = 0; in_force->price != NULL && i < in_force->price->break_count; i++)
        write_break(json, in_force, product, costing, &in_force->price->breaks[i], places);
    json_close(json);
}

static void write_proposed(struct json_writer *json, const struct price_figures *proposed,
                           int places)
{
    if (proposed == NULL) {
        json_put_null(json, "proposed");
        return;
    }
    json_open_object(json, "proposed");
    figures_write(json, proposed, places);
    json_close(json);
}

static void write_break_even(struct json_writer *json, const struct product_costing *costing,
                             const struct price_figures *figures)
{
    int64_t pieces = figures != NULL && costing->known
                         ? break_even_pieces(figures->net_micros, costing->each_variable_micros,
                                             costing->day_fixed_micros)
                         : -1;
    json_put_whole_or_null(json, "break_even_pieces", pieces, pieces >= 0);
    json_put_whole(json, "typical_pieces", costing->ordered);
}

/* How many more pieces a new price needs to earn what the old one does. */
static void write_change(struct json_writer *json, const struct product_costing *costing,
                         const struct price_figures *old, const struct price_figures *new)
{
    int64_t volume_pct;
    if (!costing->known || old == NULL || new == NULL || old->net_micros == new->net_micros) {
        json_put_null(json, "change");
        return;
    }
    bool known = price_change_volume(old->net_micros, new->net_micros,
                                     costing->each_variable_micros, &volume_pct);
    json_open_object(json, "change");
    percent_write_known(json, "volume_pct", known ? volume_pct : 0, known);
    json_close(json);
}

static void write_head(struct json_writer *json, const struct cost_day *at,
                       const struct product *product, const struct price_list *list,
                       const struct product_costing *costing)
{
    json_put_text(json, "product", product->code);
    json_put_text(json, "name", product->name);
    json_put_date(json, "date", at->costing.bread_day);
    json_put_text(json, "list", list->code);
    json_put_bool(json, "with_tax", list->with_tax);
    money_write_known(json, "cost_each", costing->each_micros, costing->known,
                      at->day.money_places);
    money_write_known(json, "ingredients_each", costing->ingredients_micros, costing->known,
                      at->day.money_places);
    json_put_decimal(json, "tax_pct", product->tax_pct, PERCENT_PLACES);
    target_write(json, product->target, product->target_pct);
}

/* "why" when it was asked for: null when there is no price, or its cost has a hole. */
static bool write_why(struct request *request, struct json_writer *json, const struct cost_day *at,
                      const struct product *product, const struct price_list *list,
                      const struct product_costing *costing, const struct price_figures *figures)
{
    if (request_query(request, "why") == NULL) return true;
    if (figures == NULL || !costing->known) {
        json_put_null(json, "why");
        return true;
    }
    const char *pricing = arena_printf(request->arena, "/api/v1/products/%s/pricing",
                                       product->code);
    const char *prices = list->code == NULL
                             ? pricing
                             : arena_printf(request->arena, "/api/v1/price-lists/%s/prices",
                                            list->code);
    const struct why *why = price_why(&at->day.reckoning, costing, figures, prices, pricing);
    if (why == NULL || pricing == NULL || prices == NULL) return fail_memory(&request->fails);
    json_open_object(json, "why");
    why_write_members(json, why, FIGURE_MONEY, at->day.money_places);
    json_close(json);
    return true;
}

static bool answer(struct request *request, const struct cost_day *at,
                   const struct question *question, const struct price_in_force *in_force,
                   const struct product_costing *costing)
{
    const struct product *product = &at->day.catalogue.products[costing->product];
    int places = at->day.money_places;
    struct priced priced;
    if (!priced_of(&at->day, in_force, product, costing, question->pieces, question->price,
                   &priced))
        return fail_add(&request->fails, FAIL_INVALID, "", "the price is out of all range");
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    write_head(json, at, product, &in_force->list, costing);
    json_put_bool(json, "set", in_force->price != NULL);
    figures_write(json, priced.shown, places);
    write_proposed(json, priced.proposed, places);
    write_breaks(json, in_force, product, costing, places);
    json_put_bool(json, "under_target", priced.under_target);
    write_break_even(json, costing, priced.shown);
    write_change(json, costing, priced.in_force, priced.shown);
    if (!write_why(request, json, at, product, &in_force->list, costing, priced.shown))
        return false;
    json_close(json);
    reply_etag(request);
    return true;
}

bool get_product_price(struct request *request)
{
    struct cost_day at;
    struct question question;
    struct price_in_force in_force;
    struct product_costing *costing;
    size_t product, count;
    return read_question(request, &question) && cost_day_of_query(request, &at) &&
           cost_day_product(request, &at, request_param(request, "code"), &product) &&
           price_in_force_of(request, &question.list, request_param(request, "code"),
                             at.costing.bread_day, &in_force) &&
           costing_of(&at.costing, product, &costing, &count) &&
           answer(request, &at, &question, &in_force, costing);
}
