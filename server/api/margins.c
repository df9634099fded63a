/* /margins: what every product earns, those that fell under their target since a month before
 * first. */
#include "api/cost_day.h"
#include "api/handlers.h"
#include "api/money.h"
#include "api/price_in_force.h"
#include "api/price_lists.h"
#include "api/pricing_body.h"
#include "bakery/amount.h"
#include "base/decimal.h"
#include "store/rates.h"

enum { DAYS_BEFORE = 30 };

/* What one product earns on two days. */
struct margin {
    size_t product;
    const struct product_costing *costing;
    struct priced now, before;
};

/* 0: fell under the target since the day before; 1: is under it; 2: the rest. */
static int urgency(const struct margin *margin)
{
    bool now = margin->now.in_force != NULL && margin->now.under_target;
    bool was_known = margin->before.in_force != NULL && margin->before.in_force->has_margin;
    if (!now) return 2;
    return margin->before.under_target || !was_known;
}

static bool price_all(struct request *request, struct cost_day *at, const struct price_list *list,
                      date day, struct margin *margins, bool before)
{
    struct product_costing *costings;
    size_t count;
    struct money nothing_asked = {0};
    if (!price_book_turn(&at->book, day) || !rates_on(request->tx, day, &at->rates) ||
        !costing_of(&at->costing, NOT_FOUND, &costings, &count))
        return false;
    const struct price_in_force *prices = prices_in_force(request, &at->day, list, day);
    if (prices == NULL) return false;
    for (size_t i = 0; i < count; i++) {
        size_t p = costings[i].product;
        struct margin *margin = &margins[p];
        margin->product = p;
        if (!before) margin->costing = &costings[i];
        if (!priced_of(&at->day, &prices[p], &at->day.catalogue.products[p], &costings[i], 1,
                       nothing_asked, before ? &margin->before : &margin->now))
            return fail_add(&request->fails, FAIL_INVALID, "", "a price is out of all range");
    }
    return true;
}

static void write_margin(struct json_writer *json, const struct cost_day *at,
                         const struct margin *margin)
{
    const struct product *product = &at->day.catalogue.products[margin->product];
    const struct price_figures *now = margin->now.in_force, *before = margin->before.in_force;
    int places = at->day.money_places;
    json_open_object(json, NULL);
    json_put_text(json, "product", product->code);
    json_put_text(json, "name", product->name);
    money_write_known(json, "cost_each", margin->costing->each_micros, margin->costing->known,
                      places);
    money_write_known(json, "price", now ? now->price_micros : 0, now != NULL, places);
    percent_write_known(json, "margin_pct", now ? now->margin_pct : 0, now && now->has_margin);
    percent_write_known(json, "margin_before_pct", before ? before->margin_pct : 0,
                        before && before->has_margin);
    target_write(json, product->target, product->target_pct);
    json_put_bool(json, "under_target", now != NULL && margin->now.under_target);
    json_put_bool(json, "fell", urgency(margin) == 0);
    json_put_whole(json, "missing", (int64_t)margin->costing->missing_count);
    json_close(json);
}

static void write_items(struct json_writer *json, const struct cost_day *at,
                        const struct margin *margins)
{
    json_open_list(json, "items");
    for (int pass = 0; pass <= 2; pass++)
        for (size_t p = 0; p < at->day.catalogue.product_count; p++)
            if (margins[p].costing != NULL && urgency(&margins[p]) == pass)
                write_margin(json, at, &margins[p]);
    json_close(json);
}

bool list_margins(struct request *request)
{
    struct cost_day at;
    struct price_list list;
    if (!price_list_find(request, "", request_query(request, "list"), &list) ||
        !cost_day_of_query(request, &at))
        return false;
    date day = at.costing.bread_day;
    struct margin *margins = amount_memory(&at.day.reckoning, at.day.catalogue.product_count,
                                           sizeof *margins);
    if (margins == NULL || !price_all(request, &at, &list, day - DAYS_BEFORE, margins, true) ||
        !price_all(request, &at, &list, day, margins, false))
        return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_date(json, "date", day);
    json_put_date(json, "month_before", day - DAYS_BEFORE);
    json_put_text(json, "list", list.code);
    write_items(json, &at, margins);
    json_close(json);
    reply_etag(request);
    return true;
}
