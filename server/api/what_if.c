/* /what-if and /what-if/limit: the facts with some of them changed, and nothing stored. */
#include "bakery/what_if.h"
#include "api/change_body.h"
#include "api/cost_day.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/money.h"
#include "api/price_in_force.h"
#include "api/price_lists.h"
#include "base/decimal.h"

/* What both ask about. */
struct question {
    struct json_object body;
    struct cost_day at;
    struct price_list list;
    const struct price_in_force *prices; /* per product */
};

/* Opens the body and the day that it names; without one a typical day as of today. */
static bool open_question(struct request *request, struct question *question)
{
    struct json_node root;
    struct day day;
    if (!request_json(request, &root) || !day_open(request, &day)) return false;
    json_object_open(&question->body, root);
    date bread_day = today_of(&day);
    bool typical = !json_date(&question->body, "date", JSON_OPTIONAL, &bread_day);
    const char *list = json_code(&question->body, "list", JSON_OPTIONAL);
    if (!price_list_find(request, "/list", list, &question->list) ||
        !cost_day_open(request, bread_day, typical, &question->at))
        return false;
    question->prices = prices_in_force(request, &question->at.day, &question->list, bread_day);
    return question->prices != NULL;
}

/* --- what if --- */

struct side {
    struct product_costing *costings;
    size_t count;
    const struct catalogue *catalogue;
};

static void write_side(struct json_writer *json, const char *name,
                       const struct product_costing *costing, const struct price_figures *figures,
                       int places)
{
    json_open_object(json, name);
    money_write_known(json, "cost_each", costing->each_micros, costing->known, places);
    money_write_known(json, "price", figures ? figures->price_micros : 0, figures != NULL, places);
    money_write_known(json, "net_price", figures ? figures->net_micros : 0, figures != NULL,
                      places);
    percent_write_known(json, "margin_pct", figures ? figures->margin_pct : 0,
                        figures != NULL && figures->has_margin);
    json_close(json);
}

/* The price that is shown today stays as it is. */
static struct money price_stays(const struct priced *priced)
{
    struct money price = {.known = priced->shown != NULL};
    if (price.known) price.micros = priced->shown->price_micros;
    return price;
}

/* A changed target asks for a new price; otherwise the price stays, and what it earns changes. */
static const struct price_figures *
figures_then(const struct product *now, const struct product *then, const struct priced *priced)
{
    bool same = now->target == then->target && now->target_pct == then->target_pct;
    return same || priced->proposed == NULL ? priced->shown : priced->proposed;
}

static bool write_product(struct request *request, struct json_writer *json,
                          const struct question *question, const struct side *today,
                          const struct side *then, size_t i)
{
    const struct product_costing *old = &today->costings[i], *new = &then->costings[i];
    const struct product *product = &today->catalogue->products[old->product];
    const struct product *changed = &then->catalogue->products[new->product];
    const struct price_in_force *price = &question->prices[old->product];
    const struct day *day = &question->at.day;
    struct money nothing_asked = {0};
    struct priced priced_now, priced_then;
    if (!priced_of(day, price, product, old, 1, nothing_asked, &priced_now) ||
        !priced_of(day, price, changed, new, 1, price_stays(&priced_now), &priced_then))
        return fail_add(&request->fails, FAIL_INVALID, "", "a price is out of all range");
    json_open_object(json, NULL);
    json_put_text(json, "product", product->code);
    json_put_text(json, "name", product->name);
    write_side(json, "today", old, priced_now.shown, day->money_places);
    write_side(json, "then", new, figures_then(product, changed, &priced_then), day->money_places);
    money_write_known(json, "difference", new->each_micros - old->each_micros,
                      old->known && new->known, day->money_places);
    json_close(json);
    return true;
}

static bool write_answer(struct request *request, const struct question *question,
                         const struct side *today, const struct side *then)
{
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_date(json, "date", question->at.costing.bread_day);
    json_put_bool(json, "typical", question->at.typical);
    json_put_text(json, "list", question->list.code);
    json_open_list(json, "products");
    for (size_t i = 0; i < today->count; i++)
        if (!write_product(request, json, question, today, then, i)) return false;
    json_close(json);
    json_close(json);
    reply_etag(request);
    return true;
}

