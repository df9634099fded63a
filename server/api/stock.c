/* /stock: what there is of each ingredient, what of it is free, how long it lasts, and its worth.
 */
#include "api/amount_body.h"
#include "api/handlers.h"
#include "api/lot_body.h"
#include "api/money.h"
#include "api/stock_outlook.h"
#include "api/stock_worth.h"
#include "bakery/catalogue.h"
#include "bakery/lot_cost.h"
#include "bakery/stock_past.h"
#include "base/arena.h"
#include "store/ingredient.h"
#include "store/stock_use.h"
#include "store/supply.h"

#include <stdlib.h>

enum { PAST_DAYS = 28 };

struct stock_view {
    struct day day;
    struct stock_outlook outlook;
    date on;
    date by; /* the last day whose movements count; now: DATE_LAST unless a day was asked for */
    bool now;
    const struct ledger_value *worth; /* per ingredient of the catalogue; NULL: not to be told */
};

/* --- worth --- */

static bool load_worth(struct request *request, struct stock_view *view)
{
    bool any;
    size_t count = view->day.catalogue.ingredient_count;
    if (request->role < ROLE_OWNER) return true;
    struct ledger_value *worth = arena_array(request->arena, count, sizeof *worth);
    if (worth == NULL) return fail_memory(&request->fails);
    view->worth = worth;
    return stock_worth_load(request, &view->day, view->by, worth, &any);
}

static void write_worth(struct json_writer *json, const struct stock_view *view, struct money fifo,
                        struct money average)
{
    int places = view->day.money_places;
    money_write_known(json, "fifo_value", fifo.micros, fifo.known, places);
    money_write_known(json, "average_value", average.micros, average.known, places);
}

static void write_item_worth(struct json_writer *json, const struct stock_view *view,
                             size_t ingredient)
{
    if (view->worth == NULL) return;
    write_worth(json, view, view->worth[ingredient].fifo, view->worth[ingredient].average);
}

static void write_total_worth(struct json_writer *json, const struct stock_view *view)
{
    struct money fifo = {.known = true}, average = {.known = true};
    if (view->worth == NULL) return;
    for (size_t i = 0; i < view->day.catalogue.ingredient_count; i++) {
        fifo = money_sum(fifo, view->worth[i].fifo);
        average = money_sum(average, view->worth[i].average);
    }
    write_worth(json, view, fifo, average);
}

/* --- one ingredient --- */

static void write_head(struct json_writer *json, const struct ingredient *ingredient)
{
    json_put_text(json, "ingredient", ingredient->code);
    json_put_text(json, "name", ingredient->name);
    json_put_text(json, "kind", ingredient_kinds[ingredient->kind]);
    json_put_text(json, "unit", ingredient_units[ingredient->unit]);
}

/* What is known of now alone: known false writes null. */
static void write_outlook(struct json_writer *json, enum ingredient_unit unit,
                          const struct stock_item *item, bool known)
{
    const struct {
        const char *stem;
        int64_t amount;
        bool known;
    } amounts[] = {{"spoken_for", item->spoken_for, known},
                   {"free", item->unspoken, known},
                   {"on_order", item->on_order, known},
                   {"usual_week", item->usual.week, known && item->usual.known}};
    amount_write_or_null(json, "usable", unit, item->usable, known);
    amount_write_or_null(json, "held", unit, item->held, known);
    amount_write_or_null(json, "expired", unit, item->expired, known);
    json_put_date_or_null(json, "next_best_before", item->best_before,
                          known && item->has_best_before);
    for (size_t i = 0; i < sizeof amounts / sizeof *amounts; i++)
        amount_write_or_null(json, amounts[i].stem, unit, amounts[i].amount, amounts[i].known);
    json_put_whole_or_null(json, "cover_days", item->cover_days, known && item->runs);
    json_put_date_or_null(json, "runs_out", item->runs_out, known && item->runs);
}

