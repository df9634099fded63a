/* /goods-in: a delivery makes a lot of each of its lines. */
#include "api/amount_body.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/lot_body.h"
#include "api/money.h"
#include "api/named.h"
#include "api/posting_body.h"
#include "api/stock_post.h"
#include "bakery/prices.h"
#include "bakery/temperature.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "store/lot.h"
#include "store/price.h"
#include "store/purchase_order.h"
#include "store/supply.h"

#include <inttypes.h>
#include <string.h>

enum { GOODS_C_MOST = 60 * DEGREE };

/* A delivery as it is told. */
struct delivery {
    struct posting posting;
    struct lot *lots;
    size_t *ingredients; /* of each lot */
    const char **places;
    size_t count;
};

/* --- reading --- */

static void read_lot(struct json_object *line, enum ingredient_unit unit, struct lot *lot)
{
    lot->received = amount_read(line, JSON_REQUIRED, unit, 1);
    lot->pack = amount_read_pack(line, JSON_OPTIONAL, unit);
}

static void read_line(const struct catalogue *catalogue, struct json_node item,
                      struct delivery *delivery)
{
    struct json_object line;
    size_t at = delivery->count++;
    struct lot *lot = &delivery->lots[at];
    json_object_open(&line, item);
    size_t ingredient = stock_post_ingredient(&line, catalogue);
    if (ingredient != NOT_FOUND) {
        read_lot(&line, catalogue->ingredients[ingredient].unit, lot);
        lot->ingredient = catalogue->ingredients[ingredient].code;
    }
    delivery->ingredients[at] = ingredient;
    lot->price.known = json_has(&line, "price");
    lot->price.micros = json_money(&line, "price", JSON_OPTIONAL, 0, PRICE_MAX, 0);
    lot->lot_mark = json_line(&line, "lot_mark", JSON_OPTIONAL, MARK_MAX_CHARACTERS);
    lot->has_best_before = json_date(&line, "best_before", JSON_OPTIONAL, &lot->best_before);
    delivery->places[at] = json_line(&line, "place", JSON_OPTIONAL, PLACE_MAX_CHARACTERS);
    lot->temperature.known = json_has(&line, "c");
    lot->temperature.c = json_decimal(&line, "c", JSON_OPTIONAL, TEMPERATURE_PLACES,
                                      TEMPERATURE_LEAST, GOODS_C_MOST, 0);
    lot->damage = json_text(&line, "damage", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
    json_object_close(&line);
}

static bool read_lines(struct json_object *body, const struct catalogue *catalogue,
                       struct delivery *delivery)
{
    struct arena *arena = body->node.arena;
    struct json_list list;
    struct json_node item;
    json_list_member(body, "lines", JSON_REQUIRED, 1, STOCK_LINES_MAX, &list);
    delivery->lots = arena_array(arena, list.length, sizeof *delivery->lots);
    delivery->ingredients = arena_array(arena, list.length, sizeof *delivery->ingredients);
    delivery->places = arena_array(arena, list.length, sizeof *delivery->places);
    if (!delivery->lots || !delivery->ingredients || !delivery->places)
        return fail_memory(body->node.fails);
    while (json_list_next(&list, &item))
        read_line(catalogue, item, delivery);
    return true;
}

static bool read_delivery(struct request *request, struct stock_post *post,
                          struct delivery *delivery)
{
    struct json_node root;
    struct json_object body;
    struct posting *posting = &delivery->posting;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    posting->kind = STOCK_RECEIVED;
    posting->date = stock_post_date(&body, "date", JSON_REQUIRED, post->today);
    posting->supplier = json_code(&body, "supplier", JSON_REQUIRED);
    posting->delivery_note = json_name(&body, "delivery_note", JSON_OPTIONAL);
    posting->purchase_order = json_whole(&body, "purchase_order", JSON_OPTIONAL, 1, INT64_MAX, 0);
    posting->reason = json_text(&body, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
    if (!read_lines(&body, &post->day.catalogue, delivery)) return false;
    json_object_close(&body);
    return true;
}

/* --- what it names --- */

static bool check_order(struct request *request, const struct posting *posting)
{
    struct purchase_filter filter = {.number = posting->purchase_order, .limit = 1};
    struct purchase_order *items;
    size_t count;
    if (posting->purchase_order == 0) return true;
    if (!purchase_order_select(request->tx, &filter, &items, &count)) return false;
    if (count == 0)
        fail_add(&request->fails, FAIL_INVALID, "/purchase_order",
                 "there is no purchase order %" PRId64, posting->purchase_order);
    else if (posting->supplier != NULL && strcmp(items[0].supplier, posting->supplier) != 0)
        fail_add(&request->fails, FAIL_INVALID, "/purchase_order", "was given to %s",
                 items[0].supplier);
    return true;
}

/* --- what it leaves open --- */

/* A line that tells no price is priced by the pack price in force, when there is one. */
static bool price_lot(const struct reckoning *reckoning, size_t ingredient, struct lot *lot)
{
    const struct price *price = price_of(reckoning, ingredient);
    if (lot->price.known || price == NULL) return true;
    lot->price.known = true;
    return price_of_amount(reckoning, price, lot->received, &lot->price.micros);
}

static bool complete(struct request *request, struct stock_post *post, struct delivery *delivery)
{
    struct catalogue *catalogue = &post->day.catalogue;
    if (!price_load(request->tx, catalogue, delivery->posting.date)) return false;
    const struct supply *supplies = supplies_load(request->tx, catalogue, delivery->posting.date);
    if (supplies == NULL) return false;
    for (size_t i = 0; i < delivery->count; i++) {
        struct lot *lot = &delivery->lots[i];
        const struct supply *supply = &supplies[delivery->ingredients[i]];
        lot->supplier = delivery->posting.supplier;
        lot->received_on = delivery->posting.date;
        if (lot->pack == 0) lot->pack = supply->pack;
        if (delivery->places[i] == NULL) delivery->places[i] = supply->place;
        if (!price_lot(&post->day.reckoning, delivery->ingredients[i], lot)) return false;
        post->set.in[delivery->ingredients[i]] = true;
    }
    return true;
}

/* --- posting --- */

static bool store(struct request *request, struct stock_post *post, struct delivery *delivery)
{
    struct stock_move *moves = arena_array(request->arena, delivery->count, sizeof *moves);
    if (moves == NULL) return fail_memory(&request->fails);
    if (!stock_post_begin(request, post) || !stock_hold(request->tx, &post->set) ||
        !posting_add(request->tx, &delivery->posting))
        return false;
    for (size_t i = 0; i < delivery->count; i++) {
        struct lot *lot = &delivery->lots[i];
        lot->posting = delivery->posting.number;
        if (!lot_add(request->tx, lot)) return false;
        moves[i] = (struct stock_move){.ingredient = delivery->ingredients[i],
                                       .lot = lot->number,
                                       .place = delivery->places[i],
                                       .delta = lot->received};
    }
    return moves_add(request->tx, &delivery->posting, STOCK_RECEIVED, &post->day.catalogue, moves,
                     delivery->count);
}

/* --- the endpoints --- */

static const struct posting_resource goods_in = {"delivery", STOCK_RECEIVED, deliveries_write};

bool post_goods_in(struct request *request)
{
    struct stock_post post;
    struct delivery delivery = {.count = 0};
    if (!stock_post_open(request, &post) || !read_delivery(request, &post, &delivery) ||
        !supplier_is_known(request, delivery.posting.supplier) ||
        !check_order(request, &delivery.posting) || fails_any(&request->fails) ||
        !complete(request, &post, &delivery) || !store(request, &post, &delivery))
        return false;
    reply_location(request, "/api/v1/goods-in/%" PRId64, delivery.posting.number);
    return posting_answer(request, &goods_in, 201, delivery.posting.number);
}

bool get_goods_in(struct request *request)
{
    return posting_get(request, &goods_in);
}

bool list_goods_in(struct request *request)
{
    struct posting_filter filter = {
        .supplier = request_query(request, "supplier"), .from = DATE_FIRST, .to = DATE_LAST};
    return posting_list(request, &goods_in, &filter);
}
