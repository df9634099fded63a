/* /days/{date}: production, needs and cost of a bread day, and the next one still open. */
#include "api/handlers.h"
#include "api/money.h"
#include "api/needs_why.h"
#include "api/reckon.h"
#include "bakery/needs.h"
#include "bakery/opening.h"
#include "base/decimal.h"
#include "store/ingredient.h"
#include "store/price_book.h"

static bool open_with_demands(struct request *request, struct day *day, date *bread_day)
{
    return request_date(request, "date", bread_day) && day_open(request, day) &&
           day_load_demands(request, day, *bread_day, *bread_day);
}

static void write_products(struct json_writer *json, const struct catalogue *catalogue,
                           const struct production *production)
{
    json_open_list(json, "products");
    for (size_t i = 0; i < production->product_count; i++) {
        const struct production_product *row = &production->products[i];
        json_open_object(json, NULL);
        json_put_text(json, "product", catalogue->products[row->product].code);
        json_put_text(json, "name", catalogue->products[row->product].name);
        json_put_whole(json, "ordered", row->ordered);
        json_put_whole(json, "spare", row->spare);
        json_put_whole(json, "pieces", row->pieces);
        json_close(json);
    }
    json_close(json);
}

static void write_doughs(struct json_writer *json, const struct catalogue *catalogue,
                         const struct production *production)
{
    json_open_list(json, "doughs");
    for (size_t i = 0; i < production->dough_count; i++) {
        const struct production_dough *row = &production->doughs[i];
        json_open_object(json, NULL);
        json_put_text(json, "formula", catalogue->formulas[row->formula].code);
        json_put_text(json, "name", catalogue->formulas[row->formula].name);
        json_put_decimal(json, "g", row->mg, WEIGHT_PLACES);
        json_put_date(json, "mixing_date", row->mixing_date);
        json_close(json);
    }
    json_close(json);
}

bool get_production(struct request *request)
{
    struct day day;
    struct production production;
    date bread_day;
    if (!open_with_demands(request, &day, &bread_day) ||
        !production_of(&day.reckoning, bread_day, day.demands, day.demand_count, &production))
        return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_date(json, "date", bread_day);
    write_products(json, &day.catalogue, &production);
    write_doughs(json, &day.catalogue, &production);
    json_close(json);
    reply_etag(request);
    return true;
}

static void put_missing(struct json_writer *json, const struct ingredient *ingredient)
{
    json_open_object(json, NULL);
    json_put_text(json, "ingredient", ingredient->code);
    json_put_text(json, "name", ingredient->name);
    json_close(json);
}

static void write_need(struct json_writer *json, const struct day *day, const struct need *need,
                       bool show_cost)
{
    const struct ingredient *ingredient = &day->catalogue.ingredients[need->ingredient];
    json_open_object(json, NULL);
    json_put_text(json, "ingredient", ingredient->code);
    json_put_text(json, "name", ingredient->name);
    json_put_text(json, "kind", ingredient_kinds[ingredient->kind]);
    if (ingredient->unit == UNIT_GRAM)
        json_put_decimal(json, "g", need->mg, WEIGHT_PLACES);
    else
        json_put_whole(json, "pieces", need->pieces);
    if (show_cost) money_write_known(json, "cost", need->micros, need->priced, day->money_places);
    json_close(json);
}

static void write_starters(struct json_writer *json, const struct catalogue *catalogue,
                           const struct needs *needs)
{
    json_open_list(json, "starters");
    for (size_t i = 0; i < needs->starter_count; i++) {
        const struct starter_need *need = &needs->starters[i];
        json_open_object(json, NULL);
        json_put_text(json, "starter", catalogue->starters[need->starter].code);
        json_put_text(json, "name", catalogue->starters[need->starter].name);
        json_put_decimal(json, "g", need->mg, WEIGHT_PLACES);
        json_close(json);
    }
    json_close(json);
}