static void write_item(struct json_writer *json, const struct stock_view *view,
                       const struct stock_item *item)
{
    const struct ingredient *ingredient = &view->day.catalogue.ingredients[item->ingredient];
    write_head(json, ingredient);
    amount_write(json, "", ingredient->unit, item->on_hand);
    write_outlook(json, ingredient->unit, item, view->now);
    write_item_worth(json, view, item->ingredient);
}

/* --- all of them --- */

static bool read_on(struct request *request, struct stock_view *view)
{
    const char *text = request_query(request, "on");
    if (text == NULL) return true;
    if (!date_parse(text, &view->on))
        return fail_add(&request->fails, FAIL_INVALID, "", "on must be a day as YYYY-MM-DD");
    view->by = view->on;
    view->now = view->on >= working_day(&view->day.reckoning, instant_now());
    return true;
}

/* The amounts at the end of a past day, as items without an outlook. */
static bool load_past(struct request *request, struct stock_view *view)
{
    struct stock_balance *balances;
    size_t count;
    if (!stock_balances_load(request->tx, &view->day.catalogue, view->on, &balances, &count))
        return false;
    view->outlook.items = arena_array(request->arena, count, sizeof *view->outlook.items);
    if (view->outlook.items == NULL) return fail_memory(&request->fails);
    view->outlook.count = count;
    for (size_t i = 0; i < count; i++)
        view->outlook.items[i] = (struct stock_item){.ingredient = balances[i].ingredient,
                                                     .on_hand = balances[i].amount};
    return true;
}

static bool load(struct request *request, struct stock_view *view)
{
    *view = (struct stock_view){.now = true, .by = DATE_LAST};
    if (!day_open(request, &view->day) || !read_on(request, view)) return false;
    if (!view->now) return load_past(request, view) && load_worth(request, view);
    if (!stock_outlook_load(request, &view->day, view->by, &view->outlook)) return false;
    if (view->by == DATE_LAST) view->on = view->outlook.today;
    return load_worth(request, view);
}

bool list_stock(struct request *request)
{
    struct stock_view view;
    if (!load(request, &view)) return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_date(json, "on", view.on);
    json_put_bool(json, "as_of_today", view.now);
    json_open_list(json, "items");
    for (size_t i = 0; i < view.outlook.count; i++) {
        json_open_object(json, NULL);
        write_item(json, &view, &view.outlook.items[i]);
        json_close(json);
    }
    json_close(json);
    write_total_worth(json, &view);
    json_put_null(json, "next");
    json_close(json);
    reply_etag(request);
    return true;
}

/* --- one, with its lots and its course --- */

static bool find_item(struct request *request, const struct stock_view *view,
                      const struct stock_item **item)
{
    const char *code = request_param(request, "ingredient");
    size_t ingredient = catalogue_ingredient(&view->day.catalogue, code);
    if (ingredient == NOT_FOUND)
        return fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no ingredient %s", code);
    for (size_t i = 0; i < view->outlook.count; i++)
        if (view->outlook.items[i].ingredient == ingredient) {
            *item = &view->outlook.items[i];
            return true;
        }
    return fail_add(&request->fails, FAIL_NOT_FOUND, "", "no stock is kept of %s",
                    view->day.catalogue.ingredients[ingredient].name);
}

static void write_supply(struct json_writer *json, enum ingredient_unit unit,
                         const struct supply *supply)
{
    json_open_object(json, "supply");
    json_put_text(json, "supplier", supply->supplier);
    amount_write_or_null(json, "pack", unit, supply->pack, supply->pack > 0);
    json_put_text(json, "place", supply->place);
    json_close(json);
}