bool post_what_if(struct request *request)
{
    struct question question;
    struct changed_day changed;
    struct side today = {0}, then = {0};
    size_t count;
    if (!open_question(request, &question)) return false;
    const struct costing_day *day = &question.at.costing;
    const struct change *changes = changes_read(&question.body, day->reckoning->catalogue, &count);
    if (!json_object_close(&question.body) || !what_if_apply(day, changes, count, &changed) ||
        !costing_of(day, NOT_FOUND, &today.costings, &today.count) ||
        !costing_of(&changed.day, NOT_FOUND, &then.costings, &then.count))
        return false;
    today.catalogue = day->reckoning->catalogue;
    then.catalogue = &changed.catalogue;
    return write_answer(request, &question, &today, &then);
}

/* --- the other way round --- */

struct limit_wanted {
    size_t product, ingredient;
    int64_t margin_pct;
};

static bool read_limit(struct question *question, struct limit_wanted *wanted)
{
    struct json_object *body = &question->body;
    const struct catalogue *catalogue = &question->at.day.catalogue;
    const char *product = json_code(body, "product", JSON_REQUIRED);
    const char *ingredient = json_code(body, "ingredient", JSON_REQUIRED);
    bool named = json_has(body, "margin_pct");
    wanted->margin_pct = json_decimal(body, "margin_pct", JSON_OPTIONAL, PERCENT_PLACES, 0,
                                      PERCENT_ALL - 1, 0);
    wanted->product = product != NULL ? catalogue_product(catalogue, product) : NOT_FOUND;
    wanted->ingredient = ingredient != NULL ? catalogue_ingredient(catalogue, ingredient)
                                            : NOT_FOUND;
    if (product != NULL && wanted->product == NOT_FOUND)
        json_fault(body, "product", "names a product that does not exist");
    if (ingredient != NULL && wanted->ingredient == NOT_FOUND)
        json_fault(body, "ingredient", "names an ingredient that does not exist");
    if (named || wanted->product == NOT_FOUND) return json_object_close(body);
    if (catalogue->products[wanted->product].target != TARGET_MARGIN)
        json_fault(body, "margin_pct", "must be there: the product has no target margin");
    wanted->margin_pct = catalogue->products[wanted->product].target_pct;
    return json_object_close(body);
}

static void write_limit(struct json_writer *json, const struct question *question,
                        const struct limit_wanted *wanted, bool exists, int64_t micros)
{
    const struct day *day = &question->at.day;
    const struct ingredient *ingredient = &day->catalogue.ingredients[wanted->ingredient];
    const struct price *now = &day->catalogue.prices[wanted->ingredient];
    int64_t pct = 0;
    bool compares = exists && now->known && percent_change(now->micros, micros, &pct);
    json_open_object(json, NULL);
    json_put_text(json, "product", day->catalogue.products[wanted->product].code);
    json_put_text(json, "ingredient", ingredient->code);
    json_put_text(json, "name", ingredient->name);
    json_put_decimal(json, "margin_pct", wanted->margin_pct, PERCENT_PLACES);
    money_write_known(json, "price", micros, exists, day->money_places);
    money_write_known(json, "now", now->micros, now->known, day->money_places);
    percent_write_known(json, "pct", pct, compares);
    if (now->known && ingredient->unit == UNIT_GRAM)
        json_put_decimal(json, "pack_g", now->pack_mg, WEIGHT_PLACES);
    if (now->known && ingredient->unit == UNIT_PIECE)
        json_put_whole(json, "pack_pieces", now->pack_pieces);
    json_close(json);
}

/* The net price that the product sells for now; FAIL_CONFLICT when there is none. */
static bool net_price(struct request *request, const struct question *question, size_t product,
                      int64_t *net)
{
    const struct product *sold = &question->at.day.catalogue.products[product];
    struct product_costing *costing;
    struct priced priced;
    struct money nothing_asked = {0};
    size_t count;
    if (!costing_of(&question->at.costing, product, &costing, &count)) return false;
    if (!priced_of(&question->at.day, &question->prices[product], sold, costing, 1, nothing_asked,
                   &priced) ||
        priced.shown == NULL || !costing->known)
        return fail_add(&request->fails, FAIL_CONFLICT, "",
                        "%s has no price, or its cost is not known", sold->code);
    *net = priced.shown->net_micros;
    return true;
}

bool post_price_limit(struct request *request)
{
    struct question question;
    struct limit_wanted wanted;
    int64_t net = 0, micros = 0;
    bool exists;
    if (!open_question(request, &question) || !read_limit(&question, &wanted) ||
        !net_price(request, &question, wanted.product, &net) ||
        !price_limit_of(&question.at.costing, wanted.product, wanted.ingredient, net,
                        wanted.margin_pct, &exists, &micros))
        return false;
    write_limit(reply_json(request, 200), &question, &wanted, exists, micros);
    reply_etag(request);
    return true;
}