static void write_needs_cost(struct json_writer *json, const struct day *day,
                             const struct needs *needs)
{
    money_write_known(json, "cost", needs->micros, needs->priced, day->money_places);
    json_put_money(json, "known_cost", needs->micros, day->money_places);
    json_open_list(json, "missing");
    for (size_t i = 0; i < needs->ingredient_count; i++)
        if (!needs->ingredients[i].priced)
            put_missing(json, &day->catalogue.ingredients[needs->ingredients[i].ingredient]);
    json_close(json);
}

bool get_needs(struct request *request)
{
    struct day day;
    struct needs needs;
    date bread_day;
    bool show_cost = request->role >= ROLE_OWNER;
    const char *why = request_query(request, "why");
    if (!open_with_demands(request, &day, &bread_day)) return false;
    if (why != NULL) return answer_need_why(request, &day, bread_day, why);
    if ((show_cost && !price_book_load(request->tx, &day.catalogue, bread_day)) ||
        !needs_of(&day.reckoning, bread_day, day.demands, day.demand_count, &needs))
        return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_date(json, "date", bread_day);
    json_open_list(json, "ingredients");
    for (size_t i = 0; i < needs.ingredient_count; i++)
        write_need(json, &day, &needs.ingredients[i], show_cost);
    json_close(json);
    write_starters(json, &day.catalogue, &needs);
    if (show_cost) write_needs_cost(json, &day, &needs);
    json_close(json);
    reply_etag(request);
    return true;
}

static void write_product_cost(struct json_writer *json, const struct day *day,
                               const struct product_cost *cost)
{
    const struct product *product = &day->catalogue.products[cost->product];
    json_open_object(json, NULL);
    json_put_text(json, "product", product->code);
    json_put_text(json, "name", product->name);
    json_put_whole(json, "pieces", cost->pieces);
    money_write_known(json, "cost", cost->micros, cost->priced, day->money_places);
    money_write_known(json, "ingredients_each", cost->each_micros, cost->priced, day->money_places);
    json_open_list(json, "missing");
    for (size_t i = 0; i < cost->missing_count; i++)
        json_put_text(json, NULL, day->catalogue.ingredients[cost->missing[i]].code);
    json_close(json);
    json_close(json);
}

/* Each ingredient without a price once, by code. */
static void write_missing(struct json_writer *json, const struct day *day,
                          const struct day_cost *cost)
{
    json_open_list(json, "missing");
    for (size_t i = 0; i < day->catalogue.ingredient_count; i++) {
        bool missing = false;
        for (size_t p = 0; p < cost->product_count; p++)
            for (size_t m = 0; m < cost->products[p].missing_count; m++)
                missing = missing || cost->products[p].missing[m] == i;
        if (missing) put_missing(json, &day->catalogue.ingredients[i]);
    }
    json_close(json);
}

bool get_cost(struct request *request)
{
    struct day day;
    struct day_cost cost;
    date bread_day;
    if (!open_with_demands(request, &day, &bread_day) ||
        !price_book_load(request->tx, &day.catalogue, bread_day) ||
        !day_cost_of(&day.reckoning, bread_day, day.demands, day.demand_count, &cost))
        return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_date(json, "date", bread_day);
    money_write_known(json, "cost", cost.micros, cost.priced, day.money_places);
    json_put_money(json, "known_cost", cost.micros, day.money_places);
    write_missing(json, &day, &cost);
    json_open_list(json, "products");
    for (size_t i = 0; i < cost.product_count; i++)
        write_product_cost(json, &day, &cost.products[i]);
    json_close(json);
    json_close(json);
    reply_etag(request);
    return true;
}

bool get_next_day(struct request *request)
{
    struct day day;
    struct opening opening;
    if (!day_open(request, &day) || !opening_of(&day.reckoning, instant_now(), &opening))
        return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_date(json, "date", opening.bread_day);
    json_put_instant_or_null(json, "mixing_begins", opening.mixing_begins, day.reckoning.zone,
                             opening.has_mixing);
    json_put_date(json, "working_day", working_day(&day.reckoning, instant_now()));
    json_close(json);
    reply_etag(request);
    return true;
}
