/* /price-lists/{code}/prices/{product}/{from}: the price of a product in a list from a date on. */
#include "api/handlers.h"
#include "api/limits.h"
#include "api/money.h"
#include "api/page.h"
#include "api/price_lists.h"
#include "api/resource.h"
#include "base/arena.h"
#include "store/bakery.h"
#include "store/history.h"
#include "store/price_list.h"
#include "store/product.h"

#include <string.h>

static void write_price(struct json_writer *json, const struct product_price *price)
{
    json_open_object(json, NULL);
    json_put_text(json, "list", price->price_list);
    json_put_text(json, "product", price->product);
    json_put_date(json, "from", price->from);
    json_open_list(json, "breaks");
    for (size_t i = 0; i < price->break_count; i++) {
        json_open_object(json, NULL);
        json_put_whole(json, "pieces", price->breaks[i].from_pieces);
        json_put_money(json, "price", price->breaks[i].micros, MONEY_LEAST_PLACES);
        json_close(json);
    }
    json_close(json);
    json_close(json);
}

static bool answer(struct request *request, int status, const struct product_price *price)
{
    write_price(reply_json(request, status), price);
    reply_revision(request, price->revision);
    return true;
}

/* The list of the path; FAIL_NOT_FOUND when there is none. */
static bool find_list(struct request *request, struct price_list *list)
{
    struct selection one = {.code = request_param(request, "code")};
    struct price_list *items;
    size_t count;
    if (!price_list_select(request->tx, &one, &items, &count)) return false;
    if (count == 0)
        return fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no price list %s", one.code);
    *list = items[0];
    return true;
}

/* The price of the path; *price is NULL when there is none. */
static bool find_price(struct request *request, struct product_price *wanted,
                       struct product_price **price)
{
    struct price_list list;
    size_t count;
    if (!request_date(request, "from", &wanted->from) || !find_list(request, &list)) return false;
    wanted->price_list = list.code;
    wanted->product = request_param(request, "product");
    struct product_price_filter filter = {
        .price_list = wanted->price_list, .product = wanted->product, .from = &wanted->from};
    if (!product_price_select(request->tx, &filter, price, &count)) return false;
    if (count == 0) *price = NULL;
    return true;
}

static bool no_price(struct request *request, const struct product_price *wanted)
{
    return fail_add(&request->fails, FAIL_NOT_FOUND, "", "%s has no price of %s from that date",
                    wanted->price_list, wanted->product);
}

/* Whether a price comes after the last one of the page before. Pages are by product, then by date:
 * not by the text of their keys, in which "bun-2/..." stands before "bun/...". */
static bool is_after(const char *last, const char *product, const char *from)
{
    const char *slash = last != NULL ? strchr(last, '/') : NULL;
    if (slash == NULL) return last == NULL || strcmp(product, last) > 0;
    size_t length = (size_t)(slash - last);
    int order = strncmp(product, last, length);
    if (order == 0 && strlen(product) > length) order = 1;
    return order > 0 || (order == 0 && strcmp(from, slash + 1) > 0);
}

bool list_list_price(struct request *request)
{
    struct price_list list;
    struct product_price *prices;
    size_t count;
    struct page page;
    if (!page_read(request, &page) || !find_list(request, &list)) return false;
    struct product_price_filter filter = {.price_list = list.code,
                                          .product = request_query(request, "product")};
    if (!product_price_select(request->tx, &filter, &prices, &count)) return false;
    struct json_writer *json = page_open(request);
    for (size_t i = 0; i < count; i++) {
        char from[DATE_TEXT_SIZE];
        date_print(from, prices[i].from);
        const char *key = arena_printf(request->arena, "%s/%s", prices[i].product, from);
        if (key == NULL || !is_after(page.after, prices[i].product, from)) continue;
        if (!page_takes(&page, key)) break;
        write_price(json, &prices[i]);
    }
    page_close(request, &page);
    return true;
}

bool get_list_price(struct request *request)
{
    struct product_price wanted, *price;
    if (!find_price(request, &wanted, &price)) return false;
    if (price == NULL) return no_price(request, &wanted);
    return answer(request, 200, price);
}

static void read_break(const struct json_node *item, struct product_price *price)
{
    struct price_break *line = &price->breaks[price->break_count];
    struct json_object in;
    json_object_open(&in, *item);
    line->from_pieces = json_whole(&in, "pieces", JSON_REQUIRED, 1, PIECES_MAX, 0);
    line->micros = json_money(&in, "price", JSON_REQUIRED, 1, PRICE_MAX, 1);
    bool sound = line->from_pieces > 0;
    if (sound && price->break_count == 0 && line->from_pieces != 1)
        json_fault(&in, "pieces", "must be 1 in the first line");
    if (sound && price->break_count > 0 && line->from_pieces <= line[-1].from_pieces)
        json_fault(&in, "pieces", "must be more than in the line before");
    json_object_close(&in);
    price->break_count++;
}

static bool check_product(struct request *request, const char *product)
{
    struct selection one = {.code = product};
    struct product *items;
    size_t count;
    if (!product_select(request->tx, &one, &items, &count)) return false;
    return count > 0 ||
           fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no product %s", product);
}

static bool read_price(struct request *request, struct product_price *price)
{
    struct json_node root, item;
    struct json_object body;
    struct json_list list;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    json_list_member(&body, "breaks", JSON_REQUIRED, 1, BREAKS_MAX, &list);
    price->breaks = arena_array(request->arena, list.length, sizeof *price->breaks);
    while (price->breaks != NULL && json_list_next(&list, &item))
        read_break(&item, price);
    return json_object_close(&body);
}

/* Prices are kept in the history by "list/product/date"; body NULL: deleted. */
static bool keep_history(struct request *request, const struct product_price *price, bool deleted)
{
    struct text text;
    struct json_writer json;
    char from[DATE_TEXT_SIZE];
    date_print(from, price->from);
    text_init(&text, request->arena, 16 * 1024);
    json_writer_init(&json, &text);
    write_price(&json, price);
    const char *code = arena_printf(request->arena, "%s/%s/%s", price->price_list, price->product,
                                    from);
    return code != NULL && text_ok(&text) &&
           history_add(request->tx, "list_price", code, deleted ? 0 : price->revision,
                       deleted ? NULL : text.data);
}

bool put_list_price(struct request *request)
{
    struct product_price price = {0}, *old;
    if (!bakery_lock(request->tx) || !find_price(request, &price, &old) ||
        !precondition_holds(request, old != NULL, old != NULL ? old->revision : 0) ||
        !check_product(request, price.product) || !read_price(request, &price))
        return false;
    return product_price_put(request->tx, &price) && keep_history(request, &price, false) &&
           answer(request, old != NULL ? 200 : 201, &price);
}

bool delete_list_price(struct request *request)
{
    struct product_price wanted, *old;
    if (!bakery_lock(request->tx) || !find_price(request, &wanted, &old)) return false;
    if (old == NULL) return no_price(request, &wanted);
    if (!precondition_holds(request, true, old->revision) ||
        !product_price_delete(request->tx, old->price_list, old->product, old->from) ||
        !keep_history(request, old, true))
        return false;
    reply_nothing(request);
    return true;
}
