/* POST /prices/preview: what a price comes to, or which price meets a target, without a product. */
#include "api/handlers.h"
#include "api/limits.h"
#include "api/price_lists.h"
#include "api/pricing_body.h"
#include "bakery/currency.h"
#include "base/decimal.h"
#include "store/bakery.h"

/* What is asked. */
struct preview {
    int64_t cost_micros;
    int64_t ingredients_micros;
    struct product product; /* its tax and target */
    struct money price;
    struct price_list list;
};

static void read_list(struct json_object *body, struct preview *preview)
{
    preview->list.with_tax = json_bool(body, "with_tax", JSON_OPTIONAL, preview->list.with_tax);
    preview->list.step_micros = json_money(body, "step", JSON_OPTIONAL, 1, PRICE_MAX,
                                           preview->list.step_micros);
    preview->list.ending_micros = json_money(body, "ending", JSON_OPTIONAL, 0, PRICE_MAX,
                                             preview->list.ending_micros);
    if (preview->list.ending_micros > 0 && preview->list.ending_micros >= preview->list.step_micros)
        json_fault(body, "ending", "must be under the step that prices go by");
}

static bool read_preview(struct request *request, struct preview *preview)
{
    struct json_node root;
    struct json_object body;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    preview->cost_micros = json_money(&body, "cost_each", JSON_REQUIRED, 0, PRICE_MAX, 0);
    preview->ingredients_micros = json_money(&body, "ingredients_each", JSON_OPTIONAL, 0, PRICE_MAX,
                                             preview->cost_micros);
    preview->product.tax_pct = json_decimal(&body, "tax_pct", JSON_OPTIONAL, PERCENT_PLACES, 0,
                                            PERCENT_MAX, 0);
    target_read(&body, &preview->product.target, &preview->product.target_pct);
    preview->price.known = json_has(&body, "price");
    preview->price.micros = json_money(&body, "price", JSON_OPTIONAL, 1, PRICE_MAX, 1);
    if (preview->price.known == (preview->product.target != TARGET_NONE))
        fail_add(&request->fails, FAIL_INVALID, "", "must have exactly one of target and price");
    if (!price_list_find(request, "/list", json_code(&body, "list", JSON_OPTIONAL), &preview->list))
        return false;
    read_list(&body, preview);
    return json_object_close(&body);
}

static bool reckon(struct request *request, const struct preview *preview,
                   struct price_figures *figures, int *places)
{
    struct bakery bakery;
    if (!bakery_get(request->tx, &bakery)) return false;
    *places = bakery.currency != NULL ? currency_places(bakery.currency) : 2;
    bool fits = preview->price.known
                    ? price_figures_of(&preview->list, preview->price.micros,
                                       preview->product.tax_pct, preview->cost_micros,
                                       preview->ingredients_micros, figures)
                    : price_proposed(&preview->list, *places, &preview->product,
                                     preview->cost_micros, preview->ingredients_micros, figures);
    return fits || fail_add(&request->fails, FAIL_INVALID, "", "no price comes to that");
}

bool preview_price(struct request *request)
{
    struct preview preview = {0};
    struct price_figures figures;
    int places;
    if (!read_preview(request, &preview) || !reckon(request, &preview, &figures, &places))
        return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    figures_write(json, &figures, places);
    json_put_decimal(json, "tax_pct", preview.product.tax_pct, PERCENT_PLACES);
    json_close(json);
    reply_etag(request);
    return true;
}
