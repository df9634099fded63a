/* /stock-values: what the stock was worth, what came and what went, between two days. */
#include "api/amount_body.h"
#include "api/cost_day.h"
#include "api/handlers.h"
#include "api/money.h"
#include "api/query.h"
#include "bakery/amount.h"
#include "store/ingredient.h"
#include "store/ledger.h"

struct span {
    date from, to;
};

/* This month so far, unless told. */
static bool read_span(struct request *request, date today, struct span *span)
{
    int year, month, day;
    date_to_civil(today, &year, &month, &day);
    *span = (struct span){date_from_civil(year, month, 1), today};
    if (!query_date(request, "from", &span->from) || !query_date(request, "to", &span->to))
        return false;
    return span->from <= span->to ||
           fail_add(&request->fails, FAIL_INVALID, "", "from must not be after to");
}

/* The flows in the order in which they add up. */
static const struct step {
    const char *name;
    size_t at; /* in struct ledger_flow */
} steps[] = {{"opening", offsetof(struct ledger_flow, opening)},
             {"received", offsetof(struct ledger_flow, received)},
             {"returned", offsetof(struct ledger_flow, returned)},
             {"used", offsetof(struct ledger_flow, used)},
             {"wasted", offsetof(struct ledger_flow, wasted)},
             {"counted", offsetof(struct ledger_flow, counted)},
             {"closing", offsetof(struct ledger_flow, closing)}};

/* ingredient NULL: of everything, which has no amount. */
static void write_flow(struct json_writer *json, const struct day *day,
                       const struct ingredient *ingredient, const struct ledger_flow *flow)
{
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        const struct ledger_value *value = (const void *)((const char *)flow + steps[i].at);
        json_open_object(json, steps[i].name);
        if (ingredient != NULL) amount_write(json, "", ingredient->unit, value->amount);
        money_write_known(json, "fifo", value->fifo.micros, value->fifo.known, day->money_places);
        money_write_known(json, "average", value->average.micros, value->average.known,
                          day->money_places);
        json_close(json);
    }
}

static void write_item(struct json_writer *json, const struct day *day,
                       const struct ingredient *ingredient, const struct ledger_flow *flow)
{
    json_open_object(json, NULL);
    json_put_text(json, "ingredient", ingredient->code);
    json_put_text(json, "name", ingredient->name);
    json_put_text(json, "unit", ingredient_units[ingredient->unit]);
    write_flow(json, day, ingredient, flow);
    json_close(json);
}

/* The flows of every ingredient, and of all of them. */
static bool reckon(struct request *request, const struct day *day, const struct span *span,
                   const struct ledger *ledgers, struct ledger_flow *flows,
                   struct ledger_flow *total)
{
    static const struct ledger nothing;
    if (!ledger_between(&nothing, request->arena, &request->fails, span->from, span->to, total))
        return false;
    for (size_t i = 0; i < day->catalogue.ingredient_count; i++)
        if (!ledger_between(&ledgers[i], request->arena, &request->fails, span->from, span->to,
                            &flows[i]) ||
            !ledger_flow_add(total, &flows[i], &request->fails))
            return false;
    return true;
}

static void write_values(struct json_writer *json, const struct day *day, const struct span *span,
                         const struct ledger *ledgers, const struct ledger_flow *flows,
                         const struct ledger_flow *total)
{
    json_open_object(json, NULL);
    json_put_date(json, "from", span->from);
    json_put_date(json, "to", span->to);
    json_open_list(json, "items");
    for (size_t i = 0; i < day->catalogue.ingredient_count; i++)
        if (ledgers[i].lot_count > 0)
            write_item(json, day, &day->catalogue.ingredients[i], &flows[i]);
    json_close(json);
    json_open_object(json, "totals");
    write_flow(json, day, NULL, total);
    json_close(json);
    json_close(json);
}

bool get_stock_values(struct request *request)
{
    struct day day;
    struct span span;
    struct ledger_flow total;
    if (!day_open(request, &day) || !read_span(request, today_of(&day), &span)) return false;
    const struct ledger *ledgers = ledgers_load(request->tx, &day.catalogue, NULL, span.to);
    struct ledger_flow *flows = amount_memory(&day.reckoning, day.catalogue.ingredient_count,
                                              sizeof *flows);
    if (ledgers == NULL || flows == NULL || !reckon(request, &day, &span, ledgers, flows, &total))
        return false;
    write_values(reply_json(request, 200), &day, &span, ledgers, flows, &total);
    reply_etag(request);
    return true;
}
