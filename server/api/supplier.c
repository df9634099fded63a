/* /suppliers: the smallest resource. Copy it to begin a new one. */
#include "store/supplier.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/money.h"
#include "api/resource.h"
#include "api/weekdays.h"

#include <string.h>

enum { PHONE_MAX = 60, EMAIL_MAX = 254, ADDRESS_MAX = 500, LEAD_DAYS_MAX = 365 };

static bool select_suppliers(struct tx *tx, const struct selection *selection, void **items,
                             size_t *count)
{
    struct supplier *list = NULL;
    bool ok = supplier_select(tx, selection, &list, count);
    *items = list;
    return ok;
}

static bool store_supplier(struct tx *tx, void *thing)
{
    return supplier_put(tx, thing);
}

/* Only what a slip of the finger breaks: one @ with something on both sides, and no spaces. */
static const char *read_email(struct json_object *body)
{
    const char *email = json_text(body, "email", JSON_OPTIONAL, EMAIL_MAX);
    if (email == NULL) return NULL;
    const char *at = strchr(email, '@');
    if (at == NULL || at == email || at[1] == '\0' || strchr(at + 1, '@') != NULL ||
        strpbrk(email, " \t\n") != NULL)
        json_fault(body, "email", "is not an e-mail address");
    return email;
}

static void read_supplier(struct json_object *body, void *thing)
{
    struct supplier *supplier = thing;
    supplier->name = json_name(body, "name", JSON_REQUIRED);
    supplier->phone = json_text(body, "phone", JSON_OPTIONAL, PHONE_MAX);
    supplier->email = read_email(body);
    supplier->address = json_text(body, "address", JSON_OPTIONAL, ADDRESS_MAX);
    supplier->lead_days = json_whole(body, "lead_days", JSON_OPTIONAL, 0, LEAD_DAYS_MAX, 1);
    supplier->order_days = weekdays_read(body, "order_days");
    supplier->minimum_order_micros = json_money(body, "minimum_order", JSON_OPTIONAL, 0, PRICE_MAX,
                                                0);
    supplier->note = json_text(body, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
}

static void write_supplier(struct json_writer *json, const void *thing)
{
    const struct supplier *supplier = thing;
    json_put_text(json, "code", supplier->code);
    json_put_text(json, "name", supplier->name);
    json_put_text(json, "phone", supplier->phone);
    json_put_text(json, "email", supplier->email);
    json_put_text(json, "address", supplier->address);
    json_put_whole(json, "lead_days", supplier->lead_days);
    weekdays_write(json, "order_days", supplier->order_days);
    money_write_known(json, "minimum_order", supplier->minimum_order_micros,
                      supplier->minimum_order_micros > 0, MONEY_LEAST_PLACES);
    json_put_text(json, "note", supplier->note);
}

static const struct resource supplier_resource = {
    .kind = "supplier",
    .size = sizeof(struct supplier),
    .revision_at = offsetof(struct supplier, revision),
    .select = select_suppliers,
    .put = store_supplier,
    .remove = supplier_delete,
    .read = read_supplier,
    .write = write_supplier,
};

RESOURCE_HANDLERS(supplier, supplier_resource)
