/* What a mixing list differs in from its last print: kilos of every dough, pieces of every product.
 */
#include "api/mixing_body.h"
#include "bakery/changes.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "http/request.h"
#include "store/print.h"

#include <string.h>

enum { PRINT_ITEMS_MAX = 100000 };

/* Reads a list of the print into amounts; of each item day, code, name and value have these names.
 */
static void read_amounts(struct json_object *print, const char *list_name, const char *code_name,
                         const char *value_name, int places, struct amounts *out)
{
    struct json_list list;
    struct json_node item;
    json_list_member(print, list_name, JSON_REQUIRED, 0, PRINT_ITEMS_MAX, &list);
    out->items = arena_array(print->node.arena, list.length, sizeof *out->items);
    while (out->items != NULL && json_list_next(&list, &item)) {
        struct amount *amount = &out->items[out->count++];
        struct json_object in;
        json_object_open(&in, item);
        if (json_has(&in, "date")) json_date(&in, "date", JSON_REQUIRED, &amount->day);
        amount->code = json_code(&in, code_name, JSON_REQUIRED);
        amount->name = json_name(&in, "name", JSON_REQUIRED);
        amount->value = json_decimal(&in, value_name, JSON_REQUIRED, places, 0, INT64_MAX, 0);
    }
}

static bool read_print(struct request *request, const struct print *print, struct amounts *mixes,
                       struct amounts *pieces)
{
    struct json_node root;
    struct json_object in;
    if (!json_parse(request->arena, &request->fails, print->body, strlen(print->body), &root))
        return false;
    json_object_open(&in, root);
    read_amounts(&in, "mixes", "formula", "dough_g", WEIGHT_PLACES, mixes);
    read_amounts(&in, "pieces", "product", "pieces", 0, pieces);
    return !fails_any(&request->fails);
}

static bool amounts_now(struct request *request, const struct day *day,
                        const struct mixing_list *list, struct amounts *mixes,
                        struct amounts *pieces)
{
    mixes->items = arena_array(request->arena, list->mix_count, sizeof *mixes->items);
    pieces->items = arena_array(request->arena, list->pieces_count, sizeof *pieces->items);
    if (mixes->items == NULL || pieces->items == NULL) return false;
    for (size_t i = 0; i < list->mix_count; i++) {
        const struct formula *formula = &day->catalogue.formulas[list->mixes[i].formula];
        mixes->items[mixes->count++] = (struct amount){
            .code = formula->code, .name = formula->name, .value = list->mixes[i].dough_mg};
    }
    for (size_t i = 0; i < list->pieces_count; i++) {
        const struct mixing_pieces *row = &list->pieces[i];
        const struct product *product = &day->catalogue.products[row->product];
        pieces->items[pieces->count++] = (struct amount){.day = row->bread_day,
                                                         .code = product->code,
                                                         .name = product->name,
                                                         .value = row->pieces};
    }
    return true;
}

static void write_mix_changes(struct json_writer *json, const struct change *changes, size_t count)
{
    json_open_list(json, "mixes");
    for (size_t i = 0; i < count; i++) {
        json_open_object(json, NULL);
        json_put_text(json, "formula", changes[i].code);
        json_put_text(json, "name", changes[i].name);
        json_put_decimal(json, "before_g", changes[i].before, WEIGHT_PLACES);
        json_put_decimal(json, "now_g", changes[i].now, WEIGHT_PLACES);
        json_close(json);
    }
    json_close(json);
}

static void write_piece_changes(struct json_writer *json, const struct change *changes,
                                size_t count)
{
    json_open_list(json, "products");
    for (size_t i = 0; i < count; i++) {
        json_open_object(json, NULL);
        json_put_date(json, "date", changes[i].day);
        json_put_text(json, "product", changes[i].code);
        json_put_text(json, "name", changes[i].name);
        json_put_whole(json, "before", changes[i].before);
        json_put_whole(json, "now", changes[i].now);
        json_close(json);
    }
    json_close(json);
}

bool changes_write(struct request *request, struct json_writer *json, const struct day *day,
                   const struct mixing_list *list, const struct print *print)
{
    struct amounts mixes_before = {0}, pieces_before = {0}, mixes = {0}, pieces = {0};
    struct change *mix_changes, *piece_changes;
    size_t mix_count, piece_count;
    if (!read_print(request, print, &mixes_before, &pieces_before) ||
        !amounts_now(request, day, list, &mixes, &pieces) ||
        !changes_of(request->arena, &mixes_before, &mixes, &mix_changes, &mix_count) ||
        !changes_of(request->arena, &pieces_before, &pieces, &piece_changes, &piece_count))
        return false;
    json_open_object(json, "changes");
    json_put_whole(json, "since", print->number);
    write_mix_changes(json, mix_changes, mix_count);
    write_piece_changes(json, piece_changes, piece_count);
    json_close(json);
    return true;
}
