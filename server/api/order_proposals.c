/* /order-proposals: what to order from whom, so that it lasts until the delivery after the next. */
#include "api/amount_body.h"
#include "api/handlers.h"
#include "api/money.h"
#include "api/stock_outlook.h"
#include "api/weekdays.h"
#include "bakery/amount.h"
#include "bakery/purchase.h"
#include "bakery/reorder.h"
#include "base/arena.h"
#include "store/ingredient.h"
#include "store/price.h"
#include "store/supplier.h"
#include "store/supply.h"

#include <string.h>

enum { AHEAD_DAYS = 31 }; /* that may be asked about */

/* Everybody delivers the next day, until somebody says otherwise. */
static const struct supplier nobody = {.lead_days = 1, .order_days = EVERY_DAY};

struct proposals {
    struct day day;
    struct stock_outlook outlook;
    date on;
    const struct supply *supplies; /* per ingredient of the catalogue */
    struct supplier *suppliers;
    size_t supplier_count;
    struct reorder *reorders; /* per item of the outlook */
    const struct supplier **from;
    struct money *costs; /* of the supplier that is written */
};

/* --- loading --- */

static bool read_on(struct request *request, struct proposals *at)
{
    const char *text = request_query(request, "on");
    at->on = at->outlook.calendar;
    if (text == NULL) return true;
    if (!date_parse(text, &at->on))
        return fail_add(&request->fails, FAIL_INVALID, "", "on must be a day as YYYY-MM-DD");
    return (at->on >= at->outlook.calendar && at->on <= at->outlook.calendar + AHEAD_DAYS) ||
           fail_add(&request->fails, FAIL_INVALID, "",
                    "on must be today or one of the %d days after it", (int)AHEAD_DAYS);
}

static bool load(struct request *request, struct proposals *at)
{
    struct selection all = {0};
    if (!stock_outlook_load(request, &at->day, DATE_LAST, &at->outlook) || !read_on(request, at) ||
        !price_load(request->tx, &at->day.catalogue, at->on) ||
        !supplier_select(request->tx, &all, &at->suppliers, &at->supplier_count))
        return false;
    at->supplies = supplies_load(request->tx, &at->day.catalogue, at->on);
    at->reorders = arena_array(request->arena, at->outlook.count, sizeof *at->reorders);
    at->from = arena_array(request->arena, at->outlook.count, sizeof *at->from);
    at->costs = arena_array(request->arena, at->outlook.count, sizeof *at->costs);
    if (arena_failed(request->arena)) return fail_memory(&request->fails);
    return at->supplies != NULL;
}

static const struct supplier *supplier_of(const struct proposals *at, size_t ingredient)
{
    const char *code = at->supplies[ingredient].supplier;
    for (size_t i = 0; code != NULL && i < at->supplier_count; i++)
        if (strcmp(at->suppliers[i].code, code) == 0) return &at->suppliers[i];
    return &nobody;
}

static struct delivery_days days_of(const struct proposals *at, const struct supplier *supplier)
{
    return delivery_days_of(supplier->order_days, supplier->lead_days, at->on);
}

static bool propose(struct proposals *at)
{
    for (size_t i = 0; i < at->outlook.count; i++) {
        const struct stock_item *item = &at->outlook.items[i];
        const struct supply *supply = &at->supplies[item->ingredient];
        at->from[i] = supplier_of(at, item->ingredient);
        struct delivery_days when = days_of(at, at->from[i]);
        struct reorder_case of = {.usable = item->usable,
                                  .on_order = item->on_order,
                                  .course = item->course,
                                  .course_days = OUTLOOK_DAYS,
                                  .usual = &item->usual,
                                  .service_pct = supply->service_pct,
                                  .pack = supply->pack};
        if (!reorder_of(&of, &when, &at->reorders[i])) return amount_too_large(&at->day.reckoning);
    }
    return true;
}

/* --- writing --- */

