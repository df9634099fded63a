/* /purchase-orders: what was ordered from suppliers, and what of it is missing. */
#include "api/amount_body.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/money.h"
#include "api/number.h"
#include "api/page.h"
#include "api/query.h"
#include "api/reckon.h"
#include "api/resource.h"
#include "api/stock_post.h"
#include "bakery/catalogue.h"
#include "base/arena.h"
#include "store/bakery.h"
#include "store/history.h"
#include "store/purchase_order.h"
#include "store/supplier.h"
#include "store/supply.h"

#include <inttypes.h>
#include <string.h>

/* What orders are read and written with. */
struct ordering {
    struct day day;
    struct supplier *suppliers;
    size_t supplier_count;
};

static bool open_ordering(struct request *request, struct ordering *at)
{
    struct selection all = {0};
    return day_open(request, &at->day) &&
           supplier_select(request->tx, &all, &at->suppliers, &at->supplier_count);
}

static const struct supplier *find_supplier(const struct ordering *at, const char *code)
{
    for (size_t i = 0; i < at->supplier_count; i++)
        if (strcmp(at->suppliers[i].code, code) == 0) return &at->suppliers[i];
    return NULL;
}

/* --- writing --- */

/* cost NULL: not to be told. */
static void write_line(struct json_writer *json, const struct purchase_line *line,
                       const struct ingredient *ingredient, const struct money *cost)
{
    enum ingredient_unit unit = ingredient->unit;
    int64_t packs = purchase_packs(line->amount, line->pack);
    json_open_object(json, NULL);
    json_put_text(json, "ingredient", line->ingredient);
    json_put_text(json, "name", ingredient->name);
    amount_write(json, "", unit, line->amount);
    json_put_whole_or_null(json, "packs", packs, packs > 0);
    amount_write_or_null(json, "pack", unit, line->pack, line->pack > 0);
    amount_write(json, "received", unit, line->received);
    amount_write(json, "missing", unit, purchase_missing(line));
    if (cost != NULL) money_write(json, "cost", *cost);
    json_close(json);
}

/* Lines, and for owners what each costs; *total is their sum. */
static bool write_lines(struct request *request, const struct ordering *at,
                        const struct purchase_order *order, struct money *total)
{
    const struct reckoning *reckoning = &at->day.reckoning;
    struct json_writer *json = &request->reply.json;
    struct money *costs = arena_array(request->arena, order->line_count, sizeof *costs);
    if (costs == NULL) return fail_memory(&request->fails);
    json_open_list(json, "lines");
    for (size_t i = 0; i < order->line_count; i++) {
        const struct purchase_line *line = &order->lines[i];
        const struct ingredient *ingredient = catalogue_ingredient_of(&at->day.catalogue,
                                                                      line->ingredient);
        if (!purchase_cost(reckoning, &line->price, ingredient->unit, line->amount, &costs[i]))
            return false;
        write_line(json, line, ingredient, request->role >= ROLE_OWNER ? &costs[i] : NULL);
    }
    json_close(json);
    return purchase_total(reckoning, costs, order->line_count, total);
}

static void write_supplier(struct json_writer *json, const struct ordering *at, const char *code)
{
    const struct supplier *supplier = find_supplier(at, code);
    json_put_text(json, "supplier", code);
    json_put_text(json, "supplier_name", supplier != NULL ? supplier->name : code);
    json_put_text(json, "phone", supplier != NULL ? supplier->phone : NULL);
    json_put_text(json, "email", supplier != NULL ? supplier->email : NULL);
    json_put_text(json, "address", supplier != NULL ? supplier->address : NULL);
}

static bool write_order(struct request *request, const struct ordering *at,
                        const struct purchase_order *order)
{
    struct json_writer *json = &request->reply.json;
    struct money total;
    json_open_object(json, NULL);
    json_put_whole(json, "number", order->number);
    write_supplier(json, at, order->supplier);
    json_put_date(json, "date", order->ordered_on);
    json_put_date(json, "due", order->due_on);
    json_put_bool(json, "closed", order->closed);
    json_put_text(json, "state", purchase_states[purchase_state_of(order)]);
    json_put_text(json, "entered_by", order->entered_by);
    json_put_text(json, "note", order->note);
    if (!write_lines(request, at, order, &total)) return false;
    if (request->role >= ROLE_OWNER) money_write(json, "cost", total);
    json_close(json);
    return true;
}

