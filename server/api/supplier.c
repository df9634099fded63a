/* /suppliers: the smallest resource. Copy it to begin a new one. */
#include "store/supplier.h"
#include "api/handlers.h"
#include "api/resource.h"

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

static void read_supplier(struct json_object *body, void *thing)
{
    struct supplier *supplier = thing;
    supplier->name = json_name(body, "name", JSON_REQUIRED);
    supplier->note = json_text(body, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
}

static void write_supplier(struct json_writer *json, const void *thing)
{
    const struct supplier *supplier = thing;
    json_put_text(json, "code", supplier->code);
    json_put_text(json, "name", supplier->name);
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
