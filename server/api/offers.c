/* /days/{date}/offers and /days/{date}/last-orders: what can still be taken. */
#include "api/handlers.h"
#include "api/limits.h"
#include "api/starter_pot.h"
#include "bakery/offer.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "store/demand.h"
#include "store/purchase_order.h"
#include "store/stock_use.h"

struct offer_day {
    struct day day;
    struct offer_world world; /* points into day: do not copy */
};

/* Where no stock is kept nothing more is asked. */
static bool load_store(struct request *request, date bread_day, instant now, const struct day *day,
                       struct offer_store *store)
{
    const struct catalogue *catalogue = &day->catalogue;
    struct offer_stock *stock;
    struct posted_batch *posted;
    struct awaited *awaited;
    struct demand *demands;
    date first, last;
    if (!offer_stock_load(request->tx, catalogue, today_of(day), &stock, &store->stock_count) ||
        !posted_batches_load(request->tx, catalogue, working_day(&day->reckoning, now), &posted,
                             &store->posted_count))
        return false;
    store->posted = posted;
    if (store->stock_count == 0) return true;
    offer_store_horizon(&day->reckoning, now, bread_day, stock, store->stock_count, &first, &last);
    if (!awaited_load(request->tx, catalogue, &awaited, &store->awaited_count) ||
        !demand_load(request->tx, catalogue, first, last, &demands, &store->demand_count))
        return false;
    store->stock = stock;
    store->awaited = awaited;
    store->demands = demands;
    return true;
}

static bool load(struct request *request, date bread_day, bool store, struct offer_day *out)
{
    struct day *day = &out->day;
    date first, last;
    instant now = instant_now();
    if (!day_open(request, day)) return false;
    offer_horizon(&day->reckoning, now, bread_day, &first, &last);
    const struct pot_state *pots = starter_pots_load(request, day);
    if (pots == NULL || !day_load_demands(request, day, first, last)) return false;
    out->world = (struct offer_world){.reckoning = &day->reckoning,
                                      .now = now,
                                      .demands = day->demands,
                                      .demand_count = day->demand_count,
                                      .pots = pots};
    return !store || load_store(request, bread_day, now, day, &out->world.store);
}

/* --- can we take it? --- */

static bool read_question(struct request *request, const struct catalogue *catalogue,
                          size_t *product, int64_t *pieces)
{
    struct json_node root;
    struct json_object body;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    const char *code = json_code(&body, "product", JSON_REQUIRED);
    *pieces = json_whole(&body, "pieces", JSON_REQUIRED, 1, PIECES_MAX, 1);
    *product = code != NULL ? catalogue_product(catalogue, code) : NOT_FOUND;
    if (code != NULL && *product == NOT_FOUND)
        json_fault(&body, "product", "names a product that does not exist");
    return json_object_close(&body);
}

/* The reason in words, with its figure. */
static const char *reason_text(struct arena *arena, const struct day *day,
                               const struct offer_reason *reason)
{
    const struct catalogue *catalogue = &day->catalogue;
    struct text text;
    text_init(&text, arena, 1024);
    text_add_string(&text, reason->text);
    if (reason->formula != NOT_FOUND)
        text_addf(&text, ": %s", catalogue->formulas[reason->formula].name);
    if (reason->starter != NOT_FOUND)
        text_addf(&text, ": %s", catalogue->starters[reason->starter].name);
    if (reason->ingredient != NOT_FOUND)
        text_addf(&text, ": %s", catalogue->ingredients[reason->ingredient].name);
    return text_ok(&text) ? text.data : reason->text;
}

static void write_reason(struct json_writer *json, const struct day *day,
                         const struct offer_reason *reason, const char *text)
{
    const struct catalogue *catalogue = &day->catalogue;
    json_open_object(json, "reason");
    json_put_text(json, "code", reason->code);
    json_put_text(json, "text", text);
    if (reason->formula != NOT_FOUND)
        json_put_text(json, "formula", catalogue->formulas[reason->formula].code);
    if (reason->starter != NOT_FOUND)
        json_put_text(json, "starter", catalogue->starters[reason->starter].code);
    if (reason->ingredient != NOT_FOUND)
        json_put_text(json, "ingredient", catalogue->ingredients[reason->ingredient].code);
    if (reason->mixer != NULL) json_put_text(json, "mixer", reason->mixer->code);
    if (reason->oven != NULL) json_put_text(json, "oven", reason->oven->code);
    if (reason->short_mg > 0) json_put_decimal(json, "short_g", reason->short_mg, WEIGHT_PLACES);
    if (reason->short_minutes > 0) json_put_whole(json, "short_minutes", reason->short_minutes);
    if (reason->at != 0) json_put_instant(json, "at", reason->at, day->reckoning.zone);
    json_close(json);
}

bool post_offer(struct request *request)
{
    date bread_day;
    struct offer_day at;
    struct offer offer;
    size_t product;
    int64_t pieces;
    if (!request_date(request, "date", &bread_day) || !load(request, bread_day, true, &at) ||
        !read_question(request, &at.day.catalogue, &product, &pieces) ||
        !offer_of(&at.world, bread_day, product, pieces, &offer))
        return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_date(json, "date", bread_day);
    json_put_text(json, "product", at.day.catalogue.products[product].code);
    json_put_text(json, "name", at.day.catalogue.products[product].name);
    json_put_whole(json, "pieces", pieces);
    json_put_text(json, "answer", offer.yes ? "yes" : "no");
    if (offer.yes)
        json_put_null(json, "reason");
    else
        write_reason(json, &at.day, &offer.reason,
                     reason_text(request->arena, &at.day, &offer.reason));
    json_put_whole(json, "possible", offer.possible);
    json_put_whole_or_null(json, "possible_from", offer.possible_from, offer.possible_from > 0);
    json_close(json);
    reply_etag(request);
    return true;
}

/* --- until when --- */

static void write_last_order(struct json_writer *json, const struct day *day, size_t product,
                             const struct last_order *last)
{
    const struct catalogue *catalogue = &day->catalogue;
    bool mix = last->any && last->formula != NOT_FOUND;
    bool feed = last->any && last->starter != NOT_FOUND;
    json_open_object(json, NULL);
    json_put_text(json, "product", catalogue->products[product].code);
    json_put_text(json, "name", catalogue->products[product].name);
    json_put_instant_or_null(json, "at", last->at, day->reckoning.zone, last->any);
    json_put_bool(json, "over", last->over);
    json_put_text(json, "because", mix ? "mix" : feed ? "feed" : NULL);
    json_put_text(json, "formula", mix ? catalogue->formulas[last->formula].code : NULL);
    json_put_text(json, "starter", feed ? catalogue->starters[last->starter].code : NULL);
    json_close(json);
}

bool get_last_orders(struct request *request)
{
    date bread_day;
    struct offer_day at;
    if (!request_date(request, "date", &bread_day) || !load(request, bread_day, false, &at))
        return false;
    size_t count = at.day.catalogue.product_count;
    struct last_order *last = arena_array(request->arena, count, sizeof *last);
    if (last == NULL) return fail_memory(&request->fails);
    if (!last_orders_of(&at.world, bread_day, last)) return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_date(json, "date", bread_day);
    json_put_instant(json, "now", at.world.now, at.day.reckoning.zone);
    json_open_list(json, "items");
    for (size_t i = 0; i < count; i++)
        write_last_order(json, &at.day, i, &last[i]);
    json_close(json);
    json_close(json);
    reply_etag(request);
    return true;
}