static void write_lot(struct json_writer *json, const struct stock_view *view,
                      enum ingredient_unit unit, const struct lot *lot)
{
    date day = view->outlook.calendar;
    bool expired = best_before_passed(lot->has_best_before, lot->best_before, day);
    json_open_object(json, NULL);
    json_put_whole(json, "lot", lot->number);
    json_put_text(json, "lot_mark", lot->lot_mark);
    json_put_text(json, "supplier_name", lot->supplier_name);
    json_put_date(json, "received_on", lot->received_on);
    json_put_date_or_null(json, "best_before", lot->best_before, lot->has_best_before);
    json_put_bool(json, "expired", expired);
    json_put_bool(json, "soon",
                  lot->has_best_before && !expired && lot->best_before <= day + SOON_DAYS);
    json_put_bool(json, "held", lot->held);
    amount_write(json, "left", unit, lot->left);
    lot_places_write(json, unit, lot);
    json_close(json);
}

/* In the order in which they are taken. */
static int by_order(const void *left, const void *right, void *day)
{
    return lot_order(left, right, *(const date *)day);
}

static bool write_lots(struct request *request, struct json_writer *json,
                       const struct stock_view *view, const struct ingredient *ingredient)
{
    struct lot_filter filter = {.ingredient = ingredient->code, .left = true};
    struct lot *lots;
    size_t count;
    if (!lot_select(request->tx, &filter, &lots, &count)) return false;
    date day = view->outlook.calendar;
    qsort_r(lots, count, sizeof *lots, by_order, &day);
    json_open_list(json, "lots");
    for (size_t i = 0; i < count; i++)
        write_lot(json, view, ingredient->unit, &lots[i]);
    json_close(json);
    return true;
}

static void write_course_day(struct json_writer *json, enum ingredient_unit unit,
                             const struct past_day *day, int64_t lacking, bool expected)
{
    json_open_object(json, NULL);
    json_put_date(json, "date", day->date);
    amount_write(json, "left", unit, day->left);
    amount_write(json, "in", unit, day->in);
    amount_write(json, "out", unit, day->out);
    amount_write(json, "delivered", unit, day->received);
    amount_write(json, "lacking", unit, lacking);
    json_put_bool(json, "expected", expected);
    json_close(json);
}

static bool write_course(struct request *request, struct json_writer *json,
                         const struct stock_view *view, const struct stock_item *item)
{
    const struct ingredient *ingredient = &view->day.catalogue.ingredients[item->ingredient];
    struct moved_sum *sums;
    size_t count;
    struct past_day past[PAST_DAYS];
    date first = view->outlook.today - PAST_DAYS;
    if (!moved_sums_load(request->tx, &view->day.catalogue, ingredient->code, first, DATE_LAST,
                         &sums, &count) ||
        !past_course_of(&view->day.reckoning, item->on_hand, sums, count, first, PAST_DAYS, past))
        return false;
    json_open_list(json, "course");
    for (size_t i = 0; i < PAST_DAYS; i++)
        write_course_day(json, ingredient->unit, &past[i], 0, false);
    for (size_t i = 0; i < OUTLOOK_DAYS; i++) {
        const struct course_day *day = &item->course[i];
        struct past_day shown = {day->date, day->left, day->delivered, day->use, day->delivered};
        write_course_day(json, ingredient->unit, &shown, day->lacking, true);
    }
    json_close(json);
    return true;
}

bool get_stock(struct request *request)
{
    struct stock_view view = {.now = true, .by = DATE_LAST};
    const struct stock_item *item = NULL;
    struct supply supply;
    if (!stock_outlook_load(request, &view.day, DATE_LAST, &view.outlook) ||
        !find_item(request, &view, &item) || !load_worth(request, &view))
        return false;
    const struct ingredient *ingredient = &view.day.catalogue.ingredients[item->ingredient];
    if (!supply_in_force(request->tx, ingredient->code, view.outlook.calendar, &supply))
        return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    write_item(json, &view, item);
    write_supply(json, ingredient->unit, &supply);
    if (!write_lots(request, json, &view, ingredient) || !write_course(request, json, &view, item))
        return false;
    json_close(json);
    reply_etag(request);
    return true;
}
