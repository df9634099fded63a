/* /lots: what came in of an ingredient in one delivery. */
#include "api/handlers.h"
#include "api/limits.h"
#include "api/lot_body.h"
#include "api/number.h"
#include "api/page.h"
#include "api/query.h"
#include "api/resource.h"
#include "base/arena.h"
#include "store/bakery.h"
#include "store/history.h"
#include "store/lot.h"

#include <inttypes.h>

enum { HISTORY_SIZE_MAX = 64 * 1024 };

/* The lot of the path; FAIL_NOT_FOUND when there is none. */
static bool find_lot(struct request *request, struct lot **lot)
{
    struct lot_filter filter = {.limit = 1};
    size_t count;
    if (!number_of_path(request, "number", "lot", &filter.number) ||
        !lot_select(request->tx, &filter, lot, &count))
        return false;
    return count > 0 ||
           fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no lot %" PRId64, filter.number);
}

static bool answer(struct request *request, const struct lot *lot)
{
    struct day day;
    if (!day_open(request, &day)) return false;
    lot_write(request, reply_json(request, 200), &day, lot);
    reply_revision(request, lot->revision);
    return true;
}

bool get_lot(struct request *request)
{
    struct lot *lot;
    return find_lot(request, &lot) && answer(request, lot);
}

bool list_lots(struct request *request)
{
    struct lot_filter filter = {.ingredient = request_query(request, "ingredient"),
                                .supplier = request_query(request, "supplier"),
                                .lot_mark = request_query(request, "lot_mark")};
    struct day day;
    struct page page;
    struct lot *lots;
    size_t count;
    if (!page_read_numbered(request, &page, &filter.before) ||
        !query_bool(request, "left", &filter.left) || !day_open(request, &day))
        return false;
    filter.limit = page.limit + 1;
    if (!lot_select(request->tx, &filter, &lots, &count)) return false;
    struct json_writer *json = page_open(request);
    for (size_t i = 0; i < count; i++) {
        if (!page_takes_number(request, &page, lots[i].number)) break;
        lot_write(request, json, &day, &lots[i]);
    }
    page_close(request, &page);
    return true;
}

/* --- correcting what was written down of it --- */

/* What changed is kept, who did it and when. */
static bool keep_history(struct request *request, const struct lot *lot)
{
    struct day day;
    struct text text;
    struct json_writer json;
    text_init(&text, request->arena, HISTORY_SIZE_MAX);
    json_writer_init(&json, &text);
    if (!day_open(request, &day)) return false;
    lot_write(request, &json, &day, lot);
    const char *code = arena_printf(request->arena, "%" PRId64, lot->number);
    if (code == NULL || !text_ok(&text)) return fail_memory(&request->fails);
    return history_add(request->tx, "lot", code, lot->revision, text.data);
}

static bool change(struct request *request, struct lot *lot,
                   void (*read)(struct json_object *body, struct lot *lot))
{
    struct json_node root;
    struct json_object body;
    if (!precondition_holds(request, true, lot->revision) || !request_json(request, &root))
        return false;
    json_object_open(&body, root);
    read(&body, lot);
    return json_object_close(&body) && lot_change(request->tx, lot) && keep_history(request, lot) &&
           answer(request, lot);
}

static void read_marks(struct json_object *body, struct lot *lot)
{
    lot->lot_mark = json_line(body, "lot_mark", JSON_OPTIONAL, MARK_MAX_CHARACTERS);
    lot->has_best_before = json_date(body, "best_before", JSON_OPTIONAL, &lot->best_before);
    lot->held = json_bool(body, "held", JSON_OPTIONAL, false);
    lot->note = json_text(body, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
}

static void read_price(struct json_object *body, struct lot *lot)
{
    lot->price.known = json_has(body, "price");
    lot->price.micros = json_money(body, "price", JSON_OPTIONAL, 0, PRICE_MAX, 0);
}

bool put_lot(struct request *request)
{
    struct lot *lot;
    return bakery_lock(request->tx) && find_lot(request, &lot) && change(request, lot, read_marks);
}

bool put_lot_price(struct request *request)
{
    struct lot *lot;
    return bakery_lock(request->tx) && find_lot(request, &lot) && change(request, lot, read_price);
}