static bool answer(struct request *request, int status, const struct ordering *at,
                   const struct purchase_order *order)
{
    reply_json(request, status);
    if (!write_order(request, at, order)) return false;
    reply_revision(request, order->revision);
    return true;
}

/* --- showing --- */

/* The order of the path; FAIL_NOT_FOUND when there is none. */
static bool find_order(struct request *request, struct purchase_order *order)
{
    struct purchase_filter filter = {.limit = 1};
    struct purchase_order *items;
    size_t count;
    if (!number_of_path(request, "number", "purchase order", &filter.number) ||
        !purchase_order_select(request->tx, &filter, &items, &count))
        return false;
    if (count == 0)
        return fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no purchase order %" PRId64,
                        filter.number);
    *order = items[0];
    return true;
}

bool get_purchase_order(struct request *request)
{
    struct ordering at;
    struct purchase_order order;
    return open_ordering(request, &at) && find_order(request, &order) &&
           answer(request, 200, &at, &order);
}

bool list_purchase_orders(struct request *request)
{
    struct page page;
    struct purchase_filter filter = {0};
    struct ordering at;
    struct purchase_order *orders;
    size_t count;
    if (!page_read_numbered(request, &page, &filter.before) ||
        !query_bool(request, "open", &filter.open))
        return false;
    filter.supplier = request_query(request, "supplier");
    filter.limit = page.limit + 1;
    if (!open_ordering(request, &at) ||
        !purchase_order_select(request->tx, &filter, &orders, &count))
        return false;
    page_open(request);
    for (size_t i = 0; i < count; i++) {
        if (!page_takes_number(request, &page, orders[i].number)) break;
        if (!write_order(request, &at, &orders[i])) return false;
    }
    page_close(request, &page);
    return true;
}

/* --- ordering --- */

static int64_t read_packs(struct json_object *in, enum ingredient_unit unit, int64_t pack)
{
    const char *amount_name = amount_member(unit);
    int64_t amount = 0;
    int64_t packs = json_whole(in, "packs", JSON_REQUIRED, 1, PIECES_MAX, 1);
    if (json_has(in, "g") || json_has(in, "pieces"))
        json_fault(in, "packs", "must not be there along with %s", amount_name);
    else if (pack == 0)
        json_fault(in, "packs", "cannot be told: a pack of it is not known; give %s", amount_name);
    else if (!purchase_amount(packs, pack, unit == UNIT_GRAM ? WEIGHT_MAX : PIECES_MAX, &amount))
        json_fault(in, "packs", "come to more than can be ordered");
    return amount;
}

/* Of an ingredient that is not there nobody knows how it is counted. */
static void read_line(struct json_object *in, const struct catalogue *catalogue,
                      const struct supply *supplies, struct purchase_line *line)
{
    size_t index = stock_post_ingredient(in, catalogue);
    bool by_packs = json_has(in, "packs");
    if (index == NOT_FOUND) return;
    line->ingredient = catalogue->ingredients[index].code;
    enum ingredient_unit unit = catalogue->ingredients[index].unit;
    line->pack = supplies[index].pack;
    line->amount = by_packs ? read_packs(in, unit, line->pack)
                            : amount_read(in, JSON_REQUIRED, unit, 1);
}

static void check_once(struct json_object *in, const struct purchase_order *order, size_t line)
{
    const char *code = order->lines[line].ingredient;
    for (size_t i = 0; code != NULL && i < line; i++)
        if (order->lines[i].ingredient != NULL && strcmp(order->lines[i].ingredient, code) == 0) {
            json_fault(in, "ingredient", "stands in an earlier line");
            return;
        }
}

