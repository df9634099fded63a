/* Lots and deliveries on the wire. */
#include "api/lot_body.h"

#include "api/amount_body.h"
#include "api/money.h"
#include "bakery/catalogue.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "http/request.h"
#include "store/ingredient.h"

static void write_price(struct request *request, struct json_writer *json, const struct day *day,
                        const struct lot *lot)
{
    if (request->role == ROLE_OWNER)
        json_put_money_or_null(json, "price", lot->price.micros, day->money_places,
                               lot->price.known);
}

/* --- lots --- */

static void write_origin(struct json_writer *json, const struct lot *lot)
{
    json_put_text(json, "supplier", lot->supplier);
    json_put_text(json, "supplier_name", lot->supplier_name);
    json_put_date(json, "received_on", lot->received_on);
    json_put_whole(json, "delivery", lot->posting);
    json_put_text(json, "delivery_note", lot->delivery_note);
}

static void write_state(struct json_writer *json, const struct day *day, const struct lot *lot)
{
    json_put_text(json, "lot_mark", lot->lot_mark);
    json_put_date_or_null(json, "best_before", lot->best_before, lot->has_best_before);
    json_put_bool(json, "expired",
                  best_before_passed(lot->has_best_before, lot->best_before, today_of(day)));
    json_put_decimal_or_null(json, "c", lot->temperature.c, TEMPERATURE_PLACES,
                             lot->temperature.known);
    json_put_text(json, "damage", lot->damage);
    json_put_bool(json, "held", lot->held);
    json_put_text(json, "note", lot->note);
}

void lot_places_write(struct json_writer *json, enum ingredient_unit unit, const struct lot *lot)
{
    json_open_list(json, "places");
    for (size_t i = 0; i < lot->place_count; i++) {
        json_open_object(json, NULL);
        json_put_text(json, "place", lot->places[i].place);
        amount_write(json, "", unit, lot->places[i].amount);
        json_close(json);
    }
    json_close(json);
}

void lot_write(struct request *request, struct json_writer *json, const struct day *day,
               const struct lot *lot)
{
    const struct ingredient *ingredient = catalogue_ingredient_of(&day->catalogue, lot->ingredient);
    json_open_object(json, NULL);
    json_put_whole(json, "lot", lot->number);
    json_put_text(json, "ingredient", ingredient->code);
    json_put_text(json, "name", ingredient->name);
    json_put_text(json, "unit", ingredient_units[ingredient->unit]);
    write_origin(json, lot);
    write_state(json, day, lot);
    amount_write(json, "received", ingredient->unit, lot->received);
    amount_write(json, "left", ingredient->unit, lot->left);
    amount_write_or_null(json, "pack", ingredient->unit, lot->pack, lot->pack > 0);
    write_price(request, json, day, lot);
    lot_places_write(json, ingredient->unit, lot);
    json_close(json);
}

/* --- deliveries --- */

static void write_line(struct request *request, struct json_writer *json, const struct day *day,
                       const struct lot *lot, const char *place)
{
    const struct ingredient *ingredient = catalogue_ingredient_of(&day->catalogue, lot->ingredient);
    json_open_object(json, NULL);
    json_put_whole(json, "lot", lot->number);
    json_put_text(json, "ingredient", ingredient->code);
    json_put_text(json, "name", ingredient->name);
    amount_write(json, "", ingredient->unit, lot->received);
    write_price(request, json, day, lot);
    amount_write_or_null(json, "pack", ingredient->unit, lot->pack, lot->pack > 0);
    json_put_text(json, "lot_mark", lot->lot_mark);
    json_put_date_or_null(json, "best_before", lot->best_before, lot->has_best_before);
    json_put_text(json, "place", place);
    json_put_decimal_or_null(json, "c", lot->temperature.c, TEMPERATURE_PLACES,
                             lot->temperature.known);
    json_put_text(json, "damage", lot->damage);
    json_close(json);
}

/* The place that a lot came to. */
static const char *place_of(const struct moved *moved, size_t count, int64_t lot)
{
    for (size_t i = 0; i < count; i++)
        if (moved[i].lot == lot) return moved[i].place;
    return NULL;
}

static void write_head(struct json_writer *json, const struct day *day,
                       const struct posting *posting, const struct lot *lots, size_t count)
{
    const char *name = count > 0 ? lots[0].supplier_name : NULL;
    json_put_whole(json, "number", posting->number);
    json_put_date(json, "date", posting->date);
    json_put_instant(json, "at", posting->at, day->reckoning.zone);
    json_put_text(json, "by", posting->by);
    json_put_text(json, "supplier", posting->supplier);
    json_put_text(json, "supplier_name", name);
    json_put_text(json, "delivery_note", posting->delivery_note);
    json_put_whole_or_null(json, "purchase_order", posting->purchase_order,
                           posting->purchase_order > 0);
    json_put_text(json, "note", posting->reason);
    json_put_whole_or_null(json, "reversed_by", posting->reversed_by, posting->reversed_by > 0);
}

bool deliveries_write(struct request *request, struct json_writer *json, const struct day *day,
                      const struct posting *postings, size_t count)
{
    struct lot *lots;
    struct moved *moved;
    size_t lot_count, moved_count, at = 0;
    int64_t *numbers = arena_array(request->arena, count, sizeof *numbers);
    if (numbers == NULL) return fail_memory(&request->fails);
    for (size_t i = 0; i < count; i++)
        numbers[i] = postings[i].number;
    struct lot_filter filter = {.postings = numbers, .posting_count = count};
    if (!lot_select(request->tx, &filter, &lots, &lot_count) ||
        !moved_select(request->tx, numbers, count, &moved, &moved_count))
        return false;
    for (size_t i = 0; i < count; i++) {
        size_t of = 0;
        while (at + of < lot_count && lots[at + of].posting == postings[i].number)
            of++;
        json_open_object(json, NULL);
        write_head(json, day, &postings[i], &lots[at], of);
        json_open_list(json, "lines");
        for (size_t k = of; k > 0; k--)
            write_line(request, json, day, &lots[at + k - 1],
                       place_of(moved, moved_count, lots[at + k - 1].number));
        json_close(json);
        json_close(json);
        at += of;
    }
    return true;
}
