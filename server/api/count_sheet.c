/* /count-sheet: everything that is to be counted, as one walks from place to place. */
#include "api/amount_body.h"
#include "api/handlers.h"
#include "api/reckon.h"
#include "bakery/catalogue.h"
#include "base/arena.h"
#include "store/ingredient.h"
#include "store/lot.h"
#include "store/stock.h"
#include "store/supply.h"

#include <stdlib.h>
#include <string.h>

struct sheet_row {
    const struct ingredient *ingredient;
    const struct lot *lot; /* NULL: no stock is kept of it yet */
    const char *place;
    int64_t expected;
    int64_t pack;
};

struct count_sheet {
    struct sheet_row *rows;
    size_t count;
};

static int compare_texts(const char *a, const char *b)
{
    if (a == NULL || b == NULL) return (a == NULL) - (b == NULL);
    return strcmp(a, b);
}

/* By place, then name, then as lots are taken; what has no book yet comes last. */
static int by_place(const void *left, const void *right, void *day)
{
    const struct sheet_row *a = left, *b = right;
    int order = compare_texts(a->place, b->place);
    if (order == 0) order = strcmp(a->ingredient->name, b->ingredient->name);
    if (order != 0 || a->lot == NULL || b->lot == NULL) return order;
    return lot_order(a->lot, b->lot, *(const date *)day);
}

static void add_lots(struct count_sheet *sheet, const struct day *day,
                     const struct supply *supplies, const struct lot *lots, size_t lot_count,
                     const char *only)
{
    for (size_t i = 0; i < lot_count; i++) {
        const struct lot *lot = &lots[i];
        size_t ingredient = catalogue_ingredient(&day->catalogue, lot->ingredient);
        for (size_t k = 0; k < lot->place_count; k++) {
            const struct lot_place *place = &lot->places[k];
            if (only != NULL && strcmp(place->place, only) != 0) continue;
            sheet->rows[sheet->count++] = (struct sheet_row){
                .ingredient = &day->catalogue.ingredients[ingredient],
                .lot = lot,
                .place = place->place,
                .expected = place->amount,
                .pack = lot->pack > 0 ? lot->pack : supplies[ingredient].pack};
        }
    }
}

static void add_unkept(struct count_sheet *sheet, const struct day *day,
                       const struct supply *supplies, const struct stock_set *kept)
{
    for (size_t i = 0; i < day->catalogue.ingredient_count; i++) {
        const struct ingredient *ingredient = &day->catalogue.ingredients[i];
        if (kept->in[i] || ingredient->kind == KIND_WATER) continue;
        sheet->rows[sheet->count++] = (struct sheet_row){.ingredient = ingredient,
                                                         .pack = supplies[i].pack};
    }
}

static bool load(struct request *request, struct day *day, date today, struct count_sheet *sheet)
{
    const char *only = request_query(request, "place");
    const struct lot_filter left = {.left = true};
    size_t ingredients = day->catalogue.ingredient_count, lot_count, rows = ingredients;
    struct lot *lots;
    struct stock_set kept = {.catalogue = &day->catalogue,
                             .in = arena_array(request->arena, ingredients, sizeof *kept.in)};
    if (kept.in == NULL) return fail_memory(&request->fails);
    const struct supply *supplies = supplies_load(request->tx, &day->catalogue, today);
    if (supplies == NULL || !stock_kept(request->tx, &kept) ||
        !lot_select(request->tx, &left, &lots, &lot_count))
        return false;
    for (size_t i = 0; i < lot_count; i++)
        rows += lots[i].place_count;
    sheet->rows = arena_array(request->arena, rows, sizeof *sheet->rows);
    if (sheet->rows == NULL) return fail_memory(&request->fails);
    add_lots(sheet, day, supplies, lots, lot_count, only);
    if (only == NULL) add_unkept(sheet, day, supplies, &kept);
    qsort_r(sheet->rows, sheet->count, sizeof *sheet->rows, by_place, &today);
    return true;
}

/* lot NULL: there is none yet. */
static void write_lot(struct json_writer *json, const struct lot *lot, date today)
{
    static const struct lot none;
    const struct lot *of = lot != NULL ? lot : &none;
    json_put_whole_or_null(json, "lot", of->number, lot != NULL);
    json_put_text(json, "lot_mark", of->lot_mark);
    json_put_text(json, "supplier_name", of->supplier_name);
    json_put_date_or_null(json, "best_before", of->best_before, of->has_best_before);
    json_put_bool(json, "expired", best_before_passed(of->has_best_before, of->best_before, today));
    json_put_bool(json, "held", of->held);
}

static void write_row(struct json_writer *json, const struct sheet_row *row, date today)
{
    enum ingredient_unit unit = row->ingredient->unit;
    json_open_object(json, NULL);
    json_put_text(json, "ingredient", row->ingredient->code);
    json_put_text(json, "name", row->ingredient->name);
    json_put_text(json, "unit", ingredient_units[unit]);
    write_lot(json, row->lot, today);
    json_put_text(json, "place", row->place);
    amount_write_or_null(json, "pack", unit, row->pack, row->pack > 0);
    amount_write(json, "expected", unit, row->expected);
    json_close(json);
}

/* The rows come by place. */
static void write_places(struct json_writer *json, const struct count_sheet *sheet)
{
    json_open_list(json, "places");
    for (size_t i = 0; i < sheet->count; i++)
        if (sheet->rows[i].place != NULL &&
            (i == 0 || compare_texts(sheet->rows[i].place, sheet->rows[i - 1].place) != 0))
            json_put_text(json, NULL, sheet->rows[i].place);
    json_close(json);
}

bool get_count_sheet(struct request *request)
{
    struct day day;
    struct count_sheet sheet = {.count = 0};
    if (!day_open(request, &day)) return false;
    date today = today_of(&day);
    if (!load(request, &day, today, &sheet)) return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_date(json, "date", today);
    write_places(json, &sheet);
    json_open_list(json, "items");
    for (size_t i = 0; i < sheet.count; i++)
        write_row(json, &sheet.rows[i], today);
    json_close(json);
    json_close(json);
    reply_etag(request);
    return true;
}
