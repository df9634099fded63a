/* /customers */
#include "store/customer.h"
#include "api/handlers.h"
#include "api/price_lists.h"
#include "api/resource.h"

enum { PHONE_MAX = 60, ADDRESS_MAX = 500 };

static bool select_customers(struct tx *tx, const struct selection *selection, void **items,
                             size_t *count)
{
    struct customer *list = NULL;
    bool ok = customer_select(tx, selection, &list, count);
    *items = list;
    return ok;
}

static bool store_customer(struct tx *tx, void *thing)
{
    return customer_put(tx, thing);
}

static void read_customer(struct json_object *body, void *thing)
{
    struct customer *customer = thing;
    customer->name = json_name(body, "name", JSON_REQUIRED);
    customer->ready_at = NO_CLOCK;
    json_clock(body, "ready_at", JSON_OPTIONAL, &customer->ready_at);
    customer->phone = json_text(body, "phone", JSON_OPTIONAL, PHONE_MAX);
    customer->address = json_text(body, "address", JSON_OPTIONAL, ADDRESS_MAX);
    customer->note = json_text(body, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
    customer->price_list = json_code(body, "price_list", JSON_OPTIONAL);
}

static bool check_customer(struct request *request, void *thing, const void *old)
{
    const struct customer *customer = thing;
    (void)old;
    return price_list_check(request, "/price_list", customer->price_list);
}

static void write_customer(struct json_writer *json, const void *thing)
{
    const struct customer *customer = thing;
    json_put_text(json, "code", customer->code);
    json_put_text(json, "name", customer->name);
    json_put_clock(json, "ready_at", customer->ready_at);
    json_put_text(json, "phone", customer->phone);
    json_put_text(json, "address", customer->address);
    json_put_text(json, "note", customer->note);
    json_put_text(json, "price_list", customer->price_list);
}

static const struct resource customer_resource = {
    .kind = "customer",
    .size = sizeof(struct customer),
    .revision_at = offsetof(struct customer, revision),
    .select = select_customers,
    .put = store_customer,
    .remove = customer_delete,
    .read = read_customer,
    .check = check_customer,
    .write = write_customer,
};

RESOURCE_HANDLERS(customer, customer_resource)
