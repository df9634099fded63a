/* Customers. */
#include "store/customer.h"

#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

STATEMENTS(customer_statements,
           {"customer_select",
            "SELECT code, name, ready_at, phone, address, note, price_list, revision FROM customer"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR code = $2)"
            " AND ($3::text IS NULL OR code > $3) ORDER BY code LIMIT $4"},
           {"customer_put",
            "INSERT INTO customer (bakery_id, code, name, ready_at, phone, address, note,"
            " price_list) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)"
            " ON CONFLICT (bakery_id, code) DO UPDATE SET name = excluded.name,"
            " ready_at = excluded.ready_at, phone = excluded.phone, address = excluded.address,"
            " note = excluded.note, price_list = excluded.price_list, revision = excluded.revision "
            "RETURNING revision"},
           {"customer_delete", "DELETE FROM customer WHERE bakery_id = $1 AND code = $2"});

bool customer_select(struct tx *tx, const struct selection *selection, struct customer **items,
                     size_t *count)
{
    struct args args;
    struct rows rows;
    selection_args(&args, tx, selection);
    if (!tx_query(tx, "customer_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct customer *customer = *items; customer != NULL && rows_next(&rows); customer++) {
        customer->code = row_text(&rows);
        customer->name = row_text(&rows);
        customer->ready_at = row_clock(&rows);
        customer->phone = row_text(&rows);
        customer->address = row_text(&rows);
        customer->note = row_text(&rows);
        customer->price_list = row_text(&rows);
        customer->revision = row_whole(&rows);
    }
    return *items != NULL;
}

bool customer_put(struct tx *tx, struct customer *customer)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, customer->code);
    args_text(&args, customer->name);
    args_clock(&args, customer->ready_at);
    args_text(&args, customer->phone);
    args_text(&args, customer->address);
    args_text(&args, customer->note);
    args_text(&args, customer->price_list);
    return tx_query_whole(tx, "customer_put", &args, &customer->revision);
}

bool customer_delete(struct tx *tx, const char *code)
{
    return tx_delete(tx, "customer_delete", code);
}
