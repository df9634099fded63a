/* /orders */
#include "store/order.h"

#include "api/handlers.h"
#include "api/limits.h"
#include "api/number.h"
#include "api/page.h"
#include "api/resource.h"
#include "api/zone.h"
#include "bakery/piece.h"
#include "base/arena.h"
#include "store/history.h"

#include <inttypes.h>

static void write_order(struct json_writer *json, const struct order *order,
                        const struct zone *zone)
{
    json_open_object(json, NULL);
    json_put_whole(json, "id", order->id);
    json_put_text(json, "customer", order->customer);
    json_put_date(json, "date", order->bread_day);
    json_open_list(json, "lines");
    for (size_t i = 0; i < order->line_count; i++) {
        json_open_object(json, NULL);
        json_put_text(json, "product", order->lines[i].product);
        json_put_whole(json, "pieces", order->lines[i].pieces);
        json_close(json);
    }
    json_close(json);
    json_put_text(json, "note", order->note);
    json_put_instant(json, "placed_at", order->placed_at, zone);
    json_put_text(json, "placed_by", order->placed_by);
    json_close(json);
}

static bool answer(struct request *request, int status, const struct order *order)
{
    const struct zone *zone;
    if (!request_zone(request, &zone)) return false;
    write_order(reply_json(request, status), order, zone);
    reply_revision(request, order->revision);
    return true;
}

static void read_order(struct json_object *body, struct order *order)
{
    struct json_list list;
    struct json_node item;
    order->customer = json_code(body, "customer", JSON_REQUIRED);
    json_date(body, "date", JSON_REQUIRED, &order->bread_day);
    json_list_member(body, "lines", JSON_REQUIRED, 1, ORDER_LINES_MAX, &list);
    order->lines = arena_array(body->node.arena, list.length, sizeof *order->lines);
    while (order->lines != NULL && json_list_next(&list, &item)) {
        struct order_line *line = &order->lines[order->line_count++];
        struct json_object in;
        json_object_open(&in, item);
        line->product = json_code(&in, "product", JSON_REQUIRED);
        line->pieces = json_whole(&in, "pieces", JSON_REQUIRED, 1, PIECES_MAX, 0);
        json_object_close(&in);
    }
    order->note = json_text(body, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
}

static void line_fault(struct request *request, size_t line, const char *member, const char *text)
{
    const char *place = pointer_index(request->arena, pointer_member(request->arena, "", "lines"),
                                      line);
    fail_add(&request->fails, FAIL_INVALID, pointer_member(request->arena, place, member), "%s",
             text);
}

/* What the order names must exist; codes that could not even be read are not asked for again. */
static bool check_order(struct request *request, const struct order *order)
{
    struct order_lookup found = {0};
    if (order->line_count == 0) return true;
    if (!order_look_up(request->tx, order, &found)) return false;
    if (order->customer != NULL && !found.customer_exists)
        fail_add(&request->fails, FAIL_INVALID, "/customer", "there is no customer %s",
                 order->customer);
    for (size_t i = 0; i < order->line_count; i++) {
        const struct order_line *line = &order->lines[i];
        if (line->product != NULL && found.piece_mg[i] < 0)
            line_fault(request, i, "product", "is not the code of a product");
        else if (!pieces_in_range(line->pieces, found.piece_mg[i]))
            line_fault(request, i, "pieces", "weigh more together than can be reckoned with");
    }
    return true;
}

static bool read_checked(struct request *request, struct order *order)
{
    struct json_node root;
    struct json_object body;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    read_order(&body, order);
    json_object_close(&body);
    return check_order(request, order) && !fails_any(&request->fails);
}

bool post_order(struct request *request)
{
    struct order order = {0};
    if (!read_checked(request, &order) || !order_add(request->tx, &order)) return false;
    reply_location(request, "/api/v1/orders/%" PRId64, order.id);
    return answer(request, 201, &order);
}

/* The order of the path, locked for a change; FAIL_NOT_FOUND when there is none. */
static bool find_order(struct request *request, bool lock, struct order *order)
{
    const char *id = request_param(request, "id");
    int64_t number = 0;
    bool found = false;
    if (number_parse(id, &number) && !order_get(request->tx, number, lock, order, &found))
        return false;
    return found || fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no order %s", id);
}

bool get_order(struct request *request)
{
    struct order order;
    return find_order(request, false, &order) && answer(request, 200, &order);
}

/* A changed or deleted order leaves what it was in the history. */
static bool keep_history(struct request *request, const struct order *old, bool deleted)
{
    struct text text;
    struct json_writer json;
    const struct zone *zone = zone_fixed(request->arena, 0);
    const char *id = arena_printf(request->arena, "%" PRId64, old->id);
    text_init(&text, request->arena, 1024 * 1024);
    json_writer_init(&json, &text);
    if (zone == NULL || id == NULL) return false;
    write_order(&json, old, zone);
    return text_ok(&text) && history_add(request->tx, "order", id, old->revision, text.data) &&
           (!deleted || history_add(request->tx, "order", id, 0, NULL));
}

bool put_order(struct request *request)
{
    struct order old, order = {0};
    if (!find_order(request, true, &old) || !precondition_holds(request, true, old.revision) ||
        !read_checked(request, &order))
        return false;
    order.id = old.id;
    order.placed_at = old.placed_at;
    order.placed_by = old.placed_by;
    return keep_history(request, &old, false) && order_replace(request->tx, &order) &&
           answer(request, 200, &order);
}

bool delete_order(struct request *request)
{
    struct order old;
    if (!find_order(request, true, &old) || !precondition_holds(request, true, old.revision) ||
        !keep_history(request, &old, true) || !order_delete(request->tx, old.id))
        return false;
    reply_nothing(request);
    return true;
}

static bool read_filter(struct request *request, const struct page *page,
                        struct order_filter *filter, date *day)
{
    const char *wanted = request_query(request, "date");
    filter->customer = request_query(request, "customer");
    filter->limit = page->limit + 1;
    if (page->after != NULL && !number_parse(page->after, &filter->after))
        return fail_add(&request->fails, FAIL_INVALID, "", "after must be the id of an order");
    if (wanted == NULL) return true;
    if (!date_parse(wanted, day))
        return fail_add(&request->fails, FAIL_INVALID, "", "date must be a day as YYYY-MM-DD");
    filter->bread_day = day;
    return true;
}

bool list_order(struct request *request)
{
    struct page page;
    struct order_filter filter = {0};
    struct order *orders;
    size_t count;
    date day;
    const struct zone *zone;
    if (!page_read(request, &page) || !read_filter(request, &page, &filter, &day) ||
        !request_zone(request, &zone) || !order_select(request->tx, &filter, &orders, &count))
        return false;
    struct json_writer *json = page_open(request);
    for (size_t i = 0; i < count; i++) {
        if (!page_takes_number(request, &page, orders[i].id)) break;
        write_order(json, &orders[i], zone);
    }
    page_close(request, &page);
    return true;
}