static bool read_lines(struct request *request, struct json_object *body, const struct ordering *at,
                       struct purchase_order *order)
{
    struct json_list list;
    struct json_node item;
    struct json_object in;
    const struct catalogue *catalogue = &at->day.catalogue;
    const struct supply *supplies = supplies_load(request->tx, catalogue, order->ordered_on);
    if (supplies == NULL) return false;
    json_list_member(body, "lines", JSON_REQUIRED, 1, LINES_MAX, &list);
    order->lines = arena_array(request->arena, list.length, sizeof *order->lines);
    if (order->lines == NULL) return fail_memory(&request->fails);
    while (json_list_next(&list, &item)) {
        json_object_open(&in, item);
        read_line(&in, catalogue, supplies, &order->lines[order->line_count]);
        check_once(&in, order, order->line_count++);
        json_object_close(&in);
    }
    return true;
}

static void read_due(struct json_object *body, struct purchase_order *order)
{
    if (json_date(body, "due", JSON_OPTIONAL, &order->due_on) && order->due_on < order->ordered_on)
        json_fault(body, "due", "is before the day of the order");
}

/* Unless they are told the order is of today, and comes as the supplier usually delivers. */
static void read_head(struct json_object *body, const struct ordering *at,
                      struct purchase_order *order)
{
    const struct supplier *supplier = NULL;
    order->supplier = json_code(body, "supplier", JSON_REQUIRED);
    if (order->supplier != NULL) supplier = find_supplier(at, order->supplier);
    if (order->supplier != NULL && supplier == NULL)
        json_fault(body, "supplier", "there is no supplier %s", order->supplier);
    order->ordered_on = stock_post_date(body, "date", JSON_OPTIONAL, today_of(&at->day));
    order->due_on = purchase_due(order->ordered_on, supplier != NULL ? supplier->lead_days : 0);
    read_due(body, order);
    order->note = json_text(body, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
}

/* What was written is read again, so that the answer is what a GET shows: its prices, too. */
static bool read_again(struct request *request, struct purchase_order *order)
{
    struct purchase_filter filter = {.number = order->number, .limit = 1};
    struct purchase_order *items;
    size_t count;
    if (!purchase_order_select(request->tx, &filter, &items, &count)) return false;
    if (count == 0) return fail_add(&request->fails, FAIL_INTERNAL, "", "the order is gone");
    *order = items[0];
    return true;
}

bool post_purchase_order(struct request *request)
{
    struct ordering at;
    struct purchase_order order = {0};
    struct json_node root;
    struct json_object body;
    if (!open_ordering(request, &at) || !request_json(request, &root)) return false;
    json_object_open(&body, root);
    read_head(&body, &at, &order);
    if (!read_lines(request, &body, &at, &order) || !json_object_close(&body) ||
        !purchase_order_add(request->tx, &order) || !read_again(request, &order))
        return false;
    reply_location(request, "/api/v1/purchase-orders/%" PRId64, order.number);
    return answer(request, 201, &at, &order);
}

/* --- changing --- */

static bool read_change(struct request *request, struct purchase_order *order)
{
    struct json_node root;
    struct json_object body;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    order->closed = json_bool(&body, "closed", JSON_REQUIRED, false);
    read_due(&body, order);
    order->note = json_text(&body, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
    return json_object_close(&body);
}

static bool keep_history(struct request *request, const struct purchase_order *order)
{
    struct text text;
    struct json_writer json;
    const char *number = arena_printf(request->arena, "%" PRId64, order->number);
    text_init(&text, request->arena, 16384);
    json_writer_init(&json, &text);
    json_open_object(&json, NULL);
    json_put_date(&json, "due", order->due_on);
    json_put_bool(&json, "closed", order->closed);
    json_put_text(&json, "note", order->note);
    json_close(&json);
    if (number == NULL || !text_ok(&text)) return fail_memory(&request->fails);
    return history_add(request->tx, "purchase order", number, order->revision, text.data);
}

bool put_purchase_order(struct request *request)
{
    struct ordering at;
    struct purchase_order order;
    return bakery_lock(request->tx) && open_ordering(request, &at) && find_order(request, &order) &&
           precondition_holds(request, true, order.revision) && read_change(request, &order) &&
           purchase_order_change(request->tx, &order) && keep_history(request, &order) &&
           answer(request, 200, &at, &order);
}
