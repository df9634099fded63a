/* /products/{code}/cost: what one piece costs, line by line, and why. */
#include "api/cost_day.h"
#include "api/handlers.h"
#include "api/money.h"
#include "api/why_body.h"
#include "base/decimal.h"

static void write_line(struct json_writer *json, const struct product_costing *costing, int kind,
                       bool why, int places)
{
    const struct why *node = costing->kinds[kind];
    json_open_object(json, NULL);
    if (why) {
        why_write_members(json, node, FIGURE_MONEY, places);
    } else {
        json_put_text(json, "what", cost_words[kind]);
    }
    money_write_known(json, "cost", node->value, !node->missing, places);
    json_put_money(json, "known", node->value, places);
    json_close(json);
}

static void write_lines(struct json_writer *json, const struct product_costing *costing, bool why,
                        int places)
{
    json_open_list(json, "lines");
    for (int kind = 0; kind < COST_KINDS; kind++)
        if (costing->kinds[kind] != NULL) write_line(json, costing, kind, why, places);
    json_close(json);
    json_open_list(json, "left_out");
    for (int kind = 0; kind < COST_KINDS; kind++)
        if (costing->left_out[kind]) json_put_text(json, NULL, cost_words[kind]);
    json_close(json);
}

static void write_missing(struct json_writer *json, const struct product_costing *costing)
{
    json_open_list(json, "missing");
    for (size_t i = 0; i < costing->missing_count; i++) {
        json_open_object(json, NULL);
        json_put_text(json, "what", costing->missing[i].what);
        json_put_text(json, "where", costing->missing[i].source);
        json_close(json);
    }
    json_close(json);
}

static void write_figures(struct json_writer *json, const struct product_costing *costing,
                          int places)
{
    bool weighs = costing->known && costing->baked_mg > 0;
    json_put_whole(json, "ordered", costing->ordered);
    json_put_whole(json, "pieces", costing->pieces);
    money_write_known(json, "cost_each", costing->each_micros, costing->known, places);
    json_put_money(json, "known_cost", costing->each_micros, places);
    money_write_known(json, "cost_per_kg", costing->per_kg_micros, weighs, places);
    money_write_known(json, "cost_per_100g", costing->per_100g_micros, weighs, places);
    json_put_decimal(json, "baked_g", costing->baked_mg, WEIGHT_PLACES);
    money_write_known(json, "ingredients_each", costing->ingredients_micros, costing->known,
                      places);
    json_put_decimal(json, "labour_minutes_each", costing->labour_minutes, MINUTE_PLACES);
}

bool get_product_cost(struct request *request)
{
    struct cost_day at;
    struct product_costing *costing;
    size_t product, count;
    bool why = request_query(request, "why") != NULL;
    if (!cost_day_of_query(request, &at) ||
        !cost_day_product(request, &at, request_param(request, "code"), &product) ||
        !costing_of(&at.costing, product, &costing, &count))
        return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_text(json, "product", at.day.catalogue.products[product].code);
    json_put_text(json, "name", at.day.catalogue.products[product].name);
    json_put_date(json, "date", at.costing.bread_day);
    json_put_bool(json, "typical", at.typical);
    write_figures(json, costing, at.day.money_places);
    write_lines(json, costing, why, at.day.money_places);
    write_missing(json, costing);
    json_close(json);
    reply_etag(request);
    return true;
}