static void write_line(struct json_writer *json, const struct proposals *at, size_t i)
{
    const struct stock_item *item = &at->outlook.items[i];
    const struct ingredient *ingredient = &at->day.catalogue.ingredients[item->ingredient];
    const struct reorder *reorder = &at->reorders[i];
    enum ingredient_unit unit = ingredient->unit;
    int64_t pack = at->supplies[item->ingredient].pack;
    json_put_text(json, "ingredient", ingredient->code);
    json_put_text(json, "name", ingredient->name);
    json_put_text(json, "unit", ingredient_units[unit]);
    amount_write(json, "position", unit, reorder->position);
    amount_write(json, "expected", unit, reorder->expected);
    amount_write(json, "safety", unit, reorder->safety);
    amount_write(json, "reorder_point", unit, reorder->reorder_point);
    amount_write(json, "lacking", unit, reorder->lacking);
    json_put_whole_or_null(json, "packs", reorder->packs, pack > 0);
    amount_write_or_null(json, "pack", unit, pack, pack > 0);
    amount_write(json, "", unit, reorder->amount);
    json_put_date_or_null(json, "runs_out", item->runs_out, item->runs);
}

static bool write_lines(struct request *request, struct proposals *at,
                        const struct supplier *supplier, size_t *count)
{
    struct json_writer *json = &request->reply.json;
    *count = 0;
    json_open_list(json, "lines");
    for (size_t i = 0; i < at->outlook.count; i++) {
        size_t ingredient = at->outlook.items[i].ingredient;
        struct money *cost = &at->costs[*count];
        if (at->from[i] != supplier || at->reorders[i].lacking == 0) continue;
        if (!purchase_cost(&at->day.reckoning, &at->day.catalogue.prices[ingredient],
                           at->day.catalogue.ingredients[ingredient].unit, at->reorders[i].amount,
                           cost))
            return false;
        json_open_object(json, NULL);
        write_line(json, at, i);
        if (request->role >= ROLE_OWNER) money_write(json, "cost", *cost);
        json_close(json);
        (*count)++;
    }
    json_close(json);
    return true;
}

static bool write_costs(struct request *request, const struct proposals *at,
                        const struct supplier *supplier, size_t count)
{
    struct json_writer *json = &request->reply.json;
    struct money total;
    if (request->role < ROLE_OWNER) return true;
    if (!purchase_total(&at->day.reckoning, at->costs, count, &total)) return false;
    money_write(json, "cost", total);
    money_write(json, "under_minimum_by", purchase_under(total, supplier->minimum_order_micros));
    return true;
}

static void write_supplier(struct json_writer *json, const struct proposals *at,
                           const struct supplier *supplier)
{
    struct delivery_days when = days_of(at, supplier);
    json_put_text(json, "supplier", supplier->code);
    json_put_text(json, "name", supplier->name);
    json_put_text(json, "phone", supplier->phone);
    json_put_text(json, "email", supplier->email);
    json_put_date(json, "order_on", when.order_on);
    json_put_date(json, "due_on", when.due_on);
    json_put_date(json, "next_due", when.next_due);
    money_write_known(json, "minimum_order", supplier->minimum_order_micros,
                      supplier->minimum_order_micros > 0, MONEY_LEAST_PLACES);
}

static bool write_proposal(struct request *request, struct proposals *at,
                           const struct supplier *supplier)
{
    struct json_writer *json = &request->reply.json;
    size_t count;
    bool any = false;
    for (size_t i = 0; i < at->outlook.count; i++)
        any = any || (at->from[i] == supplier && at->reorders[i].lacking > 0);
    if (!any) return true;
    json_open_object(json, NULL);
    write_supplier(json, at, supplier);
    if (!write_lines(request, at, supplier, &count) || !write_costs(request, at, supplier, count))
        return false;
    json_close(json);
    return true;
}

/* By code of the supplier; what nobody is known to sell stands last. */
bool get_order_proposals(struct request *request)
{
    struct proposals at = {0};
    if (!load(request, &at) || !propose(&at)) return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_date(json, "on", at.on);
    json_open_list(json, "suppliers");
    for (size_t i = 0; i < at.supplier_count; i++)
        if (!write_proposal(request, &at, &at.suppliers[i])) return false;
    if (!write_proposal(request, &at, &nobody)) return false;
    json_close(json);
    json_close(json);
    reply_etag(request);
    return true;
}
