/* /price-lists: how prices of one kind of customer are told and rounded. */
#include "api/price_lists.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/money.h"
#include "api/resource.h"
#include "store/price_list.h"

static bool select_price_lists(struct tx *tx, const struct selection *selection, void **items,
                               size_t *count)
{
    struct price_list *list = NULL;
    bool ok = price_list_select(tx, selection, &list, count);
    *items = list;
    return ok;
}

static bool store_price_list(struct tx *tx, void *thing)
{
    return price_list_put(tx, thing);
}

static void read_price_list(struct json_object *body, void *thing)
{
    struct price_list *list = thing;
    list->name = json_name(body, "name", JSON_REQUIRED);
    list->with_tax = json_bool(body, "with_tax", JSON_OPTIONAL, true);
    list->step_micros = json_money(body, "step", JSON_OPTIONAL, 1, PRICE_MAX, 0);
    list->ending_micros = json_money(body, "ending", JSON_OPTIONAL, 0, PRICE_MAX, 0);
    if (list->ending_micros > 0 && list->ending_micros >= list->step_micros)
        json_fault(body, "ending", "must be under the step that prices go by");
    list->note = json_text(body, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
}

static void write_price_list(struct json_writer *json, const void *thing)
{
    const struct price_list *list = thing;
    struct money step = {list->step_micros > 0, list->step_micros};
    struct money ending = {list->step_micros > 0, list->ending_micros};
    json_put_text(json, "code", list->code);
    json_put_text(json, "name", list->name);
    json_put_bool(json, "with_tax", list->with_tax);
    money_write(json, "step", step);
    money_write(json, "ending", ending);
    json_put_text(json, "note", list->note);
}

static const struct resource price_list_resource = {
    .kind = "price_list",
    .size = sizeof(struct price_list),
    .revision_at = offsetof(struct price_list, revision),
    .select = select_price_lists,
    .put = store_price_list,
    .remove = price_list_delete,
    .read = read_price_list,
    .write = write_price_list,
};

RESOURCE_HANDLERS(price_list, price_list_resource)

/* --- for others --- */

bool price_list_check(struct request *request, const char *pointer, const char *code)
{
    struct selection one = {.code = code};
    struct price_list *items;
    size_t count;
    if (code == NULL) return true;
    if (!price_list_select(request->tx, &one, &items, &count)) return false;
    if (count == 0)
        fail_add(&request->fails, FAIL_INVALID, pointer, "there is no price list %s", code);
    return true;
}

bool price_list_find(struct request *request, const char *pointer, const char *code,
                     struct price_list *list)
{
    struct selection one = {.code = code, .limit = 1};
    struct price_list *items;
    size_t count;
    *list = (struct price_list){.with_tax = true};
    if (!price_list_select(request->tx, &one, &items, &count)) return false;
    if (count > 0) *list = items[0];
    if (count > 0 || code == NULL) return true;
    return fail_add(&request->fails, FAIL_INVALID, pointer, "there is no price list %s", code);
}
