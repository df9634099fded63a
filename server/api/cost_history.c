/* /products/{code}/cost-history: what a piece cost over time, as prices and rates changed. */
#include "api/cost_day.h"
#include "api/handlers.h"
#include "api/money.h"
#include "api/price_in_force.h"
#include "api/price_lists.h"
#include "api/query.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "store/rates.h"

#include <string.h>

enum { DAYS_DEFAULT = 365, POINTS_MAX = 400 };

struct span {
    date from, to;
};

static bool read_span(struct request *request, date today, struct span *span)
{
    span->to = today;
    if (!query_date(request, "to", &span->to)) return false;
    span->from = span->to - DAYS_DEFAULT;
    if (!query_date(request, "from", &span->from)) return false;
    return span->from <= span->to ||
           fail_add(&request->fails, FAIL_INVALID, "", "from must not be after to");
}

/* Whether a change touches what the product costs or sells for. */
static bool concerns(const struct cost_day *at, size_t product, const struct price_change *change)
{
    if (change->kind != PRICE_OF_INGREDIENT) return true;
    size_t ingredient = catalogue_ingredient(&at->day.catalogue, change->code);
    return ingredient != NOT_FOUND &&
           product_contains(&at->day.reckoning, &at->day.catalogue.products[product], ingredient);
}

static void write_reason(struct json_writer *json, const struct cost_day *at,
                         const struct price_change *change)
{
    const struct catalogue *catalogue = &at->day.catalogue;
    json_open_object(json, NULL);
    switch (change->kind) {
    case PRICE_OF_INGREDIENT:
        json_put_text(json, "ingredient", change->code);
        json_put_text(json, "name",
                      catalogue->ingredients[catalogue_ingredient(catalogue, change->code)].name);
        break;
    case PRICE_OF_RATES:
        json_put_bool(json, "rates", true);
        break;
    case PRICE_OF_PRODUCT:
        json_put_text(json, "list", change->code);
        break;
    }
    json_close(json);
}

/* The cost on another date: its prices and rates, the same orders. */
static bool cost_on(struct request *request, struct cost_day *at, size_t product, date day,
                    struct product_costing **costing)
{
    size_t count;
    return price_book_turn(&at->book, day) && rates_on(request->tx, day, &at->rates) &&
           costing_of(&at->costing, product, costing, &count);
}

static bool write_point(struct request *request, struct json_writer *json, struct cost_day *at,
                        const struct price_list *list, size_t product, date day)
{
    const struct product *sold = &at->day.catalogue.products[product];
    struct product_costing *costing;
    struct price_in_force in_force;
    struct priced priced;
    struct money nothing_asked = {0};
    int places = at->day.money_places;
    if (!cost_on(request, at, product, day, &costing) ||
        !price_in_force_of(request, list, sold->code, day, &in_force))
        return false;
    if (!priced_of(&at->day, &in_force, sold, costing, 1, nothing_asked, &priced))
        return fail_add(&request->fails, FAIL_INVALID, "", "the price is out of all range");
    json_put_date(json, "date", day);
    money_write_known(json, "cost_each", costing->each_micros, costing->known, places);
    money_write_known(json, "ingredients_each", costing->ingredients_micros, costing->known,
                      places);
    money_write_known(json, "price", priced.in_force ? priced.in_force->price_micros : 0,
                      priced.in_force != NULL, places);
    percent_write_known(json, "margin_pct", priced.in_force ? priced.in_force->margin_pct : 0,
                        priced.in_force != NULL && priced.in_force->has_margin);
    return true;
}

/* One point at the beginning and one at every date with a change that matters. */
static bool write_points(struct request *request, struct json_writer *json, struct cost_day *at,
                         const struct price_list *list, size_t product, const struct span *span,
                         const struct price_change *changes, size_t count)
{
    date day = span->from;
    size_t next = 0;
    for (int points = 0; points < POINTS_MAX; points++) {
        json_open_object(json, NULL);
        if (!write_point(request, json, at, list, product, day)) return false;
        json_open_list(json, "because");
        for (; next < count && changes[next].from <= day; next++)
            if (changes[next].from == day && concerns(at, product, &changes[next]))
                write_reason(json, at, &changes[next]);
        json_close(json);
        json_close(json);
        while (next < count && !concerns(at, product, &changes[next]))
            next++;
        if (next == count) return true;
        day = changes[next].from;
    }
    return fail_add(&request->fails, FAIL_INVALID, "",
                    "there are too many changes: ask for a shorter time");
}

bool get_cost_history(struct request *request)
{
    struct cost_day at;
    struct span span;
    struct price_list list;
    struct price_change *changes;
    size_t product, count;
    const char *code = request_param(request, "code");
    if (!price_list_find(request, "", request_query(request, "list"), &list) ||
        !cost_day_of_query(request, &at) || !cost_day_product(request, &at, code, &product) ||
        !read_span(request, today_of(&at.day), &span) ||
        !price_book_changes(&at.book, code, list.code, span.from, span.to, &changes, &count))
        return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_text(json, "product", code);
    json_put_text(json, "name", at.day.catalogue.products[product].name);
    json_put_text(json, "list", list.code);
    json_open_list(json, "points");
    if (!write_points(request, json, &at, &list, product, &span, changes, count)) return false;
    json_close(json);
    json_close(json);
    reply_etag(request);
    return true;
}
