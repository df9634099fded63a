/* Suppliers. */
#include "store/supplier.h"

#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

STATEMENTS(supplier_statements,
           {"supplier_select",
            "SELECT code, name, phone, email, address, lead_days, order_days, minimum_order_micros,"
            " note, revision FROM supplier WHERE bakery_id = $1 AND ($2::text IS NULL OR code = $2)"
            " AND ($3::text IS NULL OR code > $3) ORDER BY code LIMIT $4"},
           {"supplier_put",
            "INSERT INTO supplier (bakery_id, code, name, phone, email, address, lead_days,"
            " order_days, minimum_order_micros, note)"
            " VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)"
            " ON CONFLICT (bakery_id, code) DO UPDATE SET name = excluded.name,"
            " phone = excluded.phone, email = excluded.email, address = excluded.address,"
            " lead_days = excluded.lead_days, order_days = excluded.order_days,"
            " minimum_order_micros = excluded.minimum_order_micros, note = excluded.note,"
            " revision = excluded.revision RETURNING revision"},
           {"supplier_delete", "DELETE FROM supplier WHERE bakery_id = $1 AND code = $2"});

bool supplier_select(struct tx *tx, const struct selection *selection, struct supplier **items,
                     size_t *count)
{
    struct args args;
    struct rows rows;
    selection_args(&args, tx, selection);
    if (!tx_query(tx, "supplier_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct supplier *supplier = *items; supplier != NULL && rows_next(&rows); supplier++) {
        supplier->code = row_text(&rows);
        supplier->name = row_text(&rows);
        supplier->phone = row_text(&rows);
        supplier->email = row_text(&rows);
        supplier->address = row_text(&rows);
        supplier->lead_days = row_whole(&rows);
        supplier->order_days = (unsigned)row_whole(&rows);
        supplier->minimum_order_micros = row_whole(&rows);
        supplier->note = row_text(&rows);
        supplier->revision = row_whole(&rows);
    }
    return *items != NULL;
}

bool supplier_put(struct tx *tx, struct supplier *supplier)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, supplier->code);
    args_text(&args, supplier->name);
    args_text(&args, supplier->phone);
    args_text(&args, supplier->email);
    args_text(&args, supplier->address);
    args_whole(&args, supplier->lead_days);
    args_whole(&args, supplier->order_days);
    args_whole(&args, supplier->minimum_order_micros);
    args_text(&args, supplier->note);
    return tx_query_whole(tx, "supplier_put", &args, &supplier->revision);
}

bool supplier_delete(struct tx *tx, const char *code)
{
    return tx_delete(tx, "supplier_delete", code);
}
