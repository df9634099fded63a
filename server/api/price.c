/* /ingredients/{code}/prices: what a pack costs from a date on. */
#include "store/price.h"
#include "api/amount_body.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/named.h"
#include "api/page.h"
#include "api/resource.h"
#include "bakery/currency.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "store/bakery.h"
#include "store/history.h"

#include <string.h>

/* The price of the path's ingredient and date; *price is NULL when there is none. */
static bool find_price(struct request *request, struct pack_price *wanted,
                       struct pack_price **price)
{
    struct ingredient ingredient;
    size_t count;
    if (!request_date(request, "from", &wanted->from) ||
        !ingredient_of_path(request, &ingredient) ||
        !price_select(request->tx, ingredient.code, &wanted->from, price, &count))
        return false;
    wanted->ingredient = ingredient.code;
    if (count == 0) *price = NULL;
    return true;
}

static bool no_price(struct request *request, const struct pack_price *wanted)
{
    return fail_add(&request->fails, FAIL_NOT_FOUND, "", "%s has no price from that date",
                    wanted->ingredient);
}

static void write_price(struct json_writer *json, const struct pack_price *price, int places)
{
    json_open_object(json, NULL);
    json_put_text(json, "ingredient", price->ingredient);
    json_put_date(json, "from", price->from);
    json_put_decimal_or_null(json, "pack_g", price->pack_mg, WEIGHT_PLACES, price->pack_mg > 0);
    json_put_whole_or_null(json, "pack_pieces", price->pack_pieces, price->pack_pieces > 0);
    json_put_money(json, "price", price->micros, places);
    json_put_text(json, "supplier", price->supplier);
    json_close(json);
}

/* Decimals that prices are shown with at least. */
static bool money_places(struct request *request, int *places)
{
    struct bakery bakery;
    if (!bakery_get(request->tx, &bakery)) return false;
    *places = bakery.currency != NULL ? currency_places(bakery.currency) : 2;
    return true;
}

static bool answer(struct request *request, int status, const struct pack_price *price)
{
    int places;
    if (!money_places(request, &places)) return false;
    write_price(reply_json(request, status), price, places);
    reply_revision(request, price->revision);
    return true;
}

/* Dates as they are written sort as they are reckoned. */
static const char *date_key(struct request *request, date from)
{
    char text[DATE_TEXT_SIZE];
    date_print(text, from);
    return arena_copy(request->arena, text);
}

bool list_price(struct request *request)
{
    struct ingredient ingredient;
    struct pack_price *prices;
    size_t count;
    int places;
    struct page page;
    if (!page_read(request, &page) || !ingredient_of_path(request, &ingredient) ||
        !money_places(request, &places) ||
        !price_select(request->tx, ingredient.code, NULL, &prices, &count))
        return false;
    struct json_writer *json = page_open(request);
    for (size_t i = 0; i < count; i++) {
        const char *key = date_key(request, prices[i].from);
        if (key == NULL || (page.after != NULL && strcmp(key, page.after) <= 0)) continue;
        if (!page_takes(&page, key)) break;
        write_price(json, &prices[i], places);
    }
    page_close(request, &page);
    return true;
}

bool get_price(struct request *request)
{
    struct pack_price wanted, *price;
    if (!find_price(request, &wanted, &price)) return false;
    if (price == NULL) return no_price(request, &wanted);
    return answer(request, 200, price);
}

/* A pack is told in the unit by which the ingredient is counted. */
static void read_pack(struct json_object *in, struct pack_price *price, enum ingredient_unit unit)
{
    int64_t *pack = unit == UNIT_GRAM ? &price->pack_mg : &price->pack_pieces;
    *pack = amount_read_pack(in, JSON_REQUIRED, unit);
}

static bool read_price(struct request *request, const struct ingredient *ingredient,
                       struct pack_price *price)
{
    struct json_node body;
    struct json_object in;
    if (!request_json(request, &body)) return false;
    json_object_open(&in, body);
    read_pack(&in, price, ingredient->unit);
    price->micros = json_money(&in, "price", JSON_REQUIRED, 0, PRICE_MAX, 0);
    price->supplier = json_code(&in, "supplier", JSON_OPTIONAL);
    json_object_close(&in);
    return supplier_is_known(request, price->supplier) && !fails_any(&request->fails);
}

/* Prices are kept in the history of their ingredient, by "code/date". */
static const char *history_code(struct request *request, const struct pack_price *price)
{
    char from[DATE_TEXT_SIZE];
    date_print(from, price->from);
    return arena_printf(request->arena, "%s/%s", price->ingredient, from);
}

static bool keep_history(struct request *request, const struct pack_price *price)
{
    struct text text;
    struct json_writer json;
    text_init(&text, request->arena, 4096);
    json_writer_init(&json, &text);
    write_price(&json, price, 2);
    const char *code = history_code(request, price);
    return code != NULL && text_ok(&text) &&
           history_add(request->tx, "price", code, price->revision, text.data);
}

bool put_price(struct request *request)
{
    struct ingredient ingredient;
    struct pack_price price = {0}, *old;
    if (!bakery_lock(request->tx) || !find_price(request, &price, &old) ||
        !ingredient_of_path(request, &ingredient) ||
        !precondition_holds(request, old != NULL, old != NULL ? old->revision : 0))
        return false;
    return read_price(request, &ingredient, &price) && price_put(request->tx, &price) &&
           keep_history(request, &price) && answer(request, old != NULL ? 200 : 201, &price);
}

bool delete_price(struct request *request)
{
    struct pack_price wanted, *old;
    if (!bakery_lock(request->tx) || !find_price(request, &wanted, &old)) return false;
    if (old == NULL) return no_price(request, &wanted);
    const char *code = history_code(request, old);
    if (code == NULL || !precondition_holds(request, true, old->revision) ||
        !price_delete(request->tx, old->ingredient, old->from) ||
        !history_add(request->tx, "price", code, 0, NULL))
        return false;
    reply_nothing(request);
    return true;
}
