/* /products/{code}/pricing: tax, and what the price is worked out from. */
#include "api/handlers.h"
#include "api/limits.h"
#include "api/pricing_body.h"
#include "api/resource.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "store/bakery.h"
#include "store/history.h"
#include "store/product.h"

#define TAX_MAX INT64_C(10000000) /* 1,000 % */

static void write_pricing(struct json_writer *json, const char *product,
                          const struct product_pricing *pricing)
{
    json_open_object(json, NULL);
    json_put_text(json, "product", product);
    json_put_decimal(json, "tax_pct", pricing->tax_pct, PERCENT_PLACES);
    target_write(json, pricing->target, pricing->target_pct);
    json_close(json);
}

static bool answer(struct request *request, int status, const char *product,
                   const struct product_pricing *pricing)
{
    write_pricing(reply_json(request, status), product, pricing);
    if (pricing->revision > 0)
        reply_revision(request, pricing->revision);
    else
        reply_etag(request);
    return true;
}

static bool find(struct request *request, const char **product, struct product_pricing *pricing)
{
    struct selection one = {.code = request_param(request, "code")};
    struct product *items;
    size_t count;
    *product = one.code;
    if (!product_select(request->tx, &one, &items, &count)) return false;
    if (count == 0)
        return fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no product %s", one.code);
    return product_pricing_get(request->tx, one.code, pricing);
}

bool get_product_pricing(struct request *request)
{
    const char *product;
    struct product_pricing pricing;
    return find(request, &product, &pricing) && answer(request, 200, product, &pricing);
}

static bool read_pricing(struct request *request, struct product_pricing *pricing)
{
    struct json_node root;
    struct json_object body;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    pricing->tax_pct = json_decimal(&body, "tax_pct", JSON_OPTIONAL, PERCENT_PLACES, 0, TAX_MAX, 0);
    target_read(&body, &pricing->target, &pricing->target_pct);
    return json_object_close(&body);
}

static bool keep_history(struct request *request, const char *product,
                         const struct product_pricing *pricing)
{
    struct text text;
    struct json_writer json;
    text_init(&text, request->arena, 4096);
    json_writer_init(&json, &text);
    write_pricing(&json, product, pricing);
    return text_ok(&text) &&
           history_add(request->tx, "pricing", product, pricing->revision, text.data);
}

bool put_product_pricing(struct request *request)
{
    const char *product;
    struct product_pricing old, pricing = {0};
    if (!bakery_lock(request->tx) || !find(request, &product, &old) ||
        !precondition_holds(request, old.revision > 0, old.revision) ||
        !read_pricing(request, &pricing))
        return false;
    return product_pricing_put(request->tx, product, &pricing) &&
           keep_history(request, product, &pricing) &&
           answer(request, old.revision > 0 ? 200 : 201, product, &pricing);
}
